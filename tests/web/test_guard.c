/* Hosts, origins and addresses: what RFC 9110 and the Fetch standard let a browser send (from memory), and
 * what pages of other servers can make it send. */
#include "../test.h"
#include "base/arena.h"
#include "guard.h"
#include "route.h"
#include <string.h>

static const char *const names[] = {"shop-pc.example"};
static const struct guard guard = {.machine_name = "shop-pc", .names = names, .name_count = 1};

static struct web_request get(const char *path, const char *host)
{
    return (struct web_request){
        .method = METHOD_GET, .path = path, .headers = {.host = host, .content_length = -1}};
}

static struct web_request post(const char *origin)
{
    struct web_request r = get("/api/new", "127.0.0.1:8017");
    r.method = METHOD_POST;
    r.headers.content_length = 0;
    r.headers.origin = origin;
    return r;
}

static unsigned status_of(struct web_request request)
{
    const char *sentence = NULL;
    unsigned status = guard_check(&guard, &request, &sentence);
    assert_true(!status == !sentence);
    return status;
}

static void hosts(void **state)
{
    (void)state;
    const char *const right[] = {"127.0.0.1:8017", "192.168.1.20", "[::1]:8017",    "localhost",
                                 "LOCALHOST:8017", "shop-pc:8017", "shop-pc.local", "Shop-PC.Example:8017"};
    const char *const wrong[] = {
        "evil.example", "127.0.0.1.evil.example", "shop-pc.evil.example", "", "[evil]:1", "local"};
    for (size_t i = 0; i < sizeof right / sizeof *right; i++)
        assert_int_equal(status_of(get("/", right[i])), 0);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_true(status_of(get("/", wrong[i])) >= 400);
    assert_int_equal(status_of(get("/", NULL)), 400);
}

static void origins(void **state)
{
    (void)state;
    assert_int_equal(status_of(post("http://127.0.0.1:8017")), 0);
    const char *const wrong[] = {"https://127.0.0.1:8017",
                                 "http://127.0.0.1",
                                 "http://127.0.0.1:80170",
                                 "null",
                                 "http://evil.example",
                                 "",
                                 NULL};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_int_equal(status_of(post(wrong[i])), 403);
    struct web_request scripted = post(NULL);
    scripted.headers.from_page = "page";
    assert_int_equal(status_of(scripted), 0);
    struct web_request foreign = post("http://127.0.0.1:8017");
    foreign.headers.fetch_site = "cross-site";
    assert_int_equal(status_of(foreign), 403);
}

static void shapes(void **state)
{
    (void)state;
    const char *const wrong[] = {"/../etc/passwd", "/jobs/..", "/a//b",     "/./",   "jobs",
                                 "/a\\b",          "/a b",     "/\xC3\xA4", "/a\x7f"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_int_equal(status_of(get(wrong[i], "localhost")), 400);
    char path[GUARD_PATH_MOST + 2];
    memset(path, 'a', sizeof path);
    path[0] = '/';
    path[sizeof path - 1] = 0;
    assert_int_equal(status_of(get(path, "localhost")), 400);
    struct web_request chunked = post("http://127.0.0.1:8017");
    chunked.headers.transfer_encoding = "chunked";
    assert_int_equal(status_of(chunked), 411);
    struct web_request endless = post("http://127.0.0.1:8017");
    endless.headers.content_length = -1;
    assert_int_equal(status_of(endless), 411);
    struct web_request heavy = get("/", "localhost");
    heavy.headers.content_length = 5;
    assert_int_equal(status_of(heavy), 400);
}

static void methods(void **state)
{
    (void)state;
    enum method method;
    assert_true(guard_method("PUT", &method) && method == METHOD_PUT);
    const char *const wrong[] = {"DELETE", "TRACE", "OPTIONS", "CONNECT", "get", "PATCH", ""};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) assert_false(guard_method(wrong[i], &method));
}

static void routes(void **state)
{
    (void)state;
    struct machine machine = machine_real("/proc/self/exe");
    struct arena *arena = arena_new(&machine);
    const char *parts[PARTS_MOST] = {0};
    unsigned status;
    assert_non_null(route_find(METHOD_GET, "/api/jobs/LV-2031", arena, parts, &status));
    assert_string_equal(parts[0], "LV-2031");
    assert_non_null(route_find(METHOD_HEAD, "/P/LV-2031/LEFT-1", arena, parts, &status));
    assert_string_equal(parts[1], "LEFT-1");
    assert_null(route_find(METHOD_PUT, "/api/jobs/LV-2031", arena, parts, &status));
    assert_int_equal(status, 405);
    const char *const nowhere[] = {"/api/jobs/", "/api/jobs/a/b/c", "/page/",
                                   "/page/../x", "/jobs/a%2fb",     "/P/a",
                                   "/x",         "/api/jobs/a%00b"};
    for (size_t i = 0; i < sizeof nowhere / sizeof *nowhere; i++) {
        assert_null(route_find(METHOD_GET, nowhere[i], arena, parts, &status));
        assert_int_equal(status, 404);
    }
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hosts),   cmocka_unit_test(origins), cmocka_unit_test(shapes),
        cmocka_unit_test(methods), cmocka_unit_test(routes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
