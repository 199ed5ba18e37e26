/* Reads what a TIFF says before its pixels: geometry, colours, profile, whether all is there. Runs in the
 * reader child; opened by decoder.c, pixels are tiff_rows.c. */
#include "tiff.h"
#include "base/sentence.h"
#include <string.h>

enum { PROFILE_MOST = 64 << 20, SAMPLES_MOST = 32 };

static unsigned tiff_number(TIFF *tiff, uint32_t tag)
{
    uint16_t value = 0;
    TIFFGetFieldDefaulted(tiff, tag, &value);
    return value;
}

static bool tiff_refuse(const struct tiff_picture *picture, struct error *error, const char *reason)
{
    return error_set(error, FAILURE_INPUT, "path-trouble",
                     ARGUMENTS(arg_words("path", picture->file->subject), arg_words("trouble", reason)));
}

/* ---- what it says besides its pixels ---- */

static void tiff_read_resolution(const struct tiff_picture *picture, struct header *header)
{
    float x = 0, y = 0;
    unsigned unit = tiff_number(picture->tiff, TIFFTAG_RESOLUTIONUNIT);
    double per_inch = unit == RESUNIT_INCH ? 1 : unit == RESUNIT_CENTIMETER ? 2.54 : 0;
    if (TIFFGetField(picture->tiff, TIFFTAG_XRESOLUTION, &x))
        header->x_ppi = usable_ppi((double)x * per_inch);
    if (TIFFGetField(picture->tiff, TIFFTAG_YRESOLUTION, &y))
        header->y_ppi = usable_ppi((double)y * per_inch);
    if (header->x_ppi <= 0 || header->y_ppi <= 0) header->x_ppi = header->y_ppi = 0;
}

static void tiff_read_profile(const struct tiff_picture *picture, struct header *header)
{
    uint32_t length = 0;
    void *bytes = NULL;
    if (!TIFFGetField(picture->tiff, TIFFTAG_ICCPROFILE, &length, &bytes) || !length || length > PROFILE_MOST)
        return;
    struct arena *arena = picture->file->arena;
    header_take_profile(header, arena, (struct str){arena_copy(arena, bytes, length), length});
}

static void count_pages(const struct tiff_picture *picture, struct header *header)
{
    if (TIFFLastDirectory(picture->tiff)) return;
    header->page_count = (int)TIFFNumberOfDirectories(picture->tiff);
    if (header->page_count > 1)
        header_remark(header, picture->file->arena, "file-holds-pictures-first-is-used",
                      ARGUMENTS(arg_count("pages", header->page_count)));
}

/* ---- which colours, and how they lie ---- */

static bool read_extra(struct tiff_picture *picture, struct header *header, unsigned colours)
{
    uint16_t count = 0, *kinds = NULL;
    TIFFGetField(picture->tiff, TIFFTAG_EXTRASAMPLES, &count, &kinds);
    unsigned dropped = picture->samples - colours;
    for (unsigned i = 0; i < count && i < picture->samples - colours; i++) {
        if (kinds[i] != EXTRASAMPLE_ASSOCALPHA && kinds[i] != EXTRASAMPLE_UNASSALPHA) continue;
        header->alpha = true;
        header->premultiplied = kinds[i] == EXTRASAMPLE_ASSOCALPHA;
        picture->layout.alpha = (int)(colours + i);
        dropped--;
        break;
    }
    if (dropped)
        header_remark(header, picture->file->arena, "beside-its-colours-picture-has-more",
                      ARGUMENTS(arg_count("dropped", (int64_t)dropped)));
    return true;
}

static bool read_palette(struct tiff_picture *picture, struct error *error)
{
    uint16_t *map[3];
    if (picture->bits > 8 || !TIFFGetField(picture->tiff, TIFFTAG_COLORMAP, &map[0], &map[1], &map[2]))
        return tiff_refuse(picture, error, sentence_plain("its-palette-is-missing-save-it"));
    /* TIFF 6.0 has 0..65535; some writers fill in bytes, or bytes with 8 empty bits below. */
    unsigned most = 0, low = 0;
    for (int c = 0; c < 3; c++)
        for (unsigned i = 0; i < 1u << picture->bits; i++) {
            most = map[c][i] > most ? map[c][i] : most;
            low |= map[c][i] & 0xFFu;
        }
    picture->palette_unit = most < 256 ? 1 : low ? 257 : 256;
    for (int c = 0; c < 3; c++) picture->palette[c] = map[c];
    return true;
}

