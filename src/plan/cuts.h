/* Seams that have been chosen or were given, and the strips and pieces between them. */
#ifndef PLAN_CUTS_H
#define PLAN_CUTS_H

#include "seam_cost.h"

struct seam_cut {
    double at;
    bool fixed;
    struct seam_context context;
    int64_t before, after; /* cost 50 mm lower and higher, < 0: not allowed there */
};

struct cuts {
    struct seam_cut *items;
    size_t count;
    double *rolls_mm; /* width of the roll for each of the count + 1 strips; NULL: not yet said */
};

/* How one strip is cut again, across the film, seen through the strip: u there is v here. */
struct cut_crossing {
    struct field field;
    struct cuts cuts;
};

/* A strip of the surface between two seams, in u and v. */
struct cut_strip {
    double u0, u1;                 /* visible */
    double roll_mm;                /* 0: not yet said */
    double low, high;              /* printed beyond them */
    double start, end;             /* v of the outline inside, overlap bands included */
    double print_start, print_end; /* and of its print, bleed included */
    bool there;
};

/* A piece of a strip between two crossings, in v. */
struct piece {
    double v0, v1;        /* visible */
    double before, after; /* printed beyond them */
};

/* What the panel on the low or the high side of a seam prints beyond its line. */
double cut_beyond(const struct surface *surface, const struct seam_cut *cut, bool low_side);
/* The part of a cut that two panels share, its cost by its share of the length. */
struct seam_cut cut_part(const struct seam_cut *cut, double low, double high, struct arena *arena);
/* The seams of an answer, with what each would cost elsewhere. */
struct cuts cuts_chosen(const struct field *field, const struct seam_problem *problem,
                        const struct seam_answer *answer, struct arena *arena);
struct cut_strip strip_at(const struct frame *frame, const struct cuts *cuts, size_t i);
/* `crossing` may be NULL: then the one piece is the whole strip. */
size_t piece_count(const struct cut_crossing *crossing);
struct piece piece_at(const struct frame *frame, const struct cut_strip *strip,
                      const struct cut_crossing *crossing, size_t i);
/* Across the film, stations included. */
double strip_print_width(const struct frame *frame, const struct cut_strip *strip);
/* Length of film along the roll that a piece takes: marks, stations and feed included. */
double piece_length(const struct frame *frame, const struct piece *piece, const struct job *job);

#endif
