/* The job folder as people write it: job.yaml, shop.yaml and vehicle.yaml (or the same as .json), read into
 * struct job and struct shop of model/job.h. doc/job-file.md is the reference for every key.
 *
 * One schema table drives reading, checking, the suggestions for mistyped keys and, by a test, the
 * reference. Nothing is refused at the first mistake: every mistake is put into the report with its file,
 * line and column, what is wrong and what would be right. */
#ifndef JOB_JOB_H
#define JOB_JOB_H

#include "base/error.h"
#include "base/machine.h"
#include "base/report.h"
#include "model/job.h"
#include <stdbool.h>
#include <stddef.h>

struct arena;

/* Limits on each file: what is beyond them is refused with a mistake that names the limit. */
enum {
    JOB_BYTES_MOST = 2 << 20, /* of one file */
    JOB_DEPTH_MOST = 32,      /* groups in groups */
    JOB_KEYS_MOST = 200,      /* keys of one group */
    JOB_ITEMS_MOST = 5000,    /* entries of one list */
    JOB_NODES_MOST = 200000,  /* values in one file */
};

/* Reads a job. `path` is a job folder (its job.yaml, else job.json) or a file whose name ends in .yaml, .yml
 * or .json.
 *
 * false: the job file could not be opened or read at all; `error` says why and `*job` is NULL.
 * true: it was read. Every mistake is in `report`; with report->errors > 0 the job must not be used for
 * work (exit status 2), and `*job` holds as much as could be understood, NULL when that is nothing. With
 * report->errors == 0, `*job` is complete: it has a shop, a condition, and at least one surface, each with a
 * size or a drawing. A shop or vehicle file that cannot be read is a mistake in the job file at the key
 * that names it.
 *
 * Everything in `*job` lives in `arena`. Files named in it are resolved against the file that names them but
 * not opened. Values that nobody wrote and that yet decide something come from model/practice.h and say
 * so by their origin. */
bool job_load(struct machine *machine, const char *path, struct arena *arena, struct report *report,
              struct job **job, struct error *error);

/* Makes a new job folder with a commented job.yaml and shop.yaml that job_load accepts without a mistake.
 * Refuses (FAILURE_INPUT) a folder that already has a job.yaml, job.json or shop.yaml. */
bool job_init(struct machine *machine, const char *folder, struct arena *arena, struct error *error);
/* The shop.yaml of job_init in a folder that has none; leaves one that is there. */
bool job_init_shop(struct machine *machine, const char *folder, struct arena *arena, struct error *error);

/* The shop file of a folder by itself. false: there is none. Mistakes go to the report; *shop is NULL when
 * nothing could be understood. */
bool job_load_shop(struct machine *machine, const char *folder, struct arena *arena, struct report *report,
                   struct shop **shop);

/* A time as the job file writes it: "2027-03-12T17:00", with or without +01:00 or Z. */
bool job_read_time(const char *text, struct civil_time *time);

/* The schema, for the reference's test and for a form on a page. One entry for each key of each group. */
struct job_key {
    const char *group; /* "job", "print", "surface", "feature", "film" ... */
    const char *name;  /* as written: "seam-trim" */
    const char *form;  /* what may be written: "a length", "a time", "one of pdf, tiff" */
    bool required;
    bool ranged;                /* least and most hold */
    double least, most;         /* in the program's units: mm, degrees C, seconds, percent ... */
    const char *range;          /* the same in words, NULL when not ranged */
    const char *usual;          /* what holds when it is left out, in words, or NULL */
    const char *const *choices; /* only these words may be written; ended by NULL; NULL: others too */
    const char *help;           /* one sentence */
};
/* The i-th key, its words in `arena`; false behind the last. */
bool job_key_at(size_t i, struct arena *arena, struct job_key *key);

#endif
