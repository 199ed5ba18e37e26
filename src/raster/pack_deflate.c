/* Deflate for pack.c, by libdeflate. */
#include "pack.h"
#include <libdeflate.h>

/* The level that libraries take where none is asked for. */
enum { LEVEL = 6 };

static void *deflate_open(void)
{
    return libdeflate_alloc_compressor(LEVEL);
}

static size_t deflate_pack(void *self, const uint8_t *bytes, size_t length, uint8_t *packed, size_t capacity)
{
    return libdeflate_zlib_compress(self, bytes, length, packed, capacity);
}

static void deflate_close(void *self)
{
    libdeflate_free_compressor(self);
}

const struct codec pack_deflate = {deflate_open, deflate_pack, deflate_close};
