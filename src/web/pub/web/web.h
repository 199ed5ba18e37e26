/* The page over the shop floor: HTTP in, the verbs of run and floor out. Computes nothing about jobs.
 *
 * One thread for each connection, a few megabytes of memory whatever is uploaded. Bound to this machine
 * (127.0.0.1) unless told otherwise; on any other address only with people set up (web_set_person), each
 * signed in. doc/network.md says in plain words what that means, doc/web.md what page and server say. */
#ifndef WEB_WEB_H
#define WEB_WEB_H

#include "base/error.h"
#include "base/machine.h"
#include <stdbool.h>
#include <stddef.h>

enum { WEB_PORT_USUAL = 8017, WEB_NAMES_MOST = 8 };

struct web_options {
    const char *folder;      /* that holds the job folders */
    const char *listen;      /* address, NULL: 127.0.0.1 */
    unsigned port;           /* 0: WEB_PORT_USUAL */
    const char *certificate; /* PEM files of the shop's own; both or none: TLS */
    const char *key;
    const char *const *names;                         /* other names by which browsers reach this machine */
    size_t name_count;                                /* at most WEB_NAMES_MOST */
    void (*started)(void *self, const char *address); /* told the address to open; may be NULL */
    void *self;
};

/* Serves until `cancel` is set. false when it could not start: address in use, no record, a network address
 * without people. */
bool web_serve(struct machine *machine, const struct web_options *options, const struct cancel *cancel,
               struct error *error);

/* Adds a person or gives them a new password and role ("shop" or "viewer"); checks name and password. */
bool web_set_person(struct machine *machine, const char *folder, const char *name, const char *role,
                    const char *password, struct error *error);
bool web_remove_person(struct machine *machine, const char *folder, const char *name, struct error *error);

#endif
