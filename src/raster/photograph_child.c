/* The reader child's end: decodes a photograph, turns it upright, shrinks it and writes a plain JPEG. Asked
 * by photograph.c. */
#include "photograph_child.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "child_file.h"
#include "raster/photograph.h"
#include "shrink.h"
#include <stdio.h>
#include <stdlib.h>
#include <jpeglib.h>

enum { QUALITY = 85, PROFILE_BYTES_MOST = 256 << 10 };

/* ---- the library's handlers ---- */

struct photograph_writing {
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    struct machine *machine;
};

static void refuse_writing(j_common_ptr common)
{
    const struct photograph_writing *writing = common->client_data;
    reader_refuse(writing->machine, FAILURE_MACHINE, sentence_plain("no-memory-for-photograph-2"));
}

/* ---- what is taken ---- */

static bool fits(const struct header *header, const char *subject, struct error *error)
{
    if (header->kind != ARTWORK_JPEG && header->kind != ARTWORK_PNG)
        return error_set(error, FAILURE_INPUT, "must-be-jpeg-or-png-file",
                         ARGUMENTS(arg_words("subject", subject)));
    if ((int64_t)header->width * header->height > PHOTOGRAPH_PIXELS_MOST)
        return error_set(error, FAILURE_INPUT, "has-pixels-at-most-250-million",
                         ARGUMENTS(arg_words("subject", subject), arg_count("width", header->width),
                                   arg_count("height", header->height)));
    if (pixel_samples(header->format) == 1 || header->colour == COLOUR_RGB) return true;
    return error_set(error, FAILURE_INPUT, "is-in-colours-of-print-photograph",
                     ARGUMENTS(arg_words("subject", subject)));
}

static int factor_for(const struct header *header, int side)
{
    int longer = header->width > header->height ? header->width : header->height;
    return (longer + side - 1) / side;
}

/* ---- rows ---- */

/* Of 16 bits (in the machine's order) the upper 8. */
static void to_8_bits(uint8_t *row, size_t samples)
{
    const uint16_t *wide = (const uint16_t *)(const void *)row;
    for (size_t i = 0; i < samples; i++) row[i] = (uint8_t)(wide[i] >> 8);
}

static bool write_rows(struct photograph_writing *writing, struct shrink *rows, enum pixel_format format,
                       struct arena *arena, struct error *error)
{
    size_t samples = pixel_samples(format);
    bool wide = pixel_bytes(format) == 2 * samples;
    uint8_t *row = arena_take_array(arena, (size_t)rows->width, pixel_bytes(format));
    for (int y = 0; y < rows->height; y++) {
        if (!shrink_row(rows, row, error)) return false;
        if (wide) to_8_bits(row, (size_t)rows->width * samples);
        jpeg_write_scanlines(&writing->jpeg, &(JSAMPROW){row}, 1);
    }
    return true;
}

static void begin_writing(struct photograph_writing *writing, const struct header *header, int width,
                          int height)
{
    struct jpeg_compress_struct *jpeg = &writing->jpeg;
    bool grey = pixel_samples(header->format) == 1;
    jpeg->image_width = (JDIMENSION)width, jpeg->image_height = (JDIMENSION)height;
    jpeg->input_components = grey ? 1 : 3;
    jpeg->in_color_space = grey ? JCS_GRAYSCALE : JCS_RGB;
    jpeg_set_defaults(jpeg);
    jpeg_set_quality(jpeg, QUALITY, TRUE);
    jpeg_start_compress(jpeg, TRUE);
    if (header->profile.length && header->profile.length <= PROFILE_BYTES_MOST)
        jpeg_write_icc_profile(jpeg, (const JOCTET *)header->profile.bytes, (unsigned)header->profile.length);
}

/* The whole JPEG into `answer`. */
static bool write_photograph(struct decoder *decoder, int factor, struct machine *machine,
                             struct text *answer, struct error *error)
{
    struct photograph_writing writing = {.machine = machine};
    unsigned char *bytes = NULL;
    unsigned long length = 0;
    struct upright upright = upright_new(decoder, answer->arena);
    struct shrink rows = shrink_new(&upright, factor / decoder->scale, answer->arena);
    writing.jpeg.err = jpeg_std_error(&writing.errors);
    writing.errors.error_exit = refuse_writing;
    writing.jpeg.client_data = &writing;
    jpeg_create_compress(&writing.jpeg);
    jpeg_mem_dest(&writing.jpeg, &bytes, &length);
    begin_writing(&writing, &decoder->header, rows.width, rows.height);
    bool ok = write_rows(&writing, &rows, decoder->header.format, answer->arena, error);
    if (ok) {
        jpeg_finish_compress(&writing.jpeg);
        wire_put_bytes(answer, bytes, length);
    }
    jpeg_destroy_compress(&writing.jpeg);
    free(bytes);
    return ok;
}

bool photograph_verb(int argument_count, char **arguments, struct machine *machine, struct text *answer,
                     struct error *error)
{
    int side = argument_count == 2 ? atoi(arguments[1]) : 0;
    if (side < 1) return error_set(error, FAILURE_INPUT, "reader-wants-name-and-size", NULL);
    struct foreign file;
    struct decoder decoder;
    if (!foreign_of(&file, machine, answer->arena, arguments[0], error)) return false;
    bool ok = decoder_open(&decoder, &file, error) && fits(&decoder.header, file.subject, error);
    int factor = ok ? factor_for(&decoder.header, side) : 1;
    if (ok && factor > 1) {
        decoder_close(&decoder);
        ok = open_for(&decoder, &file, factor, error);
    }
    ok = ok && write_photograph(&decoder, factor, machine, answer, error);
    decoder_close(&decoder);
    return ok;
}
