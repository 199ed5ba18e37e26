/* Panels that print nothing; shares worked by hand. */
#include "fixture.h"
#include <string.h>

static struct fixture f;
static struct placed_art placed[2];
static struct surface_art art = {placed, 0};

static int open_fixture(void **state)
{
    (void)state;
    fixture_open(&f);
    art.count = 0;
    return 0;
}

static int close_fixture(void **state)
{
    (void)state;
    fixture_close(&f);
    return 0;
}

/* A side of 3600 x 1500 mm in panels seen from 0 to 1200, 2400 and 3600. */
static void side(void)
{
    static struct fixed_seam seams[] = {{.at_mm = 1200}, {.at_mm = 2400}};
    fixture_surface(&f, "left", 3600, 1500, FRONT_LEFT, RUN_UPRIGHT);
    f.specs[0].seams = seams, f.specs[0].seam_count = 2, f.specs[0].seams_fixed = true;
    f.inputs[0].art = &art;
}

static void lay(struct rect clip)
{
    static const struct artwork_facts none;
    placed[art.count++] = (struct placed_art){.facts = &none, .clip = clip, .trim = clip, .media = clip};
}

static void bare_panels_are_named(void **state)
{
    (void)state;
    side();
    lay((struct rect){-50, -50, 1700, 1550}); /* panel 1 whole, 500 of 1200 mm of panel 2 */
    struct plan *plan = fixture_plan(&f);
    const struct finding *first = fixture_finding(plan, "panel-blank");
    assert_non_null(first);
    assert_string_equal(first->where, "left/left-3");
    assert_string_equal(first->text, "left-3 prints nothing: no artwork lies on it.");
    assert_int_equal(first->severity, SEVERITY_WARN);
    assert_string_equal(first[1].code, "panel-blank");
    assert_string_equal(first[1].text,
                        "left-2 (58 % of it) has no artwork on a large part."); /* 700 / 1200 */
}

/* A second artwork that overlaps the first by 100 mm leaves nothing bare; a strip of 100 mm is no large part.
 */
static void covered_panels_are_not(void **state)
{
    (void)state;
    side();
    lay((struct rect){-50, -50, 1700, 1550});
    lay((struct rect){1600, -50, 3500, 1550});
    assert_null(fixture_finding(fixture_plan(&f), "panel-blank"));
}

/* An empty page: artwork everywhere, and no ink. */
static void white_artwork_is_told(void **state)
{
    (void)state;
    side();
    lay((struct rect){-50, -50, 3650, 1550});
    struct ink_map map = {.box = {-50, -50, 3650, 1550}, .columns = 740, .rows = 320};
    for (int c = 0; c < INK_CHANNELS; c++)
        map.channel[c] = arena_take_array(f.arena, map.columns * map.rows, sizeof *map.channel[c]);
    f.inputs[0].ink = &map;
    const struct finding *finding = fixture_finding(fixture_plan(&f), "panel-blank");
    assert_non_null(finding);
    assert_string_equal(finding->text, "left-1, left-2, left-3 print nothing: the artwork is white there.");
    assert_int_equal(finding->severity, SEVERITY_WARN);
    for (size_t i = 0; i < map.columns * map.rows; i++) map.channel[0][i] = i % map.columns < 480 ? 3000 : 0;
    finding = fixture_finding(fixture_plan(&f), "panel-blank"); /* ink up to x = 2350 only */
    assert_string_equal(finding->text, "left-3 prints nothing: the artwork is white there.");
    assert_int_equal(finding->severity, SEVERITY_NOTE);
}

#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)

int main(void)
{
    const struct CMUnitTest tests[] = {
        ONE(bare_panels_are_named),
        ONE(covered_panels_are_not),
        ONE(white_artwork_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
