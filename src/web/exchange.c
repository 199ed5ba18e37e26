/* One request from its first line to its answer: guard, visitor, route, body, view. Called by serve.c; what
 * a view does is in the *_views.c files. */
#include "exchange.h"
#include "answer/answer.h"
#include "run/upload.h"
#include "base/sentence.h"
#include "base/path.h"
#include "plain.h"
#include "write.h"
#include <string.h>

enum { BODY_PLAIN_MS = 60 * 1000, THROW_AWAY_MOST = 32 << 20, THROW_AWAY_STRANGER = BODY_FORM_MOST };

/* ---- the first look ---- */

static bool exchange_refuse(struct exchange *x, unsigned status, const char *sentence)
{
    reply_refuse(&x->request, &x->reply, status, sentence);
    x->refused = true;
    return false;
}

static bool refuse_stranger(struct exchange *x)
{
    struct web_request *r = &x->request;
    bool had = request_token(r) && *request_token(r);
    if (request_is_api(r) || r->method != METHOD_GET) {
        reply_refuse_as(r, &x->reply, 401, had ? "session-ended" : "sign-in",
                        had ? sentence_plain("your-session-has-ended-sign-in") : "Sign in first.");
        x->refused = true;
        return false;
    }
    reply_go_to(&x->reply, arena_format(r->arena, "/sign-in?back=%s", r->path));
    x->refused = true;
    return false;
}

static bool may(struct exchange *x)
{
    struct error error = {0};
    if (x->route->access == ACCESS_ANYONE) return true;
    if (!server_find_visitor(x->server, request_token(&x->request), x->request.arena, &x->request.visitor,
                             &error)) {
        reply_error(&x->request, &x->reply, &error);
        x->refused = true;
        return false;
    }
    if (!x->request.visitor.signed_in) return refuse_stranger(x);
    if (x->route->access == ACCESS_SHOP && x->request.visitor.role != ROLE_SHOP)
        return exchange_refuse(x, 403, sentence_plain("you-may-look-but-not-change"));
    return true;
}

static bool take_upload(struct exchange *x)
{
    struct web_request *r = &x->request;
    int64_t offset;
    unsigned status;
    const char *sentence;
    if (!form_whole(&r->query, "offset", UPLOAD_BYTES_MOST, &offset) || offset < 0)
        return exchange_refuse(x, 422, sentence_plain("say-from-which-byte-on-this"));
    x->upload = upload_take(&x->server->uploads, r->parts[0], server_sender(r), offset,
                            r->headers.content_length, &status, &sentence);
    return x->upload ? true : exchange_refuse(x, status, sentence);
}

static bool body_fits(struct exchange *x)
{
    int64_t length = x->request.headers.content_length;
    const char *type = x->request.headers.content_type;
    if (length > route_body_most(x->route))
        return exchange_refuse(x, 413, sentence_plain("this-is-larger-than-what-is"));
    if (x->route->body == BODY_FORM && length > 0 &&
        (!type || strncmp(type, "application/x-www-form-urlencoded", 33)))
        return exchange_refuse(x, 415, sentence_plain("send-form-application-www-form-urlencoded"));
    return x->route->body != BODY_STREAM || take_upload(x);
}

/* A job's number in any case is that job's. */
static void take_own_spelling(struct exchange *x)
{
    struct web_request *r = &x->request;
    bool job = !strncmp(x->route->path, "/api/jobs/*", 11) || !strncmp(x->route->path, "/jobs/*/", 8);
    const char *own = job ? floor_number(x->server->floor, r->parts[0], r->arena, NULL) : NULL;
    if (own) r->parts[0] = own;
}

/* Parts the address into path and query. */
static bool read_address(struct exchange *x)
{
    struct web_request *r = &x->request;
    char *question = strchr(x->uri, '?');
    r->path = x->uri;
    if (!question) return true;
    *question = 0;
    return form_read(str_from(question + 1), r->arena, &r->query);
}

