/* What was really done: facts that people put on record, and what follows from them. The record room keeps
 * the facts and never changes one; whatever else stands here can be worked out from them again. */
#ifndef MODEL_RECORD_H
#define MODEL_RECORD_H

#include "geom/geom.h"
#include "model/finding.h"
#include "model/neighbour.h"
#include "model/plan.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum fact_kind {
    /* on a panel */
    FACT_PRINTED,
    FACT_HUNG, /* cut off and hung or rewound loosely: drying starts */
    FACT_DRY_CHECKED,
    FACT_MEASURED, /* length marks, against what they should be */
    FACT_LAMINATED,
    FACT_TRIMMED,
    FACT_INSTALLED,
    FACT_DAMAGED,
    FACT_REPRINT, /* the panel starts again; what was done to the piece before stays on record */
    /* on a panel or the whole job */
    FACT_NOTE,
    FACT_PHOTO,
    /* on the job */
    FACT_TAKEN_IN, /* the vehicle: its condition in words, what the owner accepted */
    FACT_ACCEPTED, /* a finding that a person has looked at and accepts */
    FACT_PLANNED,  /* a version of the plan */
    FACT_HANDED_OVER,
    /* on stock */
    FACT_ROLL_IN,
    FACT_ROLL_OUT, /* used up, sold, spoilt */
    /* on another fact */
    FACT_WITHDRAWN, /* it was not so; the words say why */
    /* on the job, perhaps a panel */
    FACT_PRINTS_IN, /* bought-in prints came and were looked over */
    /* on the job */
    FACT_USED,     /* material or work that the job took: model/used.h */
    FACT_APPROVED, /* the customer approved a proof: its letters, and how */
    FACT_KIND_COUNT
};
const char *fact_kind_name(enum fact_kind kind);  /* "dry-checked": forms, exports */
const char *fact_kind_words(enum fact_kind kind); /* "dry check" */
bool fact_kind_from(const char *name, enum fact_kind *kind);
bool fact_kind_on_panel(enum fact_kind kind); /* needs a panel */
bool fact_kind_on_job(enum fact_kind kind);   /* needs a job, and perhaps a panel */

/* Figures that nobody gave are NAN, words NULL; fact_blank makes such a one. */
struct fact {
    int64_t number; /* from 1, in the order of recording; 0 before it is recorded */
    const char
        *key; /* 8 to 64 of A-Z a-z 0-9 -: made by whoever sends it, so that sending twice records once */
    enum fact_kind kind;
    int64_t at;               /* when it happened, UTC seconds; 0 before it is recorded: then, that is now */
    int64_t recorded;         /* when it was put on record */
    const char *job, *panel;  /* job number, panel id */
    const char *who, *device; /* person as the shop calls them; what it was entered on */
    double air_c, surface_c;  /* room or air; roller or vehicle's surface */
    double humidity_percent;
    double planned_mm, measured_mm; /* FACT_MEASURED */
    const char *roll;               /* film or laminate roll, by its name in the record: "R12" */
    const char *batch;              /* what stands on the roll */
    const char *words;              /* note, condition, reason */
    const char *override; /* the reason why a person went on in spite of a gate; NULL: none was needed */
    const char *gate;     /* what the gate said then; NULL when it was open */
    const char *photo;    /* name of a picture in the record: 64 hex digits */
    const char *what,
        *of;       /* FACT_ROLL_IN: "film", "laminate" or "ink", and its name in the shop; FACT_USED: a kind
                              of model/used.h, and the name of a material */
    double amount; /* FACT_USED: in that kind's unit */
    double width_mm, length_mm; /* FACT_ROLL_IN: as the roll came */
    int64_t withdraws;          /* FACT_WITHDRAWN: that fact's number; else 0 */
    const char *sent_as;        /* the key as it was sent, when several facts were recorded with it at once */
    const char *entered_by;     /* who was signed in, when that is not `who` */
    const char *code, *place;   /* FACT_ACCEPTED: the finding, and where: surface, panel, what it is about */
    const char *artwork;        /* FACT_PRINTED: what artwork it was made from, see run/printed.h */
    int64_t quantity, faulty;   /* FACT_PRINTS_IN: prints that came, and of these damaged or wrong ones */
    const char *printed_with;   /* FACT_PRINTED, FACT_MEASURED: feed_condition; NULL: not known */
    double feed_percent;        /* FACT_PRINTED: what it was made with; FACT_MEASURED: what would mend it */
    const char *letters, *how;  /* FACT_APPROVED: of the proof (model/proof.h); mail, signature, counter */
    double figure;              /* FACT_ACCEPTED: how bad it was; NAN: the finding has no figure */
    const char *cut_from;       /* FACT_ROLL_IN: the roll that it is an off-cut of; NULL: none */
    bool withdrawn;             /* derived: a later fact says it was not so */
    bool undone; /* derived: of a fact that was taken back within FACT_UNDO_S, and of what took it back */
};

