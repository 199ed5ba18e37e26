/* Fuzz target: any bytes as a request: a line METHOD ADDRESS, header lines, an empty line, a form. Nothing
 * may crash; what comes through has the shape that handlers rely on. */
#include "base/arena.h"
#include "base/machine.h"
#include "guard.h"
#include "head.h"
#include "route.h"
#include "upload.h"
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool true_)
{
    if (!true_) abort();
}

/* The next line without its end, as a string in the arena. */
static char *next_line(struct str *rest, struct arena *arena)
{
    const char *end = rest->length ? memchr(rest->bytes, '\n', rest->length) : NULL;
    size_t length = end ? (size_t)(end - rest->bytes) : rest->length;
    char *line = arena_copy(arena, rest->bytes, length);
    *rest = str_slice(*rest, length + (end ? 1 : 0), rest->length);
    return line;
}

static void read_headers(struct headers *headers, struct str *rest, struct arena *arena)
{
    const char **places[] = {
        &headers->host,      &headers->origin,     &headers->content_type,     &headers->cookie,
        &headers->from_page, &headers->fetch_site, &headers->transfer_encoding};
    for (size_t i = 0; i < sizeof places / sizeof *places && rest->length; i++) {
        const char *line = next_line(rest, arena);
        if (*line) *places[i] = line;
    }
    headers->content_length = (int64_t)rest->length;
}

static void check_form(struct str bytes, struct arena *arena)
{
    struct form form;
    double number;
    int64_t whole;
    if (!form_read(bytes, arena, &form)) return;
    for (size_t i = 0; i < form.count; i++) {
        size_t count;
        must(str_is_utf8(str_from(form.pairs[i].name)) && str_is_utf8(str_from(form.pairs[i].value)));
        form_list(form.pairs[i].value, arena, &count);
        if (form_number(&form, form.pairs[i].name, -10, 10, &number)) must(!(number < -10 || number > 10));
        if (form_whole(&form, form.pairs[i].name, 1000, &whole)) must(whole >= -1 && whole <= 1000);
    }
}

static void check_route(const struct web_request *request)
{
    const char *parts[PARTS_MOST] = {0};
    unsigned status;
    const struct route *route = route_find(request->method, request->path, request->arena, parts, &status);
    must(!route == (status != 0));
    for (size_t i = 0; i < PARTS_MOST; i++) must(!parts[i] || (*parts[i] && !strchr(parts[i], '/')));
}

static void check_name(struct machine *machine, const char *name, struct arena *arena)
{
    const struct uploads none = {.machine = machine};
    const char *plain = upload_name(&none, "T-1", "/nowhere", name, arena);
    if (!plain) return;
    must(!strstr(plain, "..") && strchr(plain, '/') == strrchr(plain, '/') && plain[0] != '/');
}

static void check_head(struct str bytes, struct arena *arena)
{
    const char *sentence = NULL;
    struct str head = str_slice(bytes, 0, head_length(bytes));
    must(!head_fault(head, &sentence) == !sentence);
    must(*head_path(head, arena) == '/');
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct machine machine = machine_real("/proc/self/exe");
    struct arena *arena = arena_new(&machine);
    struct str rest = {(const char *)data, size};
    struct web_request request = {.arena = arena};
    const struct guard guard = {.machine_name = "shop-pc"};
    const char *sentence = NULL;
    char *method = next_line(&rest, arena), *address = strchr(method, ' ');
    if (address) *address++ = 0;
    request.path = address ? address : "/";
    if (guard_method(method, &request.method)) {
        read_headers(&request.headers, &rest, arena);
        if (!guard_check(&guard, &request, &sentence)) {
            must(request.path[0] == '/' && !strstr(request.path, "/../"));
            check_route(&request);
        } else {
            must(sentence && *sentence);
        }
    }
    check_head((struct str){(const char *)data, size}, arena);
    check_form(rest, arena);
    check_name(&machine, request.path, arena);
    arena_free(arena);
    return 0;
}
