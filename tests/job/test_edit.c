/* Changing a job file: examples with the text that a careful person would have left, by eye; files and
 * conflicts. Many ways of writing against another YAML reader: tests/outside/edits.py. */
#include "../test.h"
#include "base/path.h"
#include "base/text.h"
#include "folder.h"
#include "job/edit.h"
#include <string.h>
#include <unistd.h>

static void expect_many(const char *before, const struct job_change *changes, size_t count, const char *after)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct error error = {0};
    struct text out;
    if (!job_edit(str_from(before), changes, count, arena, &out, &error)) fail_msg("%s", error.text);
    assert_string_equal(text_string(&out), after);
    arena_free(arena);
}

static void expect(const char *before, const char *path, const char *value, const char *after)
{
    expect_many(before, &(struct job_change){path, value}, 1, after);
}

static void refuse(const char *before, const char *path, const char *value, const char *words)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct error error = {0};
    struct text out;
    assert_false(job_edit(str_from(before), &(struct job_change){path, value}, 1, arena, &out, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    if (!strstr(error.text, words)) fail_msg("`%s` lacks `%s`", error.text, words);
    arena_free(arena);
}

static void values(void **state)
{
    (void)state;
    expect("title: A van   # blue\ndue: x\n", "title", "\"B: van\"", "title: \"B: van\"   # blue\ndue: x\n");
    expect("title:   # none yet\n", "title", "A", "title: A   # none yet\n");
    expect("print: {overlap: 12, bleed: 50}\n", "print.bleed", "0", "print: {overlap: 12, bleed: 0}\n");
    expect("surfaces:\n  - name: left\n    seams:   # by hand\n      - 1350\n      # the door\n      - 2690 "
           "# b\n  - name: right",
           "surfaces.left.seams", "[]",
           "surfaces:\n  - name: left\n    seams: []   # by hand\n  - name: right");
    expect("a: 1\r\nb: 2\r\n", "c", "3", "a: 1\r\nb: 2\r\nc: 3\r\n");
    expect("a: 1\nb: 2", "c.d", "3", "a: 1\nb: 2\nc:\n  d: 3");
    expect("\"title\" : 'x'\n", "title", "y", "\"title\" : y\n");
    expect("artwork: {left: a.pdf}\n", "artwork.right", "a, b", "artwork: {left: a.pdf, right: \"a, b\"}\n");
}

static void lists(void **state)
{
    (void)state;
    expect("surfaces:\n- name: left\n  features:\n  - {kind: gap}   # door\n# end\n",
           "surfaces.left.features.+", "{kind: hinge}",
           "surfaces:\n- name: left\n  features:\n  - {kind: gap}   # door\n  - {kind: hinge}\n# end\n");
    expect("surfaces:\n  - {name: left}\n", "surfaces.left.features.+", "{kind: gap}",
           "surfaces:\n  - {name: left, features: [{kind: gap}]}\n");
    expect("surfaces:\n  - name: left\n    size: [1, 2]\n", "surfaces.0.features.+", "{kind: gap}",
           "surfaces:\n  - name: left\n    size: [1, 2]\n    features:\n      - {kind: gap}\n");
    expect("seams: [1, 2]\n", "seams.+", "3", "seams: [1, 2, 3]\n");
    expect("vehicle: v.yaml\n", "surfaces.near side.seams", "[1350]",
           "vehicle: v.yaml\nsurfaces:\n  - name: near side\n    seams: [1350]\n");
    expect("l:\n  # - {kind: gap}\n", "l.+", "1", "l:\n  - 1\n  # - {kind: gap}\n");
}

static void taking_out(void **state)
{
    (void)state;
    expect("a: 1   # one\n# about b\nb: 2\n", "a", NULL, "# about b\nb: 2\n");
    expect("l: [1, 2, 3]\n", "l.1", NULL, "l: [1, 3]\n");
    expect("l: [1, 2, 3]\n", "l.2", NULL, "l: [1, 2]\n");
    expect("l:\n  - 1\nb: 2\n", "l.0", NULL, "l: []\nb: 2\n");
    expect("s:\n  - name: x\n    size: 1\n", "s.0.name", NULL, "s:\n  -\n    size: 1\n");
    const struct job_change both[] = {{"l.0", NULL}, {"l.0", NULL}, {"l.+", "9"}};
    expect_many("l:\n  - 1 # a\n  # about 2\n  - 2\n  - 3\n", both, 3, "l:\n  # about 2\n  - 3\n  - 9\n");
}

static void refusals(void **state)
{
    (void)state;
    refuse("a: 1\n", "b", NULL, "there is no `b`");
    refuse("a: 1\n", "a.b", "2", "plain value");
    refuse("l: [1]\n", "l.1", "2", "list of 1");
    refuse("l: [1]\n", "l.x", "2", "list of 1");
    refuse("a: 1\n", "a", "[1, 2", "cannot be the value");
    refuse("a: 1\n", "a", "1\nb: 2", "cannot be the value");
    refuse("a: 1\n", "a", "1 # no", "cannot be the value");
    refuse("a: 1\n", "a", "- 1", "cannot be the value");
    refuse("a: 1\n", "a", "|", "cannot be the value");
    refuse("a: 1\n", "a", "", "cannot be the value");
    refuse("a: 1\n", "", "1", "not a path");
    refuse("a: 1\n", "a..b", "1", "not a path");
    refuse("a: &x 1\n", "a", "2", "anchors");
    refuse("a: [1\n", "a", "2", "job.yaml:");
    refuse("a: \xFF\n", "a", "2", "UTF-8");
    refuse("", "a", "2", "empty");
}

/* ---- files ---- */

struct edited {
    struct folder folder;
    char before[17];
    struct job_edited edited;
};

static void edited_new(struct edited *e)
{
    *e = (struct edited){0};
    folder_new(&e->folder);
    e->folder.report = report_new(e->folder.arena);
    folder_write(&e->folder, "shop.yaml", sample_shop);
    folder_write(&e->folder, "job.yaml", sample_job);
    assert_true(job_file_fingerprint(&e->folder.machine, e->folder.path, e->folder.arena, e->before, NULL));
}

static bool edit(struct edited *e, const char *fingerprint, const char *path, const char *value)
{
    struct job_edit edit = {fingerprint, &(struct job_change){path, value}, 1};
    return job_edit_file(&e->folder.machine, e->folder.path, &edit, e->folder.arena, &e->folder.report,
                         &e->edited, &e->folder.error);
}

static void a_file_is_changed_once(void **state)
{
    (void)state;
    struct edited e;
    char now[17];
    edited_new(&e);
    assert_true(edit(&e, e.before, "surfaces.near side.seams", "[1350]"));
    assert_false(e.edited.conflict);
    assert_true(job_file_fingerprint(&e.folder.machine, e.folder.path, e.folder.arena, now, NULL));
    assert_string_equal(now, e.edited.fingerprint);
    assert_string_not_equal(now, e.before);
    assert_true(folder_load(&e.folder));
    assert_int_equal(e.folder.job->surfaces[0].seam_count, 1);
    assert_false(edit(&e, e.before, "title", "Other")); /* from a view that is no longer so */
    assert_true(e.edited.conflict);
    assert_true(folder_load(&e.folder));
    assert_string_equal(e.folder.job->title, "Two sides and a roof");
    folder_free(&e.folder);
}

static void what_is_unsound_is_not_written(void **state)
{
    (void)state;
    struct edited e;
    char now[17];
    edited_new(&e);
    assert_false(edit(&e, e.before, "print.overlap", "12 furlongs"));
    assert_false(e.edited.conflict);
    assert_int_equal(e.folder.report.errors, 1);
    assert_true(job_file_fingerprint(&e.folder.machine, e.folder.path, e.folder.arena, now, NULL));
    assert_string_equal(now, e.before);
    folder_free(&e.folder);
}

static void old_mistakes_do_not_stand_in_the_way(void **state)
{
    (void)state;
    struct edited e;
    edited_new(&e);
    folder_write(&e.folder, "job.yaml",
                 "titel: A\nsurfaces:\n  - {name: left, size: [1000, 500], front: left}\nprint: {condition: "
                 "van-cast}\n");
    assert_true(job_file_fingerprint(&e.folder.machine, e.folder.path, e.folder.arena, e.before, NULL));
    assert_true(edit(&e, e.before, "surfaces.left.size", "[2000, 500]"));
    memcpy(e.before, e.edited.fingerprint, sizeof e.before);
    assert_true(edit(&e, e.before, "titel", NULL));
    folder_load(&e.folder);
    assert_int_equal(e.folder.report.errors, 0);
    folder_free(&e.folder);
}

static void json_is_left_alone(void **state)
{
    (void)state;
    struct edited e;
    edited_new(&e);
    unlink(path_join(e.folder.arena, e.folder.path, "job.yaml"));
    folder_write(&e.folder, "job.json", "{\"title\": \"A\"}");
    assert_false(edit(&e, e.before, "title", "B"));
    assert_false(e.edited.conflict);
    assert_non_null(strstr(e.folder.error.text, "JSON"));
    folder_free(&e.folder);
}

static void a_new_job(void **state)
{
    (void)state;
    struct edited e;
    edited_new(&e);
    struct machine *m = &e.folder.machine;
    const char *folder = path_join(e.folder.arena, e.folder.path, "LV-7");
    assert_false(job_new(m, folder, "LV 7", "A", "../shop.yaml", e.folder.arena, &e.folder.error));
    assert_true(
        job_new(m, folder, "LV-7", "Kiosk: \"small\" # no", "../shop.yaml", e.folder.arena, &e.folder.error));
    assert_false(job_new(m, folder, "LV-7", "A", "../shop.yaml", e.folder.arena, &e.folder.error));
    struct report report = report_new(e.folder.arena);
    struct job *job;
    assert_true(job_load(m, folder, e.folder.arena, &report, &job, &e.folder.error));
    assert_string_equal(job->number, "LV-7");
    assert_string_equal(job->title, "Kiosk: \"small\" # no");
    assert_non_null(job->shop);
    folder_free(&e.folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values),
        cmocka_unit_test(lists),
        cmocka_unit_test(taking_out),
        cmocka_unit_test(refusals),
        cmocka_unit_test(a_file_is_changed_once),
        cmocka_unit_test(what_is_unsound_is_not_written),
        cmocka_unit_test(old_mistakes_do_not_stand_in_the_way),
        cmocka_unit_test(json_is_left_alone),
        cmocka_unit_test(a_new_job),
    };
    return cmocka_run_group_tests_name("job-edit", tests, NULL, NULL);
}
