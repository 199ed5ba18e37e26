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

struct drawing_walk {
    struct arena *arena;
    struct report *report;
    const char *file;
    struct id_index ids;
    struct drawing_file *drawing;
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
/* At the end: one outline, turned y up with its lower left corner at 0, 0, and the features with it. */
void drawing_finish(struct drawing_walk *walk, struct place root);

#endif
