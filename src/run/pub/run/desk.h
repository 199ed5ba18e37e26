/* The desk: making a job folder and changing what its job.yaml says, for the page. What a person wrote stays
 * as they wrote it (job/edit.h). */
#ifndef RUN_DESK_H
#define RUN_DESK_H

#include "run/run.h"
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

/* Applies an edit (job/edit.h) and saves the file. False: nothing was changed, and `error` says why. With
 * edited->conflict someone else changed the file since; with report->errors the edit would make mistakes that
 * the job does not have now. */
bool desk_edit(struct machine *machine, const char *folder, const struct job_edit *edit, struct arena *arena,
               struct report *report, struct job_edited *edited, struct error *error);
/* Puts an earlier text back, if the file is still the one of `fingerprint`. */
bool desk_put_back(struct machine *machine, const char *folder, const char *fingerprint, struct str text,
                   struct arena *arena, struct job_edited *edited, struct error *error);

/* A new job folder in `shop_folder`, named by the job's number (letters, digits, - _). A shop.yaml is made
 * there if there is none yet. */
bool desk_new_job(struct machine *machine, const char *shop_folder, const char *number, const char *title,
                  struct arena *arena, struct error *error);

/* Every key of the job file as JSON: {"keys": [{"group", "name", "form", ...}]}. */
void desk_keys_json(struct text *out);

/* A job file as it is written: {"fingerprint", "tree"}. */
bool desk_written_json(struct machine *machine, const char *folder, struct arena *arena, struct text *out,
                       struct error *error);

struct json;
/* The surfaces of an opened job, planned or not, as "surfaces": outline, artwork's preview, features with the
 * path that leads to them in job.yaml. */
void desk_surfaces_json(struct json *json, const struct run *run);
/* "films", "laminates" and "inks" of the shop in `shop_folder`, by name; empty lists without a shop. */
void desk_goods_json(struct machine *machine, const char *shop_folder, struct json *json);

/* The printing conditions of the shop in `shop_folder`, with what their profiles are, as JSON. "trouble" is
 * the shop file's first mistake, or that there is none. False with `error` when a profile cannot be read. */
bool desk_conditions_json(struct machine *machine, const char *shop_folder, struct arena *arena,
                          struct text *out, struct error *error);

/* Opening hours from the first step of a plan to its last (at most 400 spans), for a picture of time. */
struct open_span {
    int64_t open, close; /* UTC seconds */
};
/* In the arena, in the order of time, *count of them; none for a plan without steps. */
struct open_span *desk_hours(const struct plan *plan, struct arena *arena, size_t *count);

#endif
