/* What lives as long as the server, and who may use it. */
#ifndef WEB_SERVER_H
#define WEB_SERVER_H

#include "floor/floor.h"
#include "guard.h"
#include "hub.h"
#include "lives.h"
#include "rate.h"
#include "session.h"
#include "undo.h"
#include "upload.h"
#include "web/web.h"
#include "work.h"

struct server {
    struct machine *machine;
    const struct web_options *options;
    struct arena *arena;
    struct floor *floor;
    struct guard guard;
    bool loopback; /* bound to this machine only */
    struct rates rates;
    struct sessions sessions;
    struct hub hub;
    struct works works;
    struct uploads uploads;
    struct lives lives;
    struct undos undos;
    struct rates photographs; /* that one sender may send */
    pthread_mutex_t picture;  /* one photograph is worked on at a time */
    uint64_t sessions_kept;   /* changes of the sessions that are on the disk */
    pthread_mutex_t changing; /* one change of job files or people at a time: read, judge, write */
};

int64_t server_seconds(const struct server *server); /* since 1970 */
/* Who sends: the person; where nobody is set up, the address. For what one may send at most. */
const char *server_sender(const struct web_request *request);
/* The sessions that are on the disk, when the server starts. */
void server_read_sessions(struct server *server);
/* The sessions go to the disk when they changed. A disk that is full costs no more than signing in again. */
void server_keep_sessions(struct server *server);
/* What a kill left of files that were coming in is taken away. */
void server_sweep(struct server *server);
/* Who a token belongs to now. false: the record cannot be read. */
bool server_find_visitor(struct server *server, const char *token, struct arena *arena,
                         struct visitor *visitor, struct error *error);
/* News of a job (NULL: of the shop) for every open page. */
void server_say_changed(struct server *server, const char *job);
/* An address that others reach needs people who sign in. */
bool server_may_listen(struct server *server, const char *listen, struct error *error);
/* Tells whoever started the server where it is. */
void server_started(struct server *server, const char *listen);

#endif
