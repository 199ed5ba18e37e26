/* What profiles are, against the shared collection: sound ones, broken ones and ones of the wrong kind. What
 * each is stands in the collection's index (made with other tools). */
#include "values.h"
#include "../with_arena.h"
#include "colour/profile.h"

static bool load(const char *name, struct profile_facts *facts)
{
    const char *shared = getenv("LAPSTRAKE_SHARED");
    const char *path = arena_format(arena, "%s/inputs/icc/%s", shared ? shared : "", name);
    if (!machine.status(&machine, path).exists) {
        print_message("# %s of the shared inputs is not here\n", name);
        return false;
    }
    assert_true(profile_read(&machine, path, arena, facts, NULL, NULL));
    return true;
}

/* Header values as the index gives them. */
static void headers(void **state)
{
    (void)state;
    static const struct {
        const char *file;
        enum profile_class class_;
        const char *space, *pcs;
        int major, minor;
        bool b2a;
    } expected[] = {
        {"XCMYK_2017.icc", PROFILE_OUTPUT, "CMYK", "Lab", 4, 2, true},
        {"test1.icc", PROFILE_OUTPUT, "CMYK", "Lab", 2, 1, true},
        {"CGATS001Compat-v2-micro.icc", PROFILE_INPUT, "CMYK", "Lab", 2, 1, false},
        {"SM245B.icc", PROFILE_DISPLAY, "RGB", "XYZ", 2, 0, false},
        {"Crayons.icc", PROFILE_NAMED, "Lab", "Lab", 4, 4, true},
        {"crayons.icc", PROFILE_DISPLAY, "RGB", "XYZ", 4, 0, false},
        {"devlink_cmyk2cmyk_v2.icc", PROFILE_LINK, "CMYK", "CMYK", 2, 1, false},
        {"sGrey-v4.icc", PROFILE_DISPLAY, "GRAY", "XYZ", 4, 2, false},
        {"test3.icc", PROFILE_COLOUR_SPACE, "RGB", "Lab", 2, 1, true},
        {"hilutite.icm", PROFILE_INPUT, "RGB", "Lab", 4, 2, true},
    };
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        struct profile_facts facts;
        if (!load(expected[i].file, &facts)) skip();
        assert_int_equal(facts.state, PROFILE_FINE);
        assert_int_equal(facts.class_, expected[i].class_);
        assert_string_equal(facts.space, expected[i].space);
        assert_string_equal(facts.pcs, expected[i].pcs);
        assert_int_equal(facts.version_major, expected[i].major);
        assert_int_equal(facts.version_minor, expected[i].minor);
        assert_int_equal(facts.has_b2a, expected[i].b2a);
        assert_true(str_is_utf8(str_from(facts.description)));
    }
}

static void broken_ones(void **state)
{
    (void)state;
    static const char *const names[] = {"bad.icc", "empty.icc", "toosmall.icc"};
    for (size_t i = 0; i < 3; i++) {
        struct profile_facts facts;
        if (!load(names[i], &facts)) skip();
        assert_int_equal(facts.state, PROFILE_DAMAGED);
        assert_true(strlen(facts.trouble) > 10);
    }
}

/* ICC.1's rule, on values recomputed for stored profiles (icc_md5_examples.csv). */
static void ids(void **state)
{
    (void)state;
    struct values row;
    if (!values_open(&row, "icc_md5_examples.csv")) skip();
    int checked = 0;
    while (values_row(&row)) {
        struct profile_facts facts;
        const char *name = strrchr(row.field[0], '/');
        if (row.count < 9 || !name || !load(name + 1, &facts) || facts.size != (size_t)value(&row, 1))
            continue;
        assert_string_equal(facts.computed_id, row.field[7]);
        bool absent = !strcmp(row.field[6], "00000000000000000000000000000000");
        assert_string_equal(facts.embedded_id, absent ? "" : row.field[6]);
        assert_int_equal(facts.id, absent                          ? PROFILE_ID_ABSENT
                                   : !strcmp(row.field[8], "True") ? PROFILE_ID_RIGHT
                                                                   : PROFILE_ID_WRONG);
        checked++;
    }
    assert_true(checked >= 2);
}

/* Every byte string that begins a good profile but is cut anywhere, or has a byte turned over in its tables,
 * is read without a fault (the sanitizers watch) and is never longer than it is. */
