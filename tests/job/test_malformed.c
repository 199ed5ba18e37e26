/* Damaged job and shop files: each is read, or refused with a place; nothing crashes, nothing hangs, and a
 * job that is not refused is complete. */
#include "../test.h"
#include "base/path.h"
#include "folder.h"
#include "mutate.h"
#include <string.h>
#include <unistd.h>

enum { VARIANTS = 600, REFUSED_LEAST = 200 };

static void check_mistakes(const struct folder *folder, const char *what)
{
    for (size_t i = 0; i < folder->report.count; i++) {
        const struct mistake *mistake = &folder->report.mistakes[i];
        if (!mistake->place.file || mistake->place.line < 1 || mistake->place.column < 1 || !*mistake->text)
            fail_msg("%s: no place: %s", what, mistake->text);
    }
}

/* What job_load promises of a job without mistakes. */
static void check_complete(const struct folder *folder)
{
    const struct job *job = folder->job;
    assert_non_null(job);
    assert_non_null(job->shop);
    assert_non_null(job->number);
    assert_non_null(job->condition);
    assert_true(measure_known(job->overlap_mm) && measure_known(job->seam_trim_mm));
    assert_true(job->surface_count > 0);
    for (size_t i = 0; i < job->shop->condition_count; i++) {
        const struct condition *c = &job->shop->conditions[i];
        assert_true(c->name && c->printer && c->film && c->ink && measure_known(c->ink_limit_percent));
        assert_true(c->printer->media_width_mm > 0 && c->film->width_count > 0);
    }
    for (size_t i = 0; i < job->surface_count; i++) {
        const struct surface_spec *s = &job->surfaces[i];
        assert_non_null(s->name);
        assert_true((s->width_mm > 0 && s->height_mm > 0) != (s->drawing_path != NULL));
        assert_true(s->panels <= RUN_AUTO && s->front <= FRONT_TOWARDS);
        for (size_t k = 0; k < s->artwork_count; k++) assert_non_null(s->artworks[k].path);
        for (size_t k = 0; k < s->feature_count; k++)
            assert_true(s->features[k].kind == FEATURE_GAP || !rect_is_empty(s->features[k].box));
    }
}

static size_t run_variants(const char *name, const char *text)
{
    size_t refused = 0, by_way[MUTATIONS] = {0};
    for (uint64_t seed = 0; seed < VARIANTS; seed++) {
        struct folder folder;
        folder_new(&folder);
        const char *what;
        folder_write(&folder, "shop.yaml", sample_shop);
        folder_write(&folder, "job.yaml", sample_job);
        struct str bytes = mutate(folder.arena, str_from(text), seed, &what);
        folder_write_bytes(&folder, name, bytes.bytes, bytes.length);
        bool read = folder_load(&folder);
        if (!read) assert_true(*folder.error.text);
        check_mistakes(&folder, what);
        if (read && !folder.report.errors) check_complete(&folder);
        refused += !read || folder.report.errors;
        by_way[seed % MUTATIONS] += !read || folder.report.errors;
        folder_free(&folder);
    }
    for (size_t i = 0; i < MUTATIONS; i++) assert_true(by_way[i] > 0); /* each way does damage */
    return refused;
}

static void job_files(void **state)
{
    (void)state;
    assert_in_range(run_variants("job.yaml", sample_job), REFUSED_LEAST, VARIANTS);
}

static void shop_files(void **state)
{
    (void)state;
    assert_in_range(run_variants("shop.yaml", sample_shop), REFUSED_LEAST, VARIANTS);
}

/* The samples themselves are sound; otherwise the variants would prove nothing. */
static void samples_are_sound(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", sample_shop);
    folder_write(&folder, "job.yaml", sample_job);
    assert_true(folder_load(&folder));
    if (folder.report.errors) fail_msg("%s", folder_report(&folder));
    check_complete(&folder);
    folder_free(&folder);
}

int main(void)
{
    alarm(300); /* a hang is a failure */
    const struct CMUnitTest tests[] = {cmocka_unit_test(samples_are_sound), cmocka_unit_test(job_files),
                                       cmocka_unit_test(shop_files)};
    return cmocka_run_group_tests_name("job-malformed", tests, NULL, NULL);
}
