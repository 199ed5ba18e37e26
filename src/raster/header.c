/* What the formats share: reading a file's bytes, and the header with its limits, profile and remarks. Runs in
 * the reader child. */
#include "header.h"
#include "base/sentence.h"
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
