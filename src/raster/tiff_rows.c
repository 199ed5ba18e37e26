/* Unpacks a TIFF's rows from strips, tiles or planes, in bands of bounded memory. Runs in the reader child,
 * after tiff.c. */
#include "tiff.h"
#include "base/sentence.h"
#include <assert.h>
#include <string.h>

/* A strip or row of tiles up to the first is held whole; larger strips are read line by line; tiles and RGBA
 * have no such way and are refused over the second. */
static const size_t band_usual_most = (size_t)64 << 20;
static const size_t band_most = (size_t)400 << 20;

/* ---- preparing ---- */

static size_t packed_bytes(size_t width, size_t channels, unsigned bits)
{
    return (width * channels * bits + 7) / 8;
}

static bool too_large(const struct tiff_picture *picture, struct error *error)
{
    return error_set(error, FAILURE_INPUT, "its-pixels-lie-in-pieces-of",
                     ARGUMENTS(arg_words("subject", picture->file->subject),
                               arg_count("band_rows", (int64_t)picture->band_rows)));
}

static bool prepare_tiles(struct tiff_picture *picture, struct error *error)
{
    size_t channels = picture->planes ? 1 : picture->samples;
    TIFFGetField(picture->tiff, TIFFTAG_TILEWIDTH, &picture->tile_width);
    TIFFGetField(picture->tiff, TIFFTAG_TILELENGTH, &picture->band_rows);
    if (picture->tile_width < 1 || picture->tile_width > 65536 || picture->band_rows < 1 ||
        picture->band_rows > 65536 || picture->tile_width * channels * picture->bits % 8)
        return error_set(error, FAILURE_INPUT, "tiles-of-pixels-are-not-read",
                         ARGUMENTS(arg_words("subject", picture->file->subject),
                                   arg_count("tile_width", (int64_t)picture->tile_width),
                                   arg_count("band_rows", (int64_t)picture->band_rows)));
    picture->tile_line_bytes = packed_bytes(picture->tile_width, channels, picture->bits);
    size_t across = ((size_t)picture->width + picture->tile_width - 1) / picture->tile_width;
    picture->line_bytes = across * picture->tile_line_bytes;
    return picture->line_bytes * picture->band_rows * picture->plane_count <= band_most ||
           too_large(picture, error);
}

static bool prepare_strips(struct tiff_picture *picture, struct error *error)
{
    uint32_t rows = 0;
    TIFFGetFieldDefaulted(picture->tiff, TIFFTAG_ROWSPERSTRIP, &rows);
    picture->band_rows = rows < 1 || rows > (uint32_t)picture->height ? (uint32_t)picture->height : rows;
    size_t channels = picture->planes ? 1 : picture->samples;
    picture->line_bytes = packed_bytes((size_t)picture->width, channels, picture->bits);
    if (picture->line_bytes * picture->band_rows * picture->plane_count <= band_usual_most) return true;
    picture->from_file = picture->compression == COMPRESSION_NONE;
    picture->by_line = !picture->from_file && !picture->planes;
    return picture->from_file || picture->by_line || too_large(picture, error);
}

static bool prepare_rgba(struct tiff_picture *picture, struct error *error)
{
    picture->rgba.req_orientation = picture->rgba.orientation; /* as stored: turning is done later, once */
    picture->band_rows = (uint32_t)picture->height;
    if (picture->tiled)
        TIFFGetField(picture->tiff, TIFFTAG_TILELENGTH, &picture->band_rows);
    else
        TIFFGetFieldDefaulted(picture->tiff, TIFFTAG_ROWSPERSTRIP, &picture->band_rows);
    if (picture->band_rows < 1 || picture->band_rows > (uint32_t)picture->height)
        picture->band_rows = (uint32_t)picture->height;
    picture->line_bytes = (size_t)picture->width * 4;
    picture->layout.samples = 4; /* its fourth, opacity, is always full here */
    return picture->line_bytes * picture->band_rows <= band_most || too_large(picture, error);
}

bool tiff_rows_prepare(struct tiff_picture *picture, struct error *error)
{
    picture->plane_count = picture->planes ? picture->samples : 1;
    if (picture->as_rgba) return prepare_rgba(picture, error);
    return picture->tiled ? prepare_tiles(picture, error) : prepare_strips(picture, error);
}

