/* Turns rows upright, whatever orientation the file states. Runs in the reader child, between decoder and
 * shrinking. */
#include "upright.h"
#include <assert.h>
#include <string.h>

static const size_t band_most = (size_t)128 << 20;

/* ---- which way up ---- */

static bool lies(int orientation)
{
    return orientation >= 5;
}

void upright_size(int orientation, int stored_width, int stored_height, int *width, int *height)
{
    *width = lies(orientation) ? stored_height : stored_width;
    *height = lies(orientation) ? stored_width : stored_height;
}

/* TIFF 6.0, Orientation: where the stored row 0 and column 0 are seen. */
static bool rows_reversed(int orientation) /* the stored row runs against the displayed axis */
{
    return orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7;
}

static bool columns_reversed(int orientation)
{
    return orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8;
}

struct upright upright_new(struct decoder *decoder, struct arena *arena)
{
    const struct header *header = &decoder->header;
    struct upright upright = {
        .decoder = decoder,
        .stored_width = (header->width + decoder->scale - 1) / decoder->scale,
        .stored_height = (header->height + decoder->scale - 1) / decoder->scale,
        .pixel = pixel_bytes(header->format),
        .band_start = -1,
    };
    upright_size(header->orientation, upright.stored_width, upright.stored_height, &upright.width,
                 &upright.height);
    assert(upright.stored_width >= 1 && upright.stored_height >= 1); /* the decoder refused anything less */
    upright.line = arena_take_array(arena, (size_t)upright.stored_width, upright.pixel);
    if (header->orientation <= 2) return upright;
    size_t fit = band_most / ((size_t)upright.width * upright.pixel);
    upright.band_rows = fit < 1 ? 1 : fit > (size_t)upright.height ? upright.height : (int)fit;
    upright.band = arena_take_array(arena, (size_t)upright.band_rows * (size_t)upright.width, upright.pixel);
    return upright;
}

static void reverse(const uint8_t *from, uint8_t *to, int width, size_t pixel)
{
    for (int x = 0; x < width; x++)
        memcpy(to + (size_t)(width - 1 - x) * pixel, from + (size_t)x * pixel, pixel);
}

/* Puts the part of the stored row r that the band shows into it. */
static void upright_place(struct upright *upright, int r)
{
    int orientation = upright->decoder->header.orientation;
    size_t pixel = upright->pixel, stride = (size_t)upright->width * pixel;
    int along = rows_reversed(orientation) ? upright->stored_height - 1 - r : r;
    assert(along >= 0 && along < upright->stored_height);
    if (!lies(orientation)) {
        int y = along - upright->band_start;
        if (y < 0 || y >= upright->band_rows) return;
        uint8_t *to = upright->band + (size_t)y * stride;
        if (columns_reversed(orientation))
            reverse(upright->line, to, upright->width, pixel);
        else
            memcpy(to, upright->line, stride);
        return;
    }
    int rows = upright->height - upright->band_start;
    if (rows > upright->band_rows) rows = upright->band_rows;
    for (int y = 0; y < rows; y++) {
        int shown = upright->band_start + y;
        int column = columns_reversed(orientation) ? upright->stored_width - 1 - shown : shown;
        memcpy(upright->band + (size_t)y * stride + (size_t)along * pixel,
               upright->line + (size_t)column * pixel, pixel);
    }
}

static bool fill_band(struct upright *upright, struct error *error)
{
    struct decoder *decoder = upright->decoder;
    upright->band_start = upright->next;
    if (!decoder->rewind(decoder->self, error)) return false;
    for (int r = 0; r < upright->stored_height; r++) {
        if (!decoder->row(decoder->self, upright->line, error)) return false;
        upright_place(upright, r);
    }
    return true;
}

bool upright_row(struct upright *upright, uint8_t *pixels, struct error *error)
{
    struct decoder *decoder = upright->decoder;
    int y = upright->next, orientation = decoder->header.orientation;
    assert(y < upright->height); /* nobody asks for a row too many */
    if (orientation <= 2) {
        upright->next++;
        if (orientation != 2) return decoder->row(decoder->self, pixels, error);
        if (!decoder->row(decoder->self, upright->line, error)) return false;
        reverse(upright->line, pixels, upright->width, upright->pixel);
        return true;
    }
    bool there = upright->band_start >= 0 && y < upright->band_start + upright->band_rows;
    if (!there && !fill_band(upright, error)) return false;
    assert(y >= upright->band_start && y - upright->band_start < upright->band_rows);
    size_t stride = (size_t)upright->width * upright->pixel;
    memcpy(pixels, upright->band + (size_t)(y - upright->band_start) * stride, stride);
    upright->next++;
    return true;
}
