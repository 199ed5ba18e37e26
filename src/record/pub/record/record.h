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
/* NULL with `error` when it cannot be opened: not there (RECORD_READ, RECORD_WRITE), not a record, made by a
 * newer lapstrake, damaged. */
struct record *record_open(struct machine *machine, const char *folder, enum record_way way,
                           struct error *error);
void record_close(struct record *record);
bool record_exists(struct machine *machine, const char *folder);
/* Goes up with every fact, plan version, person: what a page compares. */
int64_t record_revision(struct record *record);

/* Puts facts on record, all or none; fills their numbers. A key that is there already records nothing and
 * gives that fact's number (same kind, job and panel; else FAILURE_INPUT). Checks lengths and UTF-8, not
 * gates: those are app's. */
bool record_add(struct record *record, struct fact *facts, size_t count, struct error *error);
/* A picture's bytes, in the record itself: named by its SHA-256 or the like, 64 hex digits. */
bool record_add_photo(struct record *record, struct str bytes, const char *kind, char name[65],
                      struct error *error);
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

/* A plan version, recorded when its fingerprint differs from the last; `plan_json` is the whole plan.json. */
bool record_plan(struct record *record, const struct job_terms *terms, struct str plan_json, const char *who,
                 struct error *error);
/* Latest terms of one job (false in *found when never planned), or of all. */
bool record_terms(struct record *record, const char *job, struct arena *arena, struct job_terms *terms,
                  bool *found, struct error *error);
bool record_all_terms(struct record *record, struct arena *arena, struct job_terms **terms, size_t *count,
                      struct error *error);
/* States from the derived table, one for each panel of `terms`. */
bool record_states(struct record *record, const struct job_terms *terms, struct arena *arena,
                   struct panel_state **states, struct error *error);

/* Stock as it is now. */
bool record_stock(struct record *record, struct arena *arena, struct stock_roll **rolls, size_t *count,
                  struct error *error);

/* ---- people: no part of the record ---- */
bool record_people(struct record *record, struct arena *arena, struct person **people, size_t *count,
                   struct error *error);
bool record_set_person(struct record *record, const struct person *person, struct error *error);
bool record_remove_person(struct record *record, const char *name, struct error *error);

/* ---- care ---- */
/* Reads everything: SQLite's own check, digests of all facts, derived tables against the facts. Mistakes go
 * to the report; false only when it could not be read. */
bool record_verify(struct record *record, struct report *report, size_t *facts, struct error *error);
bool record_rebuild(struct record *record, struct error *error);
/* A copy while others write; it has passed its own check when it appears under its name. */
bool record_backup(struct record *record, const char *path, struct error *error);

#endif
