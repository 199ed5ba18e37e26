/* One exchange with a browser from its first byte to its last, as the HTTP library hands it over. The only
 * files that know the library are exchange.c and serve.c. */
#ifndef WEB_EXCHANGE_H
#define WEB_EXCHANGE_H

#include "route.h"
#include "server.h"

struct exchange {
    struct server *server;
    struct web_request request;
    struct reply reply;
    const struct route *route;
    struct text body;
    struct upload *upload; /* taken; given back at the end */
    int64_t began_ms;
    bool seen;    /* its headers were looked at */
    bool refused; /* what still comes in is thrown away */
    char uri[GUARD_PATH_MOST + 2048];
};

/* Checks shape, origin, rate, route, person and length; true: the body may come. Otherwise the reply says
 * why not. `two` says that a header that may stand once came twice. */
bool exchange_begin(struct exchange *exchange, const char *method, bool two);
/* Whether what still comes of a refused request is taken and thrown away: who sends before reading would not
 * see why it was refused. */
bool exchange_takes_rest(const struct exchange *exchange);
/* Takes a piece of the body; false: this exchange is over, close the connection. */
bool exchange_take(struct exchange *exchange, struct str piece);
/* All is there: answers. */
void exchange_answer(struct exchange *exchange);
/* The connection went away or the answer is sent. */
void exchange_end(struct exchange *exchange);

#endif
