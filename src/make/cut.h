/* Private to make: TIFF panels cut from strips of a surface. */
#ifndef MAKE_CUT_H
#define MAKE_CUT_H

#include "print_frame.h"
#include "marks.h"
#include "scan/meter.h"

/* Pixels x0..x1, y0..y1 of a panel file, y down. */
struct pixel_box {
    int x0, y0, x1, y1;
};

/* One panel file being written. Its pixel (0, 0) is the source's pixel (source_x, source_y); what of the
 * source lies inside `print` is copied, the rest is paper and marks.
 *
 * A strip of the source goes through four steps, each of which touches this panel alone, so that the panels
 * of a surface share them out among threads (cutter.c): lay the artwork's rows, mark, pack strips, write.
 * Rows wait in a ring until a strip of the file is full. */
enum { RING_STRIPS = (STRIP_ROWS + TIFF_ROWS - 1) / TIFF_ROWS + 1, RING_ROWS = RING_STRIPS * TIFF_ROWS };

struct panel_cut {
    const struct panel *panel;
    int width, height;
    int source_x, source_y;
    struct pixel_box print;
    double ppi;
    struct ink_meter *meter; /* of the print, without marks */
    struct panel_marks marks;
    struct pixel_box *fields; /* marks inside the print */
    struct pixel_box ends[2]; /* the strips at the ends of the film */
    struct out_file file;
    const char *path;
    struct tiff_out *out;
    int laid, marked, written; /* rows that have come so far */
    uint8_t *ring;             /* RING_ROWS rows; row y is y % RING_ROWS of them */
    uint8_t *mask;
    struct tiff_packed packed[RING_STRIPS];
    struct error trouble; /* of a step, which has no other way to tell */
    bool done;
};

/* One panel of a surface that is rendered in pixels. */
struct panel_cut_order {
    const struct make_order *order;
    const struct panel *panel;
    const struct print_frame *frame; /* of the panel, in print coordinates */
    const struct pixel_grid *grid;   /* of the source; frame and source share its upper left corner */
    struct tiff_packers *packers;
};
/* Sets up the cut and opens its file. To be dropped with cut_drop whatever comes. */
bool cut_open(struct machine *machine, const struct panel_cut_order *what, struct arena *arena,
              struct panel_cut *cut, struct error *error);

/* Rows from cut->laid on, up to where the strip ends (NULL: the file), as many as the ring has room for. */
void cut_lay(struct panel_cut *cut, const struct strip *strip);
/* Whether the strip (or the file) has more rows to lay. */
bool cut_has_more(const struct panel_cut *cut, const struct strip *strip);
/* Marks on the rows laid last. */
void cut_mark(struct panel_cut *cut);
/* Strips of the file that are full and not yet written; packing one of them, number 0 ...; writing all. */
bool cut_packs(const struct panel_cut *cut); /* packing is work, and not only a place in memory */
size_t cut_ready(const struct panel_cut *cut);
void cut_pack(struct panel_cut *cut, size_t ready);
void cut_write(struct panel_cut *cut);

/* Ends the file. */
bool cut_end(struct panel_cut *cut, struct error *error);
/* Gives it its name. */
bool cut_keep(struct machine *machine, struct panel_cut *cut, struct error *error);
void cut_drop(struct machine *machine, struct panel_cut *cut);

#endif