bool exchange_begin(struct exchange *x, const char *method, bool two)
{
    struct web_request *r = &x->request;
    const char *sentence = NULL;
    unsigned status;
    x->reply = (struct reply){.status = 200, .fd = -1};
    bool address = read_address(x), known = guard_method(method, &r->method);
    if (!address) return exchange_refuse(x, 400, sentence_plain("address-has-query-that-cannot-be"));
    if (!known) return exchange_refuse(x, 405, sentence_plain("only-get-head-post-and-put"));
    if (two) return exchange_refuse(x, 400, sentence_plain("header-that-may-stand-once-came"));
    if ((status = guard_check(&x->server->guard, r, &sentence))) return exchange_refuse(x, status, sentence);
    if (!rates_take(&x->server->rates, r->address, x->server->machine->ticks_ms(x->server->machine))) {
        x->reply.retry_s = 1;
        return exchange_refuse(x, 429, sentence_plain("too-many-requests-at-once-from"));
    }
    x->route = route_find(r->method, r->path, r->arena, r->parts, &status);
    if (!x->route)
        return exchange_refuse(x, status,
                               status == 405 ? sentence_plain("this-address-does-not-take-that")
                                             : sentence_plain("there-is-no-such-page-here"));
    if (!may(x)) return false;
    take_own_spelling(x);
    return body_fits(x);
}

/* ---- the body ---- */

bool exchange_takes_rest(const struct exchange *x)
{
    return x->request.headers.content_length <=
           (x->request.visitor.signed_in ? THROW_AWAY_MOST : THROW_AWAY_STRANGER);
}

bool exchange_take(struct exchange *x, struct str piece)
{
    struct error error = {0};
    int64_t now = x->server->machine->ticks_ms(x->server->machine);
    if (x->refused) return exchange_takes_rest(x) && now - x->began_ms <= BODY_PLAIN_MS;
    if (x->route->body != BODY_STREAM) {
        if (now - x->began_ms > BODY_PLAIN_MS) return false; /* dripping on purpose, or a dead network */
        if ((int64_t)(x->body.length + piece.length) > route_body_most(x->route)) return false;
        text_add_bytes(&x->body, piece.bytes, piece.length);
        return true;
    }
    if (upload_write(&x->server->uploads, x->upload, piece, &error)) return true;
    reply_error(&x->request, &x->reply, &error);
    x->refused = true;
    return exchange_takes_rest(x);
}

/* What the file says of itself, as JSON; NULL for what is no artwork, or cannot be looked at now. */
static const char *facts_of(struct exchange *x, const struct upload *upload)
{
    struct arena *arena = x->request.arena;
    const char *folder = floor_job_folder(x->server->floor, upload->job, arena);
    struct text facts = text_new(arena);
    bool art = folder && !strncmp(upload->name, "art/", 4);
    struct upload_facts read;
    if (!art || !upload_read(x->server->machine, path_join(arena, folder, upload->name), arena, &read, NULL))
        return NULL;
    answer_upload(&read, &facts);
    return text_string(&facts);
}

/* What was sent is on the disk; when it was the last of it, the file has its name. */
static bool finish_upload(struct exchange *x)
{
    struct web_request *r = &x->request;
    struct upload copy = *x->upload;
    struct error error = {0};
    bool complete, ok = upload_give_back(&x->server->uploads, x->upload, &complete, &error);
    x->upload = NULL;
    if (!ok) {
        reply_error(r, &x->reply, &error);
        return false;
    }
    struct text out = text_new(r->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_whole(&json, "received", copy.received);
    json_string(&json, "file", complete ? copy.name : NULL);
    const char *facts = complete ? facts_of(x, &copy) : NULL;
    if (facts) json_raw(&json, "facts", facts);
    json_close(&json);
    reply_json(&x->reply, &out);
    if (complete) server_say_changed(x->server, copy.job);
    return true;
}

static void answer(struct exchange *x)
{
    struct web_request *r = &x->request;
    r->body = (struct str){text_string(&x->body), x->body.length};
    if (x->route->body == BODY_FORM && !form_read(r->body, r->arena, &r->form)) {
        exchange_refuse(x, 400, sentence_plain("form-cannot-be-read-it-must"));
        return;
    }
    if (x->route->body == BODY_STREAM && !finish_upload(x)) return;
    x->route->handle(r, &x->reply);
}

/* Whatever was said of files is said without the way to them on this machine. */
static void hide_folders(struct exchange *x)
{
    struct reply *reply = &x->reply;
    const char *folder = x->server->options->folder;
    if (reply->fd >= 0 || reply->keep || !reply->type || !reply->body.length) return;
    if (strncmp(reply->type, "text/", 5) != 0 && strncmp(reply->type, "application/json", 16) != 0) return;
    reply->body = plain_words(reply->body, folder, x->request.arena);
    reply->body = plain_words(reply->body, path_full(x->request.arena, folder), x->request.arena);
}

void exchange_answer(struct exchange *x)
{
    if (!x->refused) answer(x);
    hide_folders(x);
}

void exchange_end(struct exchange *x)
{
    bool complete;
    if (x->upload) upload_give_back(&x->server->uploads, x->upload, &complete, NULL);
    arena_free(x->request.arena);
}
