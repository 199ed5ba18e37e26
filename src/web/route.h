/* Which address is answered by whom, and what it takes. */
#ifndef WEB_ROUTE_H
#define WEB_ROUTE_H

#include "views.h"

enum access { ACCESS_ANYONE, ACCESS_SIGNED_IN, ACCESS_SHOP };
enum body_kind { BODY_NONE, BODY_FORM, BODY_PICTURE, BODY_STREAM };

enum { BODY_FORM_MOST = 256 << 10 };

struct route {
    enum method method;
    const char *path; /* a star stands for one part: "/api/jobs/" star "/try" */
    enum access access;
    enum body_kind body;
    handler *handle;
};

/* NULL with *status 404, or 405 when only the method is wrong. HEAD is answered as GET. Fills `parts`. */
const struct route *route_find(enum method method, const char *path, struct arena *arena,
                               const char *parts[PARTS_MOST], unsigned *status);
/* Bytes that a route's body may have. */
int64_t route_body_most(const struct route *route);

#endif
