/* The tables keep their promises: codes once, severities as doc/plan.md fixes them, every practice marked. */
#include "../test.h"
#include "base/machine.h"
#include "model/entry.h"
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
        assert_true(strlen(practice_table[i].source) > 5);
        assert_true(practice_value(practice_table[i].name).value == practice_table[i].value);
    }
}

static void bleed_by_edge(void **state)
{
    (void)state;
    struct bleed_spec job = {50, -1, 0, -1, 20, -1, -1, 0}, none = {-1, -1, -1, -1, -1, -1, -1, 0};
    double bleed[EDGE_COUNT];
    surface_resolve_bleed(&none, &job, FRONT_LEFT, bleed); /* sill 0, rear 20: rear is the right edge */
    assert_true(bleed[EDGE_BOTTOM] == 0 && bleed[EDGE_TOP] == 50 && bleed[EDGE_LEFT] == 50 &&
                bleed[EDGE_RIGHT] == 20);
    surface_resolve_bleed(&none, &job, FRONT_RIGHT, bleed);
    assert_true(bleed[EDGE_LEFT] == 20 && bleed[EDGE_RIGHT] == 50);
    job = (struct bleed_spec){12, -1, -1, -1, -1, -1, -1, 0};
    surface_resolve_bleed(&none, &job, FRONT_AWAY, bleed);
    assert_true(bleed[EDGE_LEFT] == 12 && bleed[EDGE_TOP] == 12);
}

/* A step's form asks only for what a person may say of that kind of entry. */
static void fields_asked_may_be_said(void **state)
{
    (void)state;
    size_t asked = 0;
    for (size_t i = 0; i < fact_field_count; i++)
        for (int kind = 0; kind < FACT_KIND_COUNT; kind++) {
            const struct fact_field *field = &fact_fields[i];
            if (!fact_field_ask(field, (enum fact_kind)kind)) continue;
            assert_true(field->listed && (field->origin == FACT_GIVEN || field->origin == FACT_SETTLED));
            assert_true(!field->kinds || field->kinds & 1u << kind);
            asked++;
        }
    assert_true(asked > 5);
}

/* An inch is 25.4 mm (international yard and pound agreement, 1959): 2001.2 mm are 78.79 in. */
static void details_of_an_entry(void **state)
{
    (void)state;
    struct machine machine = machine_real(NULL);
    struct arena *arena = arena_new(&machine);
    struct fact laminated = fact_blank(FACT_LAMINATED), measured = fact_blank(FACT_MEASURED);
    assert_null(fact_details(&laminated, false, arena));
    laminated.air_c = 21, laminated.surface_c = 40.5, laminated.batch = "L-17", laminated.words = "warm";
    assert_string_equal(fact_details(&laminated, false, arena),
                        "room 21\u00a0°C, roller 40.5\u00a0°C, batch L-17");
    measured.measured_mm = 2001.2;
    assert_non_null(strstr(fact_details(&measured, false, arena), "measured length 2001.2"));
    assert_non_null(strstr(fact_details(&measured, true, arena), "measured length 78.79"));
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(severities_fixed),         cmocka_unit_test(codes_once_and_with_remedy),
        cmocka_unit_test(practice_is_marked),       cmocka_unit_test(bleed_by_edge),
        cmocka_unit_test(fields_asked_may_be_said), cmocka_unit_test(details_of_an_entry),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
