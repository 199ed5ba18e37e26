/* Lays a pixel with transparency on white paper and brings Lab to ICC's offset. Called for each row by the
 * decoders. */
#include "decoder.h"
#include <assert.h>
#include <string.h>

/* TIFF's signed a and b to ICC's offset. 16 bits: a x 256 becomes (a + 128) x 257. */
static unsigned lab_offset(unsigned value, bool wide)
{
    if (!wide) return value ^ 0x80u;
    int a = (int16_t)(uint16_t)value;
    int offset = ((a + 32768) * 257 + 128) / 256;
    return offset > 65535 ? 65535u : (unsigned)offset;
}

/* What paper shows in sample `s`: white, or no ink. */
static unsigned paper_of(enum pixel_format format, int s, unsigned most)
{
    switch (format) {
    case PIXELS_CMYK8:
    case PIXELS_CMYK16:
        return 0;
    case PIXELS_LAB8:
    case PIXELS_LAB16:
        return s == 0 ? most : most == 255 ? 128 : 128 * 257;
    default:
        return most;
    }
}

static unsigned flatten_on_paper(const struct layout *layout, int s, unsigned value, unsigned alpha,
                                 unsigned most)
{
    unsigned paper = paper_of(layout->format, s, most), half = most / 2;
    if (!layout->premultiplied) return (value * alpha + paper * (most - alpha) + half) / most;
    bool about_zero = paper != most; /* ink, a and b: nothing is added where it is transparent */
    unsigned sum = about_zero ? value : value + most - alpha;
    return sum > most ? most : sum;
}

static unsigned sample_of(const struct layout *layout, const void *in, size_t at)
{
    return pixel_bytes(layout->format) / pixel_samples(layout->format) == 2 ? ((const uint16_t *)in)[at]
                                                                            : ((const uint8_t *)in)[at];
}

static bool is_lab(enum pixel_format format)
{
    return format == PIXELS_LAB8 || format == PIXELS_LAB16;
}

static void flatten_pixel(const struct layout *layout, const void *in, size_t from, unsigned colour[4])
{
    int count = (int)pixel_samples(layout->format);
    bool wide = pixel_bytes(layout->format) != (size_t)count;
    unsigned most = wide ? 65535 : 255;
    for (int s = 0; s < count; s++) {
        unsigned value = sample_of(layout, in, from + (size_t)s);
        if (layout->inverted) value = most - value;
        if (layout->lab_signed && s > 0 && is_lab(layout->format)) value = lab_offset(value, wide);
        if (layout->alpha >= 0)
            value =
                flatten_on_paper(layout, s, value, sample_of(layout, in, from + (size_t)layout->alpha), most);
        colour[s] = value;
    }
}

void layout_ask_opacity(struct layout *layout, const struct foreign *file, struct header *header)
{
    layout->opacity = file->opacity && layout->alpha >= 0;
    bool wide = pixel_bytes(layout->format) != pixel_samples(layout->format);
    if (layout->opacity) header->format = wide ? PIXELS_GREY16 : PIXELS_GREY8;
}

static void opacity_row(const struct layout *layout, const void *in, void *out, int width)
{
    bool wide = pixel_bytes(layout->format) != pixel_samples(layout->format);
    for (size_t x = 0; x < (size_t)width; x++) {
        unsigned value = sample_of(layout, in, x * (size_t)layout->samples + (size_t)layout->alpha);
        if (wide)
            ((uint16_t *)out)[x] = (uint16_t)value;
        else
            ((uint8_t *)out)[x] = (uint8_t)value;
    }
}

void flatten_row(const struct layout *layout, const void *in, void *out, int width)
{
    size_t count = pixel_samples(layout->format);
    bool wide = pixel_bytes(layout->format) != count;
    assert(layout->samples >= (int)count && layout->alpha < layout->samples);
    if (layout->opacity) {
        opacity_row(layout, in, out, width);
        return;
    }
    bool as_is = layout->alpha < 0 && !layout->inverted && !layout->lab_signed;
    if (as_is && layout->samples == (int)count) {
        memcpy(out, in, (size_t)width * pixel_bytes(layout->format));
        return;
    }
    for (size_t x = 0; x < (size_t)width; x++) {
        unsigned colour[4] = {0};
        flatten_pixel(layout, in, x * (size_t)layout->samples, colour);
        for (size_t s = 0; s < count; s++) {
            if (wide)
                ((uint16_t *)out)[x * count + s] = (uint16_t)colour[s];
            else
                ((uint8_t *)out)[x * count + s] = (uint8_t)colour[s];
        }
    }
}