static void cut_and_changed(void **state)
{
    (void)state;
    struct profile_facts facts;
    struct str bytes;
    const char *shared = getenv("LAPSTRAKE_SHARED");
    const char *path = arena_format(arena, "%s/inputs/icc/crayons.icc", shared ? shared : "");
    if (!machine.status(&machine, path).exists) {
        print_message("# crayons.icc of the shared inputs is not here\n");
        skip();
    }
    assert_true(profile_read(&machine, path, arena, &facts, &bytes, NULL));
    for (size_t length = 0; length < bytes.length; length += length < 400 ? 1 : 97) {
        char *copy = malloc(length ? length : 1); /* of its own size, so that reading past it shows */
        memcpy(copy, bytes.bytes, length);
        profile_facts_from_bytes((struct str){copy, length}, arena, &facts);
        assert_int_equal(facts.state, PROFILE_DAMAGED);
        free(copy);
    }
    for (size_t at = 0; at < 700; at++) {
        char *copy = malloc(bytes.length + 1);
        memcpy(copy, bytes.bytes, bytes.length);
        copy[at] = (char)~copy[at];
        profile_facts_from_bytes((struct str){copy, bytes.length}, arena, &facts);
        if (facts.state == PROFILE_FINE) assert_true(str_is_utf8(str_from(facts.description)));
        free(copy);
    }
}

static bool found(const struct findings *findings, const char *code)
{
    for (size_t i = 0; i < findings->count; i++)
        if (!strcmp(findings->items[i].code, code)) return true;
    return false;
}

static struct findings findings_on(const char *file, const char *fingerprint)
{
    struct findings findings = findings_new(arena);
    struct condition condition = {.name = "van-cast", .profile = file, .intent = INTENT_RELATIVE};
    condition.profile_fingerprint = fingerprint;
    struct profile_facts facts;
    if (!load(file, &facts)) skip();
    profile_check(&condition, &facts, &findings);
    return findings;
}

static void wrong_kinds_are_found(void **state)
{
    (void)state;
    struct findings link = findings_on("devlink_cmyk2cmyk_v2.icc", NULL);
    assert_true(found(&link, "profile-class"));
    struct findings monitor = findings_on("SM245B.icc", NULL);
    assert_true(found(&monitor, "profile-class") && found(&monitor, "profile-space"));
    struct findings names = findings_on("Crayons.icc", NULL);
    assert_true(found(&names, "profile-class"));
    struct findings input = findings_on("CGATS001Compat-v2-micro.icc", NULL);
    assert_true(found(&input, "profile-class"));
    struct findings damaged = findings_on("toosmall.icc", NULL);
    assert_true(found(&damaged, "profile-damaged"));
    assert_int_equal(damaged.count, 1);
    struct findings standard = findings_on("XCMYK_2017.icc", NULL);
    assert_true(found(&standard, "profile-generic"));
    assert_false(found(&standard, "profile-class") || found(&standard, "profile-space"));
    struct findings changed = findings_on("test1.icc", "b06a39d730129122e85c1363ed1bbc9f");
    assert_true(found(&changed, "profile-changed"));
    struct findings same = findings_on("test1.icc", "B06A39D730129122E85C1363ED1BBC9E");
    assert_false(found(&same, "profile-changed"));
    /* its name says nothing; transicc gives its solids and tints within 2.8 CIE76 of TR 005, 1.3 on average,
     * and no other published set within 6 */
    struct profile_facts facts;
    assert_true(load("test1.icc", &facts) && facts.generic);
    assert_non_null(strstr(facts.generic_why, "TR 005"));
}

static void missing_is_said(void **state)
{
    (void)state;
    struct findings findings = findings_new(arena);
    struct condition condition = {.name = "van-cast"};
    profile_check(&condition, NULL, &findings);
    assert_true(found(&findings, "profile-missing"));
    struct profile_facts facts;
    assert_true(profile_read(&machine, "/no/such.icc", arena, &facts, NULL, NULL));
    assert_int_equal(facts.state, PROFILE_MISSING);
    condition.profile = "/no/such.icc";
    findings = findings_new(arena);
    profile_check(&condition, &facts, &findings);
    assert_true(found(&findings, "profile-missing"));
}

/* The demo's profile is an output profile for this very film: nothing is to be found. Its ID is computed by
 * another program's rule above; here it must agree with itself. */
static void the_demo_profile_is_sound(void **state)
{
    (void)state;
    const char *path = getenv("LAPSTRAKE_PROFILE");
    struct profile_facts facts;
    if (!path || !machine.status(&machine, path).exists) {
        print_message("# the demo's profile is not made\n");
        skip();
    }
    assert_true(profile_read(&machine, path, arena, &facts, NULL, NULL));
    struct findings findings = findings_new(arena);
    struct condition condition = {.name = "van-cast", .profile = path, .intent = INTENT_RELATIVE};
    profile_check(&condition, &facts, &findings);
    assert_int_equal(findings.count, 0);
    assert_int_equal(facts.id, PROFILE_ID_RIGHT);
    assert_null(profile_source_trouble(&facts, COLOUR_CMYK, arena));
    assert_non_null(profile_source_trouble(&facts, COLOUR_RGB, arena));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(headers),
        cmocka_unit_test(broken_ones),
        cmocka_unit_test(ids),
        cmocka_unit_test(cut_and_changed),
        cmocka_unit_test(missing_is_said),
        cmocka_unit_test(wrong_kinds_are_found),
        cmocka_unit_test(the_demo_profile_is_sound),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
