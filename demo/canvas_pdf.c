/* A PDF page written by hand: content stream, one embedded TrueType font, one photograph, shadings and
 * opacities as the drawing needs them. Source: ISO 32000-1, sections 7.5 (file), 8.4 to 8.9 (graphics),
 * 9.6 and 9.9 (font), 11.6 (transparency), 14.11.2 (boxes). */
#include "canvas.h"
#include "canvas_private.h"
#include "base/machine.h"
#include "base/text.h"
#include "base/units.h"
#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_ADVANCES_H
#include <string.h>
#include <zlib.h>

enum { FIRST_CHAR = 32, LAST_CHAR = 126, OBJECTS_MOST = 16, BASE_FONT_EM = 1000 };
enum { CATALOG = 1, PAGES, PAGE, CONTENTS, FONT, DESCRIPTOR, FONT_FILE, PROFILE, PHOTO, INFO, OBJECT_END };

/* Paper beyond the trim, in millimetres of the drawing: room for the corner marks. */
static const double margin_mm = 12;

struct pdf {
    struct arena *arena;
    struct page_shape shape;
    struct text content, shadings;
    int shading_count;
    bool opacities[101];
    FT_Library library;
    FT_Face face;
    const char *font_file;
    struct str jpeg;
    int photo_width, photo_height;
    struct text out;
    size_t offsets[OBJECTS_MOST];
};

/* ---- drawing ---- */

static void put_tint(struct pdf *pdf, const struct tint *tint, const char *operator)
{
    const double *c = tint->cmyk;
    text_addf(&pdf->content, "%g %g %g %g %s\n", c[0], c[1], c[2], c[3], operator);
}

static void put_path(struct pdf *pdf, const struct path *path)
{
    for (size_t i = 0; i < path->count; i++) {
        const struct path_step *s = &path->steps[i];
        int points = s->kind == 'h' ? 0 : s->kind == 'c' ? 3 : 1;
        for (int k = 0; k < points; k++) {
            text_add_number(&pdf->content, s->p[k].x, 3);
            text_add_char(&pdf->content, ' ');
            text_add_number(&pdf->content, s->p[k].y, 3);
            text_add_char(&pdf->content, ' ');
        }
        text_addf(&pdf->content, "%c\n", s->kind);
    }
}

static void pdf_fill(void *self, const struct path *path, const struct tint *tint, double opacity)
{
    struct pdf *pdf = self;
    int percent = (int)(opacity * 100 + 0.5);
    pdf->opacities[percent] = true;
    if (percent < 100) text_addf(&pdf->content, "q /O%d gs\n", percent);
    put_tint(pdf, tint, "k");
    put_path(pdf, path);
    text_add(&pdf->content, percent < 100 ? "f Q\n" : "f\n");
}

static void pdf_stroke(void *self, const struct path *path, const struct tint *tint, double width)
{
    struct pdf *pdf = self;
    put_tint(pdf, tint, "K");
    text_addf(&pdf->content, "%g w 1 J 1 j\n", width);
    put_path(pdf, path);
    text_add(&pdf->content, "S\n");
}

static void pdf_shade(void *self, const struct path *path, struct point from, struct point to,
                      const struct tint *first, const struct tint *last)
{
    struct pdf *pdf = self;
    int n = ++pdf->shading_count;
    const double *a = first->cmyk, *b = last->cmyk;
    text_addf(&pdf->shadings,
              "/S%d << /ShadingType 2 /ColorSpace /DeviceCMYK /Coords [%g %g %g %g] /Extend [true true]\n"
              "/Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [%g %g %g %g] /C1 [%g %g %g %g] >> >>\n",
              n, from.x, from.y, to.x, to.y, a[0], a[1], a[2], a[3], b[0], b[1], b[2], b[3]);
    text_add(&pdf->content, "q\n");
    put_path(pdf, path);
    text_addf(&pdf->content, "W n /S%d sh Q\n", n);
}

