/* Refuses requests of a wrong shape or from a foreign page: method, path, host, origin. Called first by
 * exchange.c; who sent it is session.c's question. */
#include "guard.h"
#include "base/sentence.h"
#include <string.h>
#include <strings.h>

bool guard_method(const char *name, enum method *method)
{
    static const char *const names[METHOD_COUNT] = {"GET", "HEAD", "POST", "PUT"};
    for (int i = 0; i < METHOD_COUNT; i++)
        if (!strcmp(name, names[i])) {
            *method = (enum method)i;
            return true;
        }
    return false;
}

static bool path_is_plain(const char *path)
{
    size_t length = strlen(path);
    if (path[0] != '/' || length > GUARD_PATH_MOST) return false;
    for (size_t i = 0; i < length; i++)
        if (path[i] <= ' ' || path[i] > '~' || path[i] == '\\') return false;
    return !strstr(path, "//") && !strstr(path, "/../") && !strstr(path, "/./") &&
           !str_ends(str_from(path), "/..") && !str_ends(str_from(path), "/.");
}

/* The name of host[:port], without brackets. */
static struct str host_name(const char *host)
{
    struct str all = str_from(host);
    const char *end = all.length && host[0] == '[' ? strchr(host, ']') : strchr(host, ':');
    if (host[0] == '[') return end ? str_slice(all, 1, (size_t)(end - host)) : str_from("");
    return end ? str_slice(all, 0, (size_t)(end - host)) : all;
}

static bool guard_all_of(struct str text, const char *letters)
{
    for (size_t i = 0; i < text.length; i++)
        if (!strchr(letters, text.bytes[i])) return false;
    return text.length > 0;
}

static bool guard_same_name(struct str name, const char *other)
{
    return other && name.length == strlen(other) && !strncasecmp(name.bytes, other, name.length);
}

static bool local_name(struct str name, const char *machine_name)
{
    size_t length = machine_name ? strlen(machine_name) : 0;
    return length && name.length == length + 6 && !strncasecmp(name.bytes, machine_name, length) &&
           !strncasecmp(name.bytes + length, ".local", 6);
}

static bool host_is_ours(const struct guard *guard, const char *host)
{
    struct str name = host_name(host);
    bool numeric = guard_all_of(name, "0123456789.") ||
                   (host[0] == '[' && guard_all_of(name, "0123456789abcdefABCDEF:."));
    if (numeric || guard_same_name(name, "localhost") || guard_same_name(name, guard->machine_name) ||
        local_name(name, guard->machine_name))
        return true;
    for (size_t i = 0; i < guard->name_count; i++)
        if (guard_same_name(name, guard->names[i])) return true;
    return false;
}

static bool from_our_page(const struct guard *guard, const struct web_request *request)
{
    const struct headers *h = &request->headers;
    if (h->fetch_site && strcmp(h->fetch_site, "same-origin") && strcmp(h->fetch_site, "none")) return false;
    if (!h->origin) return h->from_page && !strcmp(h->from_page, "page");
    const char *scheme = guard->tls ? "https://" : "http://";
    return !strncmp(h->origin, scheme, strlen(scheme)) && !strcasecmp(h->origin + strlen(scheme), h->host);
}

static unsigned guard_refuse(const char **sentence, unsigned status, const char *words)
{
    *sentence = words;
    return status;
}

unsigned guard_check(const struct guard *guard, const struct web_request *request, const char **sentence)
{
    const struct headers *h = &request->headers;
    if (!path_is_plain(request->path))
        return guard_refuse(sentence, 400, sentence_plain("this-address-is-not-one-of"));
    if (!h->host || !*h->host) return guard_refuse(sentence, 400, sentence_plain("request-names-no-host"));
    if (!host_is_ours(guard, h->host))
        return guard_refuse(
            sentence, 421,
            "This server does not answer to that name; use its number, or start it with --name.");
    if (h->transfer_encoding)
        return guard_refuse(sentence, 411, sentence_plain("send-length-of-body-first-content"));
    bool changes = request->method == METHOD_POST || request->method == METHOD_PUT;
    if (changes && h->content_length < 0)
        return guard_refuse(sentence, 411, sentence_plain("send-length-of-body-first-content-length"));
    if (!changes && h->content_length > 0)
        return guard_refuse(sentence, 400, sentence_plain("this-request-takes-no-body"));
    if (changes && !from_our_page(guard, request))
        return guard_refuse(sentence, 403, sentence_plain("this-came-from-page-of-another"));
    return 0;
}