/* The page's button offers to take an entry back for ten seconds; the rest is for its way here. Our own
 * judgement. */
enum { FACT_UNDO_S = 12 };

struct fact fact_blank(enum fact_kind kind);

/* Lengths of words in a fact, bytes. */
enum { FACT_NAME_MOST = 64, FACT_WORDS_MOST = 2000, FACT_PHOTO_BYTES_MOST = 16 << 20 };

/* What a plan version says of one panel, kept with the record so that gates need no planning. */
struct panel_terms {
    const char *panel, *surface; /* id; the surface's name */
    size_t surface_index;        /* order of surfaces in the job */
    int install_sequence;        /* its place in the install sequence on its surface */
    struct rect visible;
    enum front front;
    const char *neighbours_text; /* as the record keeps and hashes them: model/neighbour.h */
    const struct neighbour *neighbours;
    size_t neighbour_count;
    double dry_s; /* from cutting and hanging; < 0: does not dry this way */
    bool has_laminate;
    double bond_s;                          /* rest of the laminate before it is applied */
    double laminate_low_c, laminate_high_c; /* room when laminating */
    const char *laminate_source;            /* where that window comes from */
    bool cast_laminate;
    bool trim_waits; /* finish trimming waits for the bond */
    double print_mm; /* length of the print along the film as it should be when dry, without marks */
    int64_t print_start, print_end, dry_end, laminate_start, laminate_end, bond_end, trim_start, trim_end,
        install_start, install_end; /* planned, UTC seconds; 0: there is no such step */
};

struct job_terms {
    const char *job, *title, *vehicle;
    const char *fingerprint; /* of what the plan was made from: 16 hex digits */
    int64_t version;         /* from 1 for each job; 0: never planned */
    int64_t made;
    bool has_install, has_due;
    int64_t earliest_install, finished, due;
    int64_t first_promised; /* `finished` of the first version that had one; 0: none. Filled on reading */
    const char *decides;
    size_t stops, warnings, notes; /* findings */
    const char *currency;
    money_minor price;
    double feed_percent; /* length correction that the prints were to be made with */
    const char *film, *laminate, *ink, *condition, *profile_description, *profile_fingerprint;
    struct panel_terms *panels;
    size_t panel_count;
};

/* How far a panel has come: folded from its facts since it was last (re)printed. 0: not yet. */
struct panel_state {
    const char *panel;
    int64_t printed, hung, dry_checked, laminated, trimmed, installed;
    bool damaged; /* and not yet reprinted */
    int reprints;
    size_t overrides;               /* gates that were passed with a reason */
    double measured_mm, planned_mm; /* length marks; NAN: not measured */
};

/* Folds facts (oldest first, of one job) into states: one for each panel of `terms`, same order. Facts on
 * panels that the plan no longer has are left out, and so are withdrawn ones. */
