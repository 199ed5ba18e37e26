/* Decodes a PNG with libpng after checking its chunks. Runs in the reader child; opened by decoder.c. */
#include "decoder.h"
#include "base/sentence.h"
#include "base/reader.h"
#include "base/text.h"
#include <assert.h>
#include <png.h>
#include <string.h>
#include <unistd.h>

/* Deflate makes at most 1032 bytes of one (zlib's own figure). */
#define DEFLATE_MOST 1032.0
static const size_t interlaced_most = (size_t)512 << 20;

struct png_picture {
    const struct foreign *file;
    png_structp png;
    png_infop info;
    struct layout layout;
    int width, height;
    uint8_t *line;
    uint8_t **whole; /* interlaced: all rows at once */
    int next;
};

/* The library may not go on after this; the process is there for this one file. */
static void png_refuse(png_structp png, png_const_charp message)
{
    const struct foreign *file = png_get_error_ptr(png);
    char sentence[300];
    sentence_into(sentence, sizeof sentence, "png-file-is-damaged",
                  ARGUMENTS(arg_words("subject", file->subject), arg_words("message", message)));
    reader_refuse(file->machine, FAILURE_INPUT, sentence);
}

static void ignore(png_structp png, png_const_charp message)
{
    (void)png, (void)message;
}

static void read_some(png_structp png, png_bytep bytes, size_t length)
{
    const struct foreign *file = png_get_io_ptr(png);
    while (length) {
        ssize_t step = read(file->fd, bytes, length);
        if (step <= 0) png_error(png, sentence_plain("it-ends-too-early"));
        bytes += step;
        length -= (size_t)step;
    }
}

/* Chunk by chunk: is it whole, and how many bytes of picture are there? */
static bool walk(const struct foreign *file, double *picture_bytes, struct error *error)
{
    *picture_bytes = 0;
    for (uint64_t at = 8; at + 12 <= file->size;) {
        uint8_t head[8];
        if (!foreign_read(file, at, head, sizeof head)) break;
        uint64_t length =
            (uint64_t)head[0] << 24 | (uint64_t)head[1] << 16 | (uint64_t)head[2] << 8 | head[3];
        if (at + 12 + length > file->size) break;
        if (!memcmp(head + 4, "IDAT", 4)) *picture_bytes += (double)length;
        if (!memcmp(head + 4, "IEND", 4)) {
            if (*picture_bytes > 0) return true;
            return error_set(error, FAILURE_INPUT, "png-file-holds-no-picture-data",
                             ARGUMENTS(arg_words("subject", file->subject)));
        }
        at += 12 + length;
    }
    return error_set(error, FAILURE_INPUT, "png-file-is-cut-short-it",
                     ARGUMENTS(arg_words("subject", file->subject)));
}

static void png_start(struct png_picture *picture)
{
    const struct foreign *file = picture->file;
    if (picture->png) png_destroy_read_struct(&picture->png, &picture->info, NULL);
    lseek(file->fd, 0, SEEK_SET);
    picture->png = png_create_read_struct(PNG_LIBPNG_VER_STRING, (void *)(uintptr_t)file, png_refuse, ignore);
    picture->info = picture->png ? png_create_info_struct(picture->png) : NULL;
    if (!picture->info)
        reader_refuse(file->machine, FAILURE_MACHINE, sentence_plain("no-memory-for-png-reader"));
    png_set_read_fn(picture->png, (void *)(uintptr_t)file, read_some);
    png_set_user_limits(picture->png, 0x7FFFFFFF, 0x7FFFFFFF); /* ours are checked with our own words */
    png_read_info(picture->png, picture->info);
    picture->next = 0;
}

static void ask_for_samples(struct png_picture *picture)
{
    png_set_expand(picture->png); /* palettes, small depths, transparent colours */
    png_set_packing(picture->png);
    if (png_get_bit_depth(picture->png, picture->info) == 16) png_set_swap(picture->png);
    picture->whole = NULL;
    if (png_get_interlace_type(picture->png, picture->info) != PNG_INTERLACE_NONE)
        png_set_interlace_handling(picture->png);
    png_read_update_info(picture->png, picture->info);
    assert(png_get_rowbytes(picture->png, picture->info) >=
           (size_t)picture->width * (size_t)picture->layout.samples *
               (png_get_bit_depth(picture->png, picture->info) / 8u));
}

static bool png_read_whole(struct png_picture *picture, struct error *error)
{
    size_t line = png_get_rowbytes(picture->png, picture->info);
    struct arena *arena = picture->file->arena;
    if (line * (size_t)picture->height > interlaced_most)
        return error_set(error, FAILURE_INPUT, "interlaced-png-of-pixels-save-it",
                         ARGUMENTS(arg_words("subject", picture->file->subject),
                                   arg_count("width", picture->width), arg_count("height", picture->height)));
    picture->whole = arena_take_array(arena, (size_t)picture->height, sizeof *picture->whole);
    for (int y = 0; y < picture->height; y++) picture->whole[y] = arena_take(arena, line);
    png_read_image(picture->png, picture->whole);
    return true;
}

