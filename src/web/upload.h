/* Files coming in, piece by piece, in flat memory: bytes go to a temporary beside the file's later name, and
 * the file appears when all of it is there. A broken connection costs nothing: the page asks how much
 * arrived and goes on from there. Unfinished uploads end with the server, or when others need their place:
 * who holds the most gives way first. */
#ifndef WEB_UPLOAD_H
#define WEB_UPLOAD_H

#include "base/machine.h"
#include "request.h"
#include <pthread.h>

enum {
    UPLOADS_MOST = 32,
    UPLOADS_OF_ONE = 8,          /* sender: a person, or an address where nobody is set up */
    UPLOAD_PAUSE_MS = 15 * 1000, /* one for which nothing came so long gives way to another of its sender */
    UPLOAD_NAME_MOST = 80,
};
#define UPLOAD_BYTES_MOST ((int64_t)4 << 30)

struct upload {
    bool used, busy; /* busy: a request is sending */
    char id[20], key[FACT_NAME_MOST + 1], job[FACT_NAME_MOST + 1], sender[FACT_NAME_MOST + 1];
    char name[UPLOAD_NAME_MOST + 8]; /* below the job folder: "art/left.pdf" */
    int64_t bytes, received, touched_ms;
    struct out_file file;
};
struct uploads {
    pthread_mutex_t mutex;
    struct machine *machine;
    struct upload slots[UPLOADS_MOST];
};

void uploads_start(struct uploads *uploads, struct machine *machine);
void uploads_end(struct uploads *uploads); /* takes unfinished temporaries away */
/* What a kill left in a job's folder is taken away; what another server writes there just now stays. */
void uploads_sweep(struct machine *machine, const char *job_folder, struct arena *arena);

/* What a job's file may be called below its folder: a folder by its kind, other letters made plain, never
 * what is there or coming in already. NULL: not a kind that a job uses. Under the lock. */
const char *upload_name(const struct uploads *uploads, const char *job, const char *job_folder,
                        const char *name, struct arena *arena);

struct upload_order { /* a new upload into a job's folder */
    const char *sender, *job, *job_folder, *name, *key;
    int64_t bytes;
};
/* The same key finds the one begun before. The upload as it stands in *copy; false with `error`:
 * FAILURE_INPUT, FAILURE_FULL when the disk has no room for it, FAILURE_BUSY while others hold all places. */
bool upload_begin(struct uploads *uploads, const struct upload_order *order, struct arena *arena,
                  struct upload *copy, struct error *error);
/* Copies how far it is. */
bool upload_look(struct uploads *uploads, const char *id, struct upload *copy);

/* One request's bytes: take (refused with a status and a sentence when it is busy, unknown, another sender's,
 * or the offset is not where it stands), write each piece, give back. The last piece gives the file its name.
 */
struct upload *upload_take(struct uploads *uploads, const char *id, const char *sender, int64_t offset,
                           int64_t length, unsigned *status, const char **sentence);
bool upload_write(struct uploads *uploads, struct upload *upload, struct str bytes, struct error *error);
bool upload_give_back(struct uploads *uploads, struct upload *upload, bool *complete, struct error *error);

#endif
