/* Who is connected, and who gives way when there are too many: never one whose request is being worked on,
 * first one that says nothing, and of whoever holds the most. So a few who only hold on cannot shut out the
 * others. */
#ifndef WEB_CROWD_H
#define WEB_CROWD_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { CROWD_MOST = 240, CROWD_OF_ONE = 120, CROWD_HEADERS_MS = 30 * 1000 };

/* In the order in which they give way. */
enum phase { PHASE_WAITING, PHASE_RECEIVING, PHASE_LISTENING, PHASE_SENDING, PHASE_WORKING };

struct member {
    int fd;
    char address[48];
    enum phase phase;
    int64_t since_ms; /* in this phase */
    bool leaving;     /* shut down, not yet gone */
    struct member *next, **place;
};
struct crowd {
    pthread_mutex_t mutex;
    struct member *members;
};

void crowd_start(struct crowd *crowd);
void crowd_end(struct crowd *crowd);
/* A new connection; somebody gives way to it where there are CROWD_OF_ONE of its address, or CROWD_MOST in
 * all. *listens: that one was at PHASE_LISTENING, and is to be woken. NULL: no memory. */
struct member *crowd_join(struct crowd *crowd, int fd, const char *address, int64_t now_ms, bool *listens);
void crowd_leave(struct crowd *crowd, struct member *member); /* frees; NULL is allowed */
void crowd_set(struct crowd *crowd, struct member *member, enum phase phase, int64_t now_ms);
/* Shuts down connections that take longer than CROWD_HEADERS_MS over their headers or their handshake. */
void crowd_close_slow(struct crowd *crowd, int64_t now_ms);

#endif
