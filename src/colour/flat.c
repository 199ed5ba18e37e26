#include "flat.h"
#include <string.h>

enum { FLAT_RUN = 12 };

/* How many pixels from `in` on equal the first. */
static size_t run_length(const uint8_t *in, size_t bytes, size_t count)
{
    size_t n = 1;
    while (n < count && !memcmp(in, in + n * bytes, bytes)) n++;
    return n;
}

static void fill(struct flat *flat, const uint8_t *in, uint8_t *out, size_t count)
{
    if (!flat->known || memcmp(flat->in, in, flat->in_bytes) != 0) {
        memcpy(flat->in, in, flat->in_bytes);
        cmsDoTransform(flat->exact, flat->in, flat->out, 1);
        flat->known = 1;
    }
    for (size_t i = 0; i < count; i++) memcpy(out + i * flat->out_bytes, flat->out, flat->out_bytes);
}

void flat_runs(struct flat *flat, const uint8_t *in, uint8_t *out, size_t count)
{
    size_t bytes = flat->in_bytes;
    for (size_t at = 0; at + FLAT_RUN <= count;) {
        /* Without its last pixel there is no run here; one comparison passes over most of a photograph. */
        if (memcmp(in + at * bytes, in + (at + FLAT_RUN - 1) * bytes, bytes) != 0) {
            at++;
            continue;
        }
        size_t n = run_length(in + at * bytes, bytes, count - at);
        if (n >= FLAT_RUN) fill(flat, in + at * bytes, out + at * flat->out_bytes, n);
        at += n;
    }
}
