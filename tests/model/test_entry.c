/* The table of an entry's fields: what it says of itself, and what people may write. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/str.h"
#include "model/entry.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct machine machine;
static struct arena *arena;

static int begin(void **unused)
{
    (void)unused;
    machine = machine_real("");
    arena = arena_new(&machine);
    return 0;
}

static int end(void **unused)
{
    (void)unused;
    arena_free(arena);
    return 0;
}

/* Every field has a member of its own and a name of its own, forms of the file only grow, and a blank fact
 * gives none but its kind. */
static void fields_are_told_apart(void **unused)
{
    (void)unused;
    struct fact blank = fact_blank(FACT_NOTE);
    int form = 1;
    for (size_t i = 0; i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        for (size_t k = 0; k < i; k++) {
            assert_string_not_equal(fact_fields[k].name, field->name);
            assert_int_not_equal(fact_fields[k].offset, field->offset);
        }
        assert_true(field->since >= form);
        form = field->since;
        assert_int_equal(fact_field_given(&blank, field), field->form == FACT_FORM_KIND);
        if (fact_form_is_figure(field->form)) assert_true(field->least < field->most);
    }
    assert_int_equal(form, fact_fields_form());
}

static void every_field_stands_in_the_manual(void **unused)
{
    (void)unused;
    const char *top = getenv("LAPSTRAKE_SOURCE");
    struct str manual;
    struct error error = {0};
    if (!top) skip();
    if (!machine_read(&machine, arena_format(arena, "%s/doc/record.md", top), 1 << 20, arena, &manual,
                      &error))
        fail_msg("%s", error.text);
    for (size_t i = 0; i < fact_field_count; i++)
        if (!strstr(manual.bytes, arena_format(arena, "`%s`", fact_fields[i].name)))
            fail_msg("doc/record.md does not say what `%s` is", fact_fields[i].name);
}

static bool reads(const char *name, const char *written, double *value)
{
    struct fact fact = fact_blank(FACT_NOTE);
    struct error error = {0};
    const struct fact_field *field = fact_field_find(name);
    assert_non_null(field);
    bool ok = fact_field_read(&fact, field, written, arena, &error);
    *value =
        ok ? fact_form_is_figure(field->form) ? fact_figure(&fact, field) : (double)fact_whole(&fact, field)
           : NAN;
    if (!ok) assert_non_null(strstr(error.text, field->what));
    return ok;
}

/* 70 F is 21 1/9 C; an inch is 25.4 mm exactly (international yard and pound agreement, 1959). */
static void figures_are_read_as_people_write_them(void **unused)
{
    (void)unused;
    static const struct {
        const char *field, *written;
        double value; /* NAN: refused */
    } rows[] = {{"air_c", "21", 21},
                {"air_c", "21,5", 21.5},
                {"air_c", " 19.25 C", 19.25},
                {"air_c", "70 F", 190.0 / 9},
                {"air_c", "warm", NAN},
                {"air_c", "21,500", NAN},
                {"width_mm", "54 in", 1371.6},
                {"length_mm", "50 m", 50000},
                {"length_mm", "1,48 m", 1480},
                {"length_mm", "1,480", NAN},
                {"humidity_percent", "48,5 %", 48.5},
                {"withdraws", "17", 17},
                {"withdraws", "0", NAN},
                {"withdraws", "1.5", NAN},
                {"withdraws", "-3", NAN}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double value;
        bool ok = reads(rows[i].field, rows[i].written, &value);
        assert_int_equal(ok, !isnan(rows[i].value));
        if (ok) assert_true(fabs(value - rows[i].value) < 1e-9);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(fields_are_told_apart, begin, end),
        cmocka_unit_test_setup_teardown(every_field_stands_in_the_manual, begin, end),
        cmocka_unit_test_setup_teardown(figures_are_read_as_people_write_them, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