static void take_memory(struct tiff_picture *picture)
{
    struct arena *arena = picture->file->arena;
    bool single = picture->from_file || picture->by_line;
    assert(picture->line_bytes >=
           packed_bytes((size_t)picture->width, picture->planes ? 1 : picture->samples, picture->bits));
    size_t rows = single ? 1 : picture->band_rows;
    picture->band = arena_take_array(arena, picture->plane_count * rows, picture->line_bytes);
    if (picture->tiled) picture->tile = arena_take_array(arena, picture->band_rows, picture->tile_line_bytes);
    picture->unpacked = arena_take_array(arena, (size_t)picture->width * (picture->samples + 2), 2);
}

/* ---- bands ---- */

static bool rows_damaged(const struct tiff_picture *picture, int64_t y, struct error *error)
{
    return error_set(error, FAILURE_INPUT, "tiff-file-is-damaged-at-row",
                     ARGUMENTS(arg_words("subject", picture->file->subject), arg_count("y", (int64_t)(y + 1)),
                               arg_count("height", picture->height),
                               arg_words("last", picture->words.last[0]
                                                     ? picture->words.last
                                                     : sentence_plain("its-pixels-cannot-be-decoded"))));
}

static size_t rows_in_band(const struct tiff_picture *picture, int64_t start)
{
    int64_t left = picture->height - start;
    return left < picture->band_rows ? (size_t)left : picture->band_rows;
}

static uint8_t *plane_band(const struct tiff_picture *picture, size_t plane)
{
    return picture->band + plane * picture->band_rows * picture->line_bytes;
}

static bool load_strips(struct tiff_picture *picture, int64_t start)
{
    tmsize_t size = (tmsize_t)(rows_in_band(picture, start) * picture->line_bytes);
    for (size_t plane = 0; plane < picture->plane_count; plane++) {
        uint32_t strip = TIFFComputeStrip(picture->tiff, (uint32_t)start, (uint16_t)plane);
        if (TIFFReadEncodedStrip(picture->tiff, strip, plane_band(picture, plane), size) != size)
            return false;
    }
    return true;
}

static bool load_tile(struct tiff_picture *picture, int64_t start, uint32_t x, size_t plane)
{
    uint32_t tile = TIFFComputeTile(picture->tiff, x, (uint32_t)start, 0, (uint16_t)plane);
    tmsize_t size = (tmsize_t)(picture->band_rows * picture->tile_line_bytes);
    assert((x / picture->tile_width + 1) * picture->tile_line_bytes <= picture->line_bytes);
    if (TIFFReadEncodedTile(picture->tiff, tile, picture->tile, size) != size) return false;
    uint8_t *to = plane_band(picture, plane) + (x / picture->tile_width) * picture->tile_line_bytes;
    for (size_t y = 0; y < picture->band_rows; y++)
        memcpy(to + y * picture->line_bytes, picture->tile + y * picture->tile_line_bytes,
               picture->tile_line_bytes);
    return true;
}

static bool load_tiles(struct tiff_picture *picture, int64_t start)
{
    for (size_t plane = 0; plane < picture->plane_count; plane++)
        for (uint32_t x = 0; x < (uint32_t)picture->width; x += picture->tile_width)
            if (!load_tile(picture, start, x, plane)) return false;
    return true;
}

static bool load_rgba(struct tiff_picture *picture, int64_t start)
{
    picture->rgba.row_offset = (int)start;
    picture->rgba.col_offset = 0;
    uint32_t rows = (uint32_t)rows_in_band(picture, start);
    return TIFFRGBAImageGet(&picture->rgba, (uint32_t *)(void *)picture->band, (uint32_t)picture->width,
                            rows);
}

static bool load_line(struct tiff_picture *picture, int64_t y)
{
    return TIFFReadScanline(picture->tiff, picture->band, (uint32_t)y, 0) == 1;
}

/* An uncompressed row at its place in the file, with what libtiff does to it otherwise. */
static bool load_from_file(struct tiff_picture *picture, int64_t y)
{
    uint16_t order = FILLORDER_MSB2LSB;
    TIFFGetFieldDefaulted(picture->tiff, TIFFTAG_FILLORDER, &order);
    for (size_t plane = 0; plane < picture->plane_count; plane++) {
        uint32_t strip = TIFFComputeStrip(picture->tiff, (uint32_t)y, (uint16_t)plane);
        uint64_t inside = (uint64_t)(y % picture->band_rows) * picture->line_bytes;
        uint64_t length = TIFFGetStrileByteCount(picture->tiff, strip);
        uint8_t *to = picture->band + plane * picture->line_bytes;
        if (inside + picture->line_bytes > length ||
            !foreign_read(picture->file, TIFFGetStrileOffset(picture->tiff, strip) + inside, to,
                          picture->line_bytes))
            return false;
        if (order == FILLORDER_LSB2MSB) TIFFReverseBits(to, (tmsize_t)picture->line_bytes);
        if (picture->bits == 16 && TIFFIsByteSwapped(picture->tiff))
            TIFFSwabArrayOfShort((uint16_t *)(void *)to, (tmsize_t)(picture->line_bytes / 2));
    }
    return true;
}

