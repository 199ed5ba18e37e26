/* Fuzz target: outlines and masks, as artwork brings them. Whatever the numbers: nothing crashes, what comes out does
 * not cross itself, an offset goes the way it was asked to, and every ring is cut once.
 *
 * The bytes: how it is done (8), then points of two bytes each coordinate; a zero point begins another ring, and a few
 * values stand for what is no number. The same bytes are a mask. Built with -Dfuzz=true. */
#include "../tests/contour/outlines.h"
#include "contour/cut.h"
#include "contour/flaws.h"
#include "contour/marks.h"
#include "contour/trace.h"
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { POINTS_MOST = 24, ASKED_MOST = 20000 };

static bool long_enough(void *self)
{
    return ++*(int *)self > ASKED_MOST;
}

static double number_of(const uint8_t *bytes)
{
    int value = (int16_t)(bytes[0] << 8 | bytes[1]);
    if (value == INT16_MIN) return NAN;
    return value == INT16_MAX ? 1e300 : value / 128.0;
}

static size_t rings_of(const uint8_t *data, size_t size, struct arena *arena, struct polygon *rings)
{
    size_t count = 1, points = 0;
    rings[0] = ring_new(POINTS_MOST, arena), rings[0].count = 0;
    for (; size >= 4 && points < POINTS_MOST; data += 4, size -= 4, points++) {
        struct point p = {number_of(data), number_of(data + 2)};
        if (p.x == 0 && p.y == 0) rings[count] = ring_new(POINTS_MOST, arena), rings[count++].count = 0;
        rings[count - 1].points[rings[count - 1].count++] = p;
    }
    return count;
}

static void sound(const struct region *region, struct arena *arena)
{
    if (region_crossings(region, arena)) abort();
    for (size_t i = 0; i < region->count; i++)
        if (region->rings[i].count < 3 || polygon_area(&region->rings[i]) == 0) abort();
    if (!(region_area(region) >= 0)) abort();
}

static void use_offset(const struct region *region, const uint8_t *how, const struct contour_means *means)
{
    struct region offset, both;
    struct contour_marks marks;
    const struct contour_offset by = {(how[0] - 128) / 10.0, how[1] & 1, how[1] * 0.03, how[2] % 3 * 0.05,
                                      how[3] / 50.0,         how[4],     how[5]};
    if (!contour_offset(region, &by, means, &offset, NULL)) return;
    sound(&offset, means->arena);
    bool plain = by.fill_holes_mm2 == 0 && by.drop_islands_mm2 == 0;
    if (plain && by.by_mm > 0 && region_area(&offset) < region_area(region) - 0.1) abort();
    if (plain && by.by_mm < 0 && region_area(&offset) > region_area(region) + 0.1) abort();
    if (contour_combine(region, &offset, how[1] % 3, means, &both, NULL)) sound(&both, means->arena);
    struct contour_sheet sheet = {{-300, -300, 300, 300}, &offset};
    struct contour_mark_entry entry = {how[7] % 4, 1 + how[6] / 10.0, 0,     how[5] / 20.0,
                                       how[4],     how[3] % 9,        how[2]};
    contour_marks_place(&sheet, &entry, means, &marks, NULL);
}

static void use_seam(const struct region *region, const uint8_t *how, const struct contour_means *means)
{
    struct region parts[2];
    const struct contour_seam seam = {
        {how[6] - 100.0, how[5] - 100.0}, {how[4] - 128.0, how[7] - 128.0}, how[2] / 20.0, how[3] / 20.0};
    if (!contour_part(region, &seam, means, parts, NULL)) return;
    sound(&parts[0], means->arena), sound(&parts[1], means->arena);
}

static void use_knife(const struct region *region, const uint8_t *how, const struct contour_means *means)
{
    struct contour_flaws flaws;
    struct contour_cut_plan plan;
    const struct contour_knife knife = {{0, 0}, how[4] / 10.0, 100, 100, 0};
    contour_flaws_find(region, &(struct contour_limits){how[0] / 50.0, how[1] / 50.0, how[2] / 50.0, how[3]},
                       means, &flaws, NULL);
    if (contour_cut(region, &knife, means, &plan, NULL) && plan.count != region->count) abort();
}

static void use_mask(const uint8_t *data, size_t size, const struct contour_means *means)
{
    struct region region;
    const size_t width = 1 + data[1] % 16, height = size / width < 100 ? size / width : 100;
    const struct contour_mask mask = {data, width, height, width, 1 + data[2] / 16.0, {0, 0}};
    if (contour_trace(&mask, &(struct contour_trace){data[3], data[4] / 1000.0}, means, &region, NULL))
        sound(&region, means->arena);
}

/* One of what is done with an outline, by all of the bytes. */
static void use(const struct region *region, const uint8_t *data, size_t size,
                const struct contour_means *means)
{
    unsigned sum = 0;
    for (size_t i = 0; i < size; i++) sum += data[i];
    if (sum % 4 == 0) use_offset(region, data, means);
    if (sum % 4 == 1) use_seam(region, data, means);
    if (sum % 4 == 2) use_knife(region, data, means);
    if (sum % 4 == 3) use_mask(data, size, means);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 12) return 0;
    int asked = 0;
    struct machine machine = machine_real("");
    const struct contour_means means = {arena_new(&machine), long_enough, &asked};
    struct polygon rings[POINTS_MOST + 1];
    struct region region;
    struct error error;
    size_t count = rings_of(data + 8, size - 8, means.arena, rings);
    if (contour_clean(rings, count, data[0] % 3, &means, &region, &error)) {
        sound(&region, means.arena);
        use(&region, data, size, &means);
    } else if (error.kind != FAILURE_INPUT)
        abort();
    arena_free(means.arena);
    return 0;
}
