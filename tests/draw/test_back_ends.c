/* SVG, PNG and PDF of one drawing, judged by xmllint, librsvg, qpdf and poppler. */
#include "common.h"
#include <stdlib.h>

static struct drawing *make_shapes(void)
{
    struct drawing *d = drawing_new(arena, 90, 90, "shapes & <signs>");
    add_shapes(d, paint_rgb(0x2060c0));
    draw_rect(d, rect_of(10, 10, 60, 60), (struct look){.fill = paint_faint(paint_rgb(0xff8000), 0.25)});
    return d;
}

static struct drawing *make_page(void)
{
    struct drawing *d = drawing_new(arena, 210, 297, "page");
    draw_text(d, (struct point){20, 30}, (struct letters){.size_mm = 6, .bold = true},
              "Fahrbibliothek für Österholz");
    draw_text(d, (struct point){190, 60}, (struct letters){.size_mm = 4, .align = ALIGN_RIGHT},
              "left-2 & right-3 <b>");
    draw_drawing(d, make_shapes(), affine_shift(60, 100));
    return d;
}

static void svg_is_well_formed(void **state)
{
    (void)state;
    need("xmllint", "libxml2-utils");
    write_svg(make_page(), in_folder("page.svg"));
    const char *said;
    int status = outside_run(arena, &said, "xmllint --noout --nonet '%s'", in_folder("page.svg"));
    if (status != 0) fail_msg("%s", said);
}

/* librsvg draws the SVG as we draw the PNG. Both use cairo, so shapes may differ only where coordinates were
 * rounded to 0.0001 mm: a few pixels of the edges. */
static void svg_agrees_with_png(void **state)
{
    (void)state;
    need("rsvg-convert", "librsvg2-bin");
    write_svg(make_shapes(), in_folder("shapes.svg"));
    write_png(make_shapes(), 100, in_folder("shapes.png"));
    assert_int_equal(outside_run(arena, NULL, "rsvg-convert -d 100 -p 100 -b white '%s' -o '%s'",
                                 in_folder("shapes.svg"), in_folder("judge.png")),
                     0);
    struct pixels ours = outside_png(arena, in_folder("shapes.png")),
                  judge = outside_png(arena, in_folder("judge.png"));
    assert_int_equal(ours.width, 355); /* 90 mm at 100 ppi, rounded up */
    assert_int_equal(judge.width, ours.width);
    assert_int_equal(judge.height, ours.height);
    assert_true(outside_compare(&ours, &judge, 24).off_share < 0.005);
    struct pixels blank = ours;
    blank.rgb = memset(arena_take(arena, 355 * 355 * 3), 255, 355 * 355 * 3);
    assert_true(outside_compare(&ours, &blank, 24).off_share > 0.2); /* the comparison can tell */
}

static void pdf_is_sound(void **state)
{
    (void)state;
    need("qpdf", "qpdf");
    need("pdfinfo", "poppler-utils");
    struct error error = {0};
    const struct drawing *pages[] = {make_page(), make_page()};
    const char *path = in_folder("pages.pdf"), *said;
    assert_true(drawings_pdf(pages, 2, "Two pages", 1803888000, &machine, path, &error));
    if (outside_run(arena, &said, "qpdf --check '%s'", path) != 0) fail_msg("%s", said);
    outside_run(arena, &said, "TZ=UTC pdfinfo -isodates '%s'", path);
    assert_non_null(strstr(said, "(A4)"));
    assert_non_null(strstr(said, "Pages:           2"));
    assert_non_null(strstr(said, "Two pages"));
    assert_non_null(strstr(said, "2027-03-01T08:00:00")); /* 1803888000, by date -u -d @ */
    outside_run(arena, &said, "pdffonts '%s'", path);
    assert_non_null(strstr(said, "DejaVuSans"));
    assert_null(strstr(said, " no  ")); /* every font embedded and a subset */
    outside_run(arena, &said, "pdftotext -layout '%s' -", path);
    assert_non_null(strstr(said, "Fahrbibliothek für Österholz"));
    assert_non_null(strstr(said, "left-2 & right-3 <b>"));
}

/* poppler draws the PDF as we draw the PNG; its own rasteriser, so edges differ but areas do not. */
static void pdf_agrees_with_png(void **state)
{
    (void)state;
    need("pdftoppm", "poppler-utils");
    struct error error = {0};
    const struct drawing *page = make_page();
    assert_true(drawings_pdf(&page, 1, "", 0, &machine, in_folder("one.pdf"), &error));
    write_png(page, 72, in_folder("one.png"));
    outside_run(arena, NULL, "pdftoppm -r 72 -png -singlefile '%s' '%s'", in_folder("one.pdf"),
                in_folder("judge-pdf"));
    struct pixels ours = outside_png(arena, in_folder("one.png")),
                  judge = outside_png(arena, in_folder("judge-pdf.png"));
    assert_int_equal(judge.width, ours.width);
    assert_int_equal(judge.height, ours.height);
    assert_true(outside_compare(&ours, &judge, 96).off_share < 0.004);
}

