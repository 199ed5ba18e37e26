/* Opens a picture by its kind, and holds what the formats share: reading bytes, sizes, profiles, remarks.
 * Runs in the reader child; jpeg.c, png.c and tiff.c decode. */
#include "decoder.h"
#include "base/sentence.h"
#include "base/text.h"
#include "raster/facts.h"
#include <errno.h>
#include <math.h>
#include <string.h>
#include <unistd.h>

bool foreign_read(const struct foreign *file, uint64_t offset, void *bytes, size_t length)
{
    for (char *at = bytes; length;) {
        ssize_t step = pread(file->fd, at, length, (off_t)offset);
        if (step < 0 && errno == EINTR) continue;
        if (step <= 0) return false;
        at += step;
        length -= (size_t)step;
        offset += (uint64_t)step;
    }
    return true;
}

void header_remark(struct header *header, struct arena *arena, const char *id,
                   const struct argument *arguments)
{
    *(const char **)arena_append(arena, &header->remarks, &header->remark_count, &header->remark_capacity,
                                 sizeof *header->remarks) = sentence_words(arena, id, arguments);
}

double usable_ppi(double ppi)
{
    return isfinite(ppi) && ppi >= 1 && ppi <= 100000 ? ppi : 0;
}

/* ---- embedded profiles ---- */

static uint32_t big_endian(const char *bytes)
{
    const uint8_t *at = (const uint8_t *)bytes;
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

static const char *colour_signature(enum colour_kind colour)
{
    switch (colour) {
    case COLOUR_GREY:
        return "GRAY";
    case COLOUR_RGB:
        return "RGB ";
    case COLOUR_CMYK:
        return "CMYK";
    case COLOUR_LAB:
        return "Lab ";
    default:
        return "";
    }
}

/* ICC.1: size at 0, class at 12, colour space at 16, "acsp" at 36. */
static const char *profile_trouble(struct str bytes, enum colour_kind colour)
{
    if (bytes.length < 132 || memcmp(bytes.bytes + 36, "acsp", 4))
        return sentence_plain("it-is-not-icc-profile");
    if (big_endian(bytes.bytes) > bytes.length) return sentence_plain("it-is-not-whole");
    if (!memcmp(bytes.bytes + 12, "link", 4)) return sentence_plain("it-is-device-link-profile");
    if (!memcmp(bytes.bytes + 12, "nmcl", 4)) return sentence_plain("it-is-list-of-named-colours");
    if (memcmp(bytes.bytes + 16, colour_signature(colour), 4))
        return sentence_plain("it-is-not-for-colours-of");
    return NULL;
}

void header_take_profile(struct header *header, struct arena *arena, struct str bytes)
{
    const char *trouble = profile_trouble(bytes, header->colour);
    if (trouble) {
        header_remark(header, arena, "embedded-colour-profile-is-left-out",
                      ARGUMENTS(arg_words("trouble", trouble)));
        return;
    }
    if (header->colour == COLOUR_CMYK && !memcmp(bytes.bytes + 12, "scnr", 4))
        header_remark(header, arena, "embedded-colour-profile-calls-itself-scanners", NULL);
    header->profile = bytes;
    header->tagged = true;
}

/* ---- sizes ---- */

bool header_check_size(const struct header *header, const char *subject, int64_t width, int64_t height,
                       struct error *error)
{
    (void)header;
    if (width < 1 || height < 1)
        return error_set(error, FAILURE_INPUT, "picture-has-no-pixels",
                         ARGUMENTS(arg_words("subject", subject), arg_count("width", (int64_t)width),
                                   arg_count("height", (int64_t)height)));
    if (width > RASTER_SIDE_MOST || height > RASTER_SIDE_MOST || width * height > RASTER_PIXELS_MOST)
        return error_set(error, FAILURE_INPUT, "picture-has-pixels-at-most-side",
                         ARGUMENTS(arg_words("subject", subject), arg_count("width", (int64_t)width),
                                   arg_count("height", (int64_t)height), arg_count("most", RASTER_SIDE_MOST),
                                   arg_count("most_2", (int64_t)RASTER_PIXELS_MOST)));
    return true;
}

bool header_check_bytes(const struct header *header, const char *subject, double bytes_needed,
                        double bytes_possible, struct error *error)
{
    if (bytes_possible >= bytes_needed) return true;
    return error_set(error, FAILURE_INPUT, "file-is-too-small-for-pixels",
                     ARGUMENTS(arg_words("subject", subject), arg_count("width", header->width),
                               arg_count("height", header->height)));
}

/* ---- which kind ---- */

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
