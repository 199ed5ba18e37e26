/* Whether film, laminate, ink and surface suit each other, before anything is printed. Every verdict names
 * the weakest part, the value, the limit and where the limit comes from. */
#ifndef PLAN_SUIT_H
#define PLAN_SUIT_H

#include "model/plan.h"

/* The largest stretch that film must make inside `area`. */
struct suit_stretch {
    double average_percent; /* the largest of both directions; where features cross, their factors multiply */
    double local_percent;   /* over a free span only: this decides; at least the average */
    struct rect box;        /* where the local one is largest */
    const char *reason;     /* of the largest feature there, or NULL */
};
struct suit_stretch suit_stretch_in(const struct surface *surface, struct rect area);

/* The part of a printed set that stretches least. */
struct suit_limit {
    struct measure percent;
    const char *part; /* "film", "laminate", "ink"; NULL: there is none */
    const char *name; /* what the shop calls it */
};

/* Temperatures for a laminate: the shop's figures, or common practice for its kind. Warmth at the roller
 * assists a calendered laminate; the room is another thing. */
struct suit_window {
    struct measure low_c, high_c;
};
struct suit_window suit_room_window(const struct film *laminate);
struct suit_window suit_roller_window(const struct film *laminate);

/* How long a printed set lasts outdoors on the surface, by its weakest part. */
struct suit_lasting {
    bool lying;           /* lying surfaces wear about twice as fast */
    struct measure years; /* absent: nothing is written */
    const char *part;     /* the weakest: "film", "laminate", "ink" */
    const char *name;     /* what the shop calls it */
    const char *unknown;  /* parts that say nothing: "ink \"eco\""; "": none */
};
struct suit_lasting suit_lasting_of(const struct surface *surface, struct arena *arena);

/* Everything about one surface that does not depend on dates. */
void suit_check(const struct surface *surface, const struct job *job, struct findings *findings);
/* A surface without laminate: whether the written reason holds on the day it is printed. */
void suit_no_laminate(const struct surface *surface, const struct zone *zone, int64_t printed,
                      struct findings *findings);

#endif
