/* The general TIFF library on a file in memory: packs a strip, and unpacks what we packed. */
#ifndef MEMORY_TIFF_H
#define MEMORY_TIFF_H

#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <tiffio.h>

struct memory_file {
    uint8_t *bytes;
    size_t capacity, length, at;
};

/* One strip of 8 bit samples. */
struct memory_strip {
    uint16_t compression; /* COMPRESSION_... */
    uint32_t width, rows;
    uint16_t samples;
    bool predicted; /* with the horizontal predictor */
};

static inline tmsize_t memory_read(thandle_t handle, void *bytes, tmsize_t size)
{
    struct memory_file *file = handle;
    size_t left = file->at < file->length ? file->length - file->at : 0;
    size_t count = (size_t)size < left ? (size_t)size : left;
    memcpy(bytes, file->bytes + file->at, count);
    file->at += count;
    return (tmsize_t)count;
}

static inline tmsize_t memory_write(thandle_t handle, void *bytes, tmsize_t size)
{
    struct memory_file *file = handle;
    if (file->at > file->capacity || (size_t)size > file->capacity - file->at) return 0;
    memcpy(file->bytes + file->at, bytes, (size_t)size);
    file->at += (size_t)size;
    if (file->at > file->length) file->length = file->at;
    return size;
}

static inline toff_t memory_seek(thandle_t handle, toff_t offset, int whence)
{
    struct memory_file *file = handle;
    file->at = whence == SEEK_SET ? offset : offset + (whence == SEEK_CUR ? file->at : file->length);
    return file->at;
}

static inline toff_t memory_size(thandle_t handle)
{
    return ((struct memory_file *)handle)->length;
}

static inline int memory_close(thandle_t handle)
{
    (void)handle;
    return 0;
}

static inline TIFF *memory_tiff(struct memory_file *file, const char *mode)
{
    return TIFFClientOpen("memory", mode, file, memory_read, memory_write, memory_seek, memory_close,
                          memory_size, NULL, NULL);
}

static inline TIFF *memory_tiff_new(struct memory_file *file, const struct memory_strip *strip)
{
    file->length = file->at = 0;
    TIFF *tiff = memory_tiff(file, "wm");
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, strip->width);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, strip->rows);
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, strip->rows);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 8);
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, (int)strip->samples);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC,
                 strip->samples == 4 ? PHOTOMETRIC_SEPARATED : PHOTOMETRIC_MINISBLACK);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, (int)strip->compression);
    if (strip->predicted) TIFFSetField(tiff, TIFFTAG_PREDICTOR, PREDICTOR_HORIZONTAL);
    return tiff;
}

static inline size_t memory_strip_size(const struct memory_strip *strip)
{
    return (size_t)strip->width * strip->rows * strip->samples;
}

/* Packed by the library: the strip's length, 0 when it could not. */
static inline size_t library_packs(struct memory_file *file, const struct memory_strip *strip,
                                   const uint8_t *rows)
{
    TIFF *tiff = memory_tiff_new(file, strip);
    tmsize_t size = (tmsize_t)memory_strip_size(strip);
    bool ok = TIFFWriteEncodedStrip(tiff, 0, (void *)rows, size) == size;
    size_t length = ok ? (size_t)TIFFGetStrileByteCount(tiff, 0) : 0;
    TIFFClose(tiff);
    return length;
}

/* Whether the library unpacks `packed`, into `rows`. */
static inline bool library_unpacks(struct memory_file *file, const struct memory_strip *strip,
                                   const uint8_t *packed, size_t length, uint8_t *rows)
{
    TIFF *tiff = memory_tiff_new(file, strip);
    bool ok = TIFFWriteRawStrip(tiff, 0, (void *)packed, (tmsize_t)length) == (tmsize_t)length;
    TIFFClose(tiff);
    file->at = 0;
    tmsize_t size = (tmsize_t)memory_strip_size(strip);
    tiff = ok ? memory_tiff(file, "rm") : NULL;
    ok = tiff && TIFFReadEncodedStrip(tiff, 0, rows, size) == size;
    if (tiff) TIFFClose(tiff);
    return ok;
}

#endif
