/* The panel files themselves: boxes in a second reader, large sides, same bytes, pictures, layers, stretched
 * prints, and a lay-back check that finds what is wrong. */
#include "support.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const page_entries = "/MediaBox [0 0 300 200] /Resources << >>";
static const char *const content = "0.2 0.9 0 0 k 10 40 200 100 re f 0 0 1 0 k 100 190 m 280 190 l 180 60 l "
                                   "f 0 0 1 RG 5 w 0 0 m 300 200 l S";

/* A surface of 10 x the page, in panels side by side. */
struct sample {
    struct pdf_layer layers[2];
    struct pdf_panel_page pages[4];
    struct pdf_panels_order order;
};

static struct sample *sample_of(struct bench *bench, double scale)
{
    struct sample *sample = arena_take(bench->arena, sizeof *sample);
    double mm = 25.4 / 72 * scale;
    struct rect whole = {0, 0, 300 * mm, 200 * mm};
    sample->layers[0] = (struct pdf_layer){.path = make_pdf(bench, "art.pdf", page_entries, content, NULL),
                                           .subject = "art.pdf",
                                           .page = 1,
                                           .to_surface = affine_scale(scale, scale),
                                           .clip = whole};
    for (int i = 0; i < 2; i++) {
        struct rect visible = {i * 150 * mm, 0, (i + 1) * 150 * mm, 200 * mm}, print = visible;
        if (i == 0) print.x1 += 12;
        struct rect file = {print.x0, print.y0 - 30, print.x1, print.y1 + 20};
        sample->pages[i] = (struct pdf_panel_page){.id = i ? "left-2" : "left-1",
                                                   .file = file,
                                                   .print = print,
                                                   .visible = visible,
                                                   .marks = str_from("0 0 0 1 k 2 2 9 9 re f")};
    }
    sample->order = (struct pdf_panels_order){.layers = sample->layers,
                                              .layer_count = 1,
                                              .pages = sample->pages,
                                              .page_count = 2,
                                              .title = "Caf\xc3\xa9 van",
                                              .subject = "left",
                                              .date = 1772352000,
                                              .id_seed = "LV-1"};
    return sample;
}

static char *write_file(struct bench *bench, const struct sample *sample, const char *name)
{
    char *path = bench_path(bench, name);
    struct error error = {0};
    if (!pdf_panels_write(&bench->machine, &sample->order, path, true, bench->arena, &error))
        fail_msg("%s", error.text);
    return path;
}

static struct pdf_layback_result lay_back_at(struct bench *bench, const struct sample *sample,
                                             const char *path, double ppi)
{
    struct pdf_layback_result result;
    struct error error = {0};
    if (!pdf_layback(&bench->machine, &sample->order, path, ppi, bench->arena, &result, &error))
        fail_msg("%s", error.text);
    return result;
}

static struct pdf_layback_result lay_back(struct bench *bench, const struct sample *sample, const char *path)
{
    return lay_back_at(bench, sample, path, 0);
}

/* By patches and by the whole. */
static void must_be_same(struct bench *bench, const struct sample *sample, const char *path)
{
    for (int whole = 0; whole < 2; whole++) {
        struct pdf_layback_result result = lay_back_at(bench, sample, path, whole ? 25.4 : 0);
        if (!result.same) fail_msg("%s", result.trouble);
        assert_true(result.pixels > 0);
    }
}

static void must_differ(struct bench *bench, const struct sample *sample, const char *path, const char *words)
{
    struct pdf_layback_result result = lay_back(bench, sample, path);
    assert_false(result.same);
    if (!result.trouble || !strstr(result.trouble, words)) fail_msg("not \"%s\": %s", words, result.trouble);
}

/* A box as poppler's pdfinfo prints it: "TrimBox:  x0 y0 x1 y1" in units. */
static void assert_box(const char *info, const char *name, struct rect wanted_mm, double unit)
{
    const char *line = strstr(info, name);
    double box[4];
    assert_non_null(line);
    assert_int_equal(sscanf(line + strlen(name), "%lf %lf %lf %lf", &box[0], &box[1], &box[2], &box[3]), 4);
    const double wanted[4] = {wanted_mm.x0, wanted_mm.y0, wanted_mm.x1, wanted_mm.y1};
    for (int i = 0; i < 4; i++)
        if (fabs(box[i] * unit * 25.4 / 72 - wanted[i]) > 0.01 * unit)
            fail_msg("%s %f, not %f mm", name, box[i], wanted[i]);
}

