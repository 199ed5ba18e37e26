/* Fuzz target: any bytes as a measurement file. Nothing may crash, hang, or be accepted without sound
 * patches.
 *
 * Built with -Dfuzz=true, or by hand:
 *     clang -fsanitize=fuzzer,address,undefined -D_GNU_SOURCE -Isrc/base/pub -Isrc/geom/pub -Isrc/model/pub
 *         -Isrc/colour/pub fuzz/measurement.c src/colour/lines.c src/colour/measurement.c src/base/[a-z]*.c
 *         -lm -lpthread */
#include "base/arena.h"
#include "colour/measurement.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(const struct measurement *m)
{
    if (!m->count || m->count > MEASUREMENT_PATCHES_MOST || !m->tables) abort();
    if (!str_is_utf8(str_from(m->description)) || !str_is_utf8(str_from(m->conditions))) abort();
    for (size_t i = 0; i < m->count; i++) {
        const struct measured_patch *patch = &m->patches[i];
        if (patch->line < 1 || !str_is_utf8(str_from(patch->name))) abort();
        for (int k = 0; k < 4; k++)
            if (!(patch->cmyk[k] >= 0 && patch->cmyk[k] <= 100)) abort();
        if (m->has_lab && !isfinite(patch->lab.L + patch->lab.a + patch->lab.b)) abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct measurement m;
    struct error error = {0};
    if (measurement_from_bytes((struct str){(const char *)data, size}, "chart.txt", arena, &m, &error))
        check(&m);
    else if (error.kind != FAILURE_INPUT || !strstr(error.text, "chart.txt") ||
             !str_is_utf8(str_from(error.text)))
        abort();
    measurement_likeness((struct str){(const char *)data, size});
    arena_free(arena);
    return 0;
}
