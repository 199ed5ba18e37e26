/* Connections before the HTTP library has them: each is let in once the head of its first request is there,
 * so one that says nothing costs no thread, and a head that cannot be read gets this server's own page. With
 * TLS every connection is let in at once: what it says can be read only by the library. */
#ifndef WEB_DOOR_H
#define WEB_DOOR_H

#include "base/str.h"
#include "crowd.h"
#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <sys/socket.h>

/* What becomes of a connection; called in the door's thread. */
struct door_use {
    void *context;
    /* Takes the descriptor over. */
    void (*let_in)(void *context, int fd, const struct sockaddr *address, socklen_t length);
    /* Sends the sentence to `fd`, which the door closes. */
    void (*refuse)(void *context, int fd, struct str head, unsigned status, const char *sentence);
    void (*woken)(void *context); /* somebody who listens has to give way */
    int64_t (*now_ms)(void *context);
};

struct waiting;
struct door {
    struct door_use use;
    struct crowd *crowd;
    bool tls;
    int listen_fd, epoll_fd;
    atomic_bool closing;
    struct waiting *waiting;
    char *seen; /* DOOR_HEAD_BYTES */
    pthread_t thread;
};
enum { DOOR_HEAD_BYTES = 64 << 10 /* a longer head is the library's to refuse */ };

/* Listens at the address and starts the door's thread. False: the port is taken, or not this user's to open. */
bool door_open(struct door *door, const struct sockaddr_storage *address);
void door_close(struct door *door);

/* The other side's address in numbers, "?" when it has none. */
void door_name(const struct sockaddr *address, char *words, size_t size);

#endif
