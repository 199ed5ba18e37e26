/* Where artwork lands and what is said of it; every number worked by hand beside it. */
#include "../with_arena.h"
#include "art/art.h"
#include <math.h>
#include <string.h>

/* A plain side of 5400 x 1900 mm with 50 mm bleed. */
static struct surface *side(void)
{
    struct surface *s = arena_take(arena, sizeof *s);
    struct surface_spec *spec = arena_take(arena, sizeof *spec);
    *s = (struct surface){.spec = spec,
                          .name = "left",
                          .id = "left",
                          .width_mm = 5400,
                          .height_mm = 1900,
                          .bleed_mm = {50, 50, 50, 50}};
    s->up_count = 5400;
    s->up = arena_take_array(arena, s->up_count, sizeof *s->up);
    for (size_t i = 0; i < s->up_count; i++) s->up[i] = (struct span){0, 1900};
    return s;
}

static struct artwork_facts pdf_of(double width, double height)
{
    struct rect page = {0, 0, width, height};
    return (struct artwork_facts){
        .kind = ARTWORK_PDF, .media_mm = page, .trim_mm = page, .bleed_mm = page, .page_count = 1};
}

static void near(double value, double wanted)
{
    assert_true(fabs(value - wanted) < 1e-6);
}

static void at_scale_ten(void **state)
{
    (void)state;
    struct artwork_spec spec = {.file = "left.pdf", .scale = 10, .has_at = true, .at_mm = {-50, -50}};
    struct artwork_facts facts = pdf_of(570, 220);
    facts.trim_mm = (struct rect){10, 10, 560, 210}; /* 550 x 200 at 1:10 is outline and bleed */
    struct placed_art p = art_place(side(), &spec, &facts);
    near(p.trim.x0, -50), near(p.trim.y0, -50), near(p.trim.x1, 5450), near(p.trim.y1, 1950);
    near(p.clip.x0, -150); /* the page goes 10 mm further: 100 on the vehicle */
    near(p.scale, 10);
}

/* 550 x 250 to fill 5500 x 2000: scale 10 by the width (8 by the height), 250 mm too high above and below. */
static void fit_fills_and_crops(void **state)
{
    (void)state;
    struct artwork_spec spec = {.file = "left.pdf", .fit = FIT_BLEED};
    struct artwork_facts facts = pdf_of(550, 250);
    struct placed_art p = art_place(side(), &spec, &facts);
    near(p.scale, 10), near(p.trim.y0, -300), near(p.trim.y1, 2200);
    near(p.clip.y0, -50), near(p.clip.y1, 1950), near(p.clip.x0, -50), near(p.clip.x1, 5450);
}

/* 5500 pixels wide: at 100 ppi 1397 mm; `width: 5500` scales it to 5500; stated 25.4 ppi makes a pixel a
 * millimetre. */
static void pictures_have_sizes(void **state)
{
    (void)state;
    struct artwork_facts facts = {
        .kind = ARTWORK_TIFF, .width_px = 5500, .height_px = 2000, .x_ppi = 100, .y_ppi = 100};
    struct artwork_spec own = {.file = "l.tif", .scale = 1, .has_at = true};
    near(rect_width(art_place(side(), &own, &facts).trim), 1397);
    struct artwork_spec width = {.file = "l.tif", .width_mm = 5500, .has_at = true};
    struct placed_art p = art_place(side(), &width, &facts);
    near(rect_width(p.trim), 5500), near(rect_height(p.trim), 2000);
    struct artwork_spec stated = {.file = "l.tif", .resolution_ppi = 25.4, .has_at = true};
    near(rect_height(art_place(side(), &stated, &facts).trim), 2000);
}

static const struct finding *judged(const struct artwork_spec *spec, const struct artwork_facts *facts,
                                    const char *code)
{
    struct surface *surface = side();
    struct placed_art *placed = arena_take(arena, sizeof *placed);
    *placed = art_place(surface, spec, facts);
    struct surface_art art = {placed, 1};
    struct findings *findings = arena_take(arena, sizeof *findings);
    *findings = findings_new(arena);
    art_judge(surface, &art, (struct str){"", 0}, true, findings);
    for (size_t i = 0; i < findings->count; i++)
        if (!strcmp(findings->items[i].code, code)) return &findings->items[i];
    return NULL;
}

