/* Panels with a shape: artwork clipped to it, cut lines as processing steps. Ghostscript shows where there is ink and
 * which plates there are; qpdf reads the dictionaries; the lay-back check passes what is right and finds whatever is
 * changed. Keys and values of ISO 19593-1 are from memory. */
#include "support.h"
#include "base/text.h"
#include "pdf/facts.h"
#include "pdf/prove.h"
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static const char *const page_entries = "/MediaBox [0 0 300 200] /Resources << >>";
static const double page_x = 300 * 25.4 / 72, page_y = 200 * 25.4 / 72;

/* A ring with a hole, and an island: 10..90 x 10..60 but 30..50 x 20..40; a triangle at the right. */
static struct point outer[] = {{10, 10}, {90, 10}, {90, 60}, {10, 60}};
static struct point hole[] = {{30, 20}, {30, 40}, {50, 40}, {50, 20}};
static struct point island[] = {{95, 15}, {103, 15}, {99, 45.123456}};
static struct polygon rings[] = {{outer, 4}, {hole, 4}, {island, 3}};
static const struct region shape = {rings, 3};

/* The hole first; the outer ring closed; an open line that goes on over its start. */
static const struct point cut_hole[] = {{31, 21}, {31, 39}, {49, 39}, {49, 21}, {31, 21}};
static const struct point cut_outer[] = {{50, 12}, {88, 12}, {88, 58}, {12, 58},
                                         {12, 12}, {50, 12}, {52, 12}};
static const struct pdf_cut_line lines[] = {{0, cut_hole, 5}, {1, cut_outer, 7}, {0, cut_outer, 3}};

struct sample {
    struct pdf_layer layer;
    struct pdf_cut_layer cut_layers[2];
    struct pdf_panel_page page;
    struct pdf_panels_order order;
};

