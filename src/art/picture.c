/* Which form a picture's pixels have on their way. Called for what is printed of it and for its outline. */
#include "picture.h"

enum pixel_format art_pixel_format(const struct artwork_facts *facts)
{
    bool wide = facts->bits > 8;
    switch (facts->colour) {
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
