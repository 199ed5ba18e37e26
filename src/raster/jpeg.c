/* Decodes a JPEG with libjpeg: header, profile, density, rows. Runs in the reader child; opened by
 * decoder.c. */
#include "decoder.h"
#include "base/reader.h"
#include "base/text.h"
#include <assert.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>
#include <jpeglib.h>
#include <jerror.h>

enum { BLOCK = 65536, PROFILE_MOST = 64 << 20, SCANS_MOST = 500 };

struct jpeg_picture {
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr errors;
    struct jpeg_source_mgr source;
    const struct foreign *file;
    struct layout layout;
    uint8_t *block, *line;
    int scale, colours;
    bool started, begun, hurt;
};

/* ---- the library's handlers ---- */

/* It may not go on after this; the process is there for this one file. */
static void jpeg_refuse(j_common_ptr common)
{
    const struct jpeg_picture *picture = common->client_data;
    char reason[JMSG_LENGTH_MAX], sentence[400];
    common->err->format_message(common, reason);
    sentence_into(sentence, sizeof sentence, "jpeg-file-cannot-be-read",
                  ARGUMENTS(arg_words("subject", picture->file->subject), arg_words("reason", reason)));
    reader_refuse(picture->file->machine,
                  common->err->msg_code == JERR_OUT_OF_MEMORY ? FAILURE_MACHINE : FAILURE_INPUT, sentence);
}

/* Of the warnings these mean that pixels are missing or wrong. */
static void message(j_common_ptr common, int level)
{
    struct jpeg_picture *picture = common->client_data;
    int code = common->err->msg_code;
    if (level < 0 && (code == JWRN_HIT_MARKER || code == JWRN_HUFF_BAD_CODE || code == JWRN_MUST_RESYNC ||
                      code == JWRN_ARITH_BAD_CODE))
        picture->hurt = true;
}

static void no_text(j_common_ptr common)
{
    (void)common;
}

static void no_source(j_decompress_ptr jpeg)
{
    (void)jpeg;
}

static boolean jpeg_fill(j_decompress_ptr jpeg)
{
    static const JOCTET end[2] = {0xFF, JPEG_EOI};
    struct jpeg_picture *picture = jpeg->client_data;
    ssize_t got = read(picture->file->fd, picture->block, BLOCK);
    jpeg->src->next_input_byte = got > 0 ? picture->block : end;
    jpeg->src->bytes_in_buffer = got > 0 ? (size_t)got : sizeof end;
    return TRUE;
}

static void jpeg_skip(j_decompress_ptr jpeg, long count)
{
    while (count > 0 && (size_t)count > jpeg->src->bytes_in_buffer) {
        bool ended = jpeg->src->bytes_in_buffer == 2 && jpeg->src->next_input_byte[1] == JPEG_EOI &&
                     jpeg->src->next_input_byte[0] == 0xFF;
        if (ended) return;
        count -= (long)jpeg->src->bytes_in_buffer;
        jpeg_fill(jpeg);
    }
    if (count <= 0) return;
    jpeg->src->next_input_byte += count;
    jpeg->src->bytes_in_buffer -= (size_t)count;
}

/* Reads the header again from the start of the file. */
static void jpeg_start(struct jpeg_picture *picture)
{
    struct jpeg_decompress_struct *jpeg = &picture->jpeg;
    if (picture->started) jpeg_destroy_decompress(jpeg);
    lseek(picture->file->fd, 0, SEEK_SET);
    jpeg->err = jpeg_std_error(&picture->errors);
    picture->errors.error_exit = jpeg_refuse;
    picture->errors.emit_message = message;
    picture->errors.output_message = no_text;
    jpeg->client_data = picture;
    jpeg_create_decompress(jpeg);
    jpeg->client_data = picture;
    picture->started = true;
    picture->begun = false;
    picture->source = (struct jpeg_source_mgr){
        .init_source = no_source,
        .fill_input_buffer = jpeg_fill,
        .skip_input_data = jpeg_skip,
        .resync_to_restart = jpeg_resync_to_restart,
        .term_source = no_source,
    };
    jpeg->src = &picture->source;
    jpeg_save_markers(jpeg, JPEG_APP0 + 1, 0xFFFF);
    jpeg_save_markers(jpeg, JPEG_APP0 + 2, 0xFFFF);
    jpeg_read_header(jpeg, TRUE);
}

