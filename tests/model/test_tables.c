/* The tables keep their promises: codes once, severities as doc/plan.md fixes them, every practice marked. */
#include "../test.h"
#include "base/machine.h"
#include "model/finding.h"
#include "model/practice.h"
#include "model/surface.h"
#include <string.h>

/* The severities that are not left to choice. */
static void severities_fixed(void **state)
{
    (void)state;
    const char *const stops[] = {
        "artwork-damaged", "artwork-locked",     "profile-missing",     "profile-damaged",  "profile-class",
        "profile-space",   "stretch-over-limit", "ink-not-conformable", "no-seam-possible", "keep-whole-cut",
        "panel-too-long",  "width-short",        "drying-not-possible", "laminate-missing"};
    const char *const warns[] = {"artwork-short",     "resolution-low",    "fonts-missing",
                                 "no-profile",        "spot-colour",       "profile-generic",
                                 "profile-changed",   "ink-over-limit",    "film-not-conformable",
                                 "laminate-mismatch", "laminate-too-cold", "laminate-too-warm",
                                 "durability-short",  "due-missed",        "seam-crosses"};
    for (size_t i = 0; i < sizeof stops / sizeof *stops; i++)
        assert_int_equal(finding_kind_find(stops[i])->severity, SEVERITY_STOP);
    for (size_t i = 0; i < sizeof warns / sizeof *warns; i++)
        assert_int_equal(finding_kind_find(warns[i])->severity, SEVERITY_WARN);
}

static void codes_once_and_with_remedy(void **state)
{
    (void)state;
    for (size_t i = 0; i < finding_table_count; i++) {
        assert_ptr_equal(finding_kind_find(finding_table[i].code), &finding_table[i]);
        assert_true(strlen(finding_table[i].remedy) > 10);
    }
}

static void practice_is_marked(void **state)
{
    (void)state;
    for (size_t i = 0; i < practice_count; i++) {
        assert_true(strlen(practice_table[i].mark) > 5);
        assert_true(practice_value(practice_table[i].name).value == practice_table[i].value);
    }
}

static void bleed_by_edge(void **state)
{
    (void)state;
    struct bleed_spec job = {50, -1, 0, -1, 20, -1, -1, 0}, none = {-1, -1, -1, -1, -1, -1, -1, 0};
    double bleed[EDGE_COUNT];
    surface_resolve_bleed(&none, &job, 50, FRONT_LEFT, bleed); /* sill 0, rear 20: rear is the right edge */
    assert_true(bleed[EDGE_BOTTOM] == 0 && bleed[EDGE_TOP] == 50 && bleed[EDGE_LEFT] == 50 &&
                bleed[EDGE_RIGHT] == 20);
    surface_resolve_bleed(&none, &job, 50, FRONT_RIGHT, bleed);
    assert_true(bleed[EDGE_LEFT] == 20 && bleed[EDGE_RIGHT] == 50);
    surface_resolve_bleed(&none, &none, 12, FRONT_AWAY, bleed);
    assert_true(bleed[EDGE_LEFT] == 12 && bleed[EDGE_TOP] == 12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(severities_fixed),
        cmocka_unit_test(codes_once_and_with_remedy),
        cmocka_unit_test(practice_is_marked),
        cmocka_unit_test(bleed_by_edge),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
