#include "tiff_encode.h"
#include "tiff_library.h"
#include <string.h>

/* A file of one strip in memory: the library packs only into files. What it writes after the strip, its
 * directory, is let go. */
struct memory_file {
    uint8_t *bytes;
    uint64_t capacity, length, at;
    bool closing;
};

static tmsize_t file_read(thandle_t handle, void *bytes, tmsize_t size)
{
    struct memory_file *file = handle;
    uint64_t left = file->at < file->length ? file->length - file->at : 0;
    uint64_t count = (uint64_t)size < left ? (uint64_t)size : left;
    memcpy(bytes, file->bytes + file->at, count);
    file->at += count;
    return (tmsize_t)count;
}

static tmsize_t file_write(thandle_t handle, void *bytes, tmsize_t size)
{
    struct memory_file *file = handle;
    if (file->closing) return size;
    if (file->at > file->capacity || (uint64_t)size > file->capacity - file->at) return 0;
    memcpy(file->bytes + file->at, bytes, (size_t)size);
    file->at += (uint64_t)size;
    if (file->at > file->length) file->length = file->at;
    return size;
}

static toff_t file_seek(thandle_t handle, toff_t offset, int whence)
{
    struct memory_file *file = handle;
    file->at = whence == SEEK_SET ? offset : offset + (whence == SEEK_CUR ? file->at : file->length);
    return file->at;
}

static toff_t file_size(thandle_t handle)
{
    return ((struct memory_file *)handle)->length;
}

static int file_close(thandle_t handle)
{
    (void)handle;
    return 0;
}

static void describe(TIFF *tiff, const struct tiff_encoding *encoding)
{
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, encoding->width);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, encoding->rows);
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, encoding->rows);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 8);
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, encoding->samples);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_SEPARATED);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, encoding->compression);
    TIFFSetField(tiff, TIFFTAG_PREDICTOR, PREDICTOR_HORIZONTAL);
}

bool tiff_encode(const struct tiff_encoding *encoding, const uint8_t *rows, struct tiff_packed *packed)
{
    struct memory_file file = {.bytes = packed->memory, .capacity = packed->capacity};
    struct tiff_words words = {0};
    TIFF *tiff = tiff_library_open_with(
        &file, (struct tiff_calls){file_read, file_write, file_seek, file_close, file_size}, &words);
    if (!tiff) return false;
    describe(tiff, encoding);
    tmsize_t size = (tmsize_t)encoding->width * encoding->rows * encoding->samples;
    /* The library's predictor copies the rows and leaves ours as they are. */
    bool ok = TIFFWriteEncodedStrip(tiff, 0, (void *)rows, size) == size;
    packed->bytes = packed->memory + TIFFGetStrileOffset(tiff, 0);
    packed->length = (size_t)TIFFGetStrileByteCount(tiff, 0);
    file.closing = true;
    TIFFClose(tiff);
    return ok;
}
