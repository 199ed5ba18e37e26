/* Files coming in, piece by piece, in flat memory: bytes go to a temporary beside the file's later name, and
 * the file appears when all of it is there. A broken connection costs nothing: the page asks how much
 * arrived and goes on from there. Unfinished uploads end with the server, or when others need their place. */
#ifndef WEB_UPLOAD_H
#define WEB_UPLOAD_H

#include "base/machine.h"
#include "request.h"
#include <pthread.h>

enum { UPLOADS_MOST = 16, UPLOAD_RESTS_MS = 10 * 60 * 1000, UPLOAD_NAME_MOST = 80 };
#define UPLOAD_BYTES_MOST ((int64_t)4 << 30)

struct upload {
    bool used, busy; /* busy: a request is sending */
    char id[20], key[FACT_NAME_MOST + 1], job[FACT_NAME_MOST + 1];
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

/* What a job's file may be called below its folder: a folder by its kind, other letters made plain, never
 * what is there or coming in already. NULL: not a kind that a job uses. Under the lock. */
const char *upload_name(const struct uploads *uploads, const char *job, const char *job_folder,
                        const char *name, struct arena *arena);

/* `name`, `bytes` and `key` of a new upload into a job's folder; the same key finds the one begun before.
 * NULL with `error`. Borrowed. */
struct upload *upload_begin(struct uploads *uploads, const char *job, const char *job_folder,
                            const char *name, int64_t bytes, const char *key, struct arena *arena,
                            struct error *error);
/* Copies how far it is. */
bool upload_look(struct uploads *uploads, const char *id, struct upload *copy);

/* One request's bytes: take (refused with a status and a sentence when it is busy, unknown, or the offset is
 * not where it stands), write each piece, give back. The last piece gives the file its name. */
struct upload *upload_take(struct uploads *uploads, const char *id, int64_t offset, int64_t length,
                           unsigned *status, const char **sentence);
bool upload_write(struct uploads *uploads, struct upload *upload, struct str bytes, struct error *error);
bool upload_give_back(struct uploads *uploads, struct upload *upload, bool *complete, struct error *error);

#endif