static void pdf_picture(void *self, const struct path *clip, struct rect box)
{
    struct pdf *pdf = self;
    text_add(&pdf->content, "q\n");
    put_path(pdf, clip);
    text_addf(&pdf->content, "W n %g 0 0 %g %g %g cm /Photo Do Q\n", rect_width(box), rect_height(box),
              box.x0, box.y0);
}

static void pdf_text(void *self, const char *string, double x, double y, double size, const struct tint *tint)
{
    struct pdf *pdf = self;
    put_tint(pdf, tint, "k");
    text_addf(&pdf->content, "BT /F %g Tf %g %g Td (", size, x, y);
    for (const char *c = string; *c; c++) {
        if (strchr("()\\", *c)) text_add_char(&pdf->content, '\\');
        text_add_char(&pdf->content, *c);
    }
    text_add(&pdf->content, ") Tj ET\n");
}

static double advance(const struct pdf *pdf, int character)
{
    FT_Fixed units = 0;
    FT_UInt glyph = FT_Get_Char_Index(pdf->face, (FT_ULong)character);
    if (FT_Get_Advance(pdf->face, glyph, FT_LOAD_NO_SCALE, &units)) return 0;
    return (double)units * BASE_FONT_EM / pdf->face->units_per_EM;
}

static double pdf_text_width(void *self, const char *string, double size)
{
    struct pdf *pdf = self;
    double width = 0;
    for (const char *c = string; *c; c++) width += advance(pdf, (unsigned char)*c);
    return width * size / BASE_FONT_EM;
}

static void pdf_push(void *self, double scale_x, double scale_y, double x, double y)
{
    struct pdf *pdf = self;
    text_addf(&pdf->content, "q %g 0 0 %g %g %g cm\n", scale_x, scale_y, x, y);
}

static void pdf_pop(void *self)
{
    struct pdf *pdf = self;
    text_add(&pdf->content, "Q\n");
}

struct canvas *canvas_pdf_new(struct arena *arena, const struct page_shape *shape, struct error *error)
{
    struct pdf *pdf = arena_take(arena, sizeof *pdf);
    pdf->arena = arena;
    pdf->shape = *shape;
    pdf->content = text_new(arena);
    pdf->shadings = text_new(arena);
    pdf->font_file = canvas_font_file(arena);
    if (!pdf->font_file || FT_Init_FreeType(&pdf->library) ||
        FT_New_Face(pdf->library, pdf->font_file, 0, &pdf->face)) {
        error_words(
            error, FAILURE_MACHINE,
            "the font DejaVu Sans Bold cannot be opened; it is in Debian's package fonts-dejavu-core");
        return NULL;
    }
    struct canvas *canvas = arena_take(arena, sizeof *canvas);
    *canvas = (struct canvas){pdf,         arena,    pdf_fill,       pdf_stroke, pdf_shade,
                              pdf_picture, pdf_text, pdf_text_width, pdf_push,   pdf_pop};
    return canvas;
}

void canvas_pdf_photo(struct canvas *canvas, struct str jpeg, int width, int height)
{
    struct pdf *pdf = canvas->self;
    pdf->jpeg = jpeg;
    pdf->photo_width = width;
    pdf->photo_height = height;
}

/* ---- the document ---- */

static void object_start(struct pdf *pdf, int number)
{
    pdf->offsets[number] = pdf->out.length;
    text_addf(&pdf->out, "%d 0 obj\n", number);
}

/* `dictionary` without its brackets and length. */
static void object_stream(struct pdf *pdf, int number, const char *dictionary, struct str bytes)
{
    object_start(pdf, number);
    text_addf(&pdf->out, "<< %s /Length %zu >>\nstream\n", dictionary, bytes.length);
    text_add_bytes(&pdf->out, bytes.bytes, bytes.length);
    text_add(&pdf->out, "\nendstream\nendobj\n");
}