/* Six colours, row 0 at the top: the middle of each sixth as librsvg and poppler show it. */
static void pictures_stand_the_right_way(void **state)
{
    (void)state;
    need("rsvg-convert", "librsvg2-bin");
    need("pdftoppm", "poppler-utils");
    static const uint8_t checks[] = {255, 0, 0, 0, 255, 0, 0, 0, 255, 255, 255, 0, 0, 0, 0, 250, 250, 250};
    struct error error = {0};
    struct drawing *d = drawing_new(arena, 30, 20, "picture");
    uint8_t *rgb = arena_take_array(arena, 30 * 20, 3);
    for (int i = 0; i < 30 * 20; i++) memcpy(rgb + i * 3, checks + (i / 300 * 3 + i % 30 / 10) * 3, 3);
    draw_picture(d, rect_of(0, 0, 30, 20), 30, 20, rgb, 1);
    const struct drawing *page = d;
    write_svg(d, in_folder("pic.svg"));
    write_png(d, 25.4, in_folder("pic-0.png"));
    assert_true(drawings_pdf(&page, 1, "", 0, &machine, in_folder("pic.pdf"), &error));
    outside_run(arena, NULL, "rsvg-convert -d 25.4 -p 25.4 '%s' -o '%s'", in_folder("pic.svg"),
                in_folder("pic-1.png"));
    outside_run(arena, NULL, "pdftoppm -r 25.4 -png -singlefile '%s' '%s'", in_folder("pic.pdf"),
                in_folder("pic-2"));
    for (int file = 0; file < 3; file++) {
        struct pixels png = outside_png(arena, in_folder(arena_format(arena, "pic-%d.png", file)));
        assert_in_range(png.width, 30, 31);
        for (int i = 0; i < 6; i++)
            for (int c = 0; c < 3; c++) {
                int x = i % 3 * 10 + 5, y = i / 3 * 10 + 5;
                int off = abs(png.rgb[(y * png.width + x) * 3 + c] - checks[i * 3 + c]);
                if (off > 24) fail_msg("file %d, colour %d: off by %d", file, i, off);
            }
    }
}

static void same_drawing_same_bytes(void **state)
{
    (void)state;
    struct error error = {0};
    struct str files[2][3];
    for (int i = 0; i < 2; i++) {
        const struct drawing *page = make_page();
        write_svg(page, in_folder("a.svg"));
        write_png(page, 50, in_folder("a.png"));
        assert_true(drawings_pdf(&page, 1, "same", 1803888000, &machine, in_folder("a.pdf"), &error));
        files[i][0] = read_whole(in_folder("a.svg"));
        files[i][1] = read_whole(in_folder("a.png"));
        files[i][2] = read_whole(in_folder("a.pdf"));
    }
    for (int j = 0; j < 3; j++) {
        assert_int_equal(files[0][j].length, files[1][j].length);
        assert_memory_equal(files[0][j].bytes, files[1][j].bytes, files[0][j].length);
    }
}

static void too_many_pixels_are_refused(void **state)
{
    (void)state;
    struct error error = {0};
    assert_false(drawing_png(make_page(), 20000, &machine, in_folder("huge.png"), &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_false(machine.status(&machine, in_folder("huge.png")).exists);
    assert_false(drawing_png(drawing_new(arena, 0, 10, ""), 72, &machine, in_folder("huge.png"), &error));
}

/* A folder that is a file: the machine's words arrive. */
static void a_failed_write_says_so(void **state)
{
    (void)state;
    struct error error = {0};
    const struct drawing *page = make_page();
    write_svg(page, in_folder("file"));
    assert_false(drawings_pdf(&page, 1, "", 0, &machine, in_folder("file/a.pdf"), &error));
    assert_int_equal(error.kind, FAILURE_MACHINE);
    assert_non_null(strstr(error.text, "a.pdf"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(svg_is_well_formed),
        cmocka_unit_test(svg_agrees_with_png),
        cmocka_unit_test(pdf_is_sound),
        cmocka_unit_test(pdf_agrees_with_png),
        cmocka_unit_test(pictures_stand_the_right_way),
        cmocka_unit_test(same_drawing_same_bytes),
        cmocka_unit_test(too_many_pixels_are_refused),
        cmocka_unit_test(a_failed_write_says_so),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
