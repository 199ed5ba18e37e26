/* Between cut_files.c (SVG) and cut_dxf.c: layers and lines that both forms have. */
#ifndef MAKE_CUT_FILE_PARTS_H
#define MAKE_CUT_FILE_PARTS_H

#include "cut_files.h"
#include "cut_marks.h"

enum { CUT_DECIMALS = 4 };

/* The first two layers are as cut_kind has them. */
enum { LAYER_MARKS = CUT_KINDS, LAYER_CHECK, LAYERS };
struct cut_file_layer {
    const char *name, *colour;
    int number; /* DXF's colour */
};
extern const struct cut_file_layer cut_file_layers[LAYERS];

/* On the file: y up, from its lower left corner. */
struct point cut_file_place(const struct cut_file *file, struct point p);
/* Along the film's edge, inside the file, or beside it where that is smaller. */
void cut_file_check_line(struct point ends[2]);
bool cut_file_closed(const struct point *points, size_t count);
/* Lines that a mark is made of: a cross has two. */
size_t cut_file_mark_lines(const struct register_shape_lines *shape, const struct point *lines[2],
                           size_t counts[2]);

#endif
