/* Writes a panel's TIFF strip by strip, and reads it back. Called by make and for kept artwork states;
 * packing is pack.c. */
#include "raster/tiff_out.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "pack.h"
#include "tiff_library.h"
#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <string.h>
#include <sys/statvfs.h>
#include <unistd.h>

enum { INKS = 4 };

/* Largest a classic file may get, with room for the directory, profile and tables behind the pixels. */
#define CLASSIC_MOST (4294967295.0 - 64.0 * 1024 * 1024)

static const struct compression {
    const char *name;
    uint16_t tag;
    double worst; /* a strip of noise may grow to this much of itself, and by PACK_SPARE */
} compressions[] = {
    [TIFF_NONE] = {"none", COMPRESSION_NONE, 1.0},
    [TIFF_LZW] = {"lzw", COMPRESSION_LZW, 1.501}, /* 12 bits for a byte, and clear codes */
    [TIFF_DEFLATE] = {"deflate", COMPRESSION_ADOBE_DEFLATE, 1.01},
    [TIFF_ZSTD] = {"zstd", COMPRESSION_ZSTD, 1.01},
};

const char *tiff_compression_name(enum tiff_compression compression)
{
    return compressions[compression].name;
}

enum { PACK_SPARE = 256 };

struct tiff_out {
    TIFF *tiff;
    struct tiff_words words;
    const char *path;
    int width, height;
    enum tiff_compression compression;
    size_t stride;
    int y;                              /* rows written */
    struct tiff_packers *packers, *own; /* own: if nobody gave any */
    /* With one thread: the strip being filled. */
    struct arena *arena;
    uint8_t *rows;
    int held;
    struct tiff_packed packed;
};

/* What the system said comes before the library's words, which tell a programmer more than a person; errno is
 * 0 before each of its calls. */
static bool failed(const struct tiff_out *out, struct error *error)
{
    const char *why = errno                ? strerror(errno)
                      : out->words.last[0] ? out->words.last
                                           : sentence_plain("no-room-or-no-memory");
    return error_set(error, FAILURE_MACHINE, "path-cannot-be-written-why",
                     ARGUMENTS(arg_words("path", out->path), arg_words("why", why)));
}

/* ---- starting ---- */

static void set_picture(TIFF *tiff, const struct tiff_order *order)
{
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, (uint32_t)order->width);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, (uint32_t)order->height);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 8);
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, INKS);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_SEPARATED);
    TIFFSetField(tiff, TIFFTAG_INKSET, INKSET_CMYK);
    TIFFSetField(tiff, TIFFTAG_ORIENTATION, ORIENTATION_TOPLEFT);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, (uint32_t)TIFF_ROWS);
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, compressions[order->compression].tag);
    if (order->compression != TIFF_NONE) TIFFSetField(tiff, TIFFTAG_PREDICTOR, PREDICTOR_HORIZONTAL);
}

static void set_words(TIFF *tiff, const struct tiff_order *order)
{
    if (order->ppi > 0) {
        TIFFSetField(tiff, TIFFTAG_XRESOLUTION, order->ppi);
        TIFFSetField(tiff, TIFFTAG_YRESOLUTION, order->ppi);
        TIFFSetField(tiff, TIFFTAG_RESOLUTIONUNIT, RESUNIT_INCH);
    }
    if (order->profile.length)
        TIFFSetField(tiff, TIFFTAG_ICCPROFILE, (uint32_t)order->profile.length, order->profile.bytes);
    if (order->description) TIFFSetField(tiff, TIFFTAG_IMAGEDESCRIPTION, order->description);
    if (order->xmp) TIFFSetField(tiff, TIFFTAG_XMLPACKET, (uint32_t)strlen(order->xmp), order->xmp);
    if (order->software) TIFFSetField(tiff, TIFFTAG_SOFTWARE, order->software);
    if (order->date_time) TIFFSetField(tiff, TIFFTAG_DATETIME, order->date_time);
}

/* What is not packed has its length beforehand: a disk with too little room says so before the work is done,
 * and room taken at once costs the file system less than piece by piece. One that cannot take it is no
 * failure. */
static bool reserve(const struct tiff_out *out, int fd, struct error *error)
{
    struct statvfs disk;
    off_t length = (off_t)out->stride * out->height;
    if (out->compression != TIFF_NONE) return true;
    if (!fstatvfs(fd, &disk) && disk.f_blocks &&
        (double)disk.f_bavail * (double)disk.f_frsize < (double)length)
        return error_set(
            error, FAILURE_MACHINE, "cannot-be-written-it-needs-mb",
            ARGUMENTS(arg_words("path", out->path), arg_fixed("length_m2", ceil((double)length / 1e6), 0),
                      arg_fixed("free", floor((double)disk.f_bavail * (double)disk.f_frsize / 1e6), 0)));
    fallocate(fd, FALLOC_FL_KEEP_SIZE, 0, length);
    return true;
}