/* Brings row y into the band. */
static bool rows_load(struct tiff_picture *picture, int64_t y, struct error *error)
{
    bool ok;
    if (picture->from_file || picture->by_line) {
        ok = picture->from_file ? load_from_file(picture, y) : load_line(picture, y);
        picture->band_start = y;
        return ok || rows_damaged(picture, y, error);
    }
    int64_t start = y - y % picture->band_rows;
    if (picture->band_start == start) return true;
    if (picture->as_rgba)
        ok = load_rgba(picture, start);
    else
        ok = picture->tiled ? load_tiles(picture, start) : load_strips(picture, start);
    picture->band_start = ok ? start : -1;
    return ok || rows_damaged(picture, start, error);
}

/* ---- unpacking ---- */

/* Samples of any depth up to 16 lie one after the other, highest bit first. */
static unsigned bits_at(const uint8_t *row, size_t bit, unsigned bits)
{
    size_t byte = bit / 8;
    unsigned shift = (unsigned)(bit % 8), value = 0, got = 0;
    while (got < shift + bits) value = value << 8 | row[byte++], got += 8;
    return value >> (got - shift - bits) & ((1u << bits) - 1);
}

static unsigned rows_sample_at(const struct tiff_picture *picture, const uint8_t *row, size_t index)
{
    if (picture->bits == 8) return row[index];
    if (picture->bits == 16) return ((const uint16_t *)(const void *)row)[index];
    return bits_at(row, index * picture->bits, picture->bits);
}

static unsigned rows_spread(unsigned value, unsigned bits)
{
    assert(bits >= 1 && bits <= 16);
    unsigned from = (1u << bits) - 1, to = bits > 8 ? 65535 : 255;
    return from == to ? value : (value * to + from / 2) / from;
}

static const uint8_t *plane_row(const struct tiff_picture *picture, size_t plane, int64_t y)
{
    size_t rows = picture->from_file || picture->by_line ? 1 : picture->band_rows;
    size_t inside = (size_t)(y - picture->band_start);
    return picture->band + (plane * rows + inside) * picture->line_bytes;
}

static void rows_put(const struct tiff_picture *picture, size_t at, unsigned value)
{
    if (picture->bits > 8)
        ((uint16_t *)picture->unpacked)[at] = (uint16_t)value;
    else
        ((uint8_t *)picture->unpacked)[at] = (uint8_t)value;
}

static void unpack(struct tiff_picture *picture, int64_t y)
{
    size_t out = 0;
    unsigned unit = picture->palette_unit;
    const uint8_t *first = plane_row(picture, 0, y);
    for (size_t x = 0; x < (size_t)picture->width; x++)
        for (unsigned s = 0; s < picture->samples; s++) {
            const uint8_t *row = picture->planes ? plane_row(picture, s, y) : first;
            unsigned value = rows_sample_at(picture, row, picture->planes ? x : x * picture->samples + s);
            if (picture->palette[0] && s == 0) {
                for (int c = 0; c < 3; c++)
                    rows_put(picture, out++, (picture->palette[c][value] + unit / 2) / unit);
            } else {
                rows_put(picture, out++, rows_spread(value, picture->bits));
            }
        }
}

bool tiff_row(void *self, uint8_t *pixels, struct error *error)
{
    struct tiff_picture *picture = self;
    if (!picture->band) take_memory(picture);
    int64_t y = picture->next;
    if (!rows_load(picture, y, error)) return false;
    assert(y >= picture->band_start && y - picture->band_start < picture->band_rows);
    bool plain = picture->as_rgba ||
                 (!picture->planes && !picture->palette[0] && (picture->bits == 8 || picture->bits == 16));
    if (!plain) unpack(picture, y);
    flatten_row(&picture->layout, plain ? plane_row(picture, 0, y) : picture->unpacked, pixels,
                picture->width);
    picture->next++;
    return true;
}

bool tiff_rewind(void *self, struct error *error)
{
    (void)error;
    struct tiff_picture *picture = self;
    picture->next = 0;
    return true;
}
