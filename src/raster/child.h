/* Private to the raster room: what the two ends of the reader agree on. */
#ifndef RASTER_CHILD_H
#define RASTER_CHILD_H

#include "model/pixels.h"
#include <stdbool.h>
#include <stdint.h>

#define VERB_FACTS  "raster-facts"  /* SUBJECT; file at 3 -> the header */
#define VERB_STRIPS "raster-strips" /* SUBJECT SHRINK; file at 3, slots at 4, 5, 6 -> nothing */

/* A slot holds whole rows; the widest row allowed (300,000 x 8 bytes) fits. */
enum { SLOT_BYTES = 5 << 19 };

/* The first slot, before any rows. */
struct slot_header {
    int32_t width, height, format;
};

static inline int rows_in_slot(int width, enum pixel_format format)
{
    int fit = (int)(SLOT_BYTES / ((size_t)width * pixel_bytes(format)));
    return fit < STRIP_ROWS ? fit : STRIP_ROWS;
}

struct foreign;
struct decoder;
struct machine;
struct arena;
struct error;
/* Reader: the file at descriptor 3. */
bool foreign_of(struct foreign *file, struct machine *machine, struct arena *arena, const char *subject,
                struct error *error);
/* Reader: opened so that the decoder itself reduces by a factor of `shrink` where it can (decoder->scale). */
bool open_for(struct decoder *decoder, struct foreign *file, int shrink, struct error *error);

#endif