static void boxes(void **state)
{
    struct bench *bench = *state;
    if (!has_program("pdfinfo") || !has_program("qpdf")) skip();
    struct sample *sample = sample_of(bench, 10);
    char *path = write_file(bench, sample, "boxes.pdf");
    int status;
    char *info = run(bench, arena_format(bench->arena, "pdfinfo -box -f 2 -l 2 %s", path), &status);
    assert_int_equal(status, 0);
    double w = 150 * 25.4 / 7.2, h = 200 * 25.4 / 7.2;
    assert_box(info, "MediaBox:", (struct rect){0, 0, w, h + 50}, 1);
    assert_box(info, "BleedBox:", (struct rect){0, 30, w, 30 + h}, 1);
    assert_box(info, "TrimBox:", (struct rect){0, 30, w, 30 + h}, 1);
    assert_non_null(strstr(info, "Caf\xc3\xa9 van"));
    assert_non_null(strstr(info, "Pages:           2"));
    run(bench, arena_format(bench->arena, "qpdf --check %s", path), &status);
    assert_int_equal(status, 0);
    must_be_same(bench, sample, path);
}

/* 12.7 m in one piece: 36,000 units, so UserUnit 3 (14,400 units are the most a side may have: ISO 32000-1,
 * annex C); poppler shows boxes without it. */
static void large_side(void **state)
{
    struct bench *bench = *state;
    if (!has_program("pdfinfo") || !has_program("qpdf")) skip();
    struct sample *sample = sample_of(bench, 120);
    sample->order.page_count = 1;
    sample->pages[0].print.x1 = sample->pages[0].visible.x1 = sample->pages[0].file.x1 = 12700;
    char *path = write_file(bench, sample, "large.pdf");
    int status;
    char *info = run(bench, arena_format(bench->arena, "pdfinfo -box %s", path), &status);
    assert_box(info, "MediaBox:", (struct rect){0, 0, 12700, 200 * 25.4 / 72 * 120 + 50}, 3);
    char *page = run(bench, arena_format(bench->arena, "qpdf --json %s | grep UserUnit", path), NULL);
    assert_non_null(strstr(page, "3"));
    must_be_same(bench, sample, path);
}

static void same_bytes(void **state)
{
    struct bench *bench = *state;
    struct sample *sample = sample_of(bench, 10);
    struct str one, other;
    struct error error;
    char *first = write_file(bench, sample, "one.pdf"), *second = write_file(bench, sample, "two.pdf");
    assert_true(machine_read(&bench->machine, first, 1 << 20, bench->arena, &one, &error));
    assert_true(machine_read(&bench->machine, second, 1 << 20, bench->arena, &other, &error));
    assert_int_equal(one.length, other.length);
    assert_memory_equal(one.bytes, other.bytes, one.length);
}

/* The check must see a panel that lies elsewhere, shows another artwork, or has other boxes. */
static void finds_what_is_wrong(void **state)
{
    struct bench *bench = *state;
    struct sample *sample = sample_of(bench, 10);
    char *path = write_file(bench, sample, "right.pdf");
    must_be_same(bench, sample, path);
    sample->layers[0].to_surface.e += 0.1;
    must_differ(bench, sample, path, "0.10 mm from its place");
    sample->layers[0].to_surface.e -= 0.1;
    sample->layers[0].clip.x0 += 0.1;
    must_differ(bench, sample, path, "cut off 0.10 mm from its place");
    sample->layers[0].clip.x0 -= 0.1;
    sample->pages[1].visible.y0 += 1;
    must_differ(bench, sample, path, "TrimBox");
    sample->pages[1].visible.y0 -= 1;
    sample->pages[1].marks = str_from("0 0 0 1 k 200 200 90 90 re f"); /* inside the print */
    must_differ(bench, sample, path, "its marks");
    sample->pages[1].marks = sample->pages[0].marks;
    unsigned char profile[200] = {0};
    sample->order.profile = profile, sample->order.profile_size = sizeof profile;
    must_differ(bench, sample, path, "profile"); /* there is none */
    char *tagged = write_file(bench, sample, "tagged.pdf");
    must_be_same(bench, sample, tagged);
    profile[150] = 1;
    must_differ(bench, sample, tagged, "profile");
    sample->order.profile_size = 0;
    must_differ(bench, sample, tagged, "profile");
    sample->order.page_count = 1;
    must_differ(bench, sample, path, "pages");
    sample->order.page_count = 2;
    make_pdf(bench, "art.pdf", page_entries, "0 0 1 0 k 10 40 200 100 re f", NULL); /* changed meanwhile */
    must_differ(bench, sample, path, "as it was given");
}

