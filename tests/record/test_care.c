/* Nothing on record can be changed unnoticed: the sqlite3 program tries, and judges the file and its copies.
 */
#include "bench.h"
#include <string.h>

static void fill(void)
{
    struct fact photo = fact_on(FACT_PHOTO, NULL, NOON, 1);
    char name[65];
    struct error error = {0};
    assert_true(
        record_add_photo(bench.record, (struct str){"\xff\xd8\xff\xe0 grey", 9}, "image/jpeg", name, &error));
    photo.photo = name;
    put(photo);
    for (int i = 2; i < 7; i++)
        put(fact_on(FACT_PRINTED, arena_format(bench.arena, "left-%d", i), NOON + i, i));
    struct panel_terms panel = {.panel = "left-1", .surface = "left", .dry_s = 3600, .print_mm = 2000};
    struct job_terms terms = {
        .job = "LV-1", .fingerprint = "0123456789abcdef", .made = NOON, .panels = &panel, .panel_count = 1};
    assert_true(record_plan(bench.record, &terms, str_from("{}"), "desk", &error));
}

static void triggers_refuse_to_change_facts(void **state)
{
    (void)state;
    fill();
    static const char *const tries[][2] = {
        {"UPDATE fact SET words = 'x' WHERE number = 3", "never changed"},
        {"DELETE FROM fact WHERE number = 3", "never taken out"},
        {"INSERT OR REPLACE INTO fact(number, key, kind, at, recorded, digest) VALUES(3, 'k-3', 'note', 1, "
         "1, '')",
         "one behind the other"},
        {"INSERT OR REPLACE INTO fact(number, key, kind, at, recorded, digest) "
         "VALUES(8, 'test-key-2', 'note', 1, 1, '')",
         "one behind the other"},
        {"INSERT INTO fact(number, key, kind, at, recorded, digest) VALUES(99, 'k-9', 'note', 1, 1, '')",
         "one behind the other"},
        {"UPDATE photo SET bytes = x'00'", "never changed"},
        {"DELETE FROM photo", "never taken out"},
        {"UPDATE plan SET price = 1", "never changed"},
        {"DELETE FROM plan", "never taken out"},
        {"UPDATE plan_panel SET dry_s = 1", "never changed"},
        {"DELETE FROM plan_panel", "never taken out"},
    };
    const char *before = judge("SELECT sum(number), group_concat(digest) FROM fact");
    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        const char *said = judge(tries[i][0]);
        if (!strstr(said, tries[i][1])) fail_msg("%s: \"%s\"", tries[i][0], said);
    }
    assert_string_equal(judge("SELECT sum(number), group_concat(digest) FROM fact"), before);
    assert_int_equal(verify(NULL), 0);
}

/* With the triggers taken away anything can be changed; then verify must say so. */
static void verify_finds_what_was_changed(void **state)
{
    (void)state;
    static const char *const changes[][3] = {
        {"fact_stays", "UPDATE fact SET at = at + 1 WHERE number = 3", "entry 3"},
        {"fact_stays", "UPDATE fact SET air_c = 20.5 WHERE number = 2", "entry 2"},
        {"fact_stays", "UPDATE fact SET digest = (SELECT digest FROM fact WHERE number = 1) WHERE number = 4",
         "entry 4"},
        {"fact_kept", "DELETE FROM fact WHERE number = 3", "entry 3 is missing"},
        {"fact_kept", "DELETE FROM fact WHERE number = 7", "the last 1 entry is missing"},
        {"photo_stays", "UPDATE photo SET bytes = x'ffd8ff00'", "photograph"},
        {"plan_stays", "UPDATE plan SET price = price + 1", "plan version 1"},
        {"plan_stays", "UPDATE plan SET json = '[]'", "plan version 1"},
        {"plan_panel_stays", "UPDATE plan_panel SET dry_s = 1", "plan version 1"},
        {"plan_panel_kept", "DELETE FROM plan_panel", "plan version 1"},
        {"plan_kept", "DELETE FROM plan_panel; DELETE FROM plan", "plan version"},
        {"photo_next", "UPDATE state SET hung = 5", "record rebuild"},
        {"photo_next", "DELETE FROM state WHERE panel = 'left-3'", "record rebuild"},
    };
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        bench_close(NULL), bench_open(NULL);
        fill();
        assert_int_equal(verify(NULL), 0);
        const char *words, *trigger = changes[i][0];
        const char *said = judge(arena_format(
            bench.arena, "DROP TRIGGER %s; %s %s", trigger,
            !strcmp(trigger, "plan_kept") ? "DROP TRIGGER plan_panel_kept;" : "", changes[i][1]));
        assert_string_equal(said, "");
        assert_true(verify(&words) >= 2);
        if (!strstr(words, changes[i][2])) fail_msg("%s: verify said only %s", changes[i][1], words);
        if (!strstr(words, trigger)) fail_msg("the missing trigger %s was not found: %s", trigger, words);
    }
}

