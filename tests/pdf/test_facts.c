/* What a PDF says of itself. Our own small pages check each fact; the shared real files check that every one
 * is taken or refused as their index expects, in bounded time. */
#include "support.h"
#include "base/text.h"
#include "pdf/facts.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct artwork_facts facts_of(struct bench *bench, const char *path, int page)
{
    struct artwork_facts facts;
    struct error error = {0};
    if (!pdf_facts_load(&bench->machine, path, "art.pdf", page, bench->arena, &facts, &error))
        fail_msg("%s", error.text);
    return facts;
}

static void assert_rect(struct rect r, double x0, double y0, double x1, double y1)
{
    double most = fmax(fmax(fabs(r.x0 - x0), fabs(r.y0 - y0)), fmax(fabs(r.x1 - x1), fabs(r.y1 - y1)));
    if (most > 0.005) fail_msg("%.3f %.3f %.3f %.3f", r.x0, r.y0, r.x1, r.y1);
}

/* 72 units are 25.4 mm (ISO 32000-1, 8.3.2.3); times UserUnit; Rotate turns clockwise. */
static void boxes(void **state)
{
    struct bench *bench = *state;
    const char *box = "/MediaBox [-36 72 684 432] /TrimBox [0 72 648 360]";
    struct artwork_facts facts = facts_of(bench, make_pdf(bench, "a.pdf", box, "", NULL), 1);
    assert_rect(facts.media_mm, -12.7, 25.4, 241.3, 152.4);
    assert_rect(facts.trim_mm, 0, 25.4, 228.6, 127);
    assert_rect(facts.bleed_mm, -12.7, 25.4, 241.3, 152.4); /* none is written: the CropBox's (14.11.2) */
    char *bled = arena_format(bench->arena, "%s /BleedBox [-18 72 666 900]", box);
    facts = facts_of(bench, make_pdf(bench, "e.pdf", bled, "", NULL), 1);
    assert_rect(facts.trim_mm, 0, 25.4, 228.6, 127);
    assert_rect(facts.bleed_mm, -6.35, 25.4, 234.95, 152.4);
    char *turned = arena_format(bench->arena, "%s /Rotate 90", box);
    facts = facts_of(bench, make_pdf(bench, "b.pdf", turned, "", NULL), 1);
    assert_rect(facts.media_mm, -12.7, 25.4, -12.7 + 127, 25.4 + 254);
    /* the trim's left edge, 12.7 from the media's, is now 12.7 below the top; its bottom, on the media's, the
     * left */
    assert_rect(facts.trim_mm, -12.7, 25.4 + 12.7, -12.7 + 101.6, 25.4 + 254 - 12.7);
    char *large = arena_format(bench->arena, "%s /UserUnit 10", box);
    facts = facts_of(bench, make_pdf(bench, "c.pdf", large, "", NULL), 1);
    assert_rect(facts.trim_mm, 0, 254, 2286, 1270);
    facts = facts_of(bench,
                     make_pdf(bench, "d.pdf", "/MediaBox [0 0 72 72] /CropBox [-9 -9 90 36]", "", NULL), 1);
    assert_rect(facts.trim_mm, 0, 0, 25.4, 12.7);
    assert_int_equal(facts.remark_count, 1);
}

/* Crop marks at two corners of a trim of 600 x 300 units, 9 to 27 units outside; they stand in the bleed of a
 * page without a BleedBox only. */
static void marks(void **state)
{
    struct bench *bench = *state;
    const char *box = "/MediaBox [0 0 720 420] /TrimBox [60 60 660 360]";
    const char *lines =
        "0.25 w 60 33 m 60 51 l S 33 60 m 51 60 l S 660 369 m 660 387 l S 669 360 m 687 360 l S";
    struct artwork_facts facts = facts_of(bench, make_pdf(bench, "m.pdf", box, lines, NULL), 1);
    assert_true(facts.marks_in_bleed);
    char *bled = arena_format(bench->arena, "%s /BleedBox [52 52 668 368]", box);
    assert_false(facts_of(bench, make_pdf(bench, "n.pdf", bled, lines, NULL), 1).marks_in_bleed);
    /* a grid through the bleed, and a frame around the page, are no marks */
    const char *grid =
        "0 90 720 0.5 re 0 180 720 0.5 re f 5 5 710 410 re S 60 0 m 60 420 l S 10 10 m 30 10 l S";
    assert_false(facts_of(bench, make_pdf(bench, "o.pdf", box, grid, NULL), 1).marks_in_bleed);
    assert_false(
        facts_of(bench, make_pdf(bench, "p.pdf", "/MediaBox [0 0 720 420]", lines, NULL), 1).marks_in_bleed);
}

