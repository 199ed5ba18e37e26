/* A picture drawn with cairo and written as an RGB TIFF, LZW, with an sRGB profile and its resolution. */
#include "canvas.h"
#include "canvas_private.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/units.h"
#include <cairo.h>
#include <cairo-ft.h>
#include <math.h>
#include <string.h>
#include <tiffio.h>
#include <unistd.h>

struct picture_maker {
    cairo_surface_t *surface, *photo;
    cairo_t *cairo;
    FT_Library library;
    FT_Face face;
    cairo_font_face_t *font;
    double ppi;
};

static void trace(cairo_t *cairo, const struct path *path)
{
    cairo_new_path(cairo);
    for (size_t i = 0; i < path->count; i++) {
        const struct point *p = path->steps[i].p;
        switch (path->steps[i].kind) {
        case 'm':
            cairo_move_to(cairo, p[0].x, p[0].y);
            break;
        case 'l':
            cairo_line_to(cairo, p[0].x, p[0].y);
            break;
        case 'c':
            cairo_curve_to(cairo, p[0].x, p[0].y, p[1].x, p[1].y, p[2].x, p[2].y);
            break;
        default:
            cairo_close_path(cairo);
            break;
        }
    }
}

static void cairo_maker_fill(void *self, const struct path *path, const struct tint *tint, double opacity)
{
    struct picture_maker *maker = self;
    trace(maker->cairo, path);
    cairo_set_source_rgba(maker->cairo, tint->rgb[0], tint->rgb[1], tint->rgb[2], opacity);
    cairo_fill(maker->cairo);
}

static void cairo_maker_stroke(void *self, const struct path *path, const struct tint *tint, double width)
{
    struct picture_maker *maker = self;
    trace(maker->cairo, path);
    cairo_set_source_rgb(maker->cairo, tint->rgb[0], tint->rgb[1], tint->rgb[2]);
    cairo_set_line_width(maker->cairo, width);
    cairo_set_line_cap(maker->cairo, CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(maker->cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(maker->cairo);
}

static void cairo_maker_shade(void *self, const struct path *path, struct point from, struct point to,
                              const struct tint *first, const struct tint *last)
{
    struct picture_maker *maker = self;
    cairo_pattern_t *pattern = cairo_pattern_create_linear(from.x, from.y, to.x, to.y);
    cairo_pattern_add_color_stop_rgb(pattern, 0, first->rgb[0], first->rgb[1], first->rgb[2]);
    cairo_pattern_add_color_stop_rgb(pattern, 1, last->rgb[0], last->rgb[1], last->rgb[2]);
    trace(maker->cairo, path);
    cairo_set_source(maker->cairo, pattern);
    cairo_fill(maker->cairo);
    cairo_pattern_destroy(pattern);
}

static void cairo_maker_picture(void *self, const struct path *clip, struct rect box)
{
    struct picture_maker *maker = self;
    if (!maker->photo) return;
    cairo_t *cairo = maker->cairo;
    cairo_save(cairo);
    trace(cairo, clip);
    cairo_clip(cairo);
    cairo_translate(cairo, box.x0, box.y1);
    cairo_scale(cairo, rect_width(box) / cairo_image_surface_get_width(maker->photo),
                -rect_height(box) / cairo_image_surface_get_height(maker->photo));
    cairo_set_source_surface(cairo, maker->photo, 0, 0);
    cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_BILINEAR);
    cairo_paint(cairo);
    cairo_restore(cairo);
}

static void cairo_maker_text(void *self, const char *string, double x, double y, double size,
                             const struct tint *tint)
{
    struct picture_maker *maker = self;
    cairo_t *cairo = maker->cairo;
    cairo_save(cairo);
    cairo_translate(cairo, x, y);
    cairo_scale(cairo, 1, -1);
    cairo_set_font_face(cairo, maker->font);
    cairo_set_font_size(cairo, size);
    cairo_new_path(cairo);
    cairo_move_to(cairo, 0, 0);
    cairo_text_path(cairo, string);
    cairo_set_source_rgb(cairo, tint->rgb[0], tint->rgb[1], tint->rgb[2]);
    cairo_fill(cairo);
    cairo_restore(cairo);
}

static double cairo_maker_text_width(void *self, const char *string, double size)
{
    struct picture_maker *maker = self;
    cairo_text_extents_t extents;
    cairo_set_font_face(maker->cairo, maker->font);
    cairo_set_font_size(maker->cairo, size);
    cairo_text_extents(maker->cairo, string, &extents);
    return extents.x_advance;
}

static void cairo_maker_push(void *self, double scale_x, double scale_y, double x, double y)
{
    struct picture_maker *maker = self;
    cairo_save(maker->cairo);
    cairo_translate(maker->cairo, x, y);
    cairo_scale(maker->cairo, scale_x, scale_y);
}

static void cairo_maker_pop(void *self)
{
    struct picture_maker *maker = self;
    cairo_restore(maker->cairo);
}

static cairo_surface_t *photo_surface(const struct photo *photo)
{
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, photo->width, photo->height);
    if (cairo_surface_status(surface)) return surface;
    int stride = cairo_image_surface_get_stride(surface);
    unsigned char *data = cairo_image_surface_get_data(surface);
    for (int y = 0; y < photo->height; y++) {
        const uint8_t *from = photo->rgb + (size_t)y * (size_t)photo->width * 3;
        uint32_t *to = (uint32_t *)(void *)(data + (size_t)y * (size_t)stride);
        for (int x = 0; x < photo->width; x++, from += 3)
            to[x] = (uint32_t)from[0] << 16 | (uint32_t)from[1] << 8 | from[2];
    }
    cairo_surface_mark_dirty(surface);
    return surface;
}

