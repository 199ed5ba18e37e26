/* Pages as CMYK pixels: exact size, numbers that stay, errors that are ours. */
#include "support.h"
#include "pdf/pixels.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct kept {
    struct bench *bench;
    struct strip_shape shape;
    uint8_t *pixels;
    int rows;
    bool ended;
};

static bool begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)error;
    struct kept *kept = self;
    kept->shape = *shape;
    kept->pixels = arena_take(kept->bench->arena, (size_t)shape->width * (size_t)shape->height * 4);
    return true;
}

static bool strip(void *self, const struct strip *strip, struct error *error)
{
    (void)error;
    struct kept *kept = self;
    assert_int_equal(strip->y, kept->rows);
    for (int y = 0; y < strip->rows; y++)
        memcpy(kept->pixels + (size_t)(strip->y + y) * (size_t)strip->width * 4,
               strip->pixels + (size_t)y * strip->stride, (size_t)strip->width * 4);
    kept->rows += strip->rows;
    return true;
}

static bool end(void *self, struct error *error)
{
    (void)error;
    ((struct kept *)self)->ended = true;
    return true;
}

static bool draw(struct bench *bench, const char *path, int width, int height, const char *profile,
                 struct kept *kept, struct error *error)
{
    *kept = (struct kept){.bench = bench};
    struct pdf_pixels_order order = {.path = path,
                                     .subject = "art.pdf",
                                     .page = 1,
                                     .width_px = width,
                                     .height_px = height,
                                     .profile_path = profile};
    struct strip_sink sink = {kept, begin, strip, end};
    return pdf_pixels(&bench->machine, &order, &sink, error);
}

static const uint8_t *at(const struct kept *kept, int x, int y)
{
    return kept->pixels + ((size_t)y * (size_t)kept->shape.width + (size_t)x) * 4;
}

/* DeviceCMYK through the output's own profile: v becomes round(255 v), to 1/255. The profile is Debian's for
 * Ghostscript; the file name is one that Ghostscript would take for something else. */
static void numbers_stay(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const char profile[] = "/usr/share/color/icc/ghostscript/default_cmyk.icc";
    const char *path = make_pdf(bench, "@50%d.pdf", "/MediaBox [0 0 100.3 50.7]",
                                "0.2 0.9 0 0.4 k 0 0 60 60 re f 0 0 1 0 k 60 0 60 60 re f", NULL);
    struct kept kept;
    struct error error = {0};
    struct file_status there = bench->machine.status(&bench->machine, profile);
    if (!draw(bench, path, 1003, 507, there.exists ? profile : NULL, &kept, &error))
        fail_msg("%s", error.text);
    assert_true(kept.ended);
    assert_int_equal(kept.rows, 507);
    const int left[] = {51, 230, 0, 102}, right[] = {0, 0, 255, 0}; /* 255 v */
    for (int i = 0; i < 4; i++) {
        assert_in_range(at(&kept, 100, 250)[i] + 1, left[i], left[i] + 2);
        assert_in_range(at(&kept, 900, 250)[i] + 1, right[i], right[i] + 2);
    }
}

/* The page fills the picture to its last row and column: turned, in large units, with an odd number of
 * pixels. */
static void fills_exactly(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const char *const entries[] = {"/MediaBox [0 0 100 50]", "/MediaBox [7 9 57 109] /Rotate 90",
                                          "/MediaBox [-3 0 47 100] /Rotate 270",
                                          "/MediaBox [0 0 100 50] /UserUnit 340.1"};
    for (size_t i = 0; i < sizeof entries / sizeof *entries; i++) {
        const char *path =
            make_pdf(bench, "fill.pdf", entries[i], "0 0 0 1 k -500 -500 2000 2000 re f", NULL);
        struct kept kept;
        struct error error = {0};
        if (!draw(bench, path, 1201, 599, NULL, &kept, &error)) fail_msg("%s", error.text);
        const int places[][2] = {{0, 0}, {1200, 0}, {0, 598}, {1200, 598}};
        for (size_t j = 0; j < 4; j++) assert_int_equal(at(&kept, places[j][0], places[j][1])[3], 255);
    }
}

