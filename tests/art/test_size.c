/* Size, reach and cropping of artwork on a surface; every number worked by hand beside it. */
#include "../with_arena.h"
#include "art/art.h"
#include <string.h>

enum { PARTS = 3 };

/* A surface of one rectangle. */
static struct surface *surface_of(double width, double height, double bleed)
{
    struct surface *s = arena_take(arena, sizeof *s);
    struct surface_spec *spec = arena_take(arena, sizeof *spec);
    *s = (struct surface){.spec = spec,
                          .name = "side",
                          .id = "side",
                          .width_mm = width,
                          .height_mm = height,
                          .bleed_mm = {bleed, bleed, bleed, bleed}};
    s->up_count = (size_t)width;
    s->up = arena_take_array(arena, s->up_count, sizeof *s->up);
    for (size_t i = 0; i < s->up_count; i++) s->up[i] = (struct span){0, (float)height};
    return s;
}

/* Artworks of a surface: PDF pages of so many millimetres. */
struct layout {
    struct surface *surface;
    struct artwork_spec specs[PARTS];
    struct artwork_facts facts[PARTS];
    size_t count;
};

static struct layout *layout_of(double width, double height, double bleed)
{
    struct layout *l = arena_take(arena, sizeof *l);
    *l = (struct layout){.surface = surface_of(width, height, bleed)};
    return l;
}

static struct artwork_spec *add(struct layout *l, double width, double height)
{
    struct rect page = {0, 0, width, height};
    l->facts[l->count] = (struct artwork_facts){
        .kind = ARTWORK_PDF, .media_mm = page, .trim_mm = page, .bleed_mm = page, .page_count = 1};
    l->specs[l->count] = (struct artwork_spec){.file = "side.pdf", .page = 1, .scale = 1};
    return &l->specs[l->count++];
}

static struct artwork_spec *add_at(struct layout *l, double width, double height, double x, double y)
{
    struct artwork_spec *spec = add(l, width, height);
    spec->has_at = true, spec->at_mm = (struct point){x, y};
    return spec;
}

static const struct finding *judged(const struct layout *l, const char *code)
{
    struct placed_art *placed = arena_take_array(arena, PARTS, sizeof *placed);
    for (size_t i = 0; i < l->count; i++) placed[i] = art_place(l->surface, &l->specs[i], &l->facts[i]);
    struct surface_art art = {placed, l->count};
    struct findings *findings = arena_take(arena, sizeof *findings);
    *findings = findings_new(arena);
    art_judge(l->surface, &art, (struct str){"", 0}, true, findings);
    for (size_t i = 0; i < findings->count; i++)
        if (!strcmp(findings->items[i].code, code)) return &findings->items[i];
    return NULL;
}

static void says(const struct finding *finding, enum severity severity, const char *words)
{
    assert_non_null(finding);
    assert_int_equal(finding->severity, severity);
    if (!strstr(finding->text, words)) print_error("%s\n", finding->text);
    assert_non_null(strstr(finding->text, words));
}

/* ---- short ---- */

/* 2600 x 800 at [0, 0] on 5200 x 1700 with bleed 40: 40 missing left and below; 5240 - 2600 to the right,
 * 1740 - 800 above. */
static void all_four_sides(void **state)
{
    (void)state;
    struct layout *l = layout_of(5200, 1700, 40);
    add_at(l, 2600, 800, 0, 0);
    says(judged(l, "artwork-short"), SEVERITY_WARN, ": left 40 mm, bottom 40 mm, right 2640 mm, top 940 mm.");
}

static void without_bleed_each_side_is_short(void **state)
{
    (void)state;
    struct layout *l = layout_of(5400, 1900, 50);
    add_at(l, 5400, 1900, 0, 0);
    says(judged(l, "artwork-short"), SEVERITY_WARN, ": left 50 mm, bottom 50 mm, right 50 mm, top 50 mm.");
}

/* A background that ends 120 mm short at the right; a badge at the right edge does not mend that, nor does it
 * make the top short. */
static void a_badge_at_the_edge(void **state)
{
    (void)state;
    struct layout *l = layout_of(3000, 1000, 30);
    add_at(l, 2910, 1060, -30, -30); /* to 2880 of 3030: 150 short */
    add_at(l, 200, 100, 2830, 300);
    says(judged(l, "artwork-short"), SEVERITY_WARN, ": right 150 mm.");
}

/* Two halves with 25 mm between them are no side's matter: a hole of 25 mm, less the tolerance at each edge.
 */
static void a_gap_is_a_hole(void **state)
{
    (void)state;
    struct layout *l = layout_of(3000, 1000, 30);
    add_at(l, 1530, 1060, -30, -30); /* to 1500 */
    add_at(l, 1505, 1060, 1525, -30);
    says(judged(l, "artwork-short"), SEVERITY_WARN, "Inside the surface 25 x 1060 mm");
}

/* A slanted top, from 1000 at the left to 1600 at the right: artwork up to 900 is short by 1640 - 900. */
static void a_slanted_edge(void **state)
{
    (void)state;
    struct layout *l = layout_of(2000, 1600, 40);
    for (size_t i = 0; i < 2000; i++) l->surface->up[i].high_mm = 1000 + 0.3F * (float)(i + 1);
    add_at(l, 2080, 940, -40, -40);
    says(judged(l, "artwork-short"), SEVERITY_WARN, ": top 740 mm.");
}

