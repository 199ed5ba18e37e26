/* Where do register marks stand beside the pieces of a sheet?
 *
 * Cutters differ: shape, size, line, distance and number are the shop's entries, with no usual values here. Marks
 * stand in two rows along the feed, left and right of all pieces, at the ends of every cut section (what the cutter
 * cuts before it feeds on), and between them so that none is further from the next than asked. One whose place is
 * taken moves to the nearest free one. None comes nearer to a piece and its bleed than the distance, nor out of the
 * sheet. More marks than four find stretch and turn better: contour/fit.h says how well. */
#ifndef CONTOUR_MARKS_H
#define CONTOUR_MARKS_H

#include "contour/means.h"
#include "base/error.h"
#include "geom/region.h"

enum contour_mark { CONTOUR_CIRCLE, CONTOUR_CROSS, CONTOUR_SQUARE, CONTOUR_CORNER };

struct contour_mark_entry { /* as the shop writes it; mm */
    enum contour_mark shape;
    double size;     /* across, 1 to 100 */
    double line;     /* width of its lines, 0 (a filled mark) to the size */
    double distance; /* clear of pieces and bleed, 0 to 500 */
    double every;    /* at most this far apart along the feed; 0: any */
    size_t count;    /* at least so many a section; 0: four */
    double section;  /* longest cut section along the feed; 0: the cutter cuts any length at once */
};

struct contour_sheet {             /* x across the film, y along the feed */
    struct rect printed;           /* where marks may stand, the whole of them */
    const struct region *keep_out; /* the pieces with their bleed */
};

struct contour_mark_place {
    struct point middle;
    double
        turned_deg; /* of a corner mark: 0 opens to the right and up, counter-clockwise from there; it opens
                          towards the middle of the pieces */
    size_t row;     /* along the feed, from 0; two marks in each */
};

struct contour_marks {
    struct contour_mark_place *places; /* row by row, left before right */
    size_t count, sections;
};

enum { CONTOUR_MARK_ROWS_MOST = 500 };

/* False with FAILURE_INPUT when an entry is out of its range, or a mark finds no room: the sentence says how much room
 * marks need. Without pieces there are no marks. */
bool contour_marks_place(const struct contour_sheet *sheet, const struct contour_mark_entry *entry,
                         const struct contour_means *means, struct contour_marks *marks, struct error *error);

#endif
