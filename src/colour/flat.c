#include "flat.h"
#include <string.h>

enum { FLAT_RUN = 12 };

static int same(const uint8_t *one, const uint8_t *other, size_t bytes)
{
    return !memcmp(one, other, bytes);
}

/* How many pixels from `in` on equal the first: as long as every byte equals the one a pixel further. */
static size_t run_length(const uint8_t *in, size_t bytes, size_t count)
{
    size_t at = 0, end = (count - 1) * bytes;
    uint64_t one, other;
    for (; at + sizeof one <= end; at += sizeof one) {
        memcpy(&one, in + at, sizeof one);
        memcpy(&other, in + at + bytes, sizeof other);
        if (one != other) break;
    }
    while (at < end && in[at] == in[at + bytes]) at++;
    return at / bytes + 1;
}

void flat_fill(struct flat *flat, const uint8_t *in, uint8_t *out, size_t count)
{
    if (!flat->known || !same(flat->in, in, flat->in_bytes)) {
        memcpy(flat->in, in, flat->in_bytes);
        cmsDoTransform(flat->exact, flat->in, flat->out, 1);
        flat->known = 1;
    }
    if (flat->out_bytes == 4) /* CMYK, the usual case, in whole words */
        for (size_t i = 0; i < count; i++) memcpy(out + i * 4, flat->out, 4);
    else
        for (size_t i = 0; i < count; i++) memcpy(out + i * flat->out_bytes, flat->out, flat->out_bytes);
}

/* Looks for a run from its last pixel back: where two neighbours differ, no run of FLAT_RUN that begins
 * before them holds both, and a photograph is passed over in steps of eleven pixels. */
static inline __attribute__((always_inline)) struct flat_run find(const uint8_t *in, size_t count,
                                                                  size_t bytes)
{
    for (size_t at = 0; at + FLAT_RUN <= count;) {
        size_t back = at + FLAT_RUN - 1;
        while (back > at && same(in + back * bytes, in + (back - 1) * bytes, bytes)) back--;
        if (back == at) return (struct flat_run){at, run_length(in + at * bytes, bytes, count - at)};
        at = back;
    }
    return (struct flat_run){count, 0};
}

struct flat_run flat_find(const uint8_t *in, size_t count, size_t bytes)
{
    switch (bytes) { /* constants, so that pixels are compared without a call */
    case 3:
        return find(in, count, 3);
    case 4:
        return find(in, count, 4);
    default:
        return find(in, count, bytes);
    }
}
