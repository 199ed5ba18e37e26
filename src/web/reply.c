#include "base/json.h"
#include "request.h"
#include <string.h>

bool request_is_api(const struct request *request)
{
    return !strncmp(request->path, "/api/", 5);
}

const char *request_token(const struct request *request)
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

void reply_refuse(const struct request *request, struct reply *reply, unsigned status, const char *sentence)
{
    reply->status = status;
    struct text out = text_new(request->arena);
    if (!request_is_api(request)) {
        text_addf(&out, "%s\n", sentence);
        reply->type = "text/plain; charset=utf-8";
        reply->body = view(&out);
        return;
    }
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "error", sentence);
    json_close(&json);
    reply_json(reply, &out);
}

unsigned reply_status(const struct error *error)
{
    return error->kind == FAILURE_INPUT ? 422 : error->kind == FAILURE_CONFLICT ? 409 : 503;
}

void reply_error(const struct request *request, struct reply *reply, const struct error *error)
{
    reply_refuse(request, reply, reply_status(error), error->text);
}

void reply_go_to(struct reply *reply, const char *location)
{
    reply->status = 303;
    reply->location = location;
    reply->type = "text/plain; charset=utf-8";
    reply->body = str_from("See the address given.\n");
}
