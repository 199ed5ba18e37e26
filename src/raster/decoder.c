/* Opens a picture by its kind. Runs in the reader child; jpeg.c, png.c and tiff.c decode. */
#include "decoder.h"
#include <string.h>

bool decoder_open(struct decoder *decoder, const struct foreign *file, struct error *error)
{
    static const uint8_t png[8] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    uint8_t start[8] = {0};
    *decoder = (struct decoder){.scale = 1, .header = {.orientation = 1, .page_count = 1}};
    if (file->size < 8 || !foreign_read(file, 0, start, sizeof start))
        return error_set(
            error, FAILURE_INPUT, "is-empty-or-cut-short-it",
            ARGUMENTS(arg_words("subject", file->subject), arg_count("size", (int64_t)file->size)));
    bool intel = !memcmp(start, "II", 2) && (start[2] == 42 || start[2] == 43) && !start[3];
    bool motorola = !memcmp(start, "MM", 2) && (start[3] == 42 || start[3] == 43) && !start[2];
    if (intel || motorola) return tiff_decoder(decoder, file, error);
    if (start[0] == 0xFF && start[1] == 0xD8) return jpeg_decoder(decoder, file, error);
    if (!memcmp(start, png, sizeof png)) return png_decoder(decoder, file, error);
    if (!memcmp(start + 1, "PNG", 3))
        return error_set(error, FAILURE_INPUT, "file-was-changed-on-its-way",
                         ARGUMENTS(arg_words("subject", file->subject)));
    return error_set(error, FAILURE_INPUT, "is-not-tiff-jpeg-or-png",
                     ARGUMENTS(arg_words("subject", file->subject)));
}

void decoder_close(struct decoder *decoder)
{
    if (decoder->self) decoder->close(decoder->self);
    decoder->self = NULL;
}
