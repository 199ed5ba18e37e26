/* The last texts of job files that the page changed, so that a person can go back. Kept while the server
 * runs; the file itself is changed by run and job only. */
#ifndef WEB_UNDO_H
#define WEB_UNDO_H

#include "base/machine.h"
#include <pthread.h>

enum { UNDO_STEPS = 64 };

struct undo_step {
    char path[4096], after[17]; /* after: fingerprint of what the change made of it */
    char *text;                 /* on the heap; NULL: free */
    size_t length;
};
struct undos {
    pthread_mutex_t mutex;
    struct undo_step steps[UNDO_STEPS]; /* a ring, over all jobs */
    size_t next;
};

void undos_start(struct undos *undos);
void undos_end(struct undos *undos);
/* Remembers what a file said before a change; `after` is its fingerprint since. */
void undo_keep(struct undos *undos, const char *path, struct str text, const char *after);
/* The newest text of that file, taken off the ring, copied into the arena; false: there is none, or the file,
 * whose fingerprint is `now`, was changed elsewhere since: going back would lose that. */
bool undo_take(struct undos *undos, const char *path, const char *now, struct arena *arena, struct str *text);

#endif
