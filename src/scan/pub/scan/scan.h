/* Strips of one coarse rendering in, maps out: ink in cells of 5 x 5 mm, visible detail for seams, a small
 * preview. Pure: colour comes in as two functions. Every strip is reduced at once to rows of 1 mm, so memory
 * grows with the maps, not with the rendering. */
#ifndef SCAN_SCAN_H
#define SCAN_SCAN_H

#include "base/arena.h"
#include "model/maps.h"
#include "model/pixels.h"

/* The condition's colours: `count` CMYK pixels (8 bit, 0 no ink) into CIELAB (L 0..255, a and b offset by
 * 128) or into sRGB. */
struct scan_colours {
    void *self;
    void (*to_lab)(void *self, const uint8_t *cmyk, uint8_t *lab, size_t count);
    void (*to_rgb)(void *self, const uint8_t *cmyk, uint8_t *rgb, size_t count);
};

/* What a scan leaves, each over the whole box (model/maps.h). */
struct surface_scan {
    struct ink_map ink;        /* for coverage */
    struct detail_maps detail; /* for the cost of seams, in both directions */
    struct picture preview;    /* for people */
};

/* A scan of `box` (mm on the surface) from a CMYK8 rendering of `ppi` whose upper left pixel has its corner
 * at the box's upper left; it may reach past the right and lower edge by less than a pixel or two, no more
 * counts. The preview is at most `preview_most` pixels wide and high. */
struct scan;
struct scan *scan_new(struct arena *arena, struct rect box, double ppi, const struct scan_colours *colours,
                      int preview_most);
/* Where the rendering's strips go. Refuses another format than CMYK8 (FAILURE_INPUT). */
struct strip_sink scan_sink(struct scan *scan);
/* After the sink's end. In the arena of the scan. */
struct surface_scan *scan_result(struct scan *scan);

#endif
