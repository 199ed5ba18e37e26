/* The desk: making a job folder, changing what its job.yaml says, and what a person needs to see for that:
 * the shop's printing conditions, its opening hours. For the page. What a person wrote stays as they wrote it
 * (job/edit.h). */
#ifndef RUN_DESK_H
#define RUN_DESK_H

#include "base/arena.h"
#include "base/machine.h"
#include "base/report.h"
#include "base/str.h"
#include "model/finding.h"
#include "model/job.h"
#include "model/plan.h"

/* Of the job.yaml in `folder`, 16 hex digits; goes with every change, so that two people do not undo each
 * other's. FAILURE_INPUT for a job.json. */
bool desk_fingerprint(struct machine *machine, const char *folder, struct arena *arena, char fingerprint[17],
                      struct error *error);

/* Applies an edit (job/edit.h) and saves the file. False: nothing was changed, and `error` says why. With
 * edited->conflict someone else changed the file since; with report->errors the edit would make mistakes that
 * the job does not have now. */
bool desk_edit(struct machine *machine, const char *folder, const struct job_edit *edit, struct arena *arena,
               struct report *report, struct job_edited *edited, struct error *error);
/* Keeps the table of a fleet beside the job (job/edit.h); the rest as desk_edit. */
bool desk_keep_fleet(struct machine *machine, const char *folder, const char *fingerprint, struct str table,
                     struct arena *arena, struct report *report, struct job_edited *edited,
                     struct error *error);
/* Puts an earlier text back, if the file is still the one of `fingerprint`. */
bool desk_put_back(struct machine *machine, const char *folder, const char *fingerprint, struct str text,
                   struct arena *arena, struct job_edited *edited, struct error *error);

/* A new job folder in `shop_folder`, named by the job's number (letters, digits, - _). A shop.yaml is made
 * there if there is none yet. */
bool desk_new_job(struct machine *machine, const char *shop_folder, const char *number, const char *title,
                  struct arena *arena, struct error *error);

/* A job file as it is written, its bytes, with its fingerprint. */
bool desk_written(struct machine *machine, const char *folder, struct arena *arena, char fingerprint[17],
                  struct str *yaml, struct error *error);

/* The shop in `shop_folder` as far as its file could be understood, in the arena; NULL without one. */
const struct shop *desk_shop(struct machine *machine, const char *shop_folder, struct arena *arena);

/* A printing condition with what its profile is. */
struct shop_condition {
    const struct condition *condition;
    const char *profile;             /* in words; NULL: none, or it cannot be used, as a finding says */
    const char *profile_fingerprint; /* 32 hex digits; NULL likewise */
    struct findings findings;
};
struct shop_conditions {
    const char *trouble; /* the shop file's first mistake, or that there is none; NULL: neither */
    struct shop_condition *items;
    size_t count;
};
/* Of the shop in `shop_folder`, in the arena. False with `error` when a profile cannot be read. */
bool desk_conditions(struct machine *machine, const char *shop_folder, struct arena *arena,
                     struct shop_conditions *conditions, struct error *error);

/* Opening hours from the first step of a plan to its last (at most 400 spans), for a picture of time. */
struct open_span {
    int64_t open, close; /* UTC seconds */
};
/* In the arena, in the order of time, *count of them; none for a plan without steps. */
struct open_span *desk_hours(const struct plan *plan, struct arena *arena, size_t *count);

#endif
