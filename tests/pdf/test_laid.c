/* Panels rendered by Ghostscript and laid back are the artwork rendered whole by Ghostscript, at 100 ppi: at
 * most 0.1 % of pixels off by more than 2/255, each within a pixel of an edge. Ghostscript is the judge; the
 * inputs are of our own making here and real ones from the shared inputs. Also: qpdf finds nothing
 * to complain of. */
#include "../support/share.h"
#include "support.h"
#include "base/units.h"
#include "pdf/facts.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PANELS = 3, OVERLAP_PX = 3, BELOW_PX = 20, ABOVE_PX = 10, PPI = 100 };

/* The artwork at `scale`, cut into upright panels whose edges lie on the grid of the rendered artwork. */
struct cutting {
    struct pdf_layer layer;
    struct pdf_panel_page pages[PANELS];
    struct pdf_panels_order order;
    int width, height; /* pixels of the artwork */
};

static void cut(struct cutting *laid, const char *path, int page, const struct artwork_facts *facts,
                double scale)
{
    struct affine m = affine_scale(scale, scale);
    struct rect media = affine_apply_rect(m, facts->media_mm);
    double pixel = MM_PER_INCH / PPI * scale;
    laid->layer =
        (struct pdf_layer){.path = path, .subject = path, .page = page, .to_surface = m, .clip = media};
    laid->width = (int)ceil(rect_width(media) / pixel - 0.01);
    laid->height = (int)ceil(rect_height(media) / pixel - 0.01);
    for (int i = 0; i < PANELS; i++) {
        int from = laid->width * i / PANELS, to = laid->width * (i + 1) / PANELS;
        struct rect visible = {media.x0 + from * pixel, media.y0, media.x0 + to * pixel,
                               media.y0 + laid->height * pixel};
        struct rect print = visible;
        if (i + 1 < PANELS) print.x1 += OVERLAP_PX * pixel;
        struct rect file = print;
        file.y0 -= BELOW_PX * pixel, file.y1 += ABOVE_PX * pixel;
        laid->pages[i] = (struct pdf_panel_page){.id = "panel",
                                                 .file = file,
                                                 .print = print,
                                                 .visible = visible,
                                                 .marks = str_from("0 0 0 1 k 1 1 2 2 re f")};
    }
    laid->order = (struct pdf_panels_order){.layers = &laid->layer,
                                            .layer_count = 1,
                                            .pages = laid->pages,
                                            .page_count = PANELS,
                                            .title = "Panels",
                                            .date = 1772352000,
                                            .id_seed = "laid"};
}

static const unsigned char *pixel_at(const struct image *image, int x, int y)
{
    return image->cmyk + 4 * ((size_t)y * (size_t)image->width + (size_t)x);
}

static int apart(const unsigned char *one, const unsigned char *other)
{
    int most = 0;
    for (int i = 0; i < 4; i++) {
        int difference = abs(one[i] - other[i]);
        if (difference > most) most = difference;
    }
    return most;
}

/* An edge passes within a pixel: the neighbours are not all alike. */
static bool at_edge(const struct image *image, int x, int y)
{
    for (int dy = -1; dy <= 1; dy++)
        for (int dx = -1; dx <= 1; dx++) {
            int nx = x + dx, ny = y + dy;
            if (nx < 0 || ny < 0 || nx >= image->width || ny >= image->height) continue;
            if (apart(pixel_at(image, nx, ny), pixel_at(image, x, y)) > 2) return true;
        }
    return false;
}

struct score {
    long pixels, off, inside;
};

static void compare(const struct cutting *laid, const struct image *whole, const struct image *panel,
                    int index, struct score *score)
{
    int from = laid->width * index / PANELS;
    int columns = laid->width * (index + 1) / PANELS - from + (index + 1 < PANELS ? OVERLAP_PX : 0);
    for (int y = 0; y < laid->height && y < whole->height; y++)
        for (int x = 0; x < columns && from + x < whole->width; x++) {
            int wy = whole->height - 1 - y, py = panel->height - 1 - BELOW_PX - y;
            if (x >= panel->width || py < 0) continue;
            score->pixels++;
            if (apart(pixel_at(whole, from + x, wy), pixel_at(panel, x, py)) <= 2) continue;
            score->off++;
            score->inside += !at_edge(whole, from + x, wy);
        }
}

static struct score lay(struct bench *bench, const char *path, int page, double scale)
{
    struct artwork_facts facts;
    struct error error = {0};
    assert_true(pdf_facts_load(&bench->machine, path, path, page, bench->arena, &facts, &error));
    assert_int_equal(facts.state, ARTWORK_FINE);
    struct cutting laid;
    cut(&laid, path, page, &facts, scale);
    char *panels = bench_path(bench, "panels.pdf");
    if (!pdf_panels_write(&bench->machine, &laid.order, panels, false, bench->arena, &error))
        fail_msg("%s", error.text);
    struct pdf_layback_result laid_back;
    if (!pdf_layback(&bench->machine, &laid.order, panels, 0, bench->arena, &laid_back, &error))
        fail_msg("%s", error.text);
    if (!laid_back.same) fail_msg("%s: a right file is found wrong: %s", path, laid_back.trouble);
    int status;
    char *said = run(bench, arena_format(bench->arena, "qpdf --check %s", panels), &status);
    if (status) fail_msg("%s: %s", path, said);
    struct image whole, panel;
    assert_true(ghostscript(bench, path, page, PPI, &whole));
    struct score score = {0};
    for (int i = 0; i < PANELS; i++) {
        assert_true(ghostscript(bench, panels, i + 1, PPI / scale, &panel));
        compare(&laid, &whole, &panel, i, &score);
    }
    return score;
}

