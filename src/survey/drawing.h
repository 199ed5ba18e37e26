/* Reading a drawing of a surface: SVG at a scale into an outline and features. Private. */
#ifndef SURVEY_DRAWING_H
#define SURVEY_DRAWING_H

#include "base/report.h"
#include "base/str.h"
#include "model/job.h"
#include "svg.h"
#include "xml.h"

/* ---- drawing.c: the whole ---- */

struct drawing_file {
    struct polygon outline; /* y up, lower left corner of its box at 0, 0; counter-clockwise */
    struct feature *features;
    size_t feature_count, feature_capacity;
    const char *cover_name; /* shapes called so are neither, and passed over; NULL: none are */
};

/* Reads the bytes of a drawing called `file`, drawn at 1:`scale`. Mistakes and remarks go to the report;
 * false when it cannot be used, and then the report has an error. */
bool drawing_read(struct str bytes, const char *file, double scale, struct arena *arena,
                  struct report *report, struct drawing_file *drawing);

/* Closed shapes of a drawing, y up. */
struct drawn_outline {
    struct polygon *parts; /* filled even-odd */
    size_t count;
};
struct drawing_shapes {
    struct drawn_outline *items;
    size_t count, capacity;
};

/* Those called `name` (id or label of a shape or a group), or all of them with NULL; survey/cover.h says
 * where 0, 0 is. Else as drawing_read; none is no mistake. */
struct drawing_source {
    struct str bytes;
    const char *file;
    double scale;
    struct arena *arena;
};
bool drawing_read_shapes(const struct drawing_source *source, const char *name, struct report *report,
                         struct drawing_shapes *shapes);

/* ---- one element and those around it ---- */

struct scope {
    const struct scope *outer; /* NULL at the root */
    xmlNode *node;
    xmlNode *used;                  /* what a `use` stands for, when node is one */
    struct affine to_vehicle;       /* from the user units inside this element */
    double view_width, view_height; /* of the nearest viewport, user units; for percentages */
    int depth;
};

/* ---- kinds.c: what a shape is ---- */

enum { KIND_NONE = -1, KIND_OUTLINE = FEATURE_COUNT }; /* otherwise an enum feature_kind */

/* The first that names one: class, id, then class, id and layer label of each element around it. */
int kind_of(const struct scope *scope);
/* Whether its id or label, or that of an element around it, is `name`. */
bool scope_is_called(const struct scope *scope, const char *name);
bool element_hidden(const xmlNode *node); /* display: none, as attribute or in style */
/* Fills what the data- attributes say of a feature; mistakes go to the report. */
void read_feature_data(const struct scope *scope, struct place place, struct arena *arena,
                       struct report *report, struct feature *feature);

/* ---- shapes.c ---- */

bool element_is_shape(const xmlNode *node);
/* Draws the element into the trace. False when an attribute cannot be read: *fault is a phrase saying which
 * and why, in the arena. */
bool shape_trace(const struct scope *scope, struct trace *trace, struct arena *arena, const char **fault);

#endif
