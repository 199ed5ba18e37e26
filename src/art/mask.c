/* Takes the ink off pixels outside of a printed region, row by row. Called by render.c. */
#include "mask.h"
#include "base/units.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct mask {
    const struct region *printed;
    struct pixel_grid grid;
    struct strip_sink next;
    struct arena *arena;
    uint8_t *rows; /* STRIP_ROWS of them */
    size_t row_bytes, pixel_bytes;
    double *crossings; /* of a row's middle with the region's edge, pixels */
};

static bool mask_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct mask *mask = self;
    mask->pixel_bytes = pixel_bytes(shape->format);
    assert(shape->width == mask->grid.width && pixel_samples(shape->format) == 4); /* 0 is no ink */
    mask->row_bytes = (size_t)shape->width * mask->pixel_bytes;
    mask->rows = arena_take_array(mask->arena, STRIP_ROWS, mask->row_bytes);
    mask->crossings = arena_take_array(mask->arena, region_points(mask->printed), sizeof *mask->crossings);
    return mask->next.begin(mask->next.self, shape, error);
}

static int mask_by_place(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

/* In pixels from the left of the grid, rising; an even number. */
static size_t mask_crossings(const struct mask *mask, int row)
{
    double pixel = MM_PER_INCH / mask->grid.ppi, y = mask->grid.box.y1 - (row + 0.5) * pixel;
    size_t count = 0;
    for (size_t r = 0; r < mask->printed->count; r++) {
        const struct polygon *ring = &mask->printed->rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            struct point p = ring->points[i], q = ring->points[(i + 1) % ring->count];
            if ((p.y > y) == (q.y > y)) continue;
            double x = p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x);
            mask->crossings[count++] = (x - mask->grid.box.x0) / pixel;
        }
    }
    assert(count % 2 == 0); /* closed lines come back */
    if (count) qsort(mask->crossings, count, sizeof *mask->crossings, mask_by_place);
    return count;
}

/* The first pixel whose middle lies at or after the place. */
static size_t mask_pixel(const struct mask *mask, double place)
{
    double first = ceil(place - 0.5);
    return first <= 0 ? 0 : first >= mask->grid.width ? (size_t)mask->grid.width : (size_t)first;
}

static void mask_row(const struct mask *mask, int row, uint8_t *pixels)
{
    size_t count = mask_crossings(mask, row), clear = 0;
    for (size_t i = 0; i <= count; i += 2) {
        size_t until = i < count ? mask_pixel(mask, mask->crossings[i]) : (size_t)mask->grid.width;
        if (until > clear) memset(pixels + clear * mask->pixel_bytes, 0, (until - clear) * mask->pixel_bytes);
        if (i < count) clear = mask_pixel(mask, mask->crossings[i + 1]);
    }
}

static bool mask_strip(void *self, const struct strip *strip, struct error *error)
{
    struct mask *mask = self;
    for (int done = 0; done < strip->rows;) {
        int rows = strip->rows - done < STRIP_ROWS ? strip->rows - done : STRIP_ROWS;
        for (int i = 0; i < rows; i++) {
            uint8_t *row = mask->rows + (size_t)i * mask->row_bytes;
            memcpy(row, strip->pixels + (size_t)(done + i) * strip->stride, mask->row_bytes);
            mask_row(mask, strip->y + done + i, row);
        }
        struct strip part = *strip;
        part.y += done, part.rows = rows, part.stride = mask->row_bytes, part.pixels = mask->rows;
        if (!mask->next.strip(mask->next.self, &part, error)) return false;
        done += rows;
    }
    return true;
}

static bool mask_end(void *self, struct error *error)
{
    struct mask *mask = self;
    return mask->next.end(mask->next.self, error);
}

struct strip_sink mask_sink(const struct region *printed, const struct pixel_grid *grid, struct arena *arena,
                            struct strip_sink next)
{
    struct mask *mask = arena_take(arena, sizeof *mask);
    *mask = (struct mask){.printed = printed, .grid = *grid, .next = next, .arena = arena};
    return (struct strip_sink){mask, mask_begin, mask_strip, mask_end};
}