static void object_deflated(struct pdf *pdf, int number, const char *dictionary, struct str bytes)
{
    uLongf length = compressBound(bytes.length);
    char *packed = arena_take(pdf->arena, length);
    if (compress2((Bytef *)packed, &length, (const Bytef *)bytes.bytes, bytes.length, 6) != Z_OK) length = 0;
    object_stream(pdf, number, arena_format(pdf->arena, "/Filter /FlateDecode %s", dictionary),
                  (struct str){packed, length});
}

static bool put_font(struct pdf *pdf, struct machine *machine, struct error *error)
{
    enum { FONT_BYTES_MOST = 8 << 20 };
    struct str file;
    if (!machine_read(machine, pdf->font_file, FONT_BYTES_MOST, pdf->arena, &file, error)) return false;
    FT_Face face = pdf->face;
    double em = (double)BASE_FONT_EM / face->units_per_EM;
    object_start(pdf, FONT);
    text_addf(&pdf->out,
              "<< /Type /Font /Subtype /TrueType /BaseFont /DejaVuSans-Bold /Encoding /WinAnsiEncoding\n"
              "/FirstChar %d /LastChar %d /FontDescriptor %d 0 R /Widths [",
              FIRST_CHAR, LAST_CHAR, DESCRIPTOR);
    for (int c = FIRST_CHAR; c <= LAST_CHAR; c++) text_addf(&pdf->out, " %.0f", advance(pdf, c));
    text_add(&pdf->out, " ] >>\nendobj\n");
    object_start(pdf, DESCRIPTOR);
    text_addf(
        &pdf->out,
        "<< /Type /FontDescriptor /FontName /DejaVuSans-Bold /Flags 32 /ItalicAngle 0 /StemV 140\n"
        "/FontBBox [%.0f %.0f %.0f %.0f] /Ascent %.0f /Descent %.0f /CapHeight 729 /FontFile2 %d 0 R >>\n"
        "endobj\n",
        (double)face->bbox.xMin * em, (double)face->bbox.yMin * em, (double)face->bbox.xMax * em,
        (double)face->bbox.yMax * em, face->ascender * em, face->descender * em, FONT_FILE);
    object_deflated(pdf, FONT_FILE, arena_format(pdf->arena, "/Length1 %zu", file.length), file);
    return true;
}

static void put_box(struct pdf *pdf, const char *name, double grow_mm)
{
    double scale = pdf->shape.scale, low = (margin_mm - grow_mm) * POINTS_PER_MM;
    double width = rect_width(pdf->shape.trim) / scale + margin_mm + grow_mm;
    double height = rect_height(pdf->shape.trim) / scale + margin_mm + grow_mm;
    text_addf(&pdf->out, "/%s [%.4f %.4f %.4f %.4f]\n", name, low, low, width * POINTS_PER_MM,
              height * POINTS_PER_MM);
}

static void put_page(struct pdf *pdf)
{
    object_start(pdf, PAGE);
    text_addf(&pdf->out, "<< /Type /Page /Parent %d 0 R /Contents %d 0 R\n", PAGES, CONTENTS);
    put_box(pdf, "MediaBox", margin_mm);
    put_box(pdf, "BleedBox", 3);
    put_box(pdf, "TrimBox", 0);
    text_add(&pdf->out, "/Group << /S /Transparency /CS /DeviceCMYK /I true >>\n/Resources <<\n");
    text_addf(&pdf->out, "/Font << /F %d 0 R >>\n/ExtGState <<", FONT);
    for (int i = 0; i < 100; i++)
        if (pdf->opacities[i]) text_addf(&pdf->out, " /O%d << /ca %g >>", i, i / 100.0);
    text_addf(&pdf->out, " >>\n/Shading <<\n%s>>\n", text_string(&pdf->shadings));
    if (pdf->jpeg.length) text_addf(&pdf->out, "/XObject << /Photo %d 0 R >>\n", PHOTO);
    text_add(&pdf->out, ">> >>\nendobj\n");
}

