#include "decoder.h"
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

void header_remark(struct header *header, struct arena *arena, const char *format, ...)
{
    struct text text = text_new(arena);
    va_list arguments;
    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    *(const char **)arena_append(arena, &header->remarks, &header->remark_count, &header->remark_capacity,
                                 sizeof *header->remarks) = text_string(&text);
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
    if (bytes.length < 132 || memcmp(bytes.bytes + 36, "acsp", 4)) return "it is not an ICC profile";
    if (big_endian(bytes.bytes) > bytes.length) return "it is not whole";
    if (!memcmp(bytes.bytes + 12, "link", 4)) return "it is a device-link profile";
    if (!memcmp(bytes.bytes + 12, "nmcl", 4)) return "it is a list of named colours";
    if (memcmp(bytes.bytes + 16, colour_signature(colour), 4))
        return "it is not for the colours of the picture";
    return NULL;
}

void header_take_profile(struct header *header, struct arena *arena, struct str bytes)
{
    const char *trouble = profile_trouble(bytes, header->colour);
    if (trouble) {
        header_remark(header, arena, "The embedded colour profile is left out: %s.", trouble);
        return;
    }
    if (header->colour == COLOUR_CMYK && !memcmp(bytes.bytes + 12, "scnr", 4))
        header_remark(
            header, arena,
            "The embedded colour profile calls itself a scanner's, which no CMYK comes from; have its "
            "colours looked at.");
    header->profile = bytes;
    header->tagged = true;
}

/* ---- sizes ---- */

bool header_check_size(const struct header *header, const char *subject, int64_t width, int64_t height,
                       struct error *error)
{
    (void)header;
    if (width < 1 || height < 1)
        return error_set(error, FAILURE_INPUT, "%s: the picture has no pixels (%lld x %lld)", subject,
                         (long long)width, (long long)height);
    if (width > RASTER_SIDE_MOST || height > RASTER_SIDE_MOST || width * height > RASTER_PIXELS_MOST)
        return error_set(error, FAILURE_INPUT,
                         "%s: the picture has %lld x %lld pixels; at most %d a side and %lld in all are read",
                         subject, (long long)width, (long long)height, RASTER_SIDE_MOST,
                         (long long)RASTER_PIXELS_MOST);
    return true;
}

bool header_check_bytes(const struct header *header, const char *subject, double bytes_needed,
                        double bytes_possible, struct error *error)
{
    if (bytes_possible >= bytes_needed) return true;
    return error_set(error, FAILURE_INPUT,
                     "%s: the file is too small for the %d x %d pixels it announces; it is cut short or "
                     "damaged",
                     subject, header->width, header->height);
}

/* ---- which kind ---- */

bool decoder_open(struct decoder *decoder, const struct foreign *file, struct error *error)
{
    static const uint8_t png[8] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    uint8_t start[8] = {0};
    *decoder = (struct decoder){.scale = 1, .header = {.orientation = 1, .page_count = 1}};
    if (file->size < 8 || !foreign_read(file, 0, start, sizeof start))
        return error_set(error, FAILURE_INPUT, "%s is empty or cut short: it has %llu bytes", file->subject,
                         (unsigned long long)file->size);
    bool intel = !memcmp(start, "II", 2) && (start[2] == 42 || start[2] == 43) && !start[3];
    bool motorola = !memcmp(start, "MM", 2) && (start[3] == 42 || start[3] == 43) && !start[2];
    if (intel || motorola) return tiff_decoder(decoder, file, error);
    if (start[0] == 0xFF && start[1] == 0xD8) return jpeg_decoder(decoder, file, error);
    if (!memcmp(start, png, sizeof png)) return png_decoder(decoder, file, error);
    if (!memcmp(start + 1, "PNG", 3))
        return error_set(error, FAILURE_INPUT,
                         "%s: the file was changed on its way (its first bytes are those of a PNG sent as "
                         "text); ask for it again",
                         file->subject);
    return error_set(error, FAILURE_INPUT, "%s is not a TIFF, JPEG or PNG file", file->subject);
}

void decoder_close(struct decoder *decoder)
{
    if (decoder->self) decoder->close(decoder->self);
    decoder->self = NULL;
}