/* Two artworks over each other, with what artworks have: a half transparent picture, a layer that is off, a
 * group. */
static struct sample *sample_of_two(struct bench *bench)
{
    static const char *const objects[] = {
        "<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R] /D << /OFF [6 0 R] >> >> >>",
        "<< /Type /OCG /Name (Guides) >>",
        "<< /Type /XObject /Subtype /Image /Width 2 /Height 2 /BitsPerComponent 8 /ColorSpace /DeviceGray "
        "/Length 4 >>\nstream\nabcd\nendstream",
        "<< /Type /ExtGState /ca 0.5 >>", NULL};
    struct sample *sample = sample_of(bench, 10);
    sample->layers[1] = sample->layers[0];
    sample->layers[1].subject = "over.pdf";
    sample->layers[1].path =
        make_pdf(bench, "over.pdf",
                 "/MediaBox [0 0 300 200] /Group << /S /Transparency /CS /DeviceCMYK >> /Resources << "
                 "/Properties << /G 6 0 R >> "
                 "/XObject << /I 7 0 R >> /ExtGState << /H 8 0 R >> >>",
                 "/OC /G BDC 0 1 0 0 k 0 0 50 200 re f EMC /H gs q 200 0 0 150 50 20 cm /I Do Q", objects);
    sample->order.layer_count = 2;
    return sample;
}

/* Whatever is done to the file, the check must see it. */
static void finds_changed_files(void **state)
{
    struct bench *bench = *state;
    if (!has_program("qpdf") || !has_program("fix-qdf")) skip();
    struct sample *sample = sample_of_two(bench);
    char *path = write_file(bench, sample, "two.pdf");
    must_be_same(bench, sample, path);
    must_be_same(bench, sample, edited(bench, path, ""));
    static const struct {
        const char *edit, *words;
    } edits[] = {
        {"s/^10 0 0 10 0 /10 0 0 10 0.3 /", "0.11 mm from its place"},
        {"s/^10 0 0 10 0 /-10 0 0 10 3000 /", "mm from its place"},
        {"s/^0 85.03937 \\(.*\\) re W n/0 85.5 \\1 re W n/", "cut off 0.16 mm from its place"},
        {"s/ re W n/ re n/", "other things"},
        {"s/^.L0 Do/\\/L0 q Do Q/", "other things"},
        {"s/ cm$/ cm 5/", "other things"},
        {"s/^.L0 Do/q 100 0 0 100 0 0 cm Q \\/L0 Do/", ""},
        {"s/^.L0 Do/0 0 1 rg 0 0 100 100 re f \\/L0 Do/", "other things"},
        {"s/^.L1 Do//", "draws 1 artworks, not 2"},
        {"s/^.L1 Do/\\/L1 Do \\/L1 Do/", "draws 3 artworks, not 2"},
        {"s/^.L1 Do/\\/L0 Do/", "in the place of"},
        {"s/2 2 9 9 re f/2 2 9 8 re f/", "its marks"},
        {"s/^2.834645669 0 0 /2.84 0 0 /", "other things"},
        {"s/.BBox \\[/\\/Matrix [1 0 0 1 1 0] &/", "as it was given"},
        {"s/.I true/\\/I false/", "as it was given"},
        {"s/.CS .DeviceCMYK/\\/CS \\/DeviceRGB/", "as it was given"},
        {"s/.ca 0*.5/\\/ca 1/", "as it was given"},
        {"s/.Width 2/\\/Width 1/", "as it was given"},
        {"s/^abcd/abce/", "as it was given"},
        {"s/Guides/Guider/", "as it was given"},
        {"/.OFF \\[/,/\\]/s/[0-9]* 0 R//", "as it was given"},
        {"s/^0.2 0.9 0 0 k/0.2 0.8 0 0 k/", "as it was given"},
        {"/%% Page 2/,/endobj/{s/.L0 /\\/Lx /;s/.L1 /\\/L0 /;s/.Lx /\\/L1 /}", "another artwork"},
        {"s/.TrimBox/\\/ArtBox/", "TrimBox"},
        {"s/.Type .Page$/& \\/Rotate 180/", "turned"},
        {"s/.Type .Page$/& \\/CropBox [0 0 50 50]/", "cropped"},
        {"s/.Type .Page$/& \\/UserUnit 2/", "MediaBox"},
        {"s/.Type .Page$/& \\/Group << \\/S \\/Transparency \\/CS \\/DeviceRGB >>/", "by other rules"},
    };
    for (size_t i = 0; i < sizeof edits / sizeof *edits; i++)
        if (*edits[i].words)
            must_differ(bench, sample, edited(bench, path, edits[i].edit), edits[i].words);
        else
            must_be_same(bench, sample, edited(bench, path, edits[i].edit)); /* more words, the same place */
}

