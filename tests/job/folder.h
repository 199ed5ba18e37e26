/* A job folder for one test: made in the machine's temporary folder, removed with all that is in it. */
#ifndef TEST_JOB_FOLDER_H
#define TEST_JOB_FOLDER_H

#include "base/arena.h"
#include "job/job.h"

struct folder {
    struct machine machine;
    struct arena *arena;
    const char *path;
    struct report report; /* of the last folder_load */
    struct job *job;
    struct error error;
};

void folder_new(struct folder *folder); /* filled in place: the arena points into it */
void folder_free(struct folder *folder);
void folder_write(struct folder *folder, const char *name, const char *text);
void folder_write_bytes(struct folder *folder, const char *name, const void *bytes, size_t length);
/* Reads the folder; false when the job file could not be read at all. */
bool folder_load(struct folder *folder);
/* The mistake (or remark) at that place whose text holds `words`, or NULL. line 0: at any line. */
const struct mistake *folder_mistake(const struct folder *folder, const char *file, int line,
                                     const char *words);
const char *folder_report(struct folder *folder);

/* A shop and a job of our own that hold nearly every key; the ground for mutations too. */
extern const char sample_shop[], sample_job[], sample_vehicle[];

#endif
