/* Turns a picture's pixels into a cairo surface or a PNG in memory. Called by the cairo and SVG writers and
 * for the preview of a held-open job. */
#include "picture.h"
#include "base/text.h"
#include "draw/draw.h"
#include <string.h>

/* cairo's RGB24: 0x00RRGGBB words of the machine. */
cairo_surface_t *picture_surface(const struct command_picture *picture)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture->width, picture->height);
    if (cairo_surface_status(surface)) return surface;
    uint8_t *bytes = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    const uint8_t *from = picture->rgb;
    for (int y = 0; y < picture->height; y++)
        for (int x = 0; x < picture->width; x++, from += 3) {
            uint32_t word = (uint32_t)from[0] << 16 | (uint32_t)from[1] << 8 | from[2];
            memcpy(bytes + (ptrdiff_t)y * stride + (ptrdiff_t)x * 4, &word, sizeof word);
        }
    cairo_surface_mark_dirty(surface);
    return surface;
}

static cairo_status_t picture_append(void *self, const unsigned char *bytes, unsigned length)
{
    text_add_bytes(self, bytes, length);
    return CAIRO_STATUS_SUCCESS;
}

bool picture_to_png(const struct picture *picture, struct text *png)
{
    struct command_picture command = {
        .width = picture->width, .height = picture->height, .rgb = picture->rgb, .alpha = 1};
    return picture_png(&command, png);
}

bool picture_png(const struct command_picture *picture, struct text *png)
{
    cairo_surface_t *surface = picture_surface(picture);
    cairo_status_t status = cairo_surface_write_to_png_stream(surface, picture_append, png);
    cairo_surface_destroy(surface);
    return status == CAIRO_STATUS_SUCCESS;
}