static void must_lie(struct bench *bench, const char *path, int page, double scale)
{
    struct score score = lay(bench, path, page, scale);
    print_message("# %s: %ld pixels, %ld off, %ld of them inside\n", strrchr(path, '/') + 1, score.pixels,
                  score.off, score.inside);
    assert_true(score.pixels > 0);
    if (score.off > score.pixels / 1000 || score.inside)
        fail_msg("%s: %ld of %ld pixels off, %ld away from edges", path, score.off, score.pixels,
                 score.inside);
}

static const char *const plain_page =
    "/MediaBox [-10 20 290 320] /Resources << /ExtGState << /O << /op true /OPM 1 >> >> "
    "/ColorSpace << /S [/Separation /Signal /DeviceCMYK << /FunctionType 2 /Domain [0 1] "
    "/C0 [0 0 0 0] /C1 [0 .9 1 0] /N 1 >>] >> >>";
static const char *const plain_content =
    "0.2 0.9 0 0 k 10 40 200 200 re f 0 0 1 0 k 100 300 m 280 300 l 180 60 l f\n"
    "/O gs 1 0 0 0 k 50 100 150 50 re f /S cs 0.7 scn 220 30 50 250 re f\n"
    "1 0 0 RG 7 w 0 30 m 280 310 l S";

static void own_vectors(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    must_lie(bench, make_pdf(bench, "plain.pdf", plain_page, plain_content, NULL), 1, 1);
    must_lie(bench, make_pdf(bench, "tenth.pdf", plain_page, plain_content, NULL), 1, 10);
}

static void own_turned(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    for (int turn = 90; turn < 360; turn += 90) {
        char *page = arena_format(bench->arena, "/Rotate %d /MediaBox [30 -20 330 160] %s", turn,
                                  strstr(plain_page, "/Resources"));
        must_lie(bench, make_pdf(bench, "turned.pdf", page, plain_content, NULL), 1, 1);
    }
}

static void own_user_unit(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    char *page = arena_format(bench->arena, "/UserUnit 2.5 %s", plain_page);
    must_lie(bench, make_pdf(bench, "unit.pdf", page, plain_content, NULL), 1, 1);
}

/* Blend modes in a page group, a pattern, a soft mask: what a page does as a whole must hold in a form. */
static void own_transparency(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    static const char *const objects[] = {
        "<< /Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 20 20] /XStep 20 /YStep 20 "
        "/Matrix [1 0.2 0 1 3 4] /Resources << >> /Length 35 >>\nstream\n0 1 0 0 k 0 0 10 10 re f 1 0 0 0 k "
        "\nendstream",
        "<< /Type /XObject /Subtype /Form /BBox [0 0 300 300] /Group << /S /Transparency /CS /DeviceGray >> "
        "/Resources << >> /Length 44 >>\nstream\n0.5 g 0 0 300 300 re f 1 g 80 80 99 99 re f \nendstream",
        NULL};
    const char *page =
        "/MediaBox [0 0 300 300] /Group << /S /Transparency /CS /DeviceCMYK >> /Resources << /Pattern << /P "
        "5 0 R "
        ">> /ExtGState << /M << /BM /Multiply /ca 0.6 >> /S << /SMask << /S /Luminosity /G 6 0 R >> >> >> >>";
    const char *content = "0 0.5 1 0 k 20 20 200 200 re f q /Pattern cs /P scn 100 100 150 150 re f Q\n"
                          "q /M gs 1 0.2 0 0 k 60 0 100 300 re f Q q /S gs 0 0 0 1 k 0 60 300 120 re f Q";
    must_lie(bench, make_pdf(bench, "through.pdf", page, content, objects), 1, 1);
}

static const char *const blending_spaces[] = {
    "",
    "/CS /DeviceGray",
    "/CS /DeviceRGB",
    "/CS /DeviceCMYK",
    "/CS [/ICCBased 7 0 R]",
    "/CS [/ICCBased 8 0 R]",
};
static const char *const blending_kinds[] = {"", "/I true /K true", "/K true", "/I true"};

static const char *page_blending(struct bench *bench, const char *space, const char *kind, const char *more)
{
    return arena_format(bench->arena,
                        "/MediaBox [0 0 300 300] /Group << /S /Transparency %s %s >> /Resources << %s >>",
                        space, kind, more);
}

