/* Acceptances of findings: to what they are bound, when they lapse. Cases worked by hand; the 5 % are the
 * house's own judgement (doc/record.md). */
#include "../test.h"
#include "base/machine.h"
#include "model/finding.h"
#include <math.h>
#include <string.h>

static struct machine machine;
static struct findings findings;

static int begin(void **unused)
{
    (void)unused;
    machine = machine_real("");
    findings = findings_new(arena_new(&machine));
    return 0;
}

static int end(void **unused)
{
    (void)unused;
    arena_free(findings.arena);
    return 0;
}

static struct finding *peak(const char *where, double percent)
{
    struct finding *finding = finding_add(
        &findings, "ink-over-limit", where, "as-said",
        ARGUMENTS(
            arg_words("words", arena_format(findings.arena, "%.0f %% of ink; 280 %% are taken.", percent))));
    finding->figure = percent;
    return finding;
}

/* The acceptance of a finding as it is now. */
static struct acceptance accept(const struct finding *finding)
{
    return (struct acceptance){.code = finding->code,
                               .place = finding_place(finding, findings.arena),
                               .figure = finding->figure,
                               .words = "seen on the proof"};
}

static void it_holds_there_and_no_worse(void **unused)
{
    (void)unused;
    peak("left/left-1", 300), peak("left/left-2", 300);
    struct acceptance acceptance = accept(&findings.items[0]);
    findings_accept(&findings, &acceptance, 1);
    assert_ptr_equal(findings.items[0].accepted, &acceptance);
    assert_null(findings.items[1].accepted);
    assert_null(findings.items[1].lapsed); /* another panel's: it holds where it was meant */
    static const struct {
        double figure;
        bool holds;
    } rows[] = {{200, true}, {300, true}, {314.9, true}, {315, true}, {315.1, false}, {400, false}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        findings.items[0].figure = rows[i].figure;
        findings_accept(&findings, &acceptance, 1);
        assert_int_equal(findings.items[0].accepted != NULL, rows[i].holds);
        assert_int_equal(findings.items[0].lapsed != NULL, !rows[i].holds);
    }
}

static void where_less_is_worse(void **unused)
{
    (void)unused;
    struct finding *finding = finding_add(&findings, "resolution-low", "left", "as-said",
                                          ARGUMENTS(arg_words("words", "60 pixels per inch.")));
    finding->figure = 60, finding->low_is_worse = true, finding->about = "art/left.pdf";
    struct acceptance acceptance = accept(finding);
    finding->figure = 57;
    findings_accept(&findings, &acceptance, 1);
    assert_non_null(findings.items[0].accepted);
    findings.items[0].figure = 56.9;
    findings_accept(&findings, &acceptance, 1);
    assert_null(findings.items[0].accepted);
    assert_string_equal(findings.items[0].lapsed->words, "seen on the proof");
    findings.items[0].figure = 90;
    findings_accept(&findings, &acceptance, 1);
    assert_non_null(findings.items[0].accepted);
}

/* One crossing was accepted; two others through three letterings are another finding, and so is the same one
 * in another file. */
static void another_place_is_another_finding(void **unused)
{
    (void)unused;
    struct finding *finding = finding_add(
        &findings, "seam-crosses", "left", "as-said",
        ARGUMENTS(arg_words("words", "Seams run through lettering: at x 1310 mm (\"Library\").")));
    finding->on_artwork = true, finding->files = 7;
    struct acceptance acceptance = accept(finding);
    findings_accept(&findings, &acceptance, 1);
    assert_non_null(findings.items[0].accepted);
    findings.items[0].files = 8;
    findings_accept(&findings, &acceptance, 1);
    assert_null(findings.items[0].accepted);
    assert_ptr_equal(findings.items[0].lapsed, &acceptance);
    findings.items[0].files = 7;
    findings.items[0].text =
        "Seams run through lettering: at x 1310 mm (\"Library\"), x 2600 mm (\"County\").";
    findings_accept(&findings, &acceptance, 1);
    assert_null(findings.items[0].accepted);
    findings.items[0].where = "left-rear"; /* begins with the same letters, and is another surface */
    findings_accept(&findings, &acceptance, 1);
    assert_null(findings.items[0].lapsed);
}

static void the_last_one_counts(void **unused)
{
    (void)unused;
    struct finding *finding = peak("left/left-1", 300);
    struct acceptance two[] = {accept(finding), accept(finding)};
    two[1].figure = 330, two[1].words = "reprinted at 330 as well";
    findings.items[0].figure = 340;
    findings_accept(&findings, two, 2);
    assert_ptr_equal(findings.items[0].accepted, &two[1]);
    assert_null(findings.items[0].lapsed);
    findings.items[0].figure = 360;
    findings_accept(&findings, two, 2);
    assert_ptr_equal(findings.items[0].lapsed, &two[1]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(it_holds_there_and_no_worse, begin, end),
        cmocka_unit_test_setup_teardown(where_less_is_worse, begin, end),
        cmocka_unit_test_setup_teardown(another_place_is_another_finding, begin, end),
        cmocka_unit_test_setup_teardown(the_last_one_counts, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