static void is_damaged(struct bench *bench, const char *path, const char *words)
{
    struct artwork_facts facts = facts_of(bench, path, 1);
    assert_int_equal(facts.state, ARTWORK_DAMAGED);
    if (!strstr(facts.trouble, words)) fail_msg("%s", facts.trouble);
}

/* What other programs fail at: pages that are not counted, or wrongly; drawings within themselves; no unit.
 */
static void damage(void **state)
{
    struct bench *bench = *state;
    static const char *const pages[] = {"<< /Type /Catalog /Pages 6 0 R >>",
                                        "<< /Type /Pages /Kids [3 0 R 7 0 R] /Count %s >>",
                                        "<< /Type /Pages /Kids [3 0 R] /Count %s >>", NULL};
    static const char *const counts[][2] = {
        {"2", "1"}, {"1", "1"}, {"2", "2"}, {"(two)", "1"}, {"2", "null"}};
    const char *page = "/MediaBox [0 0 300 200]";
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        const char *objects[4] = {pages[0]};
        for (int k = 1; k < 3; k++) {
            const char *at = strstr(pages[k], "%s");
            objects[k] = arena_format(bench->arena, "%.*s%s%s", (int)(at - pages[k]), pages[k],
                                      counts[i][k - 1], at + 2);
        }
        char *path = make_pdf(bench, "count.pdf", page, "", objects);
        if (i)
            is_damaged(bench, path, "list of pages");
        else
            assert_int_equal(facts_of(bench, path, 1).state, ARTWORK_FINE);
    }
    static const char *const form[] = {"<< /Type /XObject /Subtype /Form /BBox [0 0 99 99] /Resources << "
                                       "/XObject << /F 5 0 R >> >> /Length 5 >>\nstream\n/F Do\nendstream",
                                       NULL};
    const char *drawn = "/MediaBox [0 0 300 200] /Resources << /XObject << /F 5 0 R >> >>";
    is_damaged(bench, make_pdf(bench, "self.pdf", drawn, "/F Do", form), "includes itself");
    is_damaged(bench, make_pdf(bench, "unit.pdf", "/MediaBox [0 0 300 200] /UserUnit 0", "", NULL),
               "UserUnit");
    is_damaged(bench, make_pdf(bench, "less.pdf", "/MediaBox [0 0 300 200] /UserUnit -2", "", NULL),
               "UserUnit");
}

/* ISO 19593-1's metadata on a layer; the same layer off is a hidden one. */
static void processing_steps(void **state)
{
    struct bench *bench = *state;
    const char *objects[] = {
        "<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R 7 0 R] /D << >> >> >>",
        "<< /Type /OCG /Name (Outline) /GTS_Metadata << /GTS_ProcStepsGroup /Structural "
        "/GTS_ProcStepsType /PartialCutting >> >>",
        "<< /Type /OCG /Name (Artwork) >>", NULL};
    struct artwork_facts facts =
        facts_of(bench, make_pdf(bench, "steps.pdf", "/MediaBox [0 0 300 200]", "", objects), 1);
    assert_int_equal(facts.step_count, 1);
    assert_string_equal(facts.steps[0], "Structural PartialCutting, layer Outline");
    objects[0] =
        "<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R 7 0 R] /D << /OFF [6 0 R] >> >> >>";
    facts = facts_of(bench, make_pdf(bench, "off.pdf", "/MediaBox [0 0 300 200]", "", objects), 1);
    assert_int_equal(facts.step_count, 0);
    assert_int_equal(facts.layers_hidden_count, 1);
}

/* A picture of 100 x 50 pixels over 72 x 72 units (1 inch): 100 and 50 ppi, inside a form drawn at half size:
 * 200 and 100. The smaller counts. */