static struct sample *sample_of(struct bench *bench, bool prints)
{
    struct sample *sample = arena_take(bench->arena, sizeof *sample);
    struct rect whole = {0, 0, page_x, page_y};
    sample->layer = (struct pdf_layer){
        .path = make_pdf(bench, "art.pdf", page_entries, "0.2 0.9 0 0 k 0 0 300 200 re f", NULL),
        .subject = "art.pdf",
        .page = 1,
        .to_surface = affine_identity,
        .clip = whole};
    sample->cut_layers[0] = (struct pdf_cut_layer){"Kiss cut", true, prints};
    sample->cut_layers[1] = (struct pdf_cut_layer){"Through #2 (gr\xc3\xbcn)", false, prints};
    sample->page = (struct pdf_panel_page){.id = "left-logo-1",
                                           .file = {-5, -10, page_x + 5, page_y + 10},
                                           .print = whole,
                                           .visible = whole,
                                           .marks = str_from("0 0 0 1 k 2 2 3 3 re f"),
                                           .clip = &shape,
                                           .cuts = lines,
                                           .cut_count = 3};
    sample->order = (struct pdf_panels_order){.layers = &sample->layer,
                                              .layer_count = 1,
                                              .pages = &sample->page,
                                              .page_count = 1,
                                              .cut_layers = sample->cut_layers,
                                              .cut_layer_count = 2,
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

static struct pdf_layback_result lay_back(struct bench *bench, const struct sample *sample, const char *path,
                                          double ppi)
{
    struct pdf_layback_result result;
    struct error error = {0};
    if (!pdf_layback(&bench->machine, &sample->order, path, ppi, bench->arena, &result, &error))
        fail_msg("%s", error.text);
    return result;
}

/* By patches and by the whole. */
static void must_be_same(struct bench *bench, const struct sample *sample, const char *path)
{
    for (int whole = 0; whole < 2; whole++) {
        struct pdf_layback_result result = lay_back(bench, sample, path, whole ? 100 : 0);
        if (!result.same) fail_msg("%s", result.trouble);
        assert_true(result.pixels > 0);
        assert_int_equal(result.off, 0);
    }
}

static void must_differ(struct bench *bench, const struct sample *sample, const char *path, const char *words)
{
    struct pdf_layback_result result = lay_back(bench, sample, path, 0);
    assert_false(result.same);
    if (!result.trouble || !strstr(result.trouble, words)) fail_msg("not \"%s\": %s", words, result.trouble);
}

/* ---- ink and plates ---- */

static unsigned magenta_at(const struct image *image, const struct sample *sample, double x, double y)
{
    double px = image->width / rect_width(sample->page.file);
    size_t column = (size_t)((x - sample->page.file.x0) * px);
    size_t row = (size_t)((sample->page.file.y1 - y) * px);
    return image->cmyk[4 * (row * (size_t)image->width + column) + 1];
}

static void ink_within_the_shape(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("qpdf")) skip();
    struct sample *sample = sample_of(bench, false);
    sample->page.cut_count = 0;
    char *path = write_file(bench, sample, "shape.pdf");
    must_be_same(bench, sample, path);
    int status;
    run(bench, arena_format(bench->arena, "qpdf --check %s", path), &status);
    assert_int_equal(status, 0);
    struct image image;
    assert_true(ghostscript(bench, path, 1, 127, &image));
    for (double x = 1.1; x < page_x; x += 2)
        for (double y = 1.1; y < page_y; y += 2) {
            struct point at = {x, y};
            if (region_distance(&shape, at) < 0.3) continue;
            unsigned ink = magenta_at(&image, sample, x, y);
            if ((ink > 100) != region_contains(&shape, at)) fail_msg("at %.1f, %.1f mm: %u", x, y, ink);
        }
}

/* Ghostscript's separations: a spot's plate has ink when its layer prints, and none when it does not. Its older reader
 * of PDF is asked: the newer one (10.00) passes over what usage says. */
static void plates(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs") || !has_program("identify")) skip();
    for (int prints = 0; prints < 2; prints++) {
        struct sample *sample = sample_of(bench, prints);
        char *path = write_file(bench, sample, prints ? "on.pdf" : "off.pdf");
        must_be_same(bench, sample, path);
        int status;
        run(bench,
            arena_format(
                bench->arena,
                "gs -q -dNOPAUSE -dBATCH -dSAFER -dNEWPDF=false -dPrinted=true -sDEVICE=tiffsep -r200 "
                "-o %s.tif %s",
                path, path),
            &status);
        assert_int_equal(status, 0);
        char *darkest =
            run(bench, arena_format(bench->arena, "identify -format %%[fx:minima] '%s(Kiss cut).tif'", path),
                NULL);
        assert_string_equal(darkest, prints ? "0" : "1");
    }
}

/* ---- dictionaries ---- */

static void must_say(struct bench *bench, const char *path, const char *words)
{
    char *text = run(
        bench,
        arena_format(bench->arena, "qpdf --qdf --object-streams=disable %s - | tr -s \" \\n\" \" \"", path),
        NULL);
    if (!strstr(text, words)) fail_msg("not said: %s", words);
}

static void processing_steps(void **state)
{
    struct bench *bench = *state;
    if (!has_program("qpdf")) skip();
    char *off = write_file(bench, sample_of(bench, false), "steps-off.pdf");
    must_say(bench, off,
             "/GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /PartialCutting >>");
    must_say(bench, off, "/GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /Cutting >>");
    must_say(bench, off, "/PrintState /OFF");
    must_say(bench, off, "/ViewState /ON");
    must_say(bench, off, "/Separation /Kiss#20cut /DeviceCMYK");
    char *on = write_file(bench, sample_of(bench, true), "steps-on.pdf");
    must_say(bench, on, "/PrintState /ON");
    /* and what reads customers' files knows them again */
    struct artwork_facts facts;
    struct error error = {0};
    assert_true(pdf_facts_load(&bench->machine, on, "on", 1, bench->arena, &facts, &error));
    assert_int_equal(facts.state, ARTWORK_FINE);
    assert_int_equal(facts.step_count, 2);
}

/* ---- prints of other lengths and sizes ---- */

static void lengthened_and_small(void **state)
{
    struct bench *bench = *state;
    struct sample *sample = sample_of(bench, true);
    const struct pdf_slice slices[] = {{0, 40, 0, 40}, {40, page_x, 40, 40 + 1.5 * (page_x - 40)}};
    sample->page.slices = slices, sample->page.slice_count = 2, sample->page.slices_along_x = true;
    sample->page.print.x1 = sample->page.visible.x1 = slices[1].print1;
    sample->page.file.x1 = slices[1].print1 + 5;
    must_be_same(bench, sample, write_file(bench, sample, "long.pdf"));
    sample = sample_of(bench, true);
    sample->page.drawn_at = 10;
    must_be_same(bench, sample, write_file(bench, sample, "tenth.pdf"));
    sample->page.drawn_at = 1; /* 14,400 units are 5,080 mm: a larger unit */
    sample->page.print.x1 = sample->page.visible.x1 = sample->page.file.x1 = 12000;
    sample->layer.to_surface = affine_scale(120, 1), sample->layer.clip.x1 = 12000;
    must_be_same(bench, sample, write_file(bench, sample, "large.pdf"));
}

/* ---- by Ghostscript ---- */

static struct pdf_prove_result proved(struct bench *bench, const struct sample *sample, const char *path)
{
    struct pdf_prove_order order = {
        .panels = &sample->order, .path = path, .ppi = 100, .folder = bench->folder};
    struct pdf_prove_result result;
    struct error error = {0};
    if (!pdf_prove(&bench->machine, &order, bench->arena, &result, &error)) fail_msg("%s", error.text);
    return result;
}

static void proof(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    struct sample *sample = sample_of(bench, true);
    sample->layer.path =
        make_pdf(bench, "stripes.pdf", page_entries,
                 "0.2 0.9 0 0 k 0 0 300 200 re f 0 0 1 0 k 60 0 20 200 re f 0 60 300 15 re f", NULL);
    char *path = write_file(bench, sample, "proof.pdf");
    struct pdf_prove_result right = proved(bench, sample, path);
    if (!right.same) fail_msg("%s", right.trouble);
    assert_true(right.off == 0 && right.at_edges == 0);
    double inside = region_area(&shape) / (page_x * page_y);
    double whole = page_x * page_y * 100 * 100 * 1.0137 * 1.0137 / (25.4 * 25.4);
    assert_true((double)right.pixels < inside * whole && (double)right.pixels > 0.8 * inside * whole);
    sample->layer.to_surface.e += 2;
    assert_false(proved(bench, sample, path).same);
}

/* ---- what the check finds ---- */

static void finds_changed_files(void **state)
{
    struct bench *bench = *state;
    if (!has_program("qpdf") || !has_program("fix-qdf")) skip();
    struct sample *sample = sample_of(bench, false);
    char *path = write_file(bench, sample, "right.pdf");
    must_be_same(bench, sample, edited(bench, path, ""));
    static const struct {
        const char *edit, *words;
    } edits[] = {
        {"s/.PartialCutting/\\/Cutting/", "cut layer Kiss cut"},
        {"s/.Structural/\\/Positions/", "cut layer"},
        {"s/.GTS_Metadata/\\/GTS_Meta/", "cut layer"},
        {"s/.PrintState .OFF/\\/PrintState \\/ON/", "cut layer"},
        {"s/.ViewState .ON/\\/ViewState \\/OFF/", "cut layer"},
        {"s/(Kiss cut)/(Kiss cuT)/", "cut layer Kiss cut"},
        {"s/.Kiss#20cut/\\/Kiss/", "cut layer Kiss cut"},
        {"s/.OP true/\\/OP false/", "cut layer"},
        {"s/^102.04724 138.89764 l/102.09 138.89764 l/", "cut lines"},
        {"s/^h S/S/", "cut lines"},
        {"s/^EMC/BT ET EMC/", "cut lines"},
        {"s/^.OC .C1 BDC/\\/OC \\/C0 BDC/", "cut lines"},
        {"s/ 1 SCN / 0 SCN /", "cut lines"},
        {"s/^q .G gs/q/", "cut lines"},
        {"0,/^h$/s/^[0-9.]* \\([0-9.]*\\) m$/40 \\1 m/", "the shape"},
        {"s/^W n$/W* n/", "other things"},
        {"s/^h$//", "other things"},
    };
    for (size_t i = 0; i < sizeof edits / sizeof *edits; i++)
        must_differ(bench, sample, edited(bench, path, edits[i].edit), edits[i].words);
    sample->page.clip = NULL;
    must_differ(bench, sample, path, "");
    sample->page.clip = &shape;
    sample->page.cut_count = 2;
    must_differ(bench, sample, path, "other things");
    sample->page.cut_count = 0;
    must_differ(bench, sample, path, "other things");
    sample->page.cut_count = 3;
    island[2].x += 0.05;
    must_differ(bench, sample, path, "the shape");
    island[2].x -= 0.05;
    must_be_same(bench, sample, path);
}

int main(int argument_count, char **arguments)
{
    if (argument_count > 1 && !strcmp(arguments[1], "reader"))
        return serve_reader(argument_count - 2, arguments + 2);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ink_within_the_shape),
        cmocka_unit_test(plates),
        cmocka_unit_test(processing_steps),
        cmocka_unit_test(lengthened_and_small),
        cmocka_unit_test(proof),
        cmocka_unit_test(finds_changed_files),
    };
    return cmocka_run_group_tests(tests, bench_open, bench_close);
}