struct tiff_out *tiff_out_new(struct arena *arena, int fd, const char *path, const struct tiff_order *order,
                              struct error *error)
{
    if (order->width < 1 || order->height < 1) {
        error_set(error, FAILURE_INPUT, "would-have-no-pixels",
                  ARGUMENTS(arg_words("path", path), arg_count("width", order->width),
                            arg_count("height", order->height)));
        return NULL;
    }
    struct tiff_out *out = arena_take(arena, sizeof *out);
    out->path = arena_copy_string(arena, path);
    out->width = order->width;
    out->height = order->height;
    out->stride = (size_t)order->width * INKS;
    out->compression = order->compression;
    out->arena = arena;
    if (!reserve(out, fd, error)) return NULL;
    double worst = (double)out->stride * order->height * compressions[order->compression].worst +
                   (double)order->profile.length;
    out->own = order->packers ? NULL : tiff_packers_new(arena, 1);
    out->packers = order->packers ? order->packers : out->own;
    errno = 0;
    out->tiff = tiff_library_open(fd, worst > CLASSIC_MOST ? "w8" : "w", &out->words);
    if (!out->tiff) {
        failed(out, error);
        return NULL;
    }
    set_picture(out->tiff, order);
    set_words(out->tiff, order);
    return out;
}

/* ---- strips ---- */

struct tiff_packed tiff_packed_new(struct arena *arena, const struct tiff_out *out)
{
    struct tiff_packed packed = {0};
    if (out->compression == TIFF_NONE) return packed;
    packed.capacity =
        (size_t)((double)out->stride * TIFF_ROWS * compressions[out->compression].worst) + PACK_SPARE;
    packed.memory = arena_take(arena, packed.capacity);
    return packed;
}

void tiff_pack(const struct tiff_out *out, const uint8_t *rows, int count, struct tiff_packed *packed)
{
    if (out->compression == TIFF_NONE) {
        packed->bytes = rows;
        packed->length = (size_t)count * out->stride;
        return;
    }
    packers_pack(out->packers, out->compression, rows, out->stride, count, packed);
}

bool tiff_out_packed(struct tiff_out *out, const struct tiff_packed *packed, int count, struct error *error)
{
    int left = out->height - out->y;
    if (count != (left < TIFF_ROWS ? left : TIFF_ROWS))
        return error_set(error, FAILURE_INPUT, "rows-came-where-strip-has",
                         ARGUMENTS(arg_words("path", out->path), arg_count("count", count),
                                   arg_count("tiff_rows", TIFF_ROWS)));
    if (!packed->length)
        return error_set(error, FAILURE_MACHINE, "there-is-too-little-memory-to",
                         ARGUMENTS(arg_words("path", out->path), arg_count("count", count)));
    assert(out->y % TIFF_ROWS == 0); /* a strip of less was the last one */
    tmsize_t size = (tmsize_t)packed->length;
    errno = 0;
    /* The library takes its bytes as they are and does not write to them. */
    if (TIFFWriteRawStrip(out->tiff, (uint32_t)(out->y / TIFF_ROWS), (void *)packed->bytes, size) != size)
        return failed(out, error);
    out->y += count;
    return true;
}

/* ---- rows, in one thread ---- */

static bool write_held(struct tiff_out *out, struct error *error)
{
    int count = out->held;
    out->held = 0;
    tiff_pack(out, out->rows, count, &out->packed);
    return tiff_out_packed(out, &out->packed, count, error);
}

bool tiff_out_rows(struct tiff_out *out, const uint8_t *rows, size_t stride, int count, struct error *error)
{
    if (count > out->height - out->y - out->held)
        return error_set(error, FAILURE_INPUT, "more-rows-came-than-its",
                         ARGUMENTS(arg_words("path", out->path), arg_count("height", out->height)));
    if (!out->rows) {
        out->rows = arena_take_array(out->arena, out->stride, TIFF_ROWS);
        out->packed = tiff_packed_new(out->arena, out);
    }
    for (int i = 0; i < count; i++) {
        assert(out->held < TIFF_ROWS);
        memcpy(out->rows + (size_t)out->held * out->stride, rows + (size_t)i * stride, out->stride);
        out->held++;
        bool full = out->held == TIFF_ROWS || out->y + out->held == out->height;
        if (full && !write_held(out, error)) return false;
    }
    return true;
}

bool tiff_out_end(struct tiff_out *out, struct error *error)
{
    bool whole = out->y == out->height;
    errno = 0;
    bool ok = whole && TIFFFlush(out->tiff) == 1;
    if (!whole)
        error_set(error, FAILURE_INPUT, "only-of-its-rows-came",
                  ARGUMENTS(arg_words("path", out->path), arg_count("out_y", out->y),
                            arg_count("height", out->height)));
    else if (!ok)
        failed(out, error);
    tiff_out_drop(out);
    return ok;
}

