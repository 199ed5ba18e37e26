/* Private to the raster room: a strip's bytes packed as any TIFF reader unpacks them. */
#ifndef RASTER_PACK_H
#define RASTER_PACK_H

#include "raster/tiff_out.h"

/* Differences to the pixel of four bytes on the left, modulo 256, each row for itself: the horizontal
 * predictor (TIFF 6.0, section 14). `count` rows of `stride` bytes (a multiple of four). */
void pack_predict(const uint8_t *rows, size_t stride, int count, uint8_t *differences);

/* A way of packing. Nothing is carried from one strip to the next: the same bytes give the same bytes. */
struct codec {
    /* Its memory, used by one thread at a time; to be given to close. NULL: there is not enough. */
    void *(*open)(void);
    /* Packs `length` bytes, at least one, in one piece. The length of the result; 0: `capacity` does not
     * suffice, or memory. */
    size_t (*pack)(void *self, const uint8_t *bytes, size_t length, uint8_t *packed, size_t capacity);
    void (*close)(void *self);
};
extern const struct codec pack_lzw, pack_deflate, pack_zstd;

/* `count` rows, predicted and packed into packed->memory; sets packed->bytes and length (0: no room or no
 * memory). For any number of threads; more of them than there are packers wait for each other. */
void packers_pack(struct tiff_packers *packers, enum tiff_compression compression, const uint8_t *rows,
                  size_t stride, int count, struct tiff_packed *packed);

#endif