static void images(void **state)
{
    struct bench *bench = *state;
    static const char *const objects[] = {"<< /Type /XObject /Subtype /Form /BBox [0 0 999 999] /Matrix [0.5 "
                                          "0 0 0.5 0 0] /Resources << /XObject << /I 6 0 R >> >> "
                                          "/Length 25 >>\nstream\n72 0 0 72 144 0 cm /I Do \nendstream",
                                          "<< /Type /XObject /Subtype /Image /Width 100 /Height 50 "
                                          "/BitsPerComponent 8 /ColorSpace /DeviceRGB /Length 0 "
                                          ">>\nstream\n\nendstream",
                                          NULL};
    const char *page = "/MediaBox [0 0 720 720] /Resources << /XObject << /F 5 0 R /I 6 0 R >> >>";
    struct artwork_facts facts =
        facts_of(bench, make_pdf(bench, "i.pdf", page, "q /F Do Q q 0 72 -72 0 72 0 cm /I Do Q", objects), 1);
    assert_int_equal(facts.image_count, 2);
    assert_rect(facts.images[0].box, 25.4, 0, 38.1, 12.7);
    assert_float_equal(facts.images[0].ppi_on_page, 100, 0.01);
    assert_float_equal(facts.images[1].ppi_on_page, 50, 0.01);
    assert_rect(facts.images[1].box, 0, 0, 25.4, 25.4);
    assert_true(facts.uses_rgb_untagged);
    assert_false(facts.uses_cmyk);
}

/* A large picture in Flate and its soft mask are told of by their entries; their bytes, which are none that
 * could be unpacked, are not looked at. Through a form too. */
static void large_images(void **state)
{
    enum { BYTES = 2 << 20 };
    struct bench *bench = *state;
    char *bytes = arena_take_array(bench->arena, BYTES + 1, 1);
    memset(bytes, 'a', BYTES);
    const char *entries = "/Type /XObject /Subtype /Image /BitsPerComponent 8 /Filter /FlateDecode";
    const char *objects[] = {
        arena_format(bench->arena,
                     "<< %s /Width 2000 /Height 1000 /ColorSpace /DeviceCMYK /SMask 6 0 R /Length %d "
                     ">>\nstream\n%s\nendstream",
                     entries, BYTES, bytes),
        arena_format(
            bench->arena,
            "<< %s /Width 4000 /Height 500 /ColorSpace /DeviceGray /Length %d >>\nstream\n%s\nendstream",
            entries, BYTES, bytes),
        "<< /Type /XObject /Subtype /Form /BBox [0 0 72 72] /Resources << /XObject << /I 5 0 R >> >> /Length "
        "18 >>\n"
        "stream\n72 0 0 72 0 0 cm /I Do\nendstream",
        NULL};
    char *path = make_pdf(bench, "large.pdf",
                          "/MediaBox [0 0 72 72] /Resources << /XObject << /I 5 0 R /F 7 0 R >> >>",
                          "q 72 0 0 72 0 0 cm /I Do Q /F Do", objects);
    struct artwork_facts facts = facts_of(bench, path, 1);
    assert_int_equal(facts.state, ARTWORK_FINE);
    assert_true(facts.uses_transparency);
    assert_int_equal(facts.image_count, 4);
    for (size_t i = 0; i < 4; i++) {
        assert_int_equal(facts.images[i].width_px, i % 2 ? 4000 : 2000);
        assert_int_equal(facts.images[i].colour, i % 2 ? COLOUR_GREY : COLOUR_CMYK);
    }
}

static bool has_name(const char **names, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (!strcmp(names[i], name)) return true;
    return false;
}

static const char *const colours_page =
    "/MediaBox [0 0 100 100] /Resources << /ColorSpace << /S [/Separation /Signal /DeviceCMYK 5 0 R] /U "
    "[/Separation /Unused "
    "/DeviceCMYK 5 0 R] /N [/DeviceN [/Cyan /None /Second#20Spot] /DeviceCMYK 5 0 R] /A [/Separation /All "
    "/DeviceCMYK 5 0 R] "
    ">> /Font << /H << /Type /Font /Subtype /Type1 /BaseFont /Helvetica >> /C << /Type /Font /Subtype /Type1 "
    "/BaseFont "
    "/Courier >> >> /ExtGState << /O << /OP true >> /T << /ca 0.5 >> >> >>";