static bool png_row(void *self, uint8_t *pixels, struct error *error)
{
    struct png_picture *picture = self;
    bool interlaced = png_get_interlace_type(picture->png, picture->info) != PNG_INTERLACE_NONE;
    if (!picture->next && !picture->whole) {
        ask_for_samples(picture);
        if (interlaced && !png_read_whole(picture, error)) return false;
        if (!interlaced)
            picture->line = arena_take(picture->file->arena, png_get_rowbytes(picture->png, picture->info));
    }
    assert(picture->next < picture->height);
    uint8_t *line = picture->whole ? picture->whole[picture->next] : picture->line;
    if (!picture->whole) png_read_row(picture->png, line, NULL);
    picture->next++;
    if (picture->next == picture->height && !picture->whole) png_read_end(picture->png, NULL);
    flatten_row(&picture->layout, line, pixels, picture->width);
    return true;
}

static bool png_rewind_to_first(void *self, struct error *error)
{
    (void)error;
    struct png_picture *picture = self;
    if (picture->whole)
        picture->next = 0;
    else
        png_start(picture);
    return true;
}

static void png_read_colours(struct png_picture *picture, struct header *header)
{
    int type = png_get_color_type(picture->png, picture->info);
    int depth = png_get_bit_depth(picture->png, picture->info);
    bool colour = type & PNG_COLOR_MASK_COLOR;
    header->alpha = type & PNG_COLOR_MASK_ALPHA || png_get_valid(picture->png, picture->info, PNG_INFO_tRNS);
    header->colour = colour ? COLOUR_RGB : COLOUR_GREY;
    header->bits = depth;
    header->samples = png_get_channels(picture->png, picture->info);
    header->format =
        depth == 16 ? (colour ? PIXELS_RGB16 : PIXELS_GREY16) : (colour ? PIXELS_RGB8 : PIXELS_GREY8);
    int colours = (int)pixel_samples(header->format);
    picture->layout = (struct layout){
        .format = header->format,
        .samples = colours + header->alpha,
        .alpha = header->alpha ? colours : -1,
    };
    layout_ask_opacity(&picture->layout, picture->file, header);
}

static void png_read_resolution(struct png_picture *picture, struct header *header)
{
    png_uint_32 x = 0, y = 0;
    int unit = 0;
    if (!png_get_pHYs(picture->png, picture->info, &x, &y, &unit) || unit != PNG_RESOLUTION_METER) return;
    header->x_ppi = usable_ppi(x * 0.0254);
    header->y_ppi = usable_ppi(y * 0.0254);
}

static void read_tags(struct png_picture *picture, struct header *header)
{
    png_structp png = picture->png;
    png_charp name;
    png_bytep profile, exif;
    png_uint_32 length;
    int intent, method;
    if (png_get_iCCP(png, picture->info, &name, &method, &profile, &length))
        header_take_profile(header, picture->file->arena,
                            (struct str){arena_copy(picture->file->arena, (char *)profile, length), length});
    bool calibrated =
        png_get_valid(png, picture->info, PNG_INFO_cHRM) && png_get_valid(png, picture->info, PNG_INFO_gAMA);
    if (png_get_sRGB(png, picture->info, &intent) || calibrated) header->tagged = true;
    if (!png_get_eXIf_1(png, picture->info, &length, &exif)) return;
    int orientation = exif_read((struct str){(char *)exif, length}).orientation;
    if (orientation) header->orientation = orientation;
}

static void png_close_library(void *self)
{
    struct png_picture *picture = self;
    png_destroy_read_struct(&picture->png, &picture->info, NULL);
}

bool png_decoder(struct decoder *decoder, const struct foreign *file, struct error *error)
{
    double picture_bytes;
    if (!walk(file, &picture_bytes, error)) return false;
    struct png_picture *picture = arena_take(file->arena, sizeof *picture);
    picture->file = file;
    png_start(picture);
    *decoder = (struct decoder){decoder->header, 1, picture, png_row, png_rewind_to_first, png_close_library};
    struct header *header = &decoder->header;
    header->kind = ARTWORK_PNG;
    int64_t width = png_get_image_width(picture->png, picture->info);
    int64_t height = png_get_image_height(picture->png, picture->info);
    if (!header_check_size(header, file->subject, width, height, error)) return false;
    header->width = picture->width = (int)width;
    header->height = picture->height = (int)height;
    double needed = (double)png_get_rowbytes(picture->png, picture->info) * (double)height;
    if (!header_check_bytes(header, file->subject, needed, picture_bytes * DEFLATE_MOST + 1024, error))
        return false;
    png_read_colours(picture, header);
    png_read_resolution(picture, header);
    read_tags(picture, header);
    return true;
}
