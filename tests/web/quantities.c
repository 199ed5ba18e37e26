/* Prints quantities as the server says them, for tests/web/words.mjs to say again: kind, figure, decimals or unit, and
 * the words, apart by tabs. The values: around every place where a rule changes, and a few hundred by chance of a
 * fixed seed. */
#include "base/arena.h"
#include "base/machine.h"
#include "base/quantity.h"
#include <math.h>
#include <stdio.h>

static const double edges[] = {0,    0.04,   0.05,  0.5,    0.949,    0.95,  1,         1.005,
                               1.45, 2.5,    2.54,  9.5,    9.999,    12.25, 59.5,      99.95,
                               100,  254,    304.8, 999.4,  999.5,    1000,  1310,      1431.5,
                               9999, 9999.5, 12345, 100000, 999999.5, 1e6,   1234567.8, 1e9};
enum { EDGES = sizeof edges / sizeof *edges, BY_CHANCE = 120 };

/* Lehmer's generator with the constants of Park and Miller (1988): the same values everywhere. */
static double quantities_chance(uint32_t *state)
{
    *state = (uint32_t)((uint64_t)*state * 48271 % 2147483647);
    return *state / 2147483647.0;
}

static void quantities_figure(double value, struct arena *arena)
{
    for (int decimals = 0; decimals <= 2; decimals++) {
        const char *words = quantity_figure(value, decimals, arena);
        printf("figure\t%.17g\t%d\t%s\n", value, decimals, words);
        printf("percent\t%.17g\t%d\t%s\u00a0%%\n", value, decimals, words);
        printf("hours\t%.17g\t%d\t%s\u00a0h\n", value, decimals, words);
    }
    printf("area\t%.17g\tmm\t%s\u00a0m2\n", value, quantity_figure(value, 2, arena));
    printf("area\t%.17g\tin\t%s\u00a0ft2\n", value, quantity_figure(value / (0.3048 * 0.3048), 1, arena));
}

static void quantities_length(double mm, struct arena *arena)
{
    for (int inches = 0; inches <= 1; inches++) {
        const char *unit = inches ? "in" : "mm";
        printf("length\t%.17g\t%s\t%s\n", mm, unit, quantity_length(mm, 0, inches, arena));
        printf("tenths\t%.17g\t%s\t%s\n", mm, unit, quantity_length(mm, 1, inches, arena));
        printf("run\t%.17g\t%s\t%s\n", mm, unit, quantity_run(mm, inches, arena));
    }
}

static void quantities_money(int64_t minor, struct arena *arena)
{
    printf("money\t%.2f\tEUR\t%s\n", (double)minor / 100, quantity_money(minor, "EUR", arena));
}

static void quantities_span(int64_t seconds, struct arena *arena)
{
    printf("span\t%lld\t-\t%s\n", (long long)seconds, quantity_span(seconds, arena));
}

static void quantities_edges(struct arena *arena)
{
    static const int64_t spans[] = {-5,     0,      1,      59,     60,     61,     3540,   3541,
                                    3600,   3601,   7200,   19200,  93600,  172740, 172741, 172800,
                                    172801, 176399, 176400, 259199, 259200, 2243640};
    for (int i = 0; i < EDGES; i++)
        for (int sign = -1; sign <= 1; sign += 2) {
            quantities_figure(sign * edges[i], arena);
            quantities_length(sign * edges[i], arena);
            quantities_money(sign * llround(edges[i] * 100), arena);
        }
    for (size_t i = 0; i < sizeof spans / sizeof *spans; i++) quantities_span(spans[i], arena);
}

int main(void)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    uint32_t state = 20270301;
    quantities_edges(arena);
    for (int i = 0; i < BY_CHANCE; i++) {
        double size = pow(10, 6 * quantities_chance(&state));
        quantities_figure(size * quantities_chance(&state), arena);
        quantities_length(size * quantities_chance(&state), arena);
        quantities_money((int64_t)(size * quantities_chance(&state) * 100), arena);
        quantities_span((int64_t)(size * quantities_chance(&state)), arena);
    }
    arena_free(arena);
    return 0;
}