/* Marks at the four corners of the trim, outside it. */
static void add_corner_marks(const struct pdf *pdf, struct text *content)
{
    struct rect t = pdf->shape.trim;
    double near = 4 * pdf->shape.scale, far = 10 * pdf->shape.scale;
    text_addf(content, "0 0 0 1 K %g w 0 J\n", 0.1 * pdf->shape.scale);
    for (int i = 0; i < 4; i++) {
        double x = i & 1 ? t.x1 : t.x0, y = i & 2 ? t.y1 : t.y0;
        double right = i & 1 ? 1 : -1, up = i & 2 ? 1 : -1;
        text_addf(content, "%g %g m %g %g l S\n", x + right * near, y, x + right * far, y);
        text_addf(content, "%g %g m %g %g l S\n", x, y + up * near, x, y + up * far);
    }
}

static void put_content(struct pdf *pdf)
{
    struct rect t = pdf->shape.trim;
    double k = POINTS_PER_MM / pdf->shape.scale, beyond = 3 * pdf->shape.scale;
    struct rect bleed = rect_grow(t, beyond);
    struct text content = text_new(pdf->arena);
    text_addf(&content, "q %.9f 0 0 %.9f %.6f %.6f cm\n", k, k, margin_mm * POINTS_PER_MM - t.x0 * k,
              margin_mm * POINTS_PER_MM - t.y0 * k);
    text_addf(&content, "q %g %g %g %g re W n\n", bleed.x0, bleed.y0, rect_width(bleed), rect_height(bleed));
    text_add_bytes(&content, pdf->content.bytes, pdf->content.length);
    text_add(&content, "Q\n");
    add_corner_marks(pdf, &content);
    text_add(&content, "Q\n");
    object_deflated(pdf, CONTENTS, "", (struct str){content.bytes, content.length});
}

static void put_photo(struct pdf *pdf)
{
    object_deflated(pdf, PROFILE, "/N 3 /Alternate /DeviceRGB", srgb_profile(pdf->arena));
    object_stream(pdf, PHOTO,
                  arena_format(pdf->arena,
                               "/Type /XObject /Subtype /Image /Width %d /Height %d /BitsPerComponent 8 "
                               "/ColorSpace [/ICCBased %d 0 R] /Filter /DCTDecode",
                               pdf->photo_width, pdf->photo_height, PROFILE),
                  pdf->jpeg);
}

static void put_trailer(struct pdf *pdf)
{
    size_t start = pdf->out.length;
    text_addf(&pdf->out, "xref\n0 %d\n0000000000 65535 f \n", OBJECT_END);
    for (int i = 1; i < OBJECT_END; i++) {
        if (pdf->offsets[i])
            text_addf(&pdf->out, "%010zu 00000 n \n", pdf->offsets[i]);
        else
            text_add(&pdf->out, "0000000000 65535 f \n");
    }
    text_addf(&pdf->out, "trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R >>\nstartxref\n%zu\n%%%%EOF\n",
              OBJECT_END, CATALOG, INFO, start);
}

bool canvas_pdf_write(struct canvas *canvas, const char *path, struct error *error)
{
    struct pdf *pdf = canvas->self;
    struct machine *machine = arena_machine(pdf->arena);
    pdf->out = text_new(pdf->arena);
    text_add(&pdf->out, "%PDF-1.6\n%\xe2\xe3\xcf\xd3\n");
    object_start(pdf, CATALOG);
    text_addf(&pdf->out, "<< /Type /Catalog /Pages %d 0 R >>\nendobj\n", PAGES);
    object_start(pdf, PAGES);
    text_addf(&pdf->out, "<< /Type /Pages /Kids [%d 0 R] /Count 1 >>\nendobj\n", PAGE);
    object_start(pdf, INFO);
    text_addf(&pdf->out, "<< /Title (%s) >>\nendobj\n", pdf->shape.title);
    put_page(pdf);
    put_content(pdf);
    bool done = put_font(pdf, machine, error);
    FT_Done_Face(pdf->face);
    FT_Done_FreeType(pdf->library);
    if (!done) return false;
    if (pdf->jpeg.length) put_photo(pdf);
    put_trailer(pdf);
    return machine_write(machine, path, (struct str){pdf->out.bytes, pdf->out.length}, false, error);
}
