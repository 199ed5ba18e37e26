/* Measures the layout of rectangles on a strip: one instance of the strip packing benchmarks, of processor time.
 *
 *     bench-rolls INSTANCE --seconds S [--tries N] [--seed N] [--out FILE]
 *
 * INSTANCE: number of rectangles, width of the strip, then a line "number width height" for each. Prints
 * "height LOWER HEIGHT proven|open SECONDS"; FILE gets a line "x y w h" for each rectangle in the instance's order. */
#include "clock.h"
#include "base/arena.h"
#include "base/machine.h"
#include "layout/strip.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool instance_read(const char *path, struct arena *arena, struct layout_order *order)
{
    FILE *file = fopen(path, "r");
    long long width = 0;
    if (!file || fscanf(file, "%zu %lld", &order->count, &width) != 2 || order->count > LAYOUT_PIECES_MOST)
        return false;
    struct layout_piece *pieces = arena_take_array(arena, order->count, sizeof *pieces);
    bool whole = true;
    for (size_t i = 0; i < order->count && whole; i++) {
        long long across = 0, along = 0;
        whole = fscanf(file, "%*s %lld %lld", &across, &along) == 2;
        pieces[i] = (struct layout_piece){across, along, false};
    }
    fclose(file);
    order->width = width, order->pieces = pieces;
    return whole;
}

static bool places_write(const char *path, const struct layout_order *order, const struct layout_strip *strip)
{
    FILE *file = fopen(path, "w");
    for (size_t i = 0; file && i < order->count; i++)
        fprintf(file, "%lld %lld %lld %lld\n", (long long)strip->places[i].across,
                (long long)strip->places[i].along, (long long)order->pieces[i].across,
                (long long)order->pieces[i].along);
    return file && !fclose(file);
}

static const char *option(int argc, char **argv, const char *name, const char *usual)
{
    for (int i = 2; i + 1 < argc; i++)
        if (!strcmp(argv[i], name)) return argv[i + 1];
    return usual;
}

int main(int argc, char **argv)
{
    struct machine machine = machine_real(argv[0]);
    struct arena *arena = arena_new(&machine);
    struct layout_order order = {0};
    struct layout_strip strip;
    struct error error;
    if (argc < 2 || !instance_read(argv[1], arena, &order)) {
        fprintf(stderr, "bench-rolls INSTANCE --seconds S [--tries N] [--seed N] [--out FILE]: no instance "
                        "could be read\n");
        return 2;
    }
    double start = bench_seconds();
    struct bench_clock clock = {start + strtod(option(argc, argv, "--seconds", "10"), NULL), 0};
    struct layout_effort effort = {strtoull(option(argc, argv, "--seed", "1"), NULL, 10),
                                   strtoll(option(argc, argv, "--tries", "0"), NULL, 10), bench_enough,
                                   &clock};
    if (!layout_strip(&order, &effort, arena, &strip, &error)) {
        fprintf(stderr, "%s: %s\n", argv[1], error.text);
        return 1;
    }
    printf("height %lld %lld %s %.2f\n", (long long)strip.lower, (long long)strip.used,
           strip.lower == strip.used ? "proven" : "open", bench_seconds() - start);
    const char *out = option(argc, argv, "--out", NULL);
    bool written = !out || places_write(out, &order, &strip);
    if (!written) fprintf(stderr, "%s could not be written\n", out);
    arena_free(arena);
    return written ? 0 : 1;
}
