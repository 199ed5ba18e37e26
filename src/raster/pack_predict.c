/* TIFF's horizontal prediction of CMYK rows, before they are deflated. Called by pack.c. */
#include "pack.h"
#include "base/wide.h"
#include <string.h>

enum { PIXEL = 4 };

WIDE void pack_predict(const uint8_t *rows, size_t stride, int count, uint8_t *differences)
{
    for (int y = 0; y < count; y++) {
        const uint8_t *restrict row = rows + (size_t)y * stride;
        uint8_t *restrict out = differences + (size_t)y * stride;
        memcpy(out, row, PIXEL);
        for (size_t i = PIXEL; i < stride; i++) out[i] = (uint8_t)(row[i] - row[i - PIXEL]);
    }
}
