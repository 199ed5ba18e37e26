/* The production record: one SQLite file, `record.sqlite`, in the folder that holds the job folders.
 *
 * Facts are only ever added, each in one transaction that is on the disk before record_add returns. Each
 * carries a digest over itself and the one before, so that a changed or missing one is found. Everything
 * else in the file (states of panels, stock) is derived and can be rebuilt; people and their sessions are
 * kept apart and are no part of the record.
 *
 * A handle may be used from several threads: writers take turns, readers do not wait for them. Strings that
 * come out live in the arena given. */
#ifndef RECORD_RECORD_H
#define RECORD_RECORD_H

#include "base/arena.h"
#include "base/machine.h"
#include "model/record.h"

struct record;

enum record_way { RECORD_READ, RECORD_WRITE, RECORD_CREATE };
/* `folder` holds the record, or is the path of a copy whose name ends in .sqlite. NULL with `error` when it
 * cannot be opened: not there (RECORD_READ, RECORD_WRITE), not a record, made by a newer lapstrake, damaged.
 */
struct record *record_open(struct machine *machine, const char *folder, enum record_way way,
                           struct error *error);
void record_close(struct record *record);
bool record_exists(struct machine *machine, const char *folder);
/* Goes up with every fact, plan version, person: what a page compares. */
int64_t record_revision(struct record *record);

/* Puts facts on record, all or none; fills their numbers and times of recording. A key that is there already
 * records nothing and gives that fact's number when its content is the same (fact_same_content), else
 * FAILURE_CONFLICT. Checks
 * lengths, ranges, UTF-8 and what a fact refers to (roll, photograph, the fact withdrawn), not gates: those
 * are floor's. A roll taken in without a name is called R1, R2 ...; a withdrawal takes job and panel of what it
 * withdraws; one fact is withdrawn once. FACT_PLANNED comes from record_plan alone.
 *
 * With a guard: if nothing was put on record about its job since fact `last` (0: never), so that what was judged before
 * still holds. Else nothing is recorded, *stale is true and so is the result: judge again. */
struct fact_guard {
    const char *job;
    int64_t last;
};
bool record_add(struct record *record, struct fact *facts, size_t count, const struct fact_guard *guard,
                bool *stale, struct error *error);
bool record_last_fact(struct record *record, const char *job, int64_t *number, struct error *error);
/* Whether these facts, sent as one with that key, are on record already, all of them; then their numbers are
 * filled. FAILURE_CONFLICT when the key is that of other facts, or of more or fewer. */
bool record_find_sent(struct record *record, const char *key, struct fact *facts, size_t count, bool *known,
                      struct error *error);
/* A picture's bytes, in the record itself: named by their SHA-256, 64 hex digits. `kind` is "image/jpeg" or
 * "image/png" and must be what the bytes begin with. The same bytes twice are kept once. */
bool record_add_photo(struct record *record, struct str bytes, const char *kind, char name[65],
                      struct error *error);
/* Bytes of all photographs together. */
bool record_photo_bytes(struct record *record, int64_t *bytes, struct error *error);
bool record_get_photo(struct record *record, const char *name, struct arena *arena, struct str *bytes,
                      const char **kind, struct error *error);

/* Facts oldest first. `job` NULL: of all; `panel` NULL: all of the job; after: numbers above this. */
struct fact_query {
    const char *job, *panel;
    int64_t after;
    size_t most; /* 0: no limit */
};
bool record_facts(struct record *record, const struct fact_query *query, struct arena *arena,
                  struct fact **facts, size_t *count, struct error *error);

/* A plan version, recorded (as a fact of its own) when its fingerprint differs from the last; `plan_json` is
 * the whole plan.json. The record counts the versions of a job itself. */
bool record_plan(struct record *record, const struct job_terms *terms, struct str plan_json, const char *who,
                 struct error *error);
/* Latest terms of one job (false in *found when never planned), or of all. */
bool record_terms(struct record *record, const char *job, struct arena *arena, struct job_terms *terms,
                  bool *found, struct error *error);
/* The findings that the latest version's plan.json has. */
struct planned_finding {
    const char *code, *where, *place; /* place: finding_place; NULL: the version is older than that */
    double figure;                    /* NAN: none */
};
bool record_findings(struct record *record, const char *job, struct arena *arena,
                     struct planned_finding **findings, size_t *count, struct error *error);
/* The panel's print across the film as the latest version's plan.json has it; NAN when it has no such panel.
 */
bool record_print_width(struct record *record, const char *job, const char *panel, double *width_mm,
                        struct error *error);
/* What the panel's print is made with by the latest version's plan.json: feed_condition and feed; NULL and NAN
 * when it does not say, as versions of old do not. */
bool record_print_feed(struct record *record, const char *job, const char *panel, struct arena *arena,
                       const char **printed_with, double *feed_percent, struct error *error);
/* The feed on record for a printer, film and mode (feed_condition): what `job` printed with last, else the
 * newest that was measured, of any job. percent 0: none. Withdrawn entries do not count. */
bool record_feed(struct record *record, const char *job, const char *printed_with, struct arena *arena,
                 struct feed_recorded *feed, struct error *error);
/* The version that was the last one before fact `before` was recorded. */
bool record_terms_at(struct record *record, const char *job, int64_t before, struct arena *arena,
                     struct job_terms *terms, bool *found, struct error *error);
bool record_all_terms(struct record *record, struct arena *arena, struct job_terms **terms, size_t *count,
                      struct error *error);
/* Number of the fact of the last plan version of any job, 0: none. Goes up when a terms cache is out of date.
 */
bool record_last_plan(struct record *record, int64_t *number, struct error *error);
/* States from the derived table, one for each panel of `terms`. */
bool record_states(struct record *record, const struct job_terms *terms, struct arena *arena,
                   struct panel_state **states, struct error *error);

/* States of all jobs that changed with facts after that number, by job and panel: what a page that keeps the
 * rest has to read again. */
struct recorded_state {
    const char *job;
    struct panel_state state;
    int64_t fact; /* the last that changed it */
};
bool record_states_since(struct record *record, int64_t after, struct arena *arena,
                         struct recorded_state **states, size_t *count, struct error *error);

/* Stock as it is now. */
bool record_stock(struct record *record, struct arena *arena, struct stock_roll **rolls, size_t *count,
                  struct error *error);

/* What the plan of used->job takes and what was used (model/used.h): lines, title, when the plan was made, and
 * whether all of it was printed. The plan is the version that it was printed by, the last before its first print;
 * not printed, the newest. What was used is the sum of its entries `used`; where there is none, the film and
 * laminate of its prints, spoilt ones too, as long as planned. */
struct used_job;
bool record_amounts(struct record *record, struct arena *arena, struct used_job *job, struct error *error);

/* ---- people: no part of the record ---- */
bool record_people(struct record *record, struct arena *arena, struct person **people, size_t *count,
                   struct error *error);
bool record_set_person(struct record *record, const struct person *person, struct error *error);
bool record_remove_person(struct record *record, const char *name, struct error *error);

/* ---- care ---- */
/* Reads everything: SQLite's own check, tables and triggers, the chain of digests of all facts, plan versions
 * and photographs against theirs, derived tables against the facts. Mistakes go to the report; false only
 * when it could not be read. `facts` (may be NULL): how many there are. */
bool record_verify(struct record *record, struct report *report, size_t *facts, struct error *error);
/* Works out the derived tables again. */
bool record_rebuild(struct record *record, struct error *error);
/* A copy while others write; it has passed its own check when it appears under its name. */
bool record_backup(struct record *record, const char *path, struct error *error);

#endif
