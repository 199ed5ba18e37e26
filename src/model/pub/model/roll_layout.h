/* Where the prints of one or several jobs lie on the shop's rolls, what is to be bought and what is left over:
 * doc/rolls.md. Made by the room `rolls` from plans and stock; pure values, in mm.
 *
 * This is the shop's layout, of today's stock. A plan's own rolls (model/plan.h) are the job's by itself on new
 * rolls, so that its price is the same whatever lies on the shelf. */
#ifndef MODEL_ROLL_LAYOUT_H
#define MODEL_ROLL_LAYOUT_H

#include "model/plan.h"
#include "model/record.h"

/* ---- input ---- */

struct roll_job {
    const struct plan *plan;
    size_t vehicles; /* alike, from 1 */
};

struct roll_order {
    const struct roll_job *jobs; /* the shop of the first says gap, leader, tail and what is worth keeping */
    size_t job_count;
    const struct stock_roll *stock; /* rolls that are gone, or whose length is not said, are passed over */
    size_t stock_count;
    uint64_t seed;
    int64_t most_tries; /* packings in all; 0: the usual number, in which the result comes out the same */
    bool (*enough)(void *self); /* true ends the search with what it has; NULL: nobody asks */
    void *self;
};

/* ---- result ---- */

/* One print of one vehicle. Along the film it is the panel's print_length_mm (label strips and feed in it), across
 * what its file covers, marks in it. */
struct laid_print {
    const struct plan *plan;
    size_t surface, panel;      /* panel: also an inlay's place after the panels */
    size_t vehicle;             /* from 1 */
    double across_mm, along_mm; /* of the corner nearest to the roll's beginning and left edge */
    double wide_mm, long_mm;    /* as it lies: across and along */
    int turned_deg;             /* as placement.turned_deg, turned by the layout counted in: 0 or 90 */
    struct polygon
        outline; /* x across, y along: of what is printed, where it has a shape; count 0: the rectangle */
    size_t sent; /* the print of the roll that it is sent in, from 0; each is at most the printer's longest */
};

struct laid_roll {
    const char *name; /* "R12"; a new one: "new 1" */
    bool is_new;
    const struct film *film;
    const struct printer *printer;
    const char *batch;          /* NULL: new, or not said */
    double width_mm, length_mm; /* length: what was there, or a new roll's */
    double used_mm;             /* leader, prints, tail; laminated prints: threading of the laminator */
    double leader_mm, tail_mm;  /* of that; threading is in the tail */
    struct laid_print *prints;  /* as they lie along the roll */
    size_t print_count;
};

/* The laminate of one film roll's prints: as long as they are with leader and tail. */
struct laid_laminate {
    const char *name; /* of its roll: "R7", "new 2" */
    bool is_new;
    const struct film *laminate;
    const char *batch;
    double width_mm, length_mm; /* as with a film's roll */
    double from_mm, to_mm;      /* on the laminate's roll, from where it begins today */
    size_t roll;                /* index of the film's roll */
};

struct off_cut {
    const char *name;           /* "R12/1" */
    size_t roll;                /* that it is cut from */
    double across_mm, along_mm; /* where it lies on it */
    double width_mm, length_mm;
};

/* A line of the material list. */
struct roll_material {
    const char *what;        /* "film", "laminate", "ink C", "application tape", "cleaner", "primer" */
    const char *name;        /* NULL: the shop does not say which it has */
    const struct film *film; /* rolls; NULL else */
    double width_mm;         /* rolls; 0 else */
    double amount;
    const char *unit; /* "mm", "ml" */
    double in_stock;  /* of the amount that is taken from rolls in stock; rolls only */
    size_t rolls;     /* whole rolls to buy */
    money_minor cost; /* of these; what is no roll: of the amount */
    bool missing;     /* no price is written: cost is 0 */
};

/* The same amounts when every vehicle is laid by itself, and all on new rolls, for comparison. */
struct roll_saving {
    bool known;                             /* false: there is one vehicle only */
    size_t vehicles;                        /* of all jobs */
    double together_mm, singly_mm;          /* film of all vehicles */
    size_t together_rolls, singly_rolls;    /* whole rolls of film and laminate */
    money_minor together_cost, singly_cost; /* what these cost */
};

struct roll_left_out {
    const struct plan *plan;
    size_t surface, panel;
    size_t vehicle;
    const char *why; /* "printed already", "fits on no roll", "bought in" */
};

struct roll_layout {
    const struct roll_job *jobs; /* of the order */
    size_t job_count;
    struct laid_roll *rolls;
    size_t roll_count;
    struct laid_laminate *laminates;
    size_t laminate_count;
    struct off_cut *off_cuts;
    size_t off_cut_count;
    struct roll_material *materials;
    size_t material_count;
    struct roll_left_out *left_out;
    size_t left_out_count;
    double used_mm, lower_mm; /* film of all rolls; no layout of these prints is shorter than lower_mm */
    double together_cost_mm;  /* of used_mm: spent on keeping each surface together, on one batch, in order */
    double turning_cost_mm;   /* and what turning any print could save besides */
    money_minor cash;         /* what is to be bought costs, without what has no price */
    struct roll_saving saving;
    int64_t tries;
    bool cut_short; /* `enough` ended a search: the same order may give another layout */
    struct findings findings;
};
/* Of a fleet: the name of the vehicle (from 1) that the print is for; NULL where it is alike on all. */
const char *roll_vehicle_name(const struct plan *plan, size_t surface, size_t panel, size_t vehicle);

#endif
