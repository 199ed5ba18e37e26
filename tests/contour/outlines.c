/* The random outlines and what contour makes of them, as text for tests/contour/clipper.py:
 *     number by tolerance seconds
 *     raw|clean|offset ring-count, then for each ring its points "x y ..."
 * outlines FROM COUNT [mitre] */
#include "outlines.h"
#include <stdio.h>
#include <string.h>
#include <time.h>

static void print_rings(const char *name, const struct polygon *rings, size_t count)
{
    printf("%s %zu\n", name, count);
    for (size_t r = 0; r < count; r++)
        for (size_t i = 0; i < rings[r].count; i++)
            printf("%.4f %.4f%c", rings[r].points[i].x, rings[r].points[i].y,
                   i + 1 < rings[r].count ? ' ' : '\n');
}

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool print_outline(size_t number, bool mitre, struct machine *machine)
{
    struct contour_means means = {.arena = arena_new(machine)};
    struct polygon rings[4];
    struct region clean, offset;
    struct error error;
    size_t count = rings_random(number, rings, means.arena);
    struct contour_offset how = offset_random(number);
    how.join = mitre ? CONTOUR_MITRE : CONTOUR_ROUND;
    double from = seconds();
    bool ok = contour_clean(rings, count, CONTOUR_EVEN_ODD, &means, &clean, &error) &&
              contour_offset(&clean, &how, &means, &offset, &error);
    if (ok) {
        printf("%zu %.6f %.3f\n", number, how.by_mm, seconds() - from);
        print_rings("raw", rings, count);
        print_rings("clean", clean.rings, clean.count);
        print_rings("offset", offset.rings, offset.count);
    } else
        fprintf(stderr, "outline %zu: %s\n", number, error.text);
    arena_free(means.arena);
    return ok;
}

int main(int count, char **arguments)
{
    struct machine machine = machine_real(arguments[0]);
    if (count < 3) return 2;
    size_t from = strtoul(arguments[1], NULL, 10), end = from + strtoul(arguments[2], NULL, 10);
    for (; from < end; from++)
        if (!print_outline(from, count > 3, &machine)) return 1;
    return 0;
}
