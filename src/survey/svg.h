/* The parts of SVG 1.1 that give geometry, without XML: numbers, transforms, viewports, paths. Private. */
#ifndef SURVEY_SVG_H
#define SURVEY_SVG_H

#include "base/str.h"
#include "geom/geom.h"
#include <stdbool.h>
#include <stddef.h>

struct arena;

/* ---- reading along a text ---- */

struct svg_scan {
    struct str text;
    size_t at;
};

void scan_blanks(struct svg_scan *scan);
void scan_separator(struct svg_scan *scan); /* blanks with at most one comma among them */
bool scan_number(struct svg_scan *scan, double *value);
bool scan_flag(struct svg_scan *scan, bool *value); /* one character, 0 or 1 */
bool scan_end(struct svg_scan *scan);               /* nothing but blanks is left */

/* ---- transforms and viewports (SVG 1.1, chapter 7) ---- */

/* A transform list; the identity when empty. False when it cannot be read or is not finite. */
bool svg_transform(struct str text, struct affine *transform);
/* A length in user units: a number, or with px, pt, pc, mm, cm, in; % is of `whole`, refused when `whole` is
 * negative. False otherwise, also for em and ex, which depend on a font. */
bool svg_length(struct str text, double whole, double *value);

struct view_box {
    double x, y, width, height;
};
bool svg_view_box(struct str text, struct view_box *box);
/* View box to viewport, by preserveAspectRatio (empty: xMidYMid meet). *uneven: the two axes are scaled
 * differently. False when it cannot be read. */
bool svg_fit(const struct view_box *box, const struct view_box *viewport, struct str aspect,
             struct affine *transform, bool *uneven);

#define SVG_UNITS_PER_INCH 96.0 /* CSS 2.1, 4.3.2; SVG 2, 8.8 */

/* ---- shapes flattened ---- */

/* Points of one shape on the vehicle, one polygon for each sub-path. */
struct trace {
    struct arena *arena;
    struct affine to_vehicle; /* from the shape's user units */
    double tolerance;         /* of flattening, on the vehicle */
    size_t points_most;       /* of the shape */
    struct outline_builder open;
    struct point at, start; /* in user units */
    struct polygon *parts;
    size_t part_count, part_capacity, point_count;
    bool too_many, not_finite; /* then the shape must not be used */
};

struct trace trace_new(struct arena *arena, struct affine to_vehicle, double tolerance, size_t points_most);
void trace_move(struct trace *trace, struct point to);
void trace_line(struct trace *trace, struct point to);
void trace_arc(struct trace *trace, const struct arc *arc);
void trace_close(struct trace *trace);
void trace_end(struct trace *trace); /* puts the last part away; parts of one point are dropped */

/* Path data (SVG 1.1, 8.3). False when it cannot be read: *bad_at is the character, from 1. */
bool path_trace(struct str data, struct trace *trace, size_t *bad_at);

#endif
