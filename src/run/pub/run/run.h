/* The verbs. A run opens one job, goes as far as asked, and holds every result as a struct; the skins (cli,
 * web) show them and compute nothing.
 *
 *     run_open   -> job, surfaces, artwork and profiles are read; findings of these
 *     run_plan   -> coarse rendering (or the cache), plan, all findings
 *     run_write_pictures, run_write_panels, run_write_sheet -> files in OUT; what a program reads of a run,
 *                 OUT/plan.json too, is written by the room answer
 *
 * Each returns false with `error` when it could not be done. Mistakes in what people wrote are in
 * run->report: with run->report.errors > 0 only run_close may follow. */
#ifndef RUN_RUN_H
#define RUN_RUN_H

#include "base/machine.h"
#include "base/progress.h"
#include "base/report.h"
#include "model/plan.h"

struct art_colours;
struct counted_ink;
struct plan_cache;
struct changed_art;
struct proof;
struct proof_approval;
struct surface_texts;
struct text_face;

enum tiff_packing { PACKING_NONE, PACKING_LZW, PACKING_DEFLATE, PACKING_ZSTD };

struct run_options {
    const char *job;  /* a job folder or a job.yaml */
    const char *out;  /* NULL: JOB/out */
    const char *only; /* SURFACE or SURFACE/PANEL, NULL: all */
    unsigned threads; /* 0: all processors */
    bool anyway;      /* write panels in spite of a stop */
    bool exact;       /* colours of pictures by the library itself, no tables */
    bool no_cost;     /* the job sheet without its page of costs */
    bool seams;       /* the proof shows panels and seams */
    bool prove;       /* lay-back check at the full output resolution */
    enum tiff_packing packing;
    int choose;        /* alternative, 0: the least cost */
    bool quoting;      /* surfaces without artwork carry the usual ink; pieces printed in vain are left out */
    unsigned vehicles; /* of a quote or a roll layout; 0: as the job says */
    int64_t
        now; /* UTC seconds that the plan counts from; 0: the machine's clock (SOURCE_DATE_EPOCH, read by the skin) */
    int64_t date; /* for files' dates and identifiers; 0: now (SOURCE_DATE_EPOCH, read by the skin) */
    const struct event_fact *events; /* what the record says was done, in place of estimates */
    size_t event_count;
    bool
        recorded; /* the job is on record: what is not among the events is not done, and starts from now on */
    const struct progress *progress;
    const struct cancel *cancel;
};

struct run_surface {
    struct surface *surface;
    struct surface_art art;
    double coarse_ppi;             /* of the rendering that its maps come from */
    struct ink_map *ink;           /* NULL: no artwork */
    struct detail_maps *detail;    /* NULL: no artwork */
    const struct picture *preview; /* NULL: no artwork */
    uint64_t fingerprint;          /* of all that its maps come from */
    struct str mapped;             /* the kept maps' file, when they come from it */
    struct surface_texts *texts;   /* set on it: texts.h; NULL: none */
    uint64_t content;              /* of its files' bytes, for acceptances; 0: nothing asked for it yet */
    struct arena *unkept;          /* what they are in when they could not be kept; NULL else */
};

struct printed_piece { /* a piece that is printed, as its plan version had it */
    const char *panel, *surface;
    int64_t version;
    struct rect visible;
    const char *artwork; /* what it was made from, see run/printed.h; NULL: not on record */
};