/* ---- size ---- */

static void scale_left_out(void **state)
{
    (void)state;
    struct layout *l = layout_of(3640, 1310, 45);
    add_at(l, 373, 140, -45, -45); /* 1:10 with bleed */
    says(judged(l, "artwork-size"), SEVERITY_STOP,
         "is 373 x 140 mm on a surface of 3640 x 1310 mm; scale 10 fits");
    l->specs[0] = (struct artwork_spec){.file = "side.pdf", .page = 1, .scale = 20};
    says(judged(l, "artwork-size"), SEVERITY_STOP,
         "is 7460 x 2800 mm on a surface of 3640 x 1310 mm; scale 10 fits");
    l->specs[0].scale = 10;
    assert_null(judged(l, "artwork-size"));
}

/* 364 / 25.4 is 143.3 mm and 131 / 25.4 51.6 mm: the drawing's inches were written as millimetres, twice. */
static void inches_for_millimetres(void **state)
{
    (void)state;
    struct layout *l = layout_of(3640, 1310, 45);
    add_at(l, 143.3, 51.6, 0, 0);
    says(judged(l, "artwork-size"), SEVERITY_STOP, "25.4 times larger");
}

/* A third of the size: no usual scale is within 10 % of three. */
static void no_usual_scale(void **state)
{
    (void)state;
    struct layout *l = layout_of(3600, 1200, 50);
    add(l, 1200, 400);
    says(judged(l, "artwork-size"), SEVERITY_WARN, "is 1200 x 400 mm on a surface of 3600 x 1200 mm.");
}

static void a_width_is_named(void **state)
{
    (void)state;
    struct layout *l = layout_of(4100, 1500, 50);
    add(l, 820, 300)->width_mm = 410; /* 410 x 150 on the vehicle: 4100 is meant */
    says(judged(l, "artwork-size"), SEVERITY_STOP, "width: 4100 fits");
}

/* Left and right half of a side, both without their scale of 1:5. */
static void two_halves_at_the_wrong_scale(void **state)
{
    (void)state;
    struct layout *l = layout_of(6000, 2000, 50);
    add_at(l, 610, 420, -50, -50);
    add_at(l, 610, 420, 3000, -50);
    says(judged(l, "artwork-size"), SEVERITY_STOP, "The 2 artworks together are");
    says(judged(l, "artwork-size"), SEVERITY_STOP, "scale 5 fits");
}

static void no_stops_where_nothing_is_wrong(void **state)
{
    (void)state;
    struct layout *logo = layout_of(4300, 1480, 50); /* of the surface's shape, where only a logo fits */
    add_at(logo, 860, 300, 1700, 600);
    says(judged(logo, "artwork-size"), SEVERITY_WARN, "is 860 x 300 mm");
    struct layout *over = layout_of(4300, 1480, 50);
    add_at(over, 4400, 1580, -50, -50);
    add_at(over, 430, 148, -50, -50); /* a small one of the same shape in the corner of a full one */
    assert_null(judged(over, "artwork-size"));
    struct layout *large = layout_of(4300, 1480, 50);
    add_at(large, 5300, 1900, -300, -200); /* drawn a bit too large */
    assert_null(judged(large, "artwork-size"));
}

/* ---- cropped ---- */

/* 3000 x 1500 to fill 3100 x 1100 with bleed: 3100 / 3000 of its size, 1550 high, of which 225 go above and
 * below: 450 / 1550 is 29.0 %. */
static void fit_says_what_it_cuts_off(void **state)
{
    (void)state;
    struct layout *l = layout_of(3000, 1000, 50);
    add(l, 3000, 1500)->fit = FIT_BLEED;
    says(judged(l, "artwork-cropped"), SEVERITY_WARN, "225 mm at the top, 225 mm at the bottom: 29.0 %");
    l->facts[0].trim_mm = (struct rect){0, 0, 310, 112}; /* 10 mm above and below: 20 / 1120 */
    says(judged(l, "artwork-cropped"), SEVERITY_NOTE, "10 mm at the top, 10 mm at the bottom: 1.8 %");
    l->facts[0].trim_mm = (struct rect){0, 0, 310, 110};
    assert_null(judged(l, "artwork-cropped"));
    assert_null(judged(l, "artwork-size"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(all_four_sides, set_up, tear_down),
        cmocka_unit_test_setup_teardown(without_bleed_each_side_is_short, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_badge_at_the_edge, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_gap_is_a_hole, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_slanted_edge, set_up, tear_down),
        cmocka_unit_test_setup_teardown(scale_left_out, set_up, tear_down),
        cmocka_unit_test_setup_teardown(inches_for_millimetres, set_up, tear_down),
        cmocka_unit_test_setup_teardown(no_usual_scale, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_width_is_named, set_up, tear_down),
        cmocka_unit_test_setup_teardown(two_halves_at_the_wrong_scale, set_up, tear_down),
        cmocka_unit_test_setup_teardown(no_stops_where_nothing_is_wrong, set_up, tear_down),
        cmocka_unit_test_setup_teardown(fit_says_what_it_cuts_off, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
