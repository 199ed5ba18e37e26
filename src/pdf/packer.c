/* A strip sink that packs a picture as Flate data with PNG's prediction, for embedding in a panel file.
 * Called by art for pictures other than JPEG. */
#include "pdf/panels.h"
#include "base/arena.h"
#include "base/machine.h"
#include <string.h>
#include <zlib.h>

enum { PIECE = 1 << 16, LEVEL = 3, PREDICTOR_UP = 2 };

struct pdf_packer {
    struct arena *arena;
    int fd;
    const char *path;
    struct strip_shape shape;
    z_stream deflate;
    size_t row_bytes, sample_bytes;
    uint8_t *above, *row, *packed; /* row: the predictor's byte, then the differences */
};

static void *packer_take(void *arena, unsigned count, unsigned size)
{
    return arena_take_array(arena, count, size);
}

static void packer_keep(void *arena, void *memory)
{
    (void)arena, (void)memory; /* the arena's */
}

static bool packer_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct pdf_packer *packer = self;
    packer->shape = *shape;
    packer->sample_bytes = pixel_bytes(shape->format) / pixel_samples(shape->format);
    packer->row_bytes = (size_t)shape->width * pixel_bytes(shape->format);
    packer->above = arena_take(packer->arena, packer->row_bytes);
    packer->row = arena_take(packer->arena, packer->row_bytes + 1);
    packer->packed = arena_take(packer->arena, PIECE);
    packer->deflate = (z_stream){.zalloc = packer_take, .zfree = packer_keep, .opaque = packer->arena};
    if (deflateInit(&packer->deflate, LEVEL) == Z_OK) return true;
    return error_set(error, FAILURE_MACHINE, "rows-cannot-be-packed",
                     ARGUMENTS(arg_words("path", packer->path)));
}

static bool packer_pack(struct pdf_packer *packer, const uint8_t *bytes, size_t length, int flush,
                        struct error *error)
{
    packer->deflate.next_in = (Bytef *)bytes;
    packer->deflate.avail_in = (uInt)length;
    do {
        packer->deflate.next_out = packer->packed;
        packer->deflate.avail_out = PIECE;
        deflate(&packer->deflate, flush);
        size_t ready = PIECE - packer->deflate.avail_out;
        if (!machine_write_fd(packer->fd, packer->packed, ready, packer->path, error)) return false;
    } while (!packer->deflate.avail_out);
    return true;
}

/* PNG's "up": each byte less the one above it. Samples of 16 bits go high byte first. */
static void predict(struct pdf_packer *packer, const uint8_t *pixels)
{
    size_t swap = packer->sample_bytes == 2 ? 1 : 0;
    packer->row[0] = PREDICTOR_UP;
    for (size_t i = 0; i < packer->row_bytes; i++) {
        uint8_t byte = pixels[i ^ swap];
        packer->row[i + 1] = (uint8_t)(byte - packer->above[i]);
        packer->above[i] = byte;
    }
}

static bool packer_strip(void *self, const struct strip *strip, struct error *error)
{
    struct pdf_packer *packer = self;
    for (int y = 0; y < strip->rows; y++) {
        predict(packer, strip->pixels + (size_t)y * strip->stride);
        if (!packer_pack(packer, packer->row, packer->row_bytes + 1, Z_NO_FLUSH, error)) return false;
    }
    return true;
}

static bool packer_end(void *self, struct error *error)
{
    struct pdf_packer *packer = self;
    bool ok = packer_pack(packer, packer->row, 0, Z_FINISH, error);
    deflateEnd(&packer->deflate);
    return ok;
}

struct pdf_packer *pdf_packer_new(struct arena *arena, int fd, const char *path)
{
    struct pdf_packer *packer = arena_take(arena, sizeof *packer);
    *packer = (struct pdf_packer){.arena = arena, .fd = fd, .path = path};
    return packer;
}

struct strip_sink pdf_packer_sink(struct pdf_packer *packer)
{
    return (struct strip_sink){packer, packer_begin, packer_strip, packer_end};
}
