/* The shop floor: every job of a folder, what can be done now, and putting on record what was done. The skins
 * (cli, web) show these structs and compute nothing.
 *
 * The folder holds job folders (each with a job.yaml), perhaps a shop.yaml that they share, and
 * record.sqlite. A job is known by its number; its folder is found by listing, never from what a client
 * sends. Safe to use from several threads, each with its own arena. */
#ifndef FLOOR_FLOOR_H
#define FLOOR_FLOOR_H

#include "base/arena.h"
#include "base/machine.h"
#include "base/report.h"
#include "base/text.h"
#include "model/record.h"
#include "model/roll_layout.h"

struct run;
struct run_options;
struct floor; /* folder, record, zone, list of job folders (renewed when the folder changes) */

/* `writes`: facts may be put on record; the record is made when there is none. Without it a folder where
 * nothing is on record yet is read as that. */
bool floor_open(struct machine *machine, const char *folder, bool writes, struct floor **floor,
                struct error *error);
void floor_close(struct floor *floor);
/* The floor that `path` belongs to: the folder of the jobs itself, or a job folder or job.yaml in it; then
 * *number is that job's, in the arena, else NULL. A job whose number leads to another folder is refused. */
bool floor_open_at(struct machine *machine, const char *path, bool writes, struct arena *arena,
                   struct floor **floor, const char **number, struct error *error);
/* "2027-03-04T10:40" in the shop's zone, or with an offset of its own. */
bool floor_read_time(const struct floor *floor, const char *text, int64_t *at, struct error *error);
const struct zone *floor_zone(const struct floor *floor);
/* Whether people read lengths of that job in inches, as its files were when they were last looked at; NULL: of the
 * whole shop, as one of its shop files says. */
bool floor_inches(struct floor *floor, const char *number);
int64_t floor_revision(struct floor *floor); /* of record and job list together */

/* The folder of a job by number (case does not matter); NULL when there is none. */
const char *floor_job_folder(struct floor *floor, const char *number, struct arena *arena);
/* The number as the job itself spells it, in the arena. NULL with FAILURE_INPUT when there is no such job. */
const char *floor_number(struct floor *floor, const char *number, struct arena *arena, struct error *error);
/* false: a job has that number, or had it: what is on record would count for the new one's panels. */
bool floor_number_is_free(struct floor *floor, const char *number, struct error *error);

enum stage {
    STAGE_UNPLANNED,
    STAGE_BROKEN,
    STAGE_PRINT,
    STAGE_DRY,
    STAGE_LAMINATE,
    STAGE_BOND,
    STAGE_INSTALL,
    STAGE_DONE
};
const char *stage_words(enum stage stage); /* "drying" */

struct floor_job {
    const char *number, *title, *vehicle, *folder_name;
    enum stage stage; /* of the piece that is furthest behind */
    size_t panels, installed;
    bool has_install, has_due;
    bool late; /* expected is after due (plan/promise.h); never without a due date, or when all is done */
    int64_t late_s, expected; /* expected: when it is finished, as things stand; 0: no date can be given */
    int64_t earliest_install, due;
    size_t stops, warnings, notes;
    const char *trouble; /* STAGE_BROKEN: what is wrong with its files */
};
struct floor_step { /* pieces of one job and surface with the same next step, together */
    const char *job, *title, *surface;
    const char **panels;
    size_t panel_count;
    enum fact_kind kind;
    int64_t from, needed; /* see struct next_step */
    bool late;            /* done from now on, it makes the vehicle late */
    struct reason why;
};
struct floor_view {
    int64_t now;
    struct floor_job *jobs;
    size_t job_count;
    struct floor_step *ready; /* can be done now: late ones first, then by `needed` */
    size_t ready_count;
    struct floor_step *next; /* what becomes ready, soonest first */
    size_t next_count;
};
bool floor_view(struct floor *floor, int64_t now, struct arena *arena, struct floor_view *view,
                struct error *error);

struct floor_panel { /* one panel of a job with all that its page shows */
    struct panel_terms terms;
    struct panel_state state;
    struct next_step next;
    bool late;                  /* the next step, done from now on, makes the vehicle late */
    struct length_check length; /* when measured */
    struct fact *facts;         /* its own, newest first */
    size_t fact_count;
};
/* A job's latest plan on record with the state of each panel. */
struct planned_job {
    bool planned; /* false: never, and nothing else is here */
    struct job_terms terms;
    struct floor_panel *panels; /* terms.panel_count */
};
bool floor_job(struct floor *floor, const char *number, int64_t now, struct arena *arena,
               struct planned_job *job, struct error *error);

