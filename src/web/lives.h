/* Jobs held open for the pages that look at them: a few, the longest unused gives way. Each is used by one
 * request at a time; opening one may take seconds, and the others are not kept waiting by it. */
#ifndef WEB_LIVES_H
#define WEB_LIVES_H

#include "floor/floor.h"
#include "run/live.h"
#include <pthread.h>

enum { LIVES_MOST = 3, LIVES_IDLE_MS = 3 * 60 * 1000, LIVES_WAIT_S = 20 };

struct live_slot {
    char job[FACT_NAME_MOST + 1];
    char fingerprint[17]; /* of its job.yaml when it was opened */
    int64_t last_fact;    /* on record before it was opened */
    int64_t used_ms;
    struct live *live; /* NULL: none open */
    bool busy;         /* lent, or being opened */
    bool outdated;     /* to be closed when it is given back */
};
struct lives {
    pthread_mutex_t mutex; /* over the slots; what a busy one holds is its borrower's */
    pthread_cond_t given_back;
    struct machine *machine;
    const struct cancel *cancel; /* ends what is being opened */
    struct live_slot slots[LIVES_MOST];
};

void lives_start(struct lives *lives, struct machine *machine, const struct cancel *cancel);
void lives_end(struct lives *lives);

/* Waits LIVES_WAIT_S at most for those who use it: FAILURE_BUSY. The job's slot, opened afresh when its file
 * or its facts changed; to be given back. With `as_it_is` one that is open is taken without looking, and
 * nothing is opened. NULL: not open (no error) or cannot be opened (error). */
struct live_slot *lives_take(struct lives *lives, struct floor *floor, const char *job, bool as_it_is,
                             struct error *error);
void lives_give_back(struct lives *lives, struct live_slot *slot);
void lives_close(struct lives *lives, const char *job); /* as soon as nobody uses it */
void lives_tidy(struct lives *lives);                   /* closes what nobody used for a while */

#endif
