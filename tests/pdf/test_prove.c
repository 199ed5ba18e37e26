/* Panel pages against the artwork's own page by Ghostscript: right files agree, and a file whose page has another
 * transparency group, another artwork or another size is found, where the check by MuPDF does not see the group.
 *
 * The judge of what must differ is outside: ISO 32000-1, 11.3.4 and 11.4.7 (a page's group says in which space
 * its parts are mixed), by files of our own making in which mixing in another space gives another colour. */
#include "../support/share.h"
#include "support.h"
#include "pdf/prove.h"
#include <stdlib.h>
#include <string.h>

enum { PAGES = 2 };

struct sample {
    struct pdf_layer layers[2];
    struct pdf_panel_page pages[PAGES];
    struct pdf_slice slices[2];
    struct rect field;
    struct pdf_panels_order order;
};

/* Two upright panels of 60 and 50 mm with marks in the print, over artwork of 106 x 106 mm. */
static void lay(struct sample *laid, const char *path, size_t layers)
{
    *laid = (struct sample){.field = {57, 40, 59, 44}};
    for (size_t i = 0; i < layers; i++)
        laid->layers[i] = (struct pdf_layer){.path = path,
                                             .subject = "art.pdf",
                                             .page = 1,
                                             .to_surface = affine_shift(70.0 * (double)i, 0),
                                             .clip = {70.0 * (double)i, 0, 70.0 * (double)i + 105, 105}};
    for (int i = 0; i < PAGES; i++) {
        struct rect print = {i * 50.0, 1, i * 50.0 + 60, 100}, file = print;
        file.y0 -= 10;
        laid->pages[i] = (struct pdf_panel_page){.id = i ? "left-2" : "left-1",
                                                 .file = file,
                                                 .print = print,
                                                 .visible = print,
                                                 .marks = str_from("0 0 0 1 k 57 49 2 4 re f"),
                                                 .fields = i ? NULL : &laid->field,
                                                 .field_count = i ? 0 : 1};
    }
    laid->pages[1].marks = (struct str){"", 0};
    laid->order = (struct pdf_panels_order){.layers = laid->layers,
                                            .layer_count = layers,
                                            .pages = laid->pages,
                                            .page_count = PAGES,
                                            .id_seed = "prove"};
}

static const char *write_panels(struct bench *bench, const struct sample *laid)
{
    struct error error = {0};
    char *panels = bench_path(bench, "panels.pdf");
    if (!pdf_panels_write(&bench->machine, &laid->order, panels, false, bench->arena, &error))
        fail_msg("%s", error.text);
    return panels;
}

static struct pdf_prove_result proved(struct bench *bench, const struct sample *laid, const char *panels)
{
    struct pdf_prove_order order = {
        .panels = &laid->order, .path = panels, .ppi = 60, .folder = bench->folder};
    struct pdf_prove_result result;
    struct error error = {0};
    if (!pdf_prove(&bench->machine, &order, bench->arena, &result, &error)) fail_msg("%s", error.text);
    return result;
}

/* The panel file with other words of the same length in the page's own dictionary, as a writer's mistake is. */
static const char *changed(struct bench *bench, const char *panels, const char *from, const char *to)
{
    struct str bytes;
    struct error error = {0};
    char *path = bench_path(bench, "changed.pdf");
    assert_int_equal(strlen(from), strlen(to));
    assert_true(machine_read(&bench->machine, panels, 1 << 24, bench->arena, &bytes, &error));
    char *copy = arena_copy(bench->arena, bytes.bytes, bytes.length), *at = copy;
    size_t found = 0;
    for (char *end = copy + bytes.length - strlen(from); at <= end; at++)
        if (!memcmp(at, from, strlen(from))) memcpy(at, to, strlen(to)), found++;
    assert_true(found > 0);
    assert_true(machine_write(&bench->machine, path, (struct str){copy, bytes.length}, false, &error));
    return path;
}