/* An artwork alone: the panel page blends as the artwork's page does, and a file where it does not is found.
 */
static void finds_changed_groups(void **state)
{
    struct bench *bench = *state;
    if (!has_program("qpdf") || !has_program("fix-qdf")) skip();
    struct sample *sample = sample_of(bench, 10);
    sample->layers[0].path =
        make_pdf(bench, "knocked.pdf",
                 "/MediaBox [0 0 300 200] /Group << /S /Transparency /CS /DeviceGray /K true >> "
                 "/Resources << /ExtGState << /M << /BM /Multiply >> >> >>",
                 "0 1 0 0 k 0 0 200 200 re f /M gs 1 0 0 0 k 100 0 200 200 re f", NULL);
    char *path = write_file(bench, sample, "knocked.panels.pdf");
    must_be_same(bench, sample, path);
    must_be_same(bench, sample, edited(bench, path, ""));
    must_differ(bench, sample, edited(bench, path, "s/.CS .DeviceGray/\\/CS \\/DeviceCMYK/"),
                "by other rules");
    must_differ(bench, sample, edited(bench, path, "s/.K true/\\/K false/"), "by other rules");
    must_differ(bench, sample, edited(bench, path, "s/.Group/\\/Grope/"), "by other rules");
}

/* Ghostscript on a print lengthened from x = 500 on by a half: a place at view x is found at its print x. */
static void stretched_print(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    struct sample *sample = sample_of(bench, 10);
    const struct pdf_slice slices[] = {{0, 500, 0, 500}, {500, 900, 500, 1100}};
    sample->layers[0].path = make_pdf(bench, "bars.pdf", page_entries,
                                      "0 0 0 1 k 56.69 0 28.35 200 re f 170.08 0 28.35 200 re f", NULL);
    sample->order.page_count = 1;
    sample->pages[0] = (struct pdf_panel_page){.id = "long",
                                               .file = {0, 0, 1100, 500},
                                               .print = {0, 0, 1100, 500},
                                               .visible = {0, 0, 1100, 500},
                                               .slices = slices,
                                               .slice_count = 2,
                                               .slices_along_x = true};
    char *path = write_file(bench, sample, "long.pdf");
    must_be_same(bench, sample, path);
    struct image image;
    assert_true(ghostscript(bench, path, 1, 25.4, &image));
    assert_in_range(image.width, 1099, 1101);
    /* bars at view 200..300 and 600..700 mm; the second is printed from 500 + 1.5 x 100 to 500 + 1.5 x 200 */
    const struct {
        int x, black;
    } places[] = {{195, 0}, {205, 255}, {295, 255}, {305, 0}, {645, 0}, {655, 255}, {795, 255}, {805, 0}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        assert_int_equal(image.cmyk[4 * (250 * (size_t)image.width + (size_t)places[i].x) + 3],
                         places[i].black);
}

/* A picture's rows through the packer, placed, turned as its orientation says; Ghostscript shows its numbers.
 */
static void packed_picture(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    struct out_file file;
    struct error error = {0};
    char *packed = bench_path(bench, "rows.z");
    assert_true(bench->machine.create(&bench->machine, packed, &file, &error));
    struct strip_sink sink = pdf_packer_sink(pdf_packer_new(bench->arena, file.fd, packed));
    /* 2 x 2: cyan 20, magenta 40 / yellow 80, black 160 */
    const uint8_t rows[] = {20, 0, 0, 0, 0, 40, 0, 0, 0, 0, 80, 0, 0, 0, 0, 160};
    assert_true(sink.begin(sink.self, &(struct strip_shape){2, 2, PIXELS_CMYK8, 0}, &error));
    for (int y = 0; y < 2; y++)
        assert_true(sink.strip(sink.self, &(struct strip){y, 1, 2, PIXELS_CMYK8, 8, rows + 8 * y}, &error));
    assert_true(sink.end(sink.self, &error));
    assert_true(bench->machine.commit(&bench->machine, &file, false, &error));
    struct sample *sample = sample_of(bench, 1);
    /* EXIF: where the stored top left pixel is seen, from the top left, clockwise */
    static const int corner[] = {0, 0, 1, 2, 3, 0, 1, 2, 3};
    for (int orientation = 1; orientation <= 8; orientation++) {
        struct pdf_picture picture = {.path = packed,
                                      .width_px = 2,
                                      .height_px = 2,
                                      .bits = 8,
                                      .colour = COLOUR_CMYK,
                                      .orientation = orientation,
                                      .box = {0, 0, 100, 100}};
        sample->layers[0] = (struct pdf_layer){
            .subject = "rows", .picture = &picture, .to_surface = affine_identity, .clip = {0, 0, 100, 100}};
        sample->order.page_count = 1;
        struct rect whole = {0, 0, 100, 100};
        sample->pages[0] =
            (struct pdf_panel_page){.id = "p", .file = whole, .print = whole, .visible = whole};
        char *path = write_file(bench, sample, "picture.pdf");
        must_be_same(bench, sample, path);
        struct image image;
        assert_true(ghostscript(bench, path, 1, 25.4, &image));
        static const int x[] = {25, 75, 75, 25}, y[] = {25, 25, 75, 75};
        size_t place = (size_t)corner[orientation];
        assert_int_equal(image.cmyk[4 * ((size_t)y[place] * (size_t)image.width + (size_t)x[place])], 20);
    }
}

/* A layer that is off stays off (Ghostscript, which honours /D). */
static void hidden_layers(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const char *const objects[] = {"<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R 7 0 "
                                          "R] /D << /BaseState /OFF /ON [6 0 R] >> >> >>",
                                          "<< /Type /OCG /Name (Lettering) >>",
                                          "<< /Type /OCG /Name (Guides) >>", NULL};
    struct sample *sample = sample_of(bench, 1);
    sample->layers[0].path = make_pdf(
        bench, "layers.pdf", "/MediaBox [0 0 300 200] /Resources << /Properties << /A 6 0 R /B 7 0 R >> >>",
        "/OC /A BDC 1 0 0 0 k 0 0 100 200 re f EMC /OC /B BDC 0 1 0 0 k 0 0 50 200 re f EMC", objects);
    char *path = write_file(bench, sample, "layers-out.pdf");
    must_be_same(bench, sample, path);
    struct image image;
    assert_true(ghostscript(bench, path, 1, 25.4, &image));
    const unsigned char *pixel = image.cmyk + 4 * (50 * (size_t)image.width + 5);
    assert_int_equal(pixel[0], 255);
    assert_int_equal(pixel[1], 0);
}

static void refusals(void **state)
{
    struct bench *bench = *state;
    struct sample *sample = sample_of(bench, 1);
    struct error error = {0};
    char *path = bench_path(bench, "never.pdf");
    sample->layers[0].page = 7;
    assert_false(pdf_panels_write(&bench->machine, &sample->order, path, false, bench->arena, &error));
    assert_non_null(strstr(error.text, "no page 7"));
    sample->layers[0].page = 1;
    sample->layers[0].path = bench_path(bench, "not-there.pdf");
    assert_false(pdf_panels_write(&bench->machine, &sample->order, path, false, bench->arena, &error));
    sample->order.page_count = 0;
    assert_false(pdf_panels_write(&bench->machine, &sample->order, path, false, bench->arena, &error));
    assert_false(bench->machine.status(&bench->machine, path).exists);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(boxes),
    cmocka_unit_test(large_side),
    cmocka_unit_test(same_bytes),
    cmocka_unit_test(finds_what_is_wrong),
    cmocka_unit_test(stretched_print),
    cmocka_unit_test(packed_picture),
    cmocka_unit_test(hidden_layers),
    cmocka_unit_test(refusals),
    cmocka_unit_test(finds_changed_groups),
    cmocka_unit_test(finds_changed_files),
};
TEST_MAIN(tests)
