/* Private to floor: what the files of the floor share. */
#ifndef FLOOR_INNER_H
#define FLOOR_INNER_H

#include "floor/floor.h"
#include "record/record.h"
#include <pthread.h>

/* One job folder as last read; all its words live in its own arena. */
struct job_entry {
    struct arena *arena;
    const char *folder_name, *folder, *number, *title, *vehicle;
    const char *trouble; /* why it cannot be read; NULL: it can */
    const char *twin;    /* another folder, before this one, with the same number; NULL: none */
    const char *shop_file, *zone;
    bool has_due, inches;         /* the job's texts in inches */
    bool shop_inches;             /* its shop's */
    struct civil_time due, start; /* start.given: the job says one */
    int64_t read_ms;              /* ticks when it was read */
    uint64_t job_mark, shop_mark; /* of the files as read: when they changed and their sizes, mixed */
};

struct job_list {
    struct arena *arena;
    struct job_entry *entries; /* by folder name */
    size_t count;
    int64_t changes; /* goes up when anything in the list changed */
};

/* The latest plan version of every job, with how far its panels have come; by job number. */
struct snapshot {
    struct arena *arena;
    struct job_terms *terms;
    struct panel_state **states;
    size_t count;
    int64_t last_plan, last_fact;
};

struct floor {
    struct machine *machine;
    struct arena *arena;
    const char *folder;
    struct record *record;     /* NULL: for reading only, and nothing is on record yet */
    struct zone *_Atomic zone; /* a later one takes its place when the shop's file says another */
    pthread_mutex_t mutex;     /* over list and snapshot */
    struct job_list list;
    struct snapshot snapshot;
};

/* Both under floor->mutex. */
bool jobs_renew(struct floor *floor, struct error *error);
struct job_entry *jobs_find(struct floor *floor, const char *number); /* any case; NULL: none */
void jobs_free(struct floor *floor);
bool snapshot_renew(struct floor *floor, struct error *error);
const struct job_terms *snapshot_find(const struct floor *floor, const char *number,
                                      const struct panel_state **states);
void snapshot_free(struct floor *floor);

/* What holds printing up: stops of its latest plan, `start` of its file as it is now. */
struct print_hold job_hold(const struct floor *floor, const struct job_entry *entry,
                           const struct job_terms *terms);

/* Fills place and figure of an acceptance from the finding of its code in the job's latest plan version.
 * FAILURE_INPUT for a code that is unknown or not in the plan, a place that does not name one finding, or no
 * reason. */
bool accept_finding(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error);

/* Writes the letters of an approval as the proof has them. FAILURE_INPUT for letters of no proof that was made of
 * the job, for another `how` than mail, signature or counter, and without a name. */
bool approve_proof(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error);

/* A roll that comes in against the shop files of the folder and of its jobs: a film, laminate or ink that one
 * of them has, a width that it comes in, a length that a roll has. FAILURE_INPUT with what would be right. */
bool stock_check(struct floor *floor, const struct fact *fact, struct arena *arena, struct error *error);
/* The same for an off-cut: what, name in the shop and batch follow from the roll that it was cut from. */
bool stock_take_cut(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error);
/* What is printed goes on film, what is laminated under laminate. */
bool stock_check_use(const struct fact *fact, const struct stock_roll *roll, struct error *error);

/* FAILURE_INPUT when nothing is on record yet. */
struct record *floor_record(struct floor *floor, struct error *error);

#endif
