/* The state of a way through a drawing, shared by drawing.c (what is met) and outline.c (what becomes of it).
 */
#ifndef SURVEY_WALK_H
#define SURVEY_WALK_H

#include "drawing.h"

/* Curves are flattened finer than promised, so that rounding cannot break the promise. */
static const double flatten_mm = 0.04;

struct unread { /* one sort of element that was not read */
    const char *name, *why;
    struct place place;
    size_t count;
};

/* Closed shapes that are looked for in place of outline and features; y down until the end. */
struct drawing_pick {
    const char *name; /* NULL: all of them */
    struct drawing_shapes *found;
    struct drawing_shapes outlines; /* of those, what is called "outline" */
    double paper_mm;                /* its height on the vehicle */
};

struct drawing_walk {
    struct arena *arena;
    struct report *report;
    const char *file;
    struct id_index ids;
    struct drawing_file *drawing;
    struct drawing_pick *pick; /* NULL: the surface is read */
    size_t elements, points;
    bool stopped; /* a limit was met */
    struct unread *unread;
    size_t unread_count, unread_capacity;
    struct polygon *outline; /* parts of the outline, y down */
    size_t outline_parts;
    struct place outline_place;
    bool outline_met; /* even if it could not be used */
};

/* What a shape's parts become: the outline, or features. */
void take_traced(struct drawing_walk *walk, const struct scope *scope, int kind, const struct trace *trace);
/* A shape that may be one that is looked for. */
void pick_traced(struct drawing_walk *walk, const struct scope *scope, const struct trace *trace);
/* At the end: those found, turned y up. */
void pick_finish(struct drawing_walk *walk);
/* At the end: one outline, turned y up with its lower left corner at 0, 0, and the features with it. */
void drawing_finish(struct drawing_walk *walk, struct place root);

#endif
