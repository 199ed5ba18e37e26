/* One request and its answer, as plain values: what came in, already checked for shape, and what goes out.
 * Handlers know nothing of sockets. */
#ifndef WEB_REQUEST_H
#define WEB_REQUEST_H

#include "base/arena.h"
#include "base/error.h"
#include "base/str.h"
#include "base/text.h"
#include "form.h"
#include "model/record.h"
#include <stdbool.h>
#include <stdint.h>

struct server;

enum method { METHOD_GET, METHOD_HEAD, METHOD_POST, METHOD_PUT, METHOD_COUNT };

/* Who asks. With nobody set up (this machine only), everyone is the shop. */
struct visitor {
    bool signed_in; /* or nobody is set up */
    bool open;      /* nobody is set up */
    const char *name;
    enum role role;
};

/* Headers that matter; NULL when absent. A header that came twice is refused before this. */
struct headers {
    const char *host, *origin, *content_type, *cookie, *if_none_match, *range, *from_page, *fetch_site;
    const char *transfer_encoding;
    int64_t content_length; /* -1: none given */
};

enum { PARTS_MOST = 3 };

struct web_request {
    struct server *server;
    struct arena *arena;
    enum method method;
    const char *path; /* as sent, without the query */
    struct form query;
    struct headers headers;
    const char *address;           /* of the other side, numeric */
    const char *parts[PARTS_MOST]; /* what the route's stars matched, decoded */
    struct str body;               /* whole; not for uploads, which stream */
    struct form form;              /* of a form body */
    struct visitor visitor;
};

struct reply {
    unsigned status;  /* 200 when a handler leaves it */
    const char *type; /* Content-Type */
    struct str body;  /* in the request's arena, or static */
    int fd;           /* a file to send instead of body, closed by the sender; -1 */
    uint64_t fd_from, fd_length, fd_whole;
    const char *location; /* 303 */
    const char *cookie;   /* Set-Cookie, whole */
    const char *etag;     /* without quotes */
    const char *download; /* name to save under */
    unsigned retry_s;     /* Retry-After; 0: none */
    bool keep;            /* may be kept by the browser and asked for again by its etag */
    bool sealed;          /* a file of somebody's: no script, no style, no frame */
    bool events;          /* a stream of events from the hub */
};

void reply_json(struct reply *reply, const struct text *json);
void reply_html(struct reply *reply, const struct text *html);
/* {"error": sentence, "code": ...}, or a page for people without script. The code says which trouble it is,
 * where a status has several: doc/web.md lists them. */
void reply_refuse(const struct web_request *request, struct reply *reply, unsigned status,
                  const char *sentence);
void reply_refuse_as(const struct web_request *request, struct reply *reply, unsigned status,
                     const char *code, const char *sentence);
/* Status for an error: input 422, conflict 409, full disk 507, else 503. */
unsigned reply_status(const struct error *error);
/* A refusal with that status and the error's sentence; one that is busy says when to come again. */
void reply_error(const struct web_request *request, struct reply *reply, const struct error *error);
void reply_go_to(struct reply *reply, const char *location);

/* The value of our cookie, in the arena; NULL when there is none. */
const char *request_token(const struct web_request *request);
/* A request from the page's script, which wants JSON. */
bool request_is_api(const struct web_request *request);

#endif
