/* Makes replies: JSON, pages, refusals with their status and code, redirects. Called by exchange.c and
 * every view. */
#include "assets.h"
#include "base/sentence.h"
#include "base/json.h"
#include "request.h"
#include "template.h"
#include <string.h>

bool request_is_api(const struct web_request *request)
{
    return !strncmp(request->path, "/api/", 5);
}

const char *request_token(const struct web_request *request)
{
    const char *at = request->headers.cookie;
    while (at && *at) {
        at += strspn(at, " ;");
        size_t length = strcspn(at, ";");
        if (!strncmp(at, "lapstrake=", 10)) return arena_copy(request->arena, at + 10, length - 10);
        at += length;
    }
    return NULL;
}

static struct str view(const struct text *text)
{
    return (struct str){text_string(text), text->length};
}

void reply_json(struct reply *reply, const struct text *json)
{
    reply->type = "application/json; charset=utf-8";
    reply->body = view(json);
}

void reply_html(struct reply *reply, const struct text *html)
{
    reply->type = "text/html; charset=utf-8";
    reply->body = view(html);
}

/* What a status means when nobody says more. */
static const char *reply_code_of(unsigned status)
{
    static const struct {
        unsigned status;
        const char *code;
    } codes[] = {{400, "shape"},   {401, "sign-in"},  {403, "not-allowed"}, {404, "not-there"},
                 {405, "method"},  {409, "conflict"}, {411, "length"},      {413, "too-large"},
                 {415, "type"},    {421, "name"},     {422, "mistake"},     {429, "too-many"},
                 {503, "machine"}, {507, "disk-full"}};
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++)
        if (codes[i].status == status) return codes[i].code;
    return "refused";
}

/* For people who came to an address by hand, or by a label. */
static void refuse_on_a_page(const struct web_request *request, struct reply *reply, const char *sentence)
{
    struct template_values values = {0};
    struct asset page;
    struct text out = text_new(request->arena);
    template_set(request->arena, &values, "sentence", sentence);
    template_set(request->arena, &values, "sign_in", reply->status == 401 ? "yes" : NULL);
    if (asset_find("refused.html", &page)) template_fill(page.bytes, &values, &out);
    reply_html(reply, &out);
}

/* `error`: whose sentence it is; NULL: its words alone are known. */
static void refuse_as(const struct web_request *request, struct reply *reply, const char *code,
                      const struct error *error, const char *sentence)
{
    struct argument arguments[ERROR_ARGUMENTS_MOST + 1];
    if (!request_is_api(request)) {
        refuse_on_a_page(request, reply, sentence);
        return;
    }
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "error", sentence);
    json_string(&json, "code", code);
    const char *id = error ? error->id : sentence_id_of_plain(sentence);
    if (id) {
        json_string(&json, "id", id);
        arguments_json(&json, "args", error ? error_arguments(error, arguments) : NULL);
    }
    json_close(&json);
    reply_json(reply, &out);
}

void reply_refuse_as(const struct web_request *request, struct reply *reply, unsigned status,
                     const char *code, const char *sentence)
{
    reply->status = status;
    refuse_as(request, reply, code, NULL, sentence);
}

void reply_refuse(const struct web_request *request, struct reply *reply, unsigned status,
                  const char *sentence)
{
    reply_refuse_as(request, reply, status, reply_code_of(status), sentence);
}

unsigned reply_status(const struct error *error)
{
    switch (error->kind) {
    case FAILURE_INPUT:
        return 422;
    case FAILURE_CONFLICT:
        return 409;
    case FAILURE_FULL:
        return 507;
    default:
        return 503;
    }
}

void reply_error(const struct web_request *request, struct reply *reply, const struct error *error)
{
    bool busy = error->kind == FAILURE_BUSY;
    unsigned status = reply_status(error);
    if (busy) reply->retry_s = 5;
    reply->status = status;
    refuse_as(request, reply, busy ? "busy" : reply_code_of(status), error, error->text);
}

void reply_go_to(struct reply *reply, const char *location)
{
    reply->status = 303;
    reply->location = location;
    reply->type = "text/plain; charset=utf-8";
    reply->body = str_from(sentence_plain("go-to-address"));
}