static bool read_ycbcr(struct tiff_picture *picture, struct error *error)
{
    if (picture->bits != 8 || picture->samples != 3)
        return tiff_refuse(picture, error, sentence_plain("ycbcr-other-than-3-channels-of"));
    if (picture->compression == COMPRESSION_JPEG) {
        TIFFSetField(picture->tiff, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
        return true;
    }
    char reason[1024] = "";
    if (!TIFFRGBAImageOK(picture->tiff, reason) ||
        !TIFFRGBAImageBegin(&picture->rgba, picture->tiff, 1, reason))
        return error_set(
            error, FAILURE_INPUT, "its-ycbcr-colours-cannot-be-read",
            ARGUMENTS(arg_words("subject", picture->file->subject), arg_words("reason", reason)));
    picture->as_rgba = true;
    picture->planes = false;
    return true;
}

/* CMYK, and no other inks. */
static bool tiff_read_inks(struct tiff_picture *picture, struct error *error)
{
    if (tiff_number(picture->tiff, TIFFTAG_INKSET) == INKSET_CMYK && picture->samples >= 4) return true;
    return tiff_refuse(picture, error, sentence_plain("its-inks-are-not-cyan-magenta"));
}

static bool read_photometric(struct tiff_picture *picture, struct header *header, struct error *error)
{
    unsigned photometric = PHOTOMETRIC_MINISBLACK;
    uint16_t value;
    if (TIFFGetField(picture->tiff, TIFFTAG_PHOTOMETRIC, &value)) photometric = value;
    switch (photometric) {
    case PHOTOMETRIC_MINISWHITE:
        picture->layout.inverted = true;
        header->colour = COLOUR_GREY;
        return true;
    case PHOTOMETRIC_MINISBLACK:
        header->colour = COLOUR_GREY;
        return true;
    case PHOTOMETRIC_RGB:
        header->colour = COLOUR_RGB;
        return true;
    case PHOTOMETRIC_PALETTE:
        header->colour = COLOUR_RGB;
        return read_palette(picture, error);
    case PHOTOMETRIC_SEPARATED:
        header->colour = COLOUR_CMYK;
        return tiff_read_inks(picture, error);
    case PHOTOMETRIC_YCBCR:
        header->colour = COLOUR_RGB;
        return read_ycbcr(picture, error);
    case PHOTOMETRIC_CIELAB:
        picture->layout.lab_signed = true;
        header->colour = COLOUR_LAB;
        return true;
    case PHOTOMETRIC_ICCLAB:
        header->colour = COLOUR_LAB;
        return true;
    default:
        return error_set(error, FAILURE_INPUT, "its-kind-of-colours-photometric-is",
                         ARGUMENTS(arg_words("subject", picture->file->subject),
                                   arg_count("photometric", (int64_t)photometric)));
    }
}

static enum pixel_format tiff_format_of(enum colour_kind colour, bool wide)
{
    switch (colour) {
    case COLOUR_GREY:
        return wide ? PIXELS_GREY16 : PIXELS_GREY8;
    case COLOUR_CMYK:
        return wide ? PIXELS_CMYK16 : PIXELS_CMYK8;
    case COLOUR_LAB:
        return wide ? PIXELS_LAB16 : PIXELS_LAB8;
    default:
        return wide ? PIXELS_RGB16 : PIXELS_RGB8;
    }
}

static bool tiff_read_colours(struct tiff_picture *picture, struct header *header, struct error *error)
{
    unsigned kind = tiff_number(picture->tiff, TIFFTAG_SAMPLEFORMAT);
    header->bits = (int)picture->bits;
    header->samples = (int)picture->samples;
    if (kind != SAMPLEFORMAT_UINT && kind != SAMPLEFORMAT_VOID)
        return tiff_refuse(picture, error,
                           kind == SAMPLEFORMAT_INT ? sentence_plain("its-samples-are-signed-numbers-as")
                                                    : sentence_plain("its-samples-are-not-whole-numbers"));
    if (picture->bits < 1 || picture->bits > 16 || picture->samples < 1 || picture->samples > SAMPLES_MOST)
        return error_set(error, FAILURE_INPUT, "channels-of-bits-up-to-channels",
                         ARGUMENTS(arg_words("subject", picture->file->subject),
                                   arg_count("samples", (int64_t)picture->samples),
                                   arg_count("bits", (int64_t)picture->bits),
                                   arg_count("most", SAMPLES_MOST)));
    picture->layout.alpha = -1;
    if (!read_photometric(picture, header, error)) return false;
    header->format = tiff_format_of(header->colour, picture->bits > 8);
    unsigned colours = picture->palette[0] ? 1 : (unsigned)pixel_samples(header->format);
    if (picture->samples < colours)
        return error_set(error, FAILURE_INPUT, "channels-are-too-few-for-its",
                         ARGUMENTS(arg_words("subject", picture->file->subject),
                                   arg_count("samples", (int64_t)picture->samples),
                                   arg_count("colours", (int64_t)colours)));
    if (!picture->as_rgba && !read_extra(picture, header, colours)) return false;
    unsigned palette_more = picture->palette[0] ? 2 : 0; /* one index becomes three samples */
    picture->layout.format = header->format;
    picture->layout.samples = (int)(picture->samples + palette_more);
    picture->layout.premultiplied = header->premultiplied;
    if (picture->layout.alpha >= 0) picture->layout.alpha += (int)palette_more;
    layout_ask_opacity(&picture->layout, picture->file, header);
    return true;
}

/* ---- is all of it there? ---- */

/* The most that one byte can become: zlib's figure for deflate, 4095 bytes of a 12 bit code for LZW, 128 of 2
 * for PackBits; none is known for the others. */
static double expansion(unsigned compression)
{
    switch (compression) {
    case COMPRESSION_NONE:
        return 1;
    case COMPRESSION_LZW:
        return 2800;
    case COMPRESSION_ADOBE_DEFLATE:
    case COMPRESSION_DEFLATE:
        return 1032;
    case COMPRESSION_PACKBITS:
        return 64;
    case COMPRESSION_JPEG:
    case COMPRESSION_OJPEG:
        return 512 * 3; /* a block of 64 samples in a bit */
    default:
        return 1e9;
    }
}

static bool check_whole(struct tiff_picture *picture, struct header *header, struct error *error)
{
    uint32_t count = picture->tiled ? TIFFNumberOfTiles(picture->tiff) : TIFFNumberOfStrips(picture->tiff);
    double bytes = 0;
    for (uint32_t i = 0; i < count; i++) {
        uint64_t offset = TIFFGetStrileOffset(picture->tiff, i);
        uint64_t length = TIFFGetStrileByteCount(picture->tiff, i);
        if (!offset || !length || offset >= picture->file->size || length > picture->file->size - offset)
            return error_set(error, FAILURE_INPUT, "file-is-not-whole-piece-of",
                             ARGUMENTS(arg_words("subject", picture->file->subject),
                                       arg_count("number", (int64_t)(i + 1)),
                                       arg_count("count", (int64_t)count)));
        bytes += (double)length;
    }
    double line = (double)picture->width * picture->bits * (picture->as_rgba ? 1 : picture->samples) / 8;
    return header_check_bytes(header, picture->file->subject, line * picture->height,
                              bytes * expansion(picture->compression) + 64, error);
}

/* ---- opening ---- */

static bool open_library(struct tiff_picture *picture, struct error *error)
{
    picture->tiff = tiff_library_open(picture->file->fd, "r", &picture->words);
    if (picture->tiff) return true;
    return error_set(
        error, FAILURE_INPUT, "tiff-file-is-damaged",
        ARGUMENTS(arg_words("subject", picture->file->subject),
                  arg_words("last", picture->words.last[0] ? picture->words.last
                                                           : sentence_plain("it-cannot-be-opened"))));
}

static void read_geometry(struct tiff_picture *picture)
{
    TIFF *tiff = picture->tiff;
    picture->bits = tiff_number(tiff, TIFFTAG_BITSPERSAMPLE);
    picture->samples = tiff_number(tiff, TIFFTAG_SAMPLESPERPIXEL);
    picture->compression = tiff_number(tiff, TIFFTAG_COMPRESSION);
    picture->planes =
        tiff_number(tiff, TIFFTAG_PLANARCONFIG) == PLANARCONFIG_SEPARATE && picture->samples > 1;
    picture->tiled = TIFFIsTiled(tiff);
}

static bool check_codec(const struct tiff_picture *picture, struct error *error)
{
    if (TIFFIsCODECConfigured((uint16_t)picture->compression)) return true;
    return error_set(error, FAILURE_INPUT, "its-compression-number-is-not-read",
                     ARGUMENTS(arg_words("subject", picture->file->subject),
                               arg_count("compression", (int64_t)picture->compression)));
}

static void tiff_close_library(void *self)
{
    struct tiff_picture *picture = self;
    if (picture->as_rgba) TIFFRGBAImageEnd(&picture->rgba);
    TIFFClose(picture->tiff);
}

bool tiff_decoder(struct decoder *decoder, const struct foreign *file, struct error *error)
{
    struct tiff_picture *picture = arena_take(file->arena, sizeof *picture);
    picture->file = file;
    picture->band_start = -1;
    if (!open_library(picture, error)) return false;
    *decoder = (struct decoder){decoder->header, 1, picture, tiff_row, tiff_rewind, tiff_close_library};
    struct header *header = &decoder->header;
    header->kind = ARTWORK_TIFF;
    uint32_t width = 0, height = 0;
    TIFFGetField(picture->tiff, TIFFTAG_IMAGEWIDTH, &width);
    TIFFGetField(picture->tiff, TIFFTAG_IMAGELENGTH, &height);
    if (!header_check_size(header, file->subject, width, height, error)) return false;
    header->width = picture->width = (int)width;
    header->height = picture->height = (int)height;
    read_geometry(picture);
    unsigned orientation = tiff_number(picture->tiff, TIFFTAG_ORIENTATION);
    if (orientation >= 1 && orientation <= 8) header->orientation = (int)orientation;
    if (!check_codec(picture, error) || !tiff_read_colours(picture, header, error) ||
        !check_whole(picture, header, error) || !tiff_rows_prepare(picture, error))
        return false;
    tiff_read_resolution(picture, header);
    tiff_read_profile(picture, header);
    count_pages(picture, header);
    return true;
}