struct run {
    struct machine *machine;
    struct pool *pool; /* as many threads as the options say */
    struct arena *arena;
    struct run_options options;
    struct report report;
    struct findings findings; /* all rooms' */
    struct job *job;
    const char *out;
    int lock;
    struct zone *zone;
    struct run_surface *surfaces;
    size_t surface_count;
    struct condition_facts *conditions;
    size_t condition_count;
    struct art_colours *colours; /* kept from one rendering to the next */
    struct text_face *faces;     /* fonts of texts, see texts.h */
    size_t face_count, face_capacity;
    struct str *profiles;         /* bytes, one a condition_facts; length 0: not usable */
    struct printed_piece *pieces; /* from the record; count 0: nothing is printed */
    size_t piece_count;
    struct changed_art *changed; /* artwork since printing, see run/printed.h */
    size_t changed_count;
    struct spoilt_piece *spoilt; /* from the record: printed, and to be printed again */
    size_t spoilt_count;
    struct acceptance *acceptances; /* of findings, from the record, oldest first */
    size_t acceptance_count;
    struct proof_approval *approvals; /* of proofs, from the record, oldest first */
    size_t approval_count;
    const char *proof_differs; /* of it, from the proof approved last; "": not known. NULL: it does not */
    const char *proof_letters; /* of the job as it is, where it matters: run/proof.h; NULL: nobody asked */
    struct plan_input input;
    struct plan_cache *memory; /* of plan/plan.h, for planning again; NULL: planned once */
    struct plan *plan;         /* NULL before run_plan */
    struct proof *proof;       /* after proof_make of run/proof.h */
    struct counted_ink *inks;  /* of TIFF panels, after run_write_panels; see run/ink.h */
    size_t ink_count, ink_capacity;
    const char **written; /* paths of files made, in order */
    size_t written_count, written_capacity;
};

/* Opens the job; `run` is to be closed whatever this returns. `writes` takes the lock of the output folder.
 */
bool run_open(struct run *run, struct machine *machine, const struct run_options *options, bool writes,
              struct error *error);
bool run_plan(struct run *run, struct error *error);
/* OUT/NAME, whole or not at all: what another room made of the run, such as its plan as JSON. */
bool run_write_file(struct run *run, const char *name, struct str bytes, struct error *error);
/* After OUT/plan.json: OUT/pictures, and what the artwork is that a job on record is printed from
 * (run/printed.h). */
bool run_write_pictures(struct run *run, struct error *error);
/* The shop's rolls with the prints of this job, and perhaps of others: FOLDER/pictures/laid-1.svg and .png ... */
struct roll_layout;
bool run_write_roll_pictures(struct run *run, const char *folder, const struct roll_layout *layout,
                             struct error *error);
/* Refuses (FAILURE_NONE in error, nothing written, true) when the plan has a stop and options.anyway is not
 * set: see run_may_print. A surface of TIFF panels whose profile cannot be used is left out, with a finding.
 */
bool run_write_panels(struct run *run, struct error *error);
bool run_write_sheet(struct run *run, struct error *error);
/* The order sheet for printing that is bought in: OUT/order.pdf. */
bool run_write_order(struct run *run, struct error *error);
/* How the prints dry: OUT/pictures/drying.svg and .png, and in words the times, and the room that hung
 * lengths or a loosely wound roll need. */
bool run_write_drying(struct run *run, struct text *words, struct error *error);
/* After run_plan, before anything is written: moves panel files and papers of another plan to OUT/old, in
 * place of what was there; those of this plan too when it has a stop. `same`: OUT was of this plan. */
bool run_set_apart(struct run *run, bool *same, struct error *error);
/* panels-old, when OUT/panels holds files of another plan. */
void run_tell_old(struct run *run);
/* Whether OUT/panels holds any; also when the job could not be read. */
bool run_has_panel_files(const struct run *run);
/* Whether they are of another plan than the job as it is now, which may be one that cannot be read. */
bool run_panels_are_old(const struct run *run);
/* False, and no panel file of this run is left, when an artwork's file is another one than was read: replaced
 * or written to while the run went on. To be asked at the end. */
bool run_artwork_unchanged(struct run *run, struct error *error);
void run_close(struct run *run);

/* No finding of severity stop. */
bool run_may_print(const struct run *run);

/* A new job folder with commented job.yaml and shop.yaml. */
bool run_init(struct machine *machine, const char *folder, struct error *error);

/* What a profile or a measurement file is, in words a press operator knows; with `against` (a measurement
 * file, or NULL) how near the profile comes to what was measured. */
bool run_profile_words(struct machine *machine, const char *path, const char *against, struct text *out,
                       struct error *error);

/* What the binary does as `lapstrake reader ...`: reads foreign files with few rights. Returns the exit
 * status. */
int run_reader(int argument_count, char **arguments, struct machine *machine);

/* doc/findings.md and doc/practice.md from their tables. */
void run_findings_page(struct text *out);
void run_practice_page(struct text *out);
/* The tables that end doc/job-file.md, from the schema of the job room. */
void run_keys_page(struct text *out);

#endif
