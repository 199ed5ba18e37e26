/* The one-channel mask against the PNG, and the PDF operators against the mask by way of Ghostscript. */
#include "common.h"

#define PPI 50

static struct drawing *make_marks(void)
{
    struct drawing *d = drawing_new(arena, 90, 90, "marks");
    add_shapes(d, paint_grey(0));
    draw_text(d, (struct point){8, 60}, (struct letters){.size_mm = 7}, "LV-2031 left-2 äß");
    return d;
}

static uint8_t *make_mask(const struct drawing *d, int width, int height)
{
    uint8_t *mask = arena_take(arena, (size_t)width * (size_t)height);
    drawing_mask(d, PPI, 0, 0, width, height, mask);
    return mask;
}

/* The PNG is painted on white with other operators: ink = 255 - grey, to a level of rounding for each layer.
 */
static void mask_is_the_negative_of_the_png(void **state)
{
    (void)state;
    struct drawing *d = drawing_new(arena, 90, 90, "marks");
    add_shapes(d, paint_grey(0));
    write_png(d, PPI, in_folder("marks.png"));
    struct pixels png = outside_png(arena, in_folder("marks.png"));
    const uint8_t *mask = make_mask(d, png.width, png.height);
    size_t inked = 0;
    for (size_t i = 0; i < (size_t)png.width * (size_t)png.height; i++) {
        assert_in_range(mask[i] + png.rgb[i * 3] + 3, 255, 261);
        inked += mask[i] > 128;
    }
    assert_true(inked > 1000);
}

static void mask_in_strips_is_the_mask(void **state)
{
    (void)state;
    enum { WIDTH = 170, HEIGHT = 170, X = 13, PART = 101 };
    struct drawing *d = make_marks();
    const uint8_t *whole = make_mask(d, WIDTH, HEIGHT);
    for (int y = 0; y < HEIGHT; y += 7) {
        int rows = HEIGHT - y < 7 ? HEIGHT - y : 7;
        uint8_t part[7 * PART];
        drawing_mask(d, PPI, X, y, PART, rows, part);
        for (int r = 0; r < rows; r++) /* cairo's coverage of an edge may round by one with the window */
            for (int x = 0; x < PART; x++)
                assert_in_range(part[r * PART + x] + 2 - whole[(y + r) * WIDTH + X + x] + 100, 100, 104);
    }
}

/* A PDF of one page with these operators for its contents. */
static void write_pdf(const char *path, const char *operators, size_t length, double side_mm)
{
    struct text pdf = text_new(arena);
    size_t at[4];
    double k = 72 / 25.4;
    const char *matrix = arena_format(arena, "%g 0 0 %g 0 0 cm\n", k, k);
    text_add(&pdf, "%PDF-1.4\n");
    at[0] = pdf.length;
    text_add(&pdf, "1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj\n");
    at[1] = pdf.length;
    text_add(&pdf, "2 0 obj <</Type/Pages/Kids[3 0 R]/Count 1>> endobj\n");
    at[2] = pdf.length;
    text_addf(&pdf,
              "3 0 obj <</Type/Page/Parent 2 0 R/MediaBox[0 0 %g %g]/Resources<<>>/Contents 4 0 R>> endobj\n",
              side_mm * k, side_mm * k);
    at[3] = pdf.length;
    text_addf(&pdf, "4 0 obj <</Length %zu>> stream\n%s", length + strlen(matrix), matrix);
    text_add_bytes(&pdf, operators, length);
    text_add(&pdf, "endstream endobj\n");
    size_t xref = pdf.length;
    text_add(&pdf, "xref\n0 5\n0000000000 65535 f \n");
    for (int i = 0; i < 4; i++) text_addf(&pdf, "%010u 00000 n \n", (unsigned)at[i]);
    text_addf(&pdf, "trailer <</Size 5/Root 1 0 R>>\nstartxref\n%zu\n%%%%EOF\n", xref);
    struct error error = {0};
    assert_true(machine_write(&machine, path, (struct str){pdf.bytes, pdf.length}, false, &error));
}

/* Ghostscript's raw CMYK at eight times the resolution, averaged: coverage as exact as 1/64. Inside and
 * outside of shapes it must equal the mask; along edges its rule ("any part of a pixel") may add 1/8 of a
 * pixel a side. And no ink but black anywhere. */