void tiff_out_drop(struct tiff_out *out)
{
    if (!out) return;
    tiff_packers_free(out->own);
    if (out->tiff) TIFFClose(out->tiff);
    out->tiff = NULL;
}

/* ---- the sink ---- */

static bool tiff_out_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    const struct tiff_out *out = self;
    if (shape->format == PIXELS_CMYK8 && shape->width == out->width && shape->height == out->height)
        return true;
    return error_set(error, FAILURE_INPUT, "is-pixels-of-8-bit-cmyk",
                     ARGUMENTS(arg_words("path", out->path), arg_count("width", out->width),
                               arg_count("height", out->height), arg_count("width_2", shape->width),
                               arg_count("height_2", shape->height)));
}

static bool tiff_out_strip(void *self, const struct strip *strip, struct error *error)
{
    return tiff_out_rows(self, strip->pixels, strip->stride, strip->rows, error);
}

static bool raster_tiff_out_end(void *self, struct error *error)
{
    return tiff_out_end(self, error);
}

struct strip_sink tiff_out_sink(struct tiff_out *out)
{
    return (struct strip_sink){out, tiff_out_begin, tiff_out_strip, raster_tiff_out_end};
}

/* ---- reading back ---- */

static bool is_ours(TIFF *tiff, struct strip_shape *shape, uint32_t *strip_rows)
{
    uint32_t width = 0, height = 0;
    uint16_t bits = 0, samples = 0, photometric = 0;
    float ppi = 0;
    TIFFGetField(tiff, TIFFTAG_IMAGEWIDTH, &width);
    TIFFGetField(tiff, TIFFTAG_IMAGELENGTH, &height);
    TIFFGetField(tiff, TIFFTAG_BITSPERSAMPLE, &bits);
    TIFFGetField(tiff, TIFFTAG_SAMPLESPERPIXEL, &samples);
    TIFFGetField(tiff, TIFFTAG_PHOTOMETRIC, &photometric);
    TIFFGetField(tiff, TIFFTAG_ROWSPERSTRIP, strip_rows);
    TIFFGetField(tiff, TIFFTAG_XRESOLUTION, &ppi);
    *shape = (struct strip_shape){(int)width, (int)height, PIXELS_CMYK8, (double)ppi};
    return width && height && width <= INT32_MAX / INKS && height <= INT32_MAX && bits == 8 &&
           samples == INKS && photometric == PHOTOMETRIC_SEPARATED && *strip_rows == TIFF_ROWS &&
           !TIFFIsTiled(tiff);
}

static bool read_strips(TIFF *tiff, const struct strip_shape *shape, uint8_t *rows, int every,
                        const char *path, struct strip_sink *sink, struct error *error)
{
    size_t stride = (size_t)shape->width * INKS;
    for (int y = 0; y < shape->height; y += TIFF_ROWS) {
        if (y / TIFF_ROWS % every) continue;
        int count = shape->height - y < TIFF_ROWS ? shape->height - y : TIFF_ROWS;
        tmsize_t size = (tmsize_t)((size_t)count * stride);
        if (TIFFReadEncodedStrip(tiff, (uint32_t)(y / TIFF_ROWS), rows, size) != size)
            return error_set(error, FAILURE_MACHINE, "what-was-written-cannot-be-read",
                             ARGUMENTS(arg_words("path", path), arg_count("y", y)));
        struct strip strip = {y, count, shape->width, PIXELS_CMYK8, stride, rows};
        if (!sink->strip(sink->self, &strip, error)) return false;
    }
    return true;
}

bool tiff_read_back(struct machine *machine, int fd, const char *path, int every, struct strip_sink *sink,
                    struct error *error)
{
    struct tiff_words words = {0};
    struct strip_shape shape;
    uint32_t strip_rows = 0;
    lseek(fd, 0, SEEK_SET);
    TIFF *tiff = tiff_library_open(fd, "r", &words);
    if (!tiff || !is_ours(tiff, &shape, &strip_rows)) {
        if (tiff) TIFFClose(tiff);
        return error_set(error, FAILURE_MACHINE, "what-was-written-is-not-panel",
                         ARGUMENTS(arg_words("path", path), arg_words("last", words.last)));
    }
    struct arena *arena = arena_new(machine);
    uint8_t *rows = arena_take_array(arena, (size_t)shape.width * INKS, TIFF_ROWS);
    bool ok = sink->begin(sink->self, &shape, error) &&
              read_strips(tiff, &shape, rows, every, path, sink, error) && sink->end(sink->self, error);
    arena_free(arena);
    TIFFClose(tiff);
    return ok;
}