static const char mixed[] =
    "0.2 0.9 0 0 k 20 20 150 150 re f 1 0.2 0 rg 180 20 100 150 re f 0.4 g 60 200 200 80 re f "
    "q /M gs 0 0.3 0.8 0 k 100 100 120 120 re f .8 .5 .4 rg 10 130 200 60 re f Q "
    "q /H gs 0 0 1 rg 5 250 290 40 re f Q";
static const char states[] = "/Resources << /ExtGState << /M << /BM /Multiply >> /H << /ca 0.4 >> >> >>";

static char *blending(struct bench *bench, const char *space)
{
    return make_pdf(bench, "art.pdf",
                    arena_format(bench->arena,
                                 "/MediaBox [0 0 300 300] /Group << /S /Transparency /CS /%s >> %s", space,
                                 states),
                    mixed, NULL);
}

/* A wrong group is found by Ghostscript; MuPDF, which mixes as it likes in its own RGB, may be content. */
static void wrong_groups(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const struct {
        const char *space, *from, *to;
    } cases[] = {
        {"DeviceGray", "/Group << /S /Transparency", "/Grxup << /S /Transparency"},
        {"DeviceRGB", "/Group << /S /Transparency", "/Grxup << /S /Transparency"},
        {"DeviceGray", "/CS /DeviceGray", "/CS /DeviceRGB "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct sample laid;
        lay(&laid, blending(bench, cases[i].space), 1);
        const char *panels = write_panels(bench, &laid);
        struct pdf_prove_result right = proved(bench, &laid, panels);
        if (!right.same) fail_msg("%s", right.trouble);
        assert_int_equal(right.off, 0);
        assert_int_equal(right.layers, 1);
        assert_in_range(right.pixels, 60000, 66000); /* 60 and 55 x 99 mm at 60.8 ppi */
        const char *other = changed(bench, panels, cases[i].from, cases[i].to);
        struct pdf_prove_result wrong = proved(bench, &laid, other);
        assert_false(wrong.same);
        assert_true(wrong.off > right.pixels / 100);
        assert_non_null(strstr(wrong.trouble, "left-1"));
        assert_non_null(strstr(wrong.trouble, "art.pdf"));
        struct pdf_layback_result layback;
        struct error error = {0};
        assert_true(pdf_layback(&bench->machine, &laid.order, other, 60, bench->arena, &layback, &error));
        print_message("# %s, %s: Ghostscript: %llu of %llu pixels off by up to %d; MuPDF: %s\n",
                      cases[i].space, cases[i].to, (unsigned long long)wrong.off,
                      (unsigned long long)wrong.pixels, wrong.worst, layback.same ? "same" : layback.trouble);
    }
}

/* Marks in the print are left out of the comparison where they are told, and are found where they are not. */
static void marks_and_places(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    struct sample laid;
    lay(&laid, blending(bench, "DeviceCMYK"), 1);
    const char *panels = write_panels(bench, &laid);
    assert_true(proved(bench, &laid, panels).same);
    laid.pages[0].field_count = 0;
    assert_false(proved(bench, &laid, panels).same);
    laid.pages[0].field_count = 1;
    laid.layers[0].to_surface = affine_shift(0.5, 0); /* a pixel and a quarter beside where it was written */
    assert_false(proved(bench, &laid, panels).same);
}

/* Turned pages, pages off the origin, in large units, with a CropBox smaller than the print, printed longer. */
static void odd_pages(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const char *const boxes[] = {"/MediaBox [-7 11 293 311]", "/MediaBox [0 0 300 300] /Rotate 90",
                                        "/MediaBox [-20 5 280 305] /Rotate 270",
                                        "/MediaBox [0 0 150 150] /UserUnit 2",
                                        "/MediaBox [0 0 300 300] /CropBox [40 50 250 260]"};
    for (size_t i = 0; i < sizeof boxes / sizeof *boxes; i++)
        for (int longer = 0; longer < 2; longer++) {
            struct sample laid;
            lay(&laid,
                make_pdf(bench, "art.pdf", arena_format(bench->arena, "%s %s", boxes[i], states), mixed,
                         NULL),
                1);
            laid.slices[0] = (struct pdf_slice){0, 50, 0, 50};
            laid.slices[1] = (struct pdf_slice){50, 100, 50, 130};
            if (longer) {
                laid.pages[0].slices = laid.slices;
                laid.pages[0].slice_count = 2;
                laid.pages[0].file.y1 = 130, laid.pages[0].print.y1 = 130;
            }
            struct pdf_prove_result result = proved(bench, &laid, write_panels(bench, &laid));
            if (!result.same) fail_msg("%s, %d: %s", boxes[i], longer, result.trouble);
            assert_true(result.pixels > 10000);
        }
}

/* Where artworks lie over each other it is said that nothing was compared; beside that all is. */
static void several(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    struct sample laid;
    lay(&laid, blending(bench, "DeviceCMYK"), 2);
    const char *panels = write_panels(bench, &laid);
    struct pdf_prove_result result = proved(bench, &laid, panels);
    if (!result.same) fail_msg("%s", result.trouble);
    assert_int_equal(result.layers, 2);
    assert_true(result.overlaid > 0 && result.pixels > 0);
}

/* Real files (the shared inputs): turned, transparent, overprinting, with layers, spots, masks and JPEG 2000. */
static void real_files(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const char *const names[] = {
        "GWG010_CMYK_OP_x3.pdf",
        "GWG080_DeviceN-Support_6c_x3.pdf",
        "GWG150_OptionalContent-OCCD_X4.pdf",
        "GWG160_Transp_Basic_BM_DeviceCMYK_Non-knockout_X4.pdf",
        "GWG1610_Softmasks_Text_part1_X4.pdf",
        "GWG161_Transp_Basic_BM_ICCBasedRGB_x4.pdf",
        "GWG170_JPEG2000_compression_DeviceCMYK_X4.pdf",
        "110_defaultcolourspace_x3.pdf",
        "ClarityOCGs.pdf",
        "cmykjpeg.pdf",
        "Bug6901014_CityMap.pdf",
        "tiling-pattern-large-steps.pdf",
        "function_based_shading_cmyk.pdf",
    };
    if (!shared_pdf(bench, names[0])) skip();
    for (size_t i = 0; i < (size_t)share_of(sizeof names / sizeof *names); i++) {
        struct sample laid;
        lay(&laid, shared_pdf(bench, names[i]), 1);
        struct pdf_prove_result result = proved(bench, &laid, write_panels(bench, &laid));
        print_message("# %s: %llu pixels, %llu off (%d), %llu at edges (%d)\n", names[i],
                      (unsigned long long)result.pixels, (unsigned long long)result.off, result.worst,
                      (unsigned long long)result.at_edges, result.worst_at_edges);
        if (!result.same) fail_msg("%s: %s", names[i], result.trouble);
        assert_true(result.pixels > 0);
    }
}

static bool none_start(struct machine *machine, const struct child_order *order, int *pid,
                       struct error *error)
{
    struct machine real = machine_real("/proc/self/exe");
    (void)machine;
    if (!strcmp(order->arguments[0], "gs"))
        return error_words(error, FAILURE_MACHINE, "the helper program gs could not be started: none");
    return real.start(&real, order, pid, error);
}

/* Without Ghostscript nothing is proved, and it is said. */
static void without(void **state)
{
    struct bench *bench = *state;
    struct sample laid;
    lay(&laid, blending(bench, "DeviceCMYK"), 1);
    const char *panels = write_panels(bench, &laid);
    struct machine machine = bench->machine;
    machine.start = none_start;
    struct pdf_prove_order order = {
        .panels = &laid.order, .path = panels, .ppi = 60, .folder = bench->folder};
    struct pdf_prove_result result;
    struct error error = {0};
    assert_false(pdf_prove(&machine, &order, bench->arena, &result, &error));
    assert_int_equal(error.kind, FAILURE_MACHINE);
    assert_non_null(strstr(error.text, "gs"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(wrong_groups), cmocka_unit_test(marks_and_places), cmocka_unit_test(odd_pages),
    cmocka_unit_test(several),      cmocka_unit_test(without),          cmocka_unit_test(real_files),
};
TEST_MAIN(tests)
