/* Plan versions: counted for each job, recorded when something changed, read back as they went in. */
#include "bench.h"
#include <math.h>
#include <string.h>

static struct panel_terms panel_of(const char *name, double dry_s)
{
    return (struct panel_terms){.panel = name,
                                .surface = "left side",
                                .surface_index = 1,
                                .install_sequence = 3,
                                .visible = {0, 0.5, 1310.25, 1900},
                                .front = FRONT_RIGHT,
                                .neighbours_text = "over left-2;gap left-4",
                                .dry_s = dry_s,
                                .has_laminate = true,
                                .bond_s = 86400,
                                .laminate_low_c = 20,
                                .laminate_high_c = 23,
                                .laminate_source = "shop.yaml:14",
                                .cast_laminate = true,
                                .trim_waits = true,
                                .print_mm = 2000,
                                .print_start = NOON,
                                .print_end = NOON + 1,
                                .dry_end = NOON + 2,
                                .laminate_start = NOON + 3,
                                .laminate_end = NOON + 4,
                                .bond_end = NOON + 5,
                                .trim_start = NOON + 5,
                                .trim_end = NOON + 6,
                                .install_start = NOON + 7,
                                .install_end = NOON + 8};
}

static struct job_terms terms_of(const char *job, const char *fingerprint, struct panel_terms *panels,
                                 size_t count)
{
    return (struct job_terms){.job = job,
                              .title = "Mobile library van",
                              .fingerprint = fingerprint,
                              .made = NOON,
                              .has_install = true,
                              .earliest_install = NOON + 7,
                              .finished = NOON + 8,
                              .has_due = true,
                              .due = NOON + 9,
                              .decides = "Drying decides.",
                              .stops = 1,
                              .warnings = 2,
                              .notes = 3,
                              .currency = "EUR",
                              .price = 128450,
                              .feed_percent = 99.8,
                              .film = "cast-white",
                              .laminate = "cast-gloss",
                              .ink = "eco",
                              .condition = "van-cast",
                              .panels = panels,
                              .panel_count = count};
}

static void plan(struct job_terms terms, const char *json)
{
    struct error error = {0};
    if (!record_plan(bench.record, &terms, str_from(json), "desk", &error)) fail_msg("%s", error.text);
}

static void versions_are_counted(void **state)
{
    (void)state;
    struct panel_terms panels[] = {panel_of("left-1", 172800), panel_of("left-2", -1)};
    plan(terms_of("LV-1", "aaaaaaaaaaaaaaaa", panels, 2), "{\\\"a\\\": 1}");
    plan(terms_of("LV-1", "aaaaaaaaaaaaaaaa", panels, 2), "{}");
    struct job_terms later = terms_of("LV-1", "bbbbbbbbbbbbbbbb", panels, 1);
    later.finished = NOON + 100;
    plan(later, "{}");
    plan(terms_of("LV-2", "aaaaaaaaaaaaaaaa", panels, 1), "{}");
    assert_string_equal(judge("SELECT job, version, fact FROM plan ORDER BY fact"),
                        "LV-1|1|1\nLV-1|2|2\nLV-2|1|3");
    struct job_terms out, *all;
    size_t count;
    bool found;
    struct error error = {0};
    assert_true(record_terms(bench.record, "LV-1", bench.arena, &out, &found, &error));
    assert_true(found);
    assert_int_equal(out.version, 2);
    assert_int_equal(out.finished, NOON + 100);
    assert_int_equal(out.first_promised, NOON + 8);
    assert_int_equal(out.price, 128450);
    assert_true(out.feed_percent == 99.8);
    assert_int_equal(out.warnings, 2);
    assert_string_equal(out.laminate, "cast-gloss");
    assert_null(out.profile_description);
    assert_int_equal(out.panel_count, 1);
    const struct panel_terms *p = out.panels;
    assert_int_equal(p->neighbour_count, 2);
    assert_int_equal(p->neighbours[0].lies, LIES_OVER);
    assert_string_equal(p->neighbours[1].panel, "left-4");
    assert_string_equal(p->surface, "left side");
    assert_true(p->visible.y0 == 0.5 && p->visible.x1 == 1310.25 && p->dry_s == 172800 &&
                p->laminate_high_c == 23);
    assert_true(p->has_laminate && p->cast_laminate && p->trim_waits);
    assert_int_equal(p->install_end, NOON + 8);
    assert_true(record_terms(bench.record, "LV-9", bench.arena, &out, &found, &error));
    assert_false(found);
    assert_true(record_all_terms(bench.record, bench.arena, &all, &count, &error));
    assert_int_equal(count, 2);
    assert_string_equal(all[1].job, "LV-2");
    assert_int_equal(verify(NULL), 0);
}

static void a_plan_is_a_fact(void **state)
{
    (void)state;
    struct panel_terms panel = panel_of("left-1", 172800);
    plan(terms_of("LV-1", "aaaaaaaaaaaaaaaa", &panel, 1), "{}");
    assert_string_equal(judge("SELECT kind, job, who, substr(words, 1, 18) FROM fact"),
                        "planned|LV-1|desk|version 1, SHA-256");
    struct fact w = fact_blank(FACT_WITHDRAWN);
    w.key = "withdraw-1", w.at = NOON, w.withdraws = 1, w.words = "not this one";
    refuse(w, "cannot be withdrawn");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(versions_are_counted, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(a_plan_is_a_fact, bench_open, bench_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
