/* The first lines of a request: what RFC 9112 calls one (section 3: request line; 5: fields; 6.3: a length
 * that is no number or stands twice ends the connection with 400), from memory. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "head.h"
#include <string.h>

static unsigned status_of(const char *head)
{
    const char *sentence = NULL;
    unsigned status = head_fault(str_from(head), &sentence);
    assert_true(!status == !sentence);
    return status;
}

static void ends(void **state)
{
    (void)state;
    assert_int_equal(head_length(str_from("GET / HTTP/1.1\r\nHost: a\r\n\r\nbody")), 27);
    assert_int_equal(head_length(str_from("GET / HTTP/1.1\n\nbody")),
                     16); /* RFC 9112, 2.2: a lone LF ends a line */
    assert_int_equal(head_length(str_from("GET / HTTP/1.1\r\nHost: a\r\n\r")), 0);
    assert_int_equal(head_length(str_from("")), 0);
}

static void request_lines(void **state)
{
    (void)state;
    assert_int_equal(status_of("GET / HTTP/1.1\r\n\r\n"), 0);
    assert_int_equal(status_of("POST /api/new HTTP/1.0\r\n\r\n"), 0);
    const char *const wrong[] = {"GARBAGE\r\n\r\n",          "GET /\r\n\r\n",
                                 "GET / HTTP/2.0\r\n\r\n",   "GET  HTTP/1.1\r\n\r\n",
                                 " / HTTP/1.1\r\n\r\n",      "GET /a b HTTP/1.1\r\n\r\n",
                                 "GET / HTTP/1.1 x\r\n\r\n", "\x16\x03\x01 \n\n"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        if (status_of(wrong[i]) != 400) fail_msg("\"%s\" is taken", wrong[i]);
}

static void lengths(void **state)
{
    (void)state;
    static const struct {
        const char *value;
        unsigned status;
    } cases[] = {{"0", 0},
                 {"  7\t", 0},
                 {"999999999999999", 0},
                 {"1000000000000000", 413},
                 {"", 400},
                 {"-5", 400},
                 {"+1", 400},
                 {"0x10", 400},
                 {"1, 1", 400},
                 {"5x", 400},
                 {"1 2", 400},
                 {"1.5", 400}};
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *head =
            arena_format(arena, "POST /a HTTP/1.1\r\nHost: a\r\ncontent-length:%s\r\n\r\n", cases[i].value);
        if (status_of(head) != cases[i].status)
            fail_msg("a length of \"%s\": %u", cases[i].value, status_of(head));
    }
    arena_free(arena);
    assert_int_equal(status_of("POST /a HTTP/1.1\r\nContent-Length: 1\r\nContent-Length: 1\r\n\r\n"), 400);
    assert_int_equal(status_of("POST /a HTTP/1.1\r\nX-Content-Length: x\r\n\r\n"), 0);
}

static void paths(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    assert_string_equal(head_path(str_from("GET /api/jobs?x=1 HTTP/1.1\r\n\r\n"), arena), "/api/jobs");
    assert_string_equal(head_path(str_from("GET http://a/ HTTP/1.1\r\n\r\n"), arena), "/");
    assert_string_equal(head_path(str_from("GARBAGE"), arena), "/");
    assert_string_equal(head_path(str_from("GET "), arena), "/");
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(ends), cmocka_unit_test(request_lines),
                                       cmocka_unit_test(lengths), cmocka_unit_test(paths)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