static void rebuild_mends_what_is_derived(void **state)
{
    (void)state;
    struct error error = {0};
    fill();
    const char *before = judge("SELECT * FROM state");
    judge("UPDATE state SET hung = 5; DELETE FROM state WHERE panel = 'left-3'");
    assert_int_equal(verify(NULL), 5);
    assert_true(record_rebuild(bench.record, &error));
    assert_int_equal(verify(NULL), 0);
    assert_string_equal(judge("SELECT * FROM state"), before);
}

static void a_copy_passes_its_own_check(void **state)
{
    (void)state;
    struct error error = {0};
    const char *said, *path = arena_format(bench.arena, "%s/copies/monday.sqlite", bench.folder);
    fill();
    if (!record_backup(bench.record, path, &error)) fail_msg("%s", error.text);
    outside_run(bench.arena, &said, "ls -A '%s/copies'", bench.folder);
    assert_string_equal(said, "monday.sqlite\n");
    outside_run(bench.arena, &said, "sqlite3 '%s' 'PRAGMA integrity_check; SELECT count(*) FROM fact'", path);
    assert_string_equal(said, "ok\n7\n");
    struct record *copy = record_open(&bench.machine, path, RECORD_READ, &error);
    if (!copy) fail_msg("%s", error.text);
    struct report report = report_new(bench.arena);
    size_t facts;
    assert_true(record_verify(copy, &report, &facts, &error));
    assert_int_equal(report.errors, 0);
    assert_int_equal(facts, 7);
    record_close(copy);
    const char *itself = arena_format(bench.arena, "%s/copies/../record.sqlite", bench.folder);
    assert_false(record_backup(bench.record, itself, &error));
    assert_non_null(strstr(error.text, "the record itself"));
    judge("DROP TRIGGER fact_stays; UPDATE fact SET at = 1 WHERE number = 3");
    assert_false(record_backup(bench.record, path, &error));
    assert_non_null(strstr(error.text, "not sound"));
    outside_run(bench.arena, &said,
                "sqlite3 '%s' 'SELECT count(*) FROM fact WHERE at = 1'; ls -A '%s/copies'", path,
                bench.folder);
    assert_string_equal(said, "0\nmonday.sqlite\n"); /* the good copy is still there, and nothing beside it */
}

static void other_files_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *make, *words;
    } files[] = {
        {"printf 'This is a letter to a customer, not a record.' > '%s'", "damaged or not a record"},
        {"sqlite3 '%s' 'CREATE TABLE letters(words)'", "not a production record"},
        {NULL, "newer"},
        {"rm -f '%s'", "not there"},
    };
    fill();
    bench_again();
    record_close(bench.record);
    const char *said;
    outside_run(bench.arena, &said, "mkdir '%s/other'", bench.folder);
    const char *other = arena_format(bench.arena, "%s/other", bench.folder);
    const char *path = arena_format(bench.arena, "%s/record.sqlite", other);
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        struct error error = {0};
        outside_run(bench.arena, &said, "rm -f '%s'*", path);
        if (!files[i].make)
            outside_run(bench.arena, &said,
                        "cp '%s/record.sqlite' '%s' && sqlite3 '%s' 'PRAGMA user_version = 99'", bench.folder,
                        path, path);
        else
            outside_run(bench.arena, &said, "%s", arena_format(bench.arena, files[i].make, path));
        for (int way = RECORD_READ; way <= RECORD_WRITE; way++) {
            assert_null(record_open(&bench.machine, other, (enum record_way)way, &error));
            assert_int_equal(error.kind, FAILURE_INPUT);
            if (!strstr(error.text, files[i].words)) fail_msg("%s", error.text);
        }
    }
    struct error error = {0};
    bench.record = record_open(&bench.machine, bench.folder, RECORD_READ, &error);
    struct fact f = fact_on(FACT_NOTE, NULL, NOON, 50);
    f.words = "for reading only";
    refuse(f, "for reading only");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(triggers_refuse_to_change_facts, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(verify_finds_what_was_changed, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(rebuild_mends_what_is_derived, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(a_copy_passes_its_own_check, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(other_files_are_refused, bench_open, bench_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