/* Only what is painted counts: a space, a font that are listed or chosen but not used do not. */
static void colours_and_fonts(void **state)
{
    struct bench *bench = *state;
    static const char *const objects[] = {
        "<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 1 0] /N 1 >>", NULL};
    const char *content =
        "/S cs 1 scn 0 0 9 9 re f /N cs 1 1 1 scn 9 9 9 9 re f /A cs 1 scn 0 0 1 1 re f /U cs 1 scn 1 0 0 rg "
        "BT /C 9 Tf /H 20 Tf 0 0 0 1 k 10 50 Td (Hello) Tj ET /O gs 0 0 0 0 k 0 0 5 5 re f";
    struct artwork_facts facts = facts_of(bench, make_pdf(bench, "k.pdf", colours_page, content, objects), 1);
    assert_int_equal(facts.spot_count, 2);
    assert_true(has_name(facts.spots, facts.spot_count, "Signal"));
    assert_true(has_name(facts.spots, facts.spot_count, "Second Spot"));
    assert_int_equal(facts.fonts_missing_count, 1);
    assert_string_equal(facts.fonts_missing[0], "Helvetica");
    assert_true(facts.uses_cmyk && facts.overprints && facts.white_overprints);
    assert_false(facts.uses_rgb || facts.uses_transparency || facts.has_transfer);
    assert_int_equal(facts.line_count, 1);
    assert_string_equal(facts.lines[0].words, "Hello");
    /* Helvetica's capitals and ascenders are 718/1000 em high (Adobe's font metrics for the standard 14, from
     * memory); 20 units are 7.06 mm. Its stand-in may differ by a tenth. */
    assert_float_equal(facts.lines[0].height_mm, 5.15, 0.5);
    assert_true(fabs(facts.lines[0].box.x0 - 10 * 25.4 / 72) < 0.5);
    assert_true(facts.lines[0].box.y0 < 50 * 25.4 / 72 && facts.lines[0].box.y1 > 50 * 25.4 / 72 + 4);
}

static void layers(void **state)
{
    struct bench *bench = *state;
    static const char *const objects[] = {
        "<< /Type /Catalog /Pages 2 0 R /OCProperties << /OCGs [6 0 R 7 0 R] /D << /OFF [7 0 R] >> >> >>",
        "<< /Type /OCG /Name (Lettering) >>", "<< /Type /OCG /Name (Guides) >>", NULL};
    const char *page = "/MediaBox [0 0 99 99] /Resources << /Properties << /A 6 0 R /B 7 0 R >> >>";
    const char *content = "/OC /A BDC 1 0 0 0 k 0 0 9 9 re f EMC /OC /B BDC 1 0 0 rg 9 9 9 9 re f EMC";
    struct artwork_facts facts = facts_of(bench, make_pdf(bench, "l.pdf", page, content, objects), 1);
    assert_int_equal(facts.layers_hidden_count, 1);
    assert_string_equal(facts.layers_hidden[0], "Guides");
    assert_true(facts.uses_cmyk);
    assert_false(facts.uses_rgb);
}

static void states(void **state)
{
    struct bench *bench = *state;
    char *path = make_pdf(bench, "s.pdf", "/MediaBox [0 0 99 99]", "", NULL);
    assert_int_equal(facts_of(bench, path, 2).state, ARTWORK_NO_SUCH_PAGE);
    assert_int_equal(facts_of(bench, path, 1).state, ARTWORK_FINE);
    struct str bytes;
    struct error error;
    assert_true(machine_read(&bench->machine, path, 1 << 20, bench->arena, &bytes, &error));
    /* cut anywhere it is damaged, never a blank page */
    for (size_t length = 0; length < bytes.length - 20; length += 37) {
        assert_true(machine_write(&bench->machine, path, str_slice(bytes, 0, length), false, &error));
        struct artwork_facts facts = facts_of(bench, path, 1);
        assert_int_equal(facts.state, ARTWORK_DAMAGED);
        assert_non_null(facts.trouble);
    }
    struct artwork_facts facts;
    assert_false(pdf_facts_load(&bench->machine, bench_path(bench, "no.pdf"), "no.pdf", 1, bench->arena,
                                &facts, &error));
}

/* A form that draws the next twice, thirty deep: a billion drawings. */
static void doubling_forms(void **state)
{
    struct bench *bench = *state;
    enum { DEEP = 30 };
    const char *objects[DEEP + 1] = {0};
    for (int i = 0; i < DEEP; i++)
        objects[i] = arena_format(
            bench->arena,
            "<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /F %d 0 R >> >> "
            "/Length 12 >>\nstream\n/F Do /F Do \nendstream",
            i + 6);
    char *path = make_pdf(bench, "deep.pdf", "/MediaBox [0 0 9 9] /Resources << /XObject << /F 5 0 R >> >>",
                          "/F Do", objects);
    int64_t from = bench->machine.ticks_ms(&bench->machine);
    assert_int_equal(facts_of(bench, path, 1).state, ARTWORK_DAMAGED);
    assert_true(bench->machine.ticks_ms(&bench->machine) - from < 60000);
}