void panel_states_fold(const struct fact *facts, size_t count, const struct job_terms *terms,
                       struct panel_state *states);

/* What the facts of one job say in place of estimates, for plan_input.events: the steps that the pieces now
 * in the shop have behind them. A damaged piece has none. Sorted as the facts come. */
struct event_fact *panel_events(const struct fact *facts, size_t count, struct arena *arena,
                                size_t *event_count);

/* The feed that a panel's piece was printed with, by the facts of the panel in any order; `otherwise` when none
 * says. */
double facts_feed(const struct fact *facts, size_t count, double otherwise);

/* The pieces of one job that were printed and then recorded as to be printed again, oldest first. */
struct spoilt_piece *spoilt_pieces(const struct fact *facts, size_t count, struct arena *arena,
                                   size_t *spoilt_count);

/* Whether the next thing may be done to a panel now, judged from what was recorded, not from the plan. A gate
 * that is shut says what is left to wait or what must be so; a person may go on with a reason, which is put
 * on record. Where no reason can help (laminating what was never printed), it may not. */
enum { GATE_ASKS_MOST = 2 };
struct gate {
    bool open;
    bool may_override; /* shut, but a reason opens it */
    int64_t from;      /* when it opens by itself; 0: not by waiting */
    const char *why;   /* the reasons' words, one after the other: the rule and what it counts from */
    const struct reason *reasons; /* one for each rule that shuts it */
    size_t reason_count;
    const char *asks[GATE_ASKS_MOST]; /* figures that it needs and nobody gave: "air_c", "surface_c" */
    size_t asks_count;
};

/* What of the job holds printing up. Stops shut the gate; before `start` a print may be recorded, but is not
 * yet to be done. */
struct print_hold {
    size_t stops;  /* findings of the latest plan on record */
    int64_t start; /* of job.yaml, UTC seconds; 0: none */
};

/* The next thing to do to a panel, and from when. */
struct next_step {
    enum fact_kind kind; /* FACT_KIND_COUNT: nothing is left to do */
    int64_t from;        /* ready from then on; 0: at once */
    bool open;           /* it can be done now; false with from 0: not by waiting, `why` says what is wrong */
    int64_t needed;      /* planned start of that step: later than this moves the date; 0: not known */
    struct reason why;   /* "dries until Thu 4 Mar, 10:40" or "dry since ..." */
};

/* How far neighbours will miss each other at a seam when a print came out at another length than planned.
 * Both meet at one end, so all of the difference shows at the other. Limit: meet-tolerance of
 * model/practice.h. */
struct length_check {
    double miss_mm; /* signed: longer is positive */
    bool within;
    double feed_percent; /* what `feed:` should be for a reprint */
};

/* A roll in stock, derived from FACT_ROLL_IN and FACT_ROLL_OUT and from what was done on it. An off-cut as wide as the
 * roll that it was cut from was taken off its length; a narrower one lay beside prints. */
struct stock_roll {
    const char *name; /* "R12" */
    const char *what; /* "film", "laminate", "ink" */
    const char *of;   /* its name in the shop file */
    const char *batch;
    double width_mm, length_mm; /* as it came; 0: not said */
    int64_t in, out;            /* 0: still here */
    size_t panels;              /* pieces that went on it */
    double used_mm;             /* their length along the roll, as their plans have it */
    double left_mm;             /* NAN: the roll's length was not said */
    const char *cut_from;       /* an off-cut of that roll; NULL: it came as a roll */
    double held_mm;             /* of what is left, for panels that are to be printed again on it */
    const char *held_for;       /* these, "JOB/PANEL" on a line each; NULL: none */
};

/* People who may use the page on a network: no part of the record, kept beside it. */
enum role { ROLE_VIEWER, ROLE_SHOP };
struct person {
    const char *name;
    enum role role;
    const char *password; /* argon2id, as libsodium writes it; made and checked by whoever owns passwords */
};

#endif