struct canvas *canvas_cairo_new(struct arena *arena, struct rect box, double ppi, const struct photo *photo,
                                struct error *error)
{
    struct picture_maker *maker = arena_take(arena, sizeof *maker);
    double k = ppi / MM_PER_INCH;
    int width = (int)ceil(rect_width(box) * k), height = (int)ceil(rect_height(box) * k);
    maker->ppi = ppi;
    maker->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
    const char *file = canvas_font_file(arena);
    if (cairo_surface_status(maker->surface) || !file || FT_Init_FreeType(&maker->library) ||
        FT_New_Face(maker->library, file, 0, &maker->face)) {
        error_words(
            error, FAILURE_MACHINE,
            arena_format(
                arena,
                "no memory for a picture of %d x %d pixels, or the font DejaVu Sans Bold cannot be opened "
                "(Debian's package fonts-dejavu-core)",
                width, height));
        return NULL;
    }
    maker->font = cairo_ft_font_face_create_for_ft_face(maker->face, FT_LOAD_NO_HINTING);
    maker->cairo = cairo_create(maker->surface);
    maker->photo = photo ? photo_surface(photo) : NULL;
    cairo_scale(maker->cairo, k, -k);
    cairo_translate(maker->cairo, -box.x0, -box.y1);
    struct canvas *canvas = arena_take(arena, sizeof *canvas);
    *canvas = (struct canvas){maker,
                              arena,
                              cairo_maker_fill,
                              cairo_maker_stroke,
                              cairo_maker_shade,
                              cairo_maker_picture,
                              cairo_maker_text,
                              cairo_maker_text_width,
                              cairo_maker_push,
                              cairo_maker_pop};
    return canvas;
}

static void maker_free(struct picture_maker *maker)
{
    cairo_destroy(maker->cairo);
    cairo_font_face_destroy(maker->font);
    cairo_surface_destroy(maker->surface);
    if (maker->photo) cairo_surface_destroy(maker->photo);
    cairo_debug_reset_static_data(); /* lets go of the face before FreeType goes */
    FT_Done_Face(maker->face);
    FT_Done_FreeType(maker->library);
}

static void set_tags(TIFF *tiff, int width, int height, double ppi, struct str profile)
{
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, (uint32_t)width);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, (uint32_t)height);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 8);
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, 3);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_RGB);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, COMPRESSION_LZW);
    TIFFSetField(tiff, TIFFTAG_PREDICTOR, PREDICTOR_HORIZONTAL);
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, 64u);
    TIFFSetField(tiff, TIFFTAG_RESOLUTIONUNIT, RESUNIT_INCH);
    TIFFSetField(tiff, TIFFTAG_XRESOLUTION, ppi);
    TIFFSetField(tiff, TIFFTAG_YRESOLUTION, ppi);
    TIFFSetField(tiff, TIFFTAG_ICCPROFILE, (uint32_t)profile.length, profile.bytes);
}

static bool write_rows(TIFF *tiff, cairo_surface_t *surface, uint8_t *row)
{
    int width = cairo_image_surface_get_width(surface), height = cairo_image_surface_get_height(surface);
    int stride = cairo_image_surface_get_stride(surface);
    const unsigned char *data = cairo_image_surface_get_data(surface);
    for (int y = 0; y < height; y++) {
        const uint32_t *from = (const uint32_t *)(const void *)(data + (size_t)y * (size_t)stride);
        for (int x = 0; x < width; x++) {
            row[3 * x] = (uint8_t)(from[x] >> 16);
            row[3 * x + 1] = (uint8_t)(from[x] >> 8);
            row[3 * x + 2] = (uint8_t)from[x];
        }
        if (TIFFWriteScanline(tiff, row, (uint32_t)y, 0) < 0) return false;
    }
    return true;
}

bool canvas_cairo_write(struct canvas *canvas, const char *path, struct error *error)
{
    struct picture_maker *maker = canvas->self;
    struct machine *machine = arena_machine(canvas->arena);
    struct out_file file = {0};
    bool done = machine->create(machine, path, &file, error);
    if (done) {
        cairo_surface_flush(maker->surface);
        int width = cairo_image_surface_get_width(maker->surface);
        TIFF *tiff = TIFFFdOpen(dup(file.fd), path_name(path), "w");
        if (tiff)
            set_tags(tiff, width, cairo_image_surface_get_height(maker->surface), maker->ppi,
                     srgb_profile(canvas->arena));
        done = tiff && write_rows(tiff, maker->surface, arena_take(canvas->arena, (size_t)width * 3));
        if (tiff) TIFFClose(tiff);
        if (!done)
            error_words(error, FAILURE_MACHINE,
                        arena_format(canvas->arena, "%s could not be written: is the disk full?", path));
        if (done) done = machine->commit(machine, &file, false, error);
        machine->abandon(machine, &file);
    }
    maker_free(maker);
    return done;
}
