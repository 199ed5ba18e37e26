/* Packs strips of TIFF panels in threads, each with its own compressor. Called by tiff_out.c;
 * pack_deflate.c and pack_predict.c do the two steps. */
#include "pack.h"
#include "base/arena.h"
#include <assert.h>
#include <stdatomic.h>
#include <stdlib.h>

static const struct codec *const codecs[] = {
    [TIFF_LZW] = &pack_lzw, [TIFF_DEFLATE] = &pack_deflate, [TIFF_ZSTD] = &pack_zstd};

enum { CODECS = sizeof codecs / sizeof *codecs };

/* What one thread needs, got when it is first needed. */
struct packer {
    atomic_flag busy;
    void *opened[CODECS];
    uint8_t *differences;
    size_t length; /* of them */
};

struct tiff_packers {
    size_t count;
    struct packer packers[];
};

struct tiff_packers *tiff_packers_new(struct arena *arena, unsigned threads)
{
    size_t count = threads > 1 ? threads : 1;
    struct tiff_packers *packers = arena_take(arena, sizeof *packers + count * sizeof *packers->packers);
    packers->count = count;
    for (size_t i = 0; i < count; i++) atomic_flag_clear(&packers->packers[i].busy);
    return packers;
}

void tiff_packers_free(struct tiff_packers *packers)
{
    for (size_t i = 0; packers && i < packers->count; i++) {
        struct packer *packer = &packers->packers[i];
        for (size_t c = 0; c < CODECS; c++)
            if (codecs[c] && packer->opened[c]) codecs[c]->close(packer->opened[c]);
        free(packer->differences);
        *packer = (struct packer){.busy = ATOMIC_FLAG_INIT};
    }
}

/* The first that no other thread has. */
static struct packer *pack_take(struct tiff_packers *packers)
{
    size_t i = 0;
    while (atomic_flag_test_and_set_explicit(&packers->packers[i].busy, memory_order_acquire))
        i = (i + 1) % packers->count;
    return &packers->packers[i];
}

static void give_back(struct packer *packer)
{
    atomic_flag_clear_explicit(&packer->busy, memory_order_release);
}

static bool pack_make_ready(struct packer *packer, enum tiff_compression compression, size_t length)
{
    if (packer->length < length) {
        free(packer->differences);
        packer->differences = malloc(length);
        packer->length = packer->differences ? length : 0;
    }
    if (!packer->opened[compression]) packer->opened[compression] = codecs[compression]->open();
    return packer->differences && packer->opened[compression];
}

void packers_pack(struct tiff_packers *packers, enum tiff_compression compression, const uint8_t *rows,
                  size_t stride, int count, struct tiff_packed *packed)
{
    assert((int)compression < CODECS && codecs[compression]);
    struct packer *packer = pack_take(packers);
    size_t length = (size_t)count * stride;
    packed->bytes = packed->memory;
    packed->length = 0;
    if (pack_make_ready(packer, compression, length)) {
        pack_predict(rows, stride, count, packer->differences);
        packed->length = codecs[compression]->pack(packer->opened[compression], packer->differences, length,
                                                   packed->memory, packed->capacity);
    }
    give_back(packer);
    assert(packed->length <= packed->capacity);
}