/* ---- the embedded profile, in numbered chunks ---- */

struct jpeg_chunk {
    struct str bytes;
    int number;
};

static size_t find_chunks(struct jpeg_picture *picture, struct jpeg_chunk chunks[256], int *announced)
{
    size_t count = 0;
    for (jpeg_saved_marker_ptr marker = picture->jpeg.marker_list; marker && count < 256;
         marker = marker->next) {
        const char *data = (const char *)marker->data;
        if (marker->marker != JPEG_APP0 + 2 || marker->data_length < 14 || memcmp(data, "ICC_PROFILE", 12))
            continue;
        *announced = (uint8_t)data[13];
        chunks[count++] = (struct jpeg_chunk){{data + 14, marker->data_length - 14}, (uint8_t)data[12]};
    }
    return count;
}

/* In order of their numbers; false when a number is twice there or missing. */
static bool sort_chunks(struct jpeg_chunk *chunks, size_t count, int announced)
{
    struct jpeg_chunk sorted[257] = {0};
    for (size_t i = 0; i < count; i++) {
        struct jpeg_chunk *place = &sorted[chunks[i].number];
        if (place->bytes.bytes) return false;
        *place = chunks[i];
    }
    for (size_t i = 0; i < count; i++)
        if (!sorted[i + 1].bytes.bytes) return false;
    memcpy(chunks, sorted + 1, count * sizeof *chunks);
    return (int)count == announced;
}

static void jpeg_read_profile(struct jpeg_picture *picture, struct header *header)
{
    struct jpeg_chunk chunks[256];
    int announced = 0;
    size_t count = find_chunks(picture, chunks, &announced);
    if (!count) return;
    struct arena *arena = picture->file->arena;
    if (!sort_chunks(chunks, count, announced))
        header_remark(header, arena, "pieces-of-embedded-colour-profile-are", NULL);
    struct text bytes = text_new(arena);
    for (size_t i = 0; i < count && bytes.length < PROFILE_MOST; i++)
        text_add_bytes(&bytes, chunks[i].bytes.bytes, chunks[i].bytes.length);
    header_take_profile(header, arena, (struct str){text_string(&bytes), bytes.length});
}

/* ---- the header ---- */

static void read_exif(struct jpeg_picture *picture, struct header *header)
{
    for (jpeg_saved_marker_ptr marker = picture->jpeg.marker_list; marker; marker = marker->next) {
        if (marker->marker != JPEG_APP0 + 1 || marker->data_length < 14 ||
            memcmp(marker->data, "Exif\0", 6) != 0)
            continue;
        struct exif exif = exif_read((struct str){(const char *)marker->data + 6, marker->data_length - 6});
        if (exif.orientation) header->orientation = exif.orientation;
        if (header->x_ppi <= 0)
            header->x_ppi = usable_ppi(exif.x_ppi), header->y_ppi = usable_ppi(exif.y_ppi);
        if (exif.srgb && header->colour == COLOUR_RGB) header->tagged = true;
        return;
    }
}

static void read_density(struct jpeg_picture *picture, struct header *header)
{
    const struct jpeg_decompress_struct *jpeg = &picture->jpeg;
    if (!jpeg->saw_JFIF_marker || jpeg->density_unit < 1 || jpeg->density_unit > 2) return;
    double per_inch = jpeg->density_unit == 2 ? 2.54 : 1;
    header->x_ppi = usable_ppi(jpeg->X_density * per_inch);
    header->y_ppi = usable_ppi(jpeg->Y_density * per_inch);
}

