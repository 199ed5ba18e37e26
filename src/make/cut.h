/* Private to make: TIFF panels cut from strips of a surface. */
#ifndef MAKE_CUT_H
#define MAKE_CUT_H

#include "print_frame.h"
#include "marks.h"

/* Pixels x0..x1, y0..y1 of a panel file, y down. */
struct pixel_box {
    int x0, y0, x1, y1;
};

/* One panel file being written. Its pixel (0, 0) is the source's pixel (source_x, source_y); what of the
 * source lies inside `print` is copied, the rest is paper and marks. */
struct cut {
    const struct panel *panel;
    int width, height;
    int source_x, source_y;
    struct pixel_box print;
    double ppi;
    struct marks marks;
    struct pixel_box *fields; /* marks inside the print */
    struct pixel_box ends[2]; /* the strips at the ends of the film */
    struct out_file file;
    const char *path;
    struct tiff_out *out;
    int next;      /* row to be written next */
    uint64_t hash; /* of all rows so far */
    uint8_t *rows; /* STRIP_ROWS rows */
    uint8_t *mask;
    bool done;
};

/* Sets up the cut of `frame` (print coordinates) from a source whose upper left corner is at `corner`; opens
 * the file. To be dropped with cut_drop whatever comes. */
bool cut_open(struct machine *machine, const struct make_order *order, const struct panel *panel,
              const struct print_frame *frame, struct point corner, double ppi, const char *path,
              struct arena *arena, struct cut *cut, struct error *error);
/* Takes what it needs of a strip of the source; strips come in order. */
bool cut_strip(struct cut *cut, const struct strip *strip, struct error *error);
/* Writes what is left, reads the file again, and gives it its name when every row is as it was written. */
bool cut_close(struct machine *machine, struct cut *cut, struct error *error);
void cut_drop(struct machine *machine, struct cut *cut);

#endif