/* A form drawn many thousand times whose resources name many thousand things: these are looked through once,
 * whether it has them for itself or they stand alone. */
static void rich_resources(void **state)
{
    struct bench *bench = *state;
    struct text names = text_new(bench->arena), content = text_new(bench->arena);
    text_add(&names, "<< /XObject <<");
    for (int i = 0; i < 10000; i++) text_addf(&names, " /A%d 6 0 R", i);
    text_add(&names, " >> >>");
    for (int i = 0; i < 40000; i++) text_add(&content, "/F Do\n");
    for (int alone = 0; alone < 2; alone++) {
        const char *objects[] = {
            arena_format(bench->arena,
                         "<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources %s /Length 12 "
                         ">>\nstream\n0 0 9 9 re f\nendstream",
                         alone ? "7 0 R" : text_string(&names)),
            "<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] /Length 12 >>\nstream\n0 0 9 9 re f\nendstream",
            text_string(&names), NULL};
        char *path =
            make_pdf(bench, "rich.pdf", "/MediaBox [0 0 9 9] /Resources << /XObject << /F 5 0 R >> >>",
                     text_string(&content), objects);
        assert_int_equal(facts_of(bench, path, 1).state,
                         ARTWORK_FINE); /* within the reader's processor time */
    }
}

/* What the index of the shared inputs expects. Two differ: of foo0-ge-64k the transfer functions and
 * halftones are all /Default, which is no function of its own; issue13520 names its spots in private data
 * only, its page draws with process inks. */