/* A page's own transparency group (ISO 32000-1, 11.4.7): the space things are mixed in, and whether later
 * ones knock out earlier ones, with boxes that multiply, boxes half transparent, and none of these.
 * Ghostscript draws the panels as it draws the artwork's own page, to the last pixel. */
static void own_groups(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    const char *rgb = profile_object(bench, "sRGB-v2-nano.icc", 3),
               *cmyk = profile_object(bench, "test1.icc", 4);
    const char *objects[] = {"<< /BM /Multiply >>", "<< /ca 0.4 >>", rgb, cmyk, NULL};
    size_t spaces = rgb && cmyk ? 6 : 4, kinds = (size_t)share_of(4);
    const char *plain =
        "0.2 0.9 0 0 k 20 20 150 150 re f 1 0.2 0 rg 180 20 100 150 re f 0.4 g 60 200 200 80 re f";
    const char *mixed =
        arena_format(bench->arena,
                     "%s q /M gs 0 0.3 0.8 0 k 100 100 120 120 re f .8 .5 .4 rg 10 130 200 60 re f "
                     "Q q /H gs 0 0 1 rg 5 250 290 40 re f Q",
                     plain);
    for (size_t i = 0; i < spaces; i++)
        for (size_t k = 0; k < kinds; k++)
            for (int blends = 0; blends < 2; blends++) {
                if (!blends && k) continue;
                const char *page = page_blending(bench, blending_spaces[i], blending_kinds[k],
                                                 blends ? "/ExtGState << /M 5 0 R /H 6 0 R >>" : "");
                char *path = make_pdf(bench, "group.pdf", page, blends ? mixed : plain, objects);
                struct score score = lay(bench, path, 1, 1);
                if (score.off)
                    fail_msg("group %s %s, %s: %ld of %ld pixels off", blending_spaces[i], blending_kinds[k],
                             blends ? "blending" : "plain", score.off, score.pixels);
            }
}

/* Default spaces (8.6.5.6) hold for the group's space too. */
static void own_default_spaces(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    const char *rgb = profile_object(bench, "sRGB-v2-nano.icc", 3),
               *cmyk = profile_object(bench, "test1.icc", 4);
    if (!rgb || !cmyk) skip();
    const char *objects[] = {"<< /BM /Multiply >>", "<< /ca 0.4 >>", rgb, cmyk, NULL};
    for (size_t i = 2; i < 4; i++) {
        const char *page =
            page_blending(bench, blending_spaces[i], "",
                          "/ExtGState << /M 5 0 R >> /ColorSpace << /DefaultRGB [/ICCBased 7 0 R] "
                          "/DefaultCMYK [/ICCBased 8 0 R] >>");
        struct score score =
            lay(bench,
                make_pdf(bench, "default.pdf", page,
                         "0.2 0.9 0 0 k 20 20 150 150 re f 1 0.2 0 rg 180 20 100 150 re f q /M gs "
                         "0 0.3 0.8 0 k 100 100 120 120 re f .8 .5 .4 rg 10 130 200 60 re f Q",
                         objects),
                1, 1);
        assert_int_equal(score.off, 0);
    }
}

/* Files whose pages are turned, offset, in large units, transparent, overprinting, with spots, layers,
 * JPEG 2000, large. (Ghostscript leaves white what lies outside a CropBox; panels print it, since bleed often
 * lies there. So no file with a smaller CropBox is here.) */
static void real_files(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    static const char *const names[] = {
        "GWG010_CMYK_OP_x3.pdf",
        "GWG030_Gray_K_black_OP_X1.pdf",
        "GWG080_DeviceN-Support_6c_x3.pdf",
        "GWG150_OptionalContent-OCCD_X4.pdf",
        "GWG160_Transp_Basic_BM_DeviceCMYK_Non-knockout_X4.pdf",
        "GWG1610_Softmasks_Text_part1_X4.pdf",
        "GWG161_Transp_Basic_BM_ICCBasedRGB_x4.pdf",
        "GWG170_JPEG2000_compression_DeviceCMYK_X4.pdf",
        "110_defaultcolourspace_x3.pdf",
        "ClarityOCGs.pdf",
        "issue13520.pdf",
        "issue19176.pdf",
        "pattrans_big.pdf",
        "cmykjpeg.pdf",
        "Bug6901014_CityMap.pdf",
        "tiling-pattern-large-steps.pdf",
        "function_based_shading_cmyk.pdf",
    };
    if (!shared_pdf(bench, names[0])) {
        print_message("# no shared inputs here\n");
        skip();
    }
    for (size_t i = 0; i < (size_t)share_of(sizeof names / sizeof *names); i++)
        must_lie(bench, shared_pdf(bench, names[i]), 1, 1);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(own_vectors),      cmocka_unit_test(own_turned), cmocka_unit_test(own_user_unit),
    cmocka_unit_test(own_transparency), cmocka_unit_test(own_groups), cmocka_unit_test(own_default_spaces),
    cmocka_unit_test(real_files),
};
TEST_MAIN(tests)
