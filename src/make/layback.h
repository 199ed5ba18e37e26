/* Private to make: the lay-back check of a TIFF panel. While the surface's pixels stream by, fingerprints of
 * some are kept: of those which the plan's rectangles (file_mm and print_mm, in millimetres) say that the
 * file must show in some of its strips, spread evenly over its height: LAY_BACK_STRIPS of them at least, or
 * all. The finished file is opened again as any reader would, these strips are unpacked, and must give the
 * same fingerprints. A panel cut at another place, from other rows, or packed wrongly is found; so is a bad
 * directory. The strips between are not read: what a write to a disk did not report, a read from the same
 * memory would not show either. `--prove` reads every pixel. */
#ifndef MAKE_LAYBACK_H
#define MAKE_LAYBACK_H

#include "cut.h"

enum { LAY_BACK_STRIPS = 40 };

struct lay_back {
    struct pixel_box box;        /* of the file: whole pixels inside the print that the source covers */
    int source_x, source_y;      /* of the source, for the box's upper left */
    int width, height;           /* of the file */
    const struct panel_cut *cut; /* for where its marks stand inside the print */
    int every;                   /* strips whose number this divides are read */
    uint64_t *prints;            /* one for each of them */
    uint8_t *row;
    uint64_t checked; /* pixels compared */
};

/* `grid` are the source's pixels, mm in the same coordinates as the frame. */
struct lay_back lay_back_new(const struct print_frame *frame, const struct pixel_grid *grid,
                             const struct panel_cut *cut, struct arena *arena);
void lay_back_take(struct lay_back *laid, const struct strip *strip);
bool lay_back_check(struct machine *machine, struct lay_back *laid, int fd, const char *path,
                    struct error *error);

#endif