static bool jpeg_read_colours(struct jpeg_picture *picture, struct header *header, struct error *error)
{
    struct jpeg_decompress_struct *jpeg = &picture->jpeg;
    int components = jpeg->num_components;
    header->bits = jpeg->data_precision;
    header->samples = components;
    if (components != 1 && components != 3 && components != 4)
        return error_set(
            error, FAILURE_INPUT, "jpeg-of-channels-grey-rgb-and",
            ARGUMENTS(arg_words("subject", picture->file->subject), arg_count("components", components)));
    header->colour = components == 1 ? COLOUR_GREY : components == 3 ? COLOUR_RGB : COLOUR_CMYK;
    header->format = components == 1 ? PIXELS_GREY8 : components == 3 ? PIXELS_RGB8 : PIXELS_CMYK8;
    picture->colours = components;
    picture->layout = (struct layout){
        .format = header->format,
        .samples = components,
        .alpha = -1,
        .inverted = components == 4 && jpeg->saw_Adobe_marker,
    };
    if (components == 4 && !jpeg->saw_Adobe_marker)
        header_remark(header, picture->file->arena, "cmyk-jpeg-without-usual-marker-its", NULL);
    return true;
}

/* A block of 8 x 8 takes at least one bit (with Huffman codes; arithmetic coding may take less). */
static double bytes_needed(const struct jpeg_decompress_struct *jpeg)
{
    if (jpeg->arith_code) return 0;
    size_t across = (jpeg->image_width + 7) / 8, down = (jpeg->image_height + 7) / 8;
    return (double)across * (double)down / 8;
}

/* ---- rows ---- */

static void jpeg_begin(struct jpeg_picture *picture)
{
    struct jpeg_decompress_struct *jpeg = &picture->jpeg;
    jpeg->out_color_space = picture->colours == 1   ? JCS_GRAYSCALE
                            : picture->colours == 3 ? JCS_RGB
                                                    : JCS_CMYK;
    jpeg->scale_num = 1;
    jpeg->scale_denom = (unsigned)picture->scale;
    jpeg->dct_method = JDCT_ISLOW;
    jpeg_start_decompress(jpeg);
    assert(jpeg->output_components == picture->colours);
    if (!picture->line) picture->line = arena_take_array(picture->file->arena, jpeg->output_width, 4);
    picture->begun = true;
}

static bool jpeg_row(void *self, uint8_t *pixels, struct error *error)
{
    struct jpeg_picture *picture = self;
    struct jpeg_decompress_struct *jpeg = &picture->jpeg;
    if (!picture->begun) jpeg_begin(picture);
    JSAMPROW lines[1] = {picture->line};
    jpeg_read_scanlines(jpeg, lines, 1);
    if (picture->hurt || jpeg->input_scan_number > SCANS_MOST)
        return error_set(
            error, FAILURE_INPUT, "jpeg-file-is-damaged-or-cut",
            ARGUMENTS(arg_words("subject", picture->file->subject),
                      arg_count("row", (int64_t)(jpeg->output_scanline * (unsigned)picture->scale)),
                      arg_count("height", (int64_t)jpeg->image_height)));
    flatten_row(&picture->layout, picture->line, pixels, (int)jpeg->output_width);
    return true;
}

static bool jpeg_rewind_to_first(void *self, struct error *error)
{
    (void)error;
    jpeg_start(self);
    return true;
}

static void jpeg_close_library(void *self)
{
    struct jpeg_picture *picture = self;
    jpeg_destroy_decompress(&picture->jpeg);
}

bool jpeg_decoder(struct decoder *decoder, const struct foreign *file, struct error *error)
{
    struct jpeg_picture *picture = arena_take(file->arena, sizeof *picture);
    *picture = (struct jpeg_picture){.file = file, .scale = 1, .block = arena_take(file->arena, BLOCK)};
    jpeg_start(picture);
    *decoder =
        (struct decoder){decoder->header, 1, picture, jpeg_row, jpeg_rewind_to_first, jpeg_close_library};
    struct header *header = &decoder->header;
    header->kind = ARTWORK_JPEG;
    int64_t width = picture->jpeg.image_width, height = picture->jpeg.image_height;
    if (!header_check_size(header, file->subject, width, height, error)) return false;
    header->width = (int)width;
    header->height = (int)height;
    if (!header_check_bytes(header, file->subject, bytes_needed(&picture->jpeg), (double)file->size, error) ||
        !jpeg_read_colours(picture, header, error))
        return false;
    read_density(picture, header);
    read_exif(picture, header);
    jpeg_read_profile(picture, header);
    while (picture->scale < 8 && picture->scale * 2 <= file->scale_most) picture->scale *= 2;
    decoder->scale = picture->scale;
    return true;
}
