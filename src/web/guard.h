/* What no handler needs to think about: whether a request has the right shape, comes to the right name and
 * from this server's own pages. Pure. */
#ifndef WEB_GUARD_H
#define WEB_GUARD_H

#include "request.h"

enum { GUARD_PATH_MOST = 1024 };

struct guard {
    bool tls;
    const char *machine_name; /* of this machine; also reached as NAME.local */
    const char *const *names; /* more names that are right */
    size_t name_count;
};

/* 0 when the request may go on; else the HTTP status, and the sentence for it.
 *
 * A numeric host is always right: a page of someone else's can make a browser come here under a name of
 * theirs (DNS rebinding), never under a number. Requests that change something must come from a page of this
 * very origin: by the Origin header, or by a header that no foreign page may add. */
unsigned guard_check(const struct guard *guard, const struct web_request *request, const char **sentence);

bool guard_method(const char *name, enum method *method);

#endif