static void operators_print_what_the_mask_says(void **state)
{
    (void)state;
    need("gs", "ghostscript");
    enum { SIDE = 177, OVER = 8 };
    struct drawing *d = make_marks();
    struct text operators = text_new(arena);
    assert_true(drawing_operators(d, &operators));
    write_pdf(in_folder("marks.pdf"), operators.bytes, operators.length, 90);
    const char *said;
    assert_int_equal(
        outside_run(
            arena, &said,
            "gs -q -dSAFER -dBATCH -dNOPAUSE -sDEVICE=bitcmyk -dGrayValues=256 -r%d -g%dx%d -o '%s' '%s'",
            PPI * OVER, SIDE * OVER, SIDE * OVER, in_folder("marks.raw"), in_folder("marks.pdf")),
        0);
    struct str raw = read_whole(in_folder("marks.raw"));
    assert_int_equal(raw.length, (size_t)SIDE * OVER * SIDE * OVER * 4);
    const uint8_t *mask = make_mask(d, SIDE, SIDE);
    size_t inside = 0;
    for (int y = 1; y < SIDE - 1; y++)
        for (int x = 1; x < SIDE - 1; x++) {
            double ink = 0;
            for (int s = 0; s < OVER * OVER; s++) {
                /* 90 mm are not whole pixels: the page's bottom is at row SIDE * OVER, so its top edge
                 * decides */
                size_t at = ((size_t)(y * OVER + s / OVER) * SIDE * OVER + (size_t)(x * OVER + s % OVER));
                const uint8_t *p = (const uint8_t *)raw.bytes + at * 4;
                if (p[0] || p[1] || p[2]) fail_msg("ink other than black at %d, %d", x, y);
                ink += p[3];
            }
            ink /= OVER * OVER;
            int m = mask[y * SIDE + x];
            bool flat = true;
            for (int n = 0; n < 9; n++) flat = flat && mask[(y + n / 3 - 1) * SIDE + x + n % 3 - 1] == m;
            if (flat && fabs(ink - m) > 2)
                fail_msg("at %d, %d the operators give %d, the mask %d", x, y, (int)ink, m);
            if (fabs(ink - m) > 110) fail_msg("edge at %d, %d: %d against %d", x, y, (int)ink, m);
            inside += flat && m > 100;
        }
    assert_true(inside > 1000);
}

/* The operators name no colour but DeviceCMYK black, by reading them. */
static void operators_say_black_only(void **state)
{
    (void)state;
    struct text operators = text_new(arena);
    assert_true(drawing_operators(make_marks(), &operators));
    size_t colours = 0;
    for (char *line = strtok(operators.bytes, "\n"); line; line = strtok(NULL, "\n")) {
        size_t length = strlen(line);
        if (line[length - 1] != 'k' && !strstr(line, " K ")) continue;
        assert_memory_equal(line, "0 0 0 ", 6);
        colours++;
    }
    assert_true(colours >= 8);
}

static void operators_refuse_what_they_cannot_say(void **state)
{
    (void)state;
    static const uint8_t pixel[3] = {1, 2, 3};
    struct text out = text_new(arena);
    struct drawing *d[3];
    for (int i = 0; i < 3; i++) d[i] = drawing_new(arena, 10, 10, "");
    draw_rect(d[0], rect_of(1, 1, 2, 2), (struct look){.fill = paint_rgb(0x808080)});
    draw_rect(d[1], rect_of(1, 1, 2, 2), (struct look){.fill = paint_faint(paint_grey(0), 0.5)});
    draw_picture(d[2], rect_of(1, 1, 2, 2), 1, 1, pixel, 1);
    for (int i = 0; i < 3; i++) {
        assert_false(drawing_operators(d[i], &out));
        struct drawing *around = drawing_new(arena, 10, 10, "");
        draw_drawing(around, d[i], affine_identity);
        assert_false(drawing_operators(around, &out));
    }
    assert_int_equal(out.length, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mask_is_the_negative_of_the_png),       cmocka_unit_test(mask_in_strips_is_the_mask),
        cmocka_unit_test(operators_print_what_the_mask_says),    cmocka_unit_test(operators_say_black_only),
        cmocka_unit_test(operators_refuse_what_they_cannot_say),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
