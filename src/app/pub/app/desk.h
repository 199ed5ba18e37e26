/* The desk: making a job folder and changing what its job.yaml says, for the page. What a person wrote stays as
 * they wrote it (job/edit.h). */
#ifndef APP_DESK_H
#define APP_DESK_H

#include "base/arena.h"
#include "base/machine.h"
#include "base/report.h"
#include "base/text.h"
#include "model/job.h"
#include "model/plan.h"

/* Of the job.yaml in `folder`, 16 hex digits; goes with every change, so that two people do not undo each
 * other's. FAILURE_INPUT for a job.json. */
bool desk_fingerprint(struct machine *machine, const char *folder, struct arena *arena, char fingerprint[17],
                      struct error *error);

/* false: could not be done. With report->errors nothing was changed, with *conflict neither: someone else
 * changed the file since. `before` (may be NULL) is what the file said. */
bool desk_edit(struct machine *machine, const char *folder, const char *fingerprint,
               const struct job_change *changes, size_t count, struct arena *arena, struct report *report,
               char new_fingerprint[17], struct str *before, bool *conflict, struct error *error);
/* Puts an earlier text back, if the file is still the one of `fingerprint`. */
bool desk_put_back(struct machine *machine, const char *folder, const char *fingerprint, struct str text,
                   struct arena *arena, char new_fingerprint[17], bool *conflict, struct error *error);

/* A new job folder in `shop_folder`, named by the job's number (letters, digits, - _). A shop.yaml is made there
 * if there is none yet. */
bool desk_new_job(struct machine *machine, const char *shop_folder, const char *number, const char *title,
                  struct arena *arena, struct error *error);

/* Every key of the job file as JSON: {"keys": [{"group", "name", "form", ...}]}. */
void desk_keys_json(struct text *out);

/* What a job's file says, as JSON members of an open object: for forms. */
struct json;
void desk_job_json(struct json *json, const struct job *job);

/* The printing conditions of the shop in `shop_folder`, with what their profiles are, as JSON. */
bool desk_conditions_json(struct machine *machine, const char *shop_folder, struct arena *arena, struct text *out,
                          struct error *error);

/* Opening hours from the first step of a plan to its last (at most 400 spans), for a picture of time. */
struct open_span {
    int64_t open, close;
};
struct open_span *desk_hours(const struct plan *plan, struct arena *arena, size_t *count);

#endif
