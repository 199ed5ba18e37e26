/* What scan makes of one coarse rendering of a surface, so that any panel's ink and any seam's visible cost
 * come at once. All three cover surface_bleed_box; row 0 is the lowest. */
#ifndef MODEL_MAPS_H
#define MODEL_MAPS_H

#include "geom/geom.h"
#include <stddef.h>
#include <stdint.h>

#define INK_CELL_MM 5.0
enum { INK_CHANNELS = 4 };

/* Ink in cells of 5 x 5 mm: mean of each channel in the cell, in 1/100 percent (0..10000). */
struct ink_map {
    struct rect box; /* mm on the surface; cells start at its lower left corner */
    size_t columns, rows;
    uint16_t *channel[INK_CHANNELS]; /* C, M, Y, K; rows x columns */
};

#define DETAIL_ACROSS_MM 1.0
#define DETAIL_ALONG_MM  10.0

/* How much a mismatch of a millimetre would show. For seams that run up the surface (constant x): cells 1 mm
 * wide and 10 mm high, mean CIELAB difference (CIE76) per millimetre between neighbours across (in x) and
 * along (in y). For seams that run along it: the same with the axes exchanged. In 1/100 of a unit. */
struct detail_map {
    struct rect box;
    size_t columns, rows;
    uint16_t *across, *along;
};

struct detail_maps {
    struct detail_map upright; /* 1 mm of x by 10 mm of y */
    struct detail_map lying;   /* 10 mm of x by 1 mm of y */
};

/* An sRGB preview, row 0 at the top as pictures are. */
struct picture {
    struct rect box; /* mm on the surface */
    int width, height;
    uint8_t *rgb; /* 3 bytes a pixel */
};

/* Where the ink of a surface's prints lies, for people. */
enum { HEAT_PLACES_MOST = 8 };
struct heat_place { /* cells over the limit that touch each other */
    struct rect box;
    double peak_percent;
};
struct ink_heat {
    struct rect
        box; /* mm on the surface; cells of INK_CELL_MM start at its lower left corner, row 0 is the lowest */
    size_t columns, rows;
    uint16_t *level; /* total of each cell in 1/100 percent: its mean, or more where a window of a cell's size
                        about it is over the limit; 0 where nothing is printed */
    double limit_percent;
    struct heat_place places[HEAT_PLACES_MOST]; /* the heaviest first */
    size_t place_count, place_total;
    size_t counted, estimated; /* cells whose level is from the print files, or from the coarse rendering */
    double estimate_ppi;       /* of the coarse rendering */
};

struct coverage {
    double mean_percent;      /* total area coverage, mean over the area */
    double peak_percent;      /* largest total of any 5 x 5 mm cell */
    double hand_peak_percent; /* largest total over a hand-sized area (100 x 100 mm) */
    double channel_percent[INK_CHANNELS];
};

/* Over the rectangle (mm on the surface): cells count by the part of them inside. */
struct coverage ink_map_coverage(const struct ink_map *map, struct rect area);
/* Mean visible difference that a seam band shows: over x0..x1 and y0..y1, across weighted double
 * (what crosses the seam). In CIELAB units per mm. */
double detail_map_mean(const struct detail_map *map, struct rect band);

#endif
