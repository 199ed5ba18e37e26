/* Long work in the background, one piece at a time, each in a child of its own (this binary started again):
 * whatever a job does to it, the server stays, and stopping is ending the child. Files appear whole or not at
 * all, so that is safe at any moment. */
#ifndef WEB_WORK_H
#define WEB_WORK_H

#include "base/machine.h"
#include "hub.h"
#include "model/record.h"
#include <pthread.h>

enum { WORK_QUEUE = 64, WORK_WORDS = 200, WORK_TROUBLES = 16, WORK_PUT_OFF_MS = 10 * 1000 };
enum work_kind { WORK_PLAN, WORK_MAKE, WORK_MAKE_ANYWAY, WORK_REPRINT, WORK_QUOTE, WORK_PROOF };

struct work_again {                     /* WORK_REPRINT: one panel printed again */
    char panel[2 * FACT_NAME_MOST + 2]; /* SURFACE/PANEL */
    char reason[WORK_WORDS + 1], who[FACT_NAME_MOST + 1];
    bool anyway, patches;
};

struct background_work {
    enum work_kind kind;
    unsigned vehicles; /* of a quote; 0: as the job says */
    char job[FACT_NAME_MOST + 1];
    char folder[4096];
    struct work_again again;
    int64_t not_before_ms; /* lets several changes in a row become one plan, */
    int64_t at_latest_ms;  /* but does not put it off for ever */
    char words[WORK_WORDS];
    double fraction;
};
struct work_trouble { /* how the last work on a job ended, when not well */
    char job[FACT_NAME_MOST + 1], words[WORK_WORDS];
};
struct works {
    pthread_mutex_t mutex;
    pthread_cond_t changed;
    pthread_t thread;
    struct machine *machine;
    struct hub *hub;
    void (*ended)(void *self, const char *job); /* told when work on a job is over, before the pages are */
    void *self;
    struct background_work queue[WORK_QUEUE]; /* [0] is the one at work while at_work */
    size_t count;
    struct work_trouble troubles[WORK_TROUBLES]; /* a ring */
    size_t next_trouble;
    int pid;                        /* of the one at work; 0: not started yet, or over */
    bool closing, at_work, stopped; /* stopped: the one at work is to end */
};

bool works_start(struct works *works, struct machine *machine, struct hub *hub,
                 void (*ended)(void *self, const char *job), void *self, struct error *error);
void works_end(struct works *works); /* ends the child and the thread */

/* false: the queue is full. Planning that waits already is not put there twice. `wait_ms`: how long to wait
 * for more changes first; more of them put it off by WORK_PUT_OFF_MS at most. */
bool works_put(struct works *works, enum work_kind kind, const char *job, const char *folder,
               int64_t wait_ms);
/* A panel printed again; another panel of the job that waits already is not put off by it. */
bool works_put_again(struct works *works, const char *job, const char *folder,
                     const struct work_again *again);
/* A quote for so many vehicles; 0: as the job says. */
bool works_put_quote(struct works *works, const char *job, const char *folder, unsigned vehicles);
void works_stop(struct works *works, const char *job); /* what waits and what runs */

/* Whether the last work on a job failed or was stopped, and nobody asked for more since; copied. */
bool works_failed(struct works *works, const char *job, char words[WORK_WORDS]);
/* What the page calls it: "planning", "making", "quoting". */
const char *work_name(enum work_kind kind);
/* Whether work on a job waits or runs, copied. */
bool works_look(struct works *works, const char *job, struct background_work *copy);

#endif
