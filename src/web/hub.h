/* News for every open page: a ring of the last messages, and threads that wait for the next one. */
#ifndef WEB_HUB_H
#define WEB_HUB_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { HUB_MESSAGES = 128, HUB_BYTES = 512, HUB_BEAT_S = 15 };

struct hub {
    pthread_mutex_t mutex;
    pthread_cond_t changed;
    bool closing;
    uint64_t wakes;                         /* goes up with hub_wake */
    uint64_t next;                          /* number of the next message, from 1 */
    char messages[HUB_MESSAGES][HUB_BYTES]; /* "event: ...\ndata: ...\n\n", by number modulo HUB_MESSAGES */
};

void hub_start(struct hub *hub);
void hub_close(struct hub *hub); /* wakes everyone who waits; they get nothing more */
void hub_end(struct hub *hub);

/* `data` is one line of JSON, with or without its end; a message that is too long is dropped and the page
 * reads the view again. */
void hub_say(struct hub *hub, const char *event, const char *data);
/* Everyone who waits gets a comment line now: whose connection is gone notices. */
void hub_wake(struct hub *hub);
uint64_t hub_newest(struct hub *hub);
/* The next message after *seen into `out`, waiting up to HUB_BEAT_S for it; then *seen is its number. A
 * listener that fell behind the ring is told to read everything again. Returns its length; a comment line
 * when nothing came (so that a dead connection is noticed); 0 when the hub closes. */
size_t hub_wait(struct hub *hub, uint64_t *seen, char out[HUB_BYTES]);

#endif