static void reach_is_judged_to_a_tenth(void **state)
{
    (void)state;
    struct artwork_spec spec = {.file = "left.pdf", .scale = 10, .has_at = true, .at_mm = {-50, -50}};
    struct artwork_facts whole = pdf_of(550, 200), within = pdf_of(549.995, 200), narrow = pdf_of(549.5, 200);
    assert_null(judged(&spec, &whole, "artwork-short"));
    assert_null(judged(&spec, &within, "artwork-short")); /* 0.05 mm on the vehicle */
    const struct finding *f = judged(&spec, &narrow, "artwork-short");
    assert_non_null(f);
    assert_non_null(strstr(f->text, ": right 5 mm."));
    spec.at_mm.y = -20; /* 30 mm short below, and past the top */
    f = judged(&spec, &whole, "artwork-short");
    assert_non_null(strstr(f->text, ": bottom 30 mm."));
}

static void findings_of_a_page(void **state)
{
    (void)state;
    struct artwork_spec spec = {
        .file = "left.pdf", .page = 1, .scale = 10, .has_at = true, .at_mm = {-50, -50}};
    struct artwork_facts facts = pdf_of(550, 200);
    /* 500 ppi on the page at 1:10 are 50 on the vehicle, under the trade's 72 (common practice, no source) */
    struct image_facts image = {
        .box = {10, 10, 60, 60}, .width_px = 984, .height_px = 984, .ppi_on_page = 500};
    const char *spots[] = {"Harbour blue", "Kiss cut"}, *fonts[] = {"Signal"}, *layers[] = {"Old logo"};
    facts.images = &image, facts.image_count = 1;
    facts.spots = spots, facts.spot_count = 2, facts.fonts_missing = fonts, facts.fonts_missing_count = 1;
    facts.layers_hidden = layers, facts.layers_hidden_count = 1;
    facts.uses_rgb = facts.uses_rgb_untagged = facts.uses_cmyk = true;
    facts.output_intent = "Offset, coated paper";
    const struct finding *f = judged(&spec, &facts, "resolution-low");
    assert_non_null(f);
    assert_non_null(strstr(f->text, "coarsest has 50"));
    assert_true(f->has_box && fabs(f->box.x0 - 50) < 1e-6);
    f = judged(&spec, &facts, "spot-colour");
    assert_int_equal(f->severity, SEVERITY_NOTE); /* kept in PDF panels */
    assert_null(strstr(f->text, "Kiss cut"));
    f = judged(&spec, &facts, "spot-cut");
    assert_int_equal(f->severity, SEVERITY_WARN);
    assert_non_null(strstr(f->text, "Kiss cut"));
    assert_null(strstr(f->text, "Harbour blue"));
    const char *const codes[] = {"fonts-missing", "layers-hidden", "no-profile", "mixed-colour",
                                 "output-intent-differs"};
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++)
        assert_non_null(judged(&spec, &facts, codes[i]));
    image.ppi_on_page = 720;
    assert_null(judged(&spec, &facts, "resolution-low"));
}

/* Names as dictionaries of the trade's languages give the words for these steps; inks' names have other words
 * beside them. */
static void spots_that_are_no_ink(void **state)
{
    (void)state;
    static const char *const cuts[] = {
        "Cut",    "through-cut 2", "DieLine", "Stanzlinie", "perforation",       "Découpe",
        "Weiß",   "VARNISH UV",    "Taglio",  "Skärlinje",  "White under print", "Annotations",
        "Rillen", "Lakier 1"};
    static const char *const inks[] = {"Snow White", "Diesel blue", "Perfect red", "Orange 21", "Layer",
                                       "",           "Whitewash"};
    size_t wrong = 0;
    struct artwork_facts facts = pdf_of(550, 200);
    struct artwork_spec spec = {.file = "left.pdf", .scale = 10, .has_at = true, .at_mm = {-50, -50}};
    facts.spot_count = 1;
    for (size_t i = 0; i < sizeof cuts / sizeof *cuts; i++) {
        facts.spots = (const char **)&cuts[i];
        if (!judged(&spec, &facts, "spot-cut")) print_error("%s\n", cuts[i]), wrong++;
    }
    for (size_t i = 0; i < sizeof inks / sizeof *inks; i++) {
        facts.spots = (const char **)&inks[i];
        if (judged(&spec, &facts, "spot-cut")) print_error("%s\n", inks[i]), wrong++;
    }
    assert_int_equal(wrong, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(at_scale_ten, set_up, tear_down),
        cmocka_unit_test_setup_teardown(fit_fills_and_crops, set_up, tear_down),
        cmocka_unit_test_setup_teardown(pictures_have_sizes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(reach_is_judged_to_a_tenth, set_up, tear_down),
        cmocka_unit_test_setup_teardown(findings_of_a_page, set_up, tear_down),
        cmocka_unit_test_setup_teardown(spots_that_are_no_ink, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