/* Puts one fact on record for each of `panels` (none: for the job), all or none. Gates first: if one is shut
 * and there is no override that opens it, nothing is recorded, answer->gate says why and the result is true
 * with answer->count == 0. An override where the gate is open is left out. With several panels the key of the
 * i-th is KEY-i, from 1; the same sent again gives the same facts whatever the gates say by then. */
struct floor_answer {
    struct gate gate;
    const char *gate_panel; /* whose gate */
    int64_t first, count;   /* numbers of the facts; count 0: nothing was recorded */
    const char *roll;       /* FACT_ROLL_IN: the roll's name, "R13" */
};
bool floor_put(struct floor *floor, const struct fact *fact, const char *const *panels, size_t panel_count,
               struct arena *arena, struct floor_answer *answer, struct error *error);

/* Plans a job again (maps from its cache), with what is on record in place of estimates, and moves what OUT
 * has of another plan aside. True: `run` has the plan and is to be closed (run/run.h); its folder's name is in
 * the arena. Long; progress and cancel as in run/run.h. */
bool floor_plan(struct floor *floor, const char *number, const struct run_options *options,
                struct arena *arena, struct run *run, struct error *error);
/* Records the version that floor_plan made, when it changed. `json` is its plan.json, kept with it; the
 * version's fingerprint is that of these bytes. */
bool floor_keep_plan(struct floor *floor, const struct run *run, struct str json, struct error *error);

/* The prints of one or several jobs on the shop's rolls (doc/rolls.md). Each job is planned, with what is on record
 * in place of estimates; the stock is that of the first job's folder, all of it new where nothing is on record. */
enum { ROLL_JOBS_MOST = 24 };
struct floor_rolls_options {
    const char *const *jobs; /* job folders or job.yaml, each once; 1 .. ROLL_JOBS_MOST */
    size_t job_count;
    size_t vehicles; /* of each job; 0: as it says itself */
    int seconds;     /* the longest that is looked for places; the tries usually end before */
    uint64_t seed;
    const struct run_options *run; /* out: where results go; NULL: the first job's OUT */
};
struct floor_rolls {
    struct machine *machine;
    struct arena *arena;
    struct run *runs; /* planned */
    size_t run_count;
    const char *out;
    struct roll_layout layout;
};
/* `rolls` is to be closed whatever this returns. Mistakes in a job's files: FAILURE_INPUT. */
bool floor_lay_rolls(struct machine *machine, const struct floor_rolls_options *options,
                     struct floor_rolls *rolls, struct error *error);
/* OUT/rolls.json and pictures. */
bool floor_write_rolls(struct floor_rolls *rolls, struct str json, struct error *error);
/* Neither the layout nor a plan has a stop. */
bool floor_rolls_may_print(const struct floor_rolls *rolls);
void floor_close_rolls(struct floor_rolls *rolls);

/* What the record has, passed on: see record/record.h for what each promises. */
bool floor_facts(struct floor *floor, const char *job, const char *panel, struct arena *arena,
                 struct fact **facts, size_t *count, struct error *error);
/* The number of a job's newest fact, 0: none. */
bool floor_last_fact(struct floor *floor, const char *job, int64_t *number, struct error *error);
/* A JPEG or PNG, which is kept as raster/photograph.h makes it; `name` is that of what is kept. All
 * photographs together have at most FLOOR_PHOTO_BYTES: FAILURE_FULL, as when the disk has no room. */
#define FLOOR_PHOTO_BYTES (INT64_C(4) << 30)
bool floor_add_photo(struct floor *floor, struct str bytes, char name[65], struct error *error);
/* A photograph small, for lists: a JPEG. */
bool floor_get_small_photo(struct floor *floor, const char *name, struct arena *arena, struct str *bytes,
                           struct error *error);
bool floor_get_photo(struct floor *floor, const char *name, struct arena *arena, struct str *bytes,
                     const char **kind, struct error *error);
bool floor_stock(struct floor *floor, struct arena *arena, struct stock_roll **rolls, size_t *count,
                 struct error *error);
bool floor_people(struct floor *floor, struct arena *arena, struct person **people, size_t *count,
                  struct error *error);
bool floor_set_person(struct floor *floor, const struct person *person, struct error *error);
bool floor_remove_person(struct floor *floor, const char *name, struct error *error);

/* The final report: JOB/out/report.pdf. */
bool floor_report(struct floor *floor, const char *number, int64_t date, struct arena *arena,
                  const char **path, struct error *error);

/* ---- care of the record, see record/record.h ---- */
/* `path`: the folder of the jobs, a job folder, or a copy whose name ends in .sqlite. */
bool floor_verify(struct machine *machine, const char *path, struct report *report, size_t *facts,
                  struct error *error);
bool floor_rebuild(struct floor *floor, struct error *error);
bool floor_backup(struct floor *floor, const char *path, struct error *error);

#endif