/* An M of DejaVu Sans Bold on a page of 900 units, its em `size` units. */
static const char *letter_page(struct bench *bench, int size)
{
    struct str font;
    struct error error = {0};
    if (!machine_read(&bench->machine, "/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf", 4 << 20,
                      bench->arena, &font, &error))
        return NULL;
    struct text stream = text_new(bench->arena);
    text_addf(&stream, "<< /Filter /ASCIIHexDecode /Length %zu >>\nstream\n", 2 * font.length + 1);
    for (size_t i = 0; i < font.length; i++) text_addf(&stream, "%02x", (unsigned char)font.bytes[i]);
    text_add(&stream, ">\nendstream");
    const char *objects[] = {
        "<< /Type /Font /Subtype /TrueType /BaseFont /AAAAAA+Letters /FirstChar 77 /LastChar 77 /Widths "
        "[995] "
        "/FontDescriptor 6 0 R /Encoding /WinAnsiEncoding >>",
        "<< /Type /FontDescriptor /FontName /AAAAAA+Letters /Flags 32 /FontBBox [-1069 -415 1975 1174] "
        "/ItalicAngle 0 /Ascent 928 /Descent -236 /CapHeight 729 /StemV 60 /FontFile2 7 0 R >>",
        text_string(&stream), NULL};
    return make_pdf(
        bench, "letter.pdf", "/MediaBox [0 0 900 900] /Resources << /Font << /F 5 0 R >> >>",
        arena_format(bench->arena, "BT 0 0 0 1 k /F %d Tf %d 20 Td (M) Tj ET", size, 20 - size / 20),
        objects);
}

/* Rows with ink, by poppler at the same size. */
static int rows_by_poppler(struct bench *bench, const char *path, int side)
{
    int rows = 0, width = 0, height = 0;
    FILE *pipe = popen(
        arena_format(bench->arena, "pdftoppm -gray -aa no -aaVector no -scale-to %d '%s'", side, path), "r");
    assert_non_null(pipe);
    assert_int_equal(fscanf(pipe, "P5 %d %d 255", &width, &height), 2);
    fgetc(pipe);
    unsigned char *row = arena_take(bench->arena, (size_t)width);
    for (int y = 0; y < height && fread(row, 1, (size_t)width, pipe) == (size_t)width; y++)
        rows += memchr(row, 0, (size_t)width) != NULL;
    pclose(pipe);
    return rows;
}

/* Letters come out at their size, large and small, at resolutions that are no whole numbers: poppler is the judge,
 * to a pixel at either end. */
static void letters_keep_their_size(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("pdftoppm")) skip();
    static const int cases[][2] = {{1200, 399}, {1200, 1267}, {500, 1249}, {500, 386}, {40, 1238}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *path = letter_page(bench, cases[i][0]);
        int side = cases[i][1], rows = 0;
        struct kept kept;
        struct error error = {0};
        if (!path) skip();
        if (!draw(bench, path, side, side, NULL, &kept, &error)) fail_msg("%s", error.text);
        for (int y = 0; y < side; y++) {
            bool ink = false;
            for (int x = 0; x < side; x++) ink |= at(&kept, x, y)[3] > 127;
            rows += ink;
        }
        int wanted = rows_by_poppler(bench, path, side);
        print_message("# an em of %d units at %d pixels for 900: %d rows, poppler %d\n", cases[i][0], side,
                      rows, wanted);
        assert_true(wanted > 20);
        assert_in_range(rows, wanted - 2, wanted + 2);
    }
}

static void wrong_files(void **state)
{
    struct bench *bench = *state;
    struct kept kept;
    struct error error = {0};
    char *path = bench_path(bench, "none.pdf");
    assert_false(draw(bench, path, 10, 10, NULL, &kept, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_true(machine_write(&bench->machine, path, str_from("%PDF-1.4\nnothing"), false, &error));
    assert_false(draw(bench, path, 10, 10, NULL, &kept, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, "art.pdf"));
    assert_false(draw(bench, make_pdf(bench, "good.pdf", "/MediaBox [0 0 9 9]", "", NULL), 0, 10, NULL, &kept,
                      &error));
    char *locked = shared_pdf(bench, "encrypted-256.pdf");
    if (locked) {
        assert_false(draw(bench, locked, 10, 10, NULL, &kept, &error));
        assert_non_null(strstr(error.text, "locked"));
    }
}

static void cancelled(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    struct kept kept = {.bench = bench};
    struct cancel cancel = {.asked = 1};
    const char *path = make_pdf(bench, "stop.pdf", "/MediaBox [0 0 100 100]", "0 g 0 0 50 50 re f", NULL);
    struct pdf_pixels_order order = {
        .path = path, .subject = "stop.pdf", .page = 1, .width_px = 500, .height_px = 500, .cancel = &cancel};
    struct error error = {0};
    assert_false(pdf_pixels(&bench->machine, &order, &(struct strip_sink){&kept, begin, strip, end}, &error));
    assert_int_equal(error.kind, FAILURE_CANCELLED);
    assert_false(kept.ended);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(numbers_stay),
    cmocka_unit_test(fills_exactly),
    cmocka_unit_test(letters_keep_their_size),
    cmocka_unit_test(wrong_files),
    cmocka_unit_test(cancelled),
};
TEST_MAIN(tests)