struct expected {
    const char *name;
    enum artwork_state state;
    double width_mm, height_mm; /* of the trim; 0: not compared */
    size_t spots;
    const char *spot;
};
static const struct expected real[] = {
    {"Bug6901014_CityMap.pdf", ARTWORK_FINE, 297, 210, 2, "PANTONE 877 C"},
    {"GWG040_White_OP_x1a.pdf", ARTWORK_FINE, 90, 50, 1, "GWG Green"},
    {"GWG080_DeviceN-Support_6c_x3.pdf", ARTWORK_FINE, 90, 50, 2, "PANTONE 265 C"},
    {"GWG190_DeviceN_Overprint_Black_X1a.pdf", ARTWORK_FINE, 90, 50, 0, NULL},
    {"foo0-ge-64k.pdf", ARTWORK_FINE, 105, 210, 1, "PANTONE 877 C"},
    {"issue13520.pdf", ARTWORK_FINE, 73.54, 31.56, 0, NULL},
    {"issue14297.pdf", ARTWORK_FINE, 420, 297, 1, "Original"},
    {"issue14497.pdf", ARTWORK_FINE, 1188.86, 841.02, 0, NULL},
    {"issue19176.pdf", ARTWORK_FINE, 215.9, 279.4, 0, NULL},
    {"issue5470.pdf", ARTWORK_FINE, 70.56, 17.64, 1, "PANTONE 485 M"},
    {"page-box.pdf", ARTWORK_FINE, 210, 297, 0, NULL},
    {"tiling-pattern-large-steps.pdf", ARTWORK_FINE, 1411.1, 141.1, 0, NULL},
    {"veraPDF_test_suite_6-2-4-4-t02-fail-c.pdf", ARTWORK_FINE, 215.9, 279.4, 3, "SpotColour1"},
    {"encrypted-256.pdf", ARTWORK_LOCKED, 0, 0, 0, NULL},
    {"Brotli-Prototype-FileA.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"PDFBOX-3949.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"PDFBOX-6040-nodeloop.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"Pages-tree-refs.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"REDHAT-1531897-0.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"UnknownFilter-Linearized.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"bug1020226.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"bug_325_a.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
    {"poppler-85140-0.pdf", ARTWORK_DAMAGED, 0, 0, 0, NULL},
};

static void real_files(void **state)
{
    struct bench *bench = *state;
    if (!shared_pdf(bench, real[0].name)) {
        print_message("# no shared inputs here\n");
        skip();
    }
    for (size_t i = 0; i < sizeof real / sizeof *real; i++) {
        const struct expected *wanted = &real[i];
        struct artwork_facts facts = facts_of(bench, shared_pdf(bench, wanted->name), 1);
        if (facts.state != wanted->state) fail_msg("%s: state %d", wanted->name, (int)facts.state);
        if (facts.state != ARTWORK_FINE) continue;
        if (fabs(rect_width(facts.trim_mm) - wanted->width_mm) > 0.1 ||
            fabs(rect_height(facts.trim_mm) - wanted->height_mm) > 0.1)
            fail_msg("%s: trim %.2f x %.2f", wanted->name, rect_width(facts.trim_mm),
                     rect_height(facts.trim_mm));
        if (facts.spot_count != wanted->spots ||
            (wanted->spot && !has_name(facts.spots, facts.spot_count, wanted->spot)))
            fail_msg("%s: %zu spots", wanted->name, facts.spot_count);
    }
    struct artwork_facts facts = facts_of(bench, shared_pdf(bench, "GWG040_White_OP_x1a.pdf"), 1);
    assert_true(facts.white_overprints);
    facts = facts_of(bench, shared_pdf(bench, "GWG150_OptionalContent-OCCD_X4.pdf"), 1);
    assert_int_equal(facts.layers_hidden_count, 6); /* its /D lists six under /OFF */
    facts = facts_of(bench, shared_pdf(bench, "071_OutputIntent_Custom-v1_x3.pdf"), 1);
    assert_string_equal(facts.output_intent, "GWG Custom");
    assert_true(facts.output_intent_profile_size > 128);
}

/* Every file there: an answer within the limits, whatever it is. */
static void all_files(void **state)
{
    struct bench *bench = *state;
    const char *shared = getenv("LAPSTRAKE_SHARED");
    const char **names = NULL;
    if (!shared ||
        !bench->machine.list_folder(&bench->machine, arena_format(bench->arena, "%s/inputs/pdf", shared),
                                    bench->arena, &names, NULL)) {
        print_message("# no shared inputs here\n");
        skip();
    }
    for (; *names; names++) {
        int64_t from = bench->machine.ticks_ms(&bench->machine);
        struct artwork_facts facts = facts_of(bench, shared_pdf(bench, *names), 1);
        assert_true(facts.state == ARTWORK_FINE || facts.trouble);
        assert_true(bench->machine.ticks_ms(&bench->machine) - from < 65000);
    }
}

/* ISO 32000-1, table 165: bit 3 prints, bit 2 hides; a link never prints. */
static void annotations(void **state)
{
    struct bench *bench = *state;
    const char *page =
        "/MediaBox [0 0 720 720] /Annots ["
        "<< /Type /Annot /Subtype /FreeText /F 4 /Rect [72 144 360 216] /Contents (Ring us) >> "
        "<< /Type /Annot /Subtype /Widget /F 4 /FT /Tx /Rect [0 0 72 72] /V (0800) >> "
        "<< /Type /Annot /Subtype /Stamp /F 6 /Rect [0 0 9 9] >> "
        "<< /Type /Annot /Subtype /Square /F 0 /Rect [0 0 9 9] >> "
        "<< /Type /Annot /Subtype /Link /F 4 /Rect [0 0 9 9] >>]";
    struct artwork_facts facts = facts_of(bench, make_pdf(bench, "notes.pdf", page, "", NULL), 1);
    assert_int_equal(facts.annotation_count, 2);
    assert_string_equal(facts.annotations[0].kind, "FreeText");
    assert_string_equal(facts.annotations[0].words, "Ring us");
    assert_rect(facts.annotations[0].box, 25.4, 50.8, 127, 76.2);
    assert_string_equal(facts.annotations[1].words, "0800");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(boxes),
    cmocka_unit_test(marks),
    cmocka_unit_test(damage),
    cmocka_unit_test(processing_steps),
    cmocka_unit_test(images),
    cmocka_unit_test(large_images),
    cmocka_unit_test(colours_and_fonts),
    cmocka_unit_test(layers),
    cmocka_unit_test(states),
    cmocka_unit_test(doubling_forms),
    cmocka_unit_test(rich_resources),
    cmocka_unit_test(real_files),
    cmocka_unit_test(all_files),
    cmocka_unit_test(annotations),
};
TEST_MAIN(tests)
