/* Creates job folders, edits job.yaml, and says what the page's editor shows: printing conditions, opening
 * hours. Called by web; how a YAML text changes is left to job/edit.h. */
#include "run/desk.h"
#include "base/sentence.h"
#include "base/path.h"
#include "colour/profile.h"
#include "job/edit.h"
#include "job/job.h"
#include "plan/calendar.h"
#include <string.h>

/* ---- the job file ---- */

static const char *job_file(struct arena *arena, const char *folder)
{
    return path_join(arena, folder, "job.yaml");
}

bool desk_fingerprint(struct machine *machine, const char *folder, struct arena *arena, char fingerprint[17],
                      struct error *error)
{
    return job_file_fingerprint(machine, job_file(arena, folder), arena, fingerprint, error);
}

bool desk_edit(struct machine *machine, const char *folder, const struct job_edit *edit, struct arena *arena,
               struct report *report, struct job_edited *edited, struct error *error)
{
    return job_edit_file(machine, job_file(arena, folder), edit, arena, report, edited, error);
}

bool desk_keep_fleet(struct machine *machine, const char *folder, const char *fingerprint, struct str table,
                     struct arena *arena, struct report *report, struct job_edited *edited,
                     struct error *error)
{
    return job_keep_fleet(machine, job_file(arena, folder), fingerprint, table, arena, report, edited, error);
}

bool desk_put_back(struct machine *machine, const char *folder, const char *fingerprint, struct str text,
                   struct arena *arena, struct job_edited *edited, struct error *error)
{
    const char *path = job_file(arena, folder);
    char found[17];
    *edited = (struct job_edited){0};
    if (!job_file_fingerprint(machine, path, arena, found, error)) return false;
    edited->conflict = strcmp(found, fingerprint) != 0;
    if (edited->conflict)
        return error_set(error, FAILURE_INPUT, "was-changed-meanwhile-by-someone-else",
                         ARGUMENTS(arg_words("path", path)));
    return machine_write(machine, path, text, true, error) &&
           job_file_fingerprint(machine, path, arena, edited->fingerprint, error);
}

bool desk_new_job(struct machine *machine, const char *shop_folder, const char *number, const char *title,
                  struct arena *arena, struct error *error)
{
    return job_init_shop(machine, shop_folder, arena, error) &&
           job_new(machine, path_join(arena, shop_folder, number), number, title, "../shop.yaml", arena,
                   error);
}

bool desk_written(struct machine *machine, const char *folder, struct arena *arena, char fingerprint[17],
                  struct str *yaml, struct error *error)
{
    return desk_fingerprint(machine, folder, arena, fingerprint, error) &&
           machine_read(machine, job_file(arena, folder), JOB_BYTES_MOST, arena, yaml, error);
}

/* ---- the shop ---- */

const struct shop *desk_shop(struct machine *machine, const char *shop_folder, struct arena *arena)
{
    struct report report = report_new(arena);
    struct shop *shop = NULL;
    job_load_shop(machine, shop_folder, arena, &report, &shop);
    return shop;
}

static bool shop_condition_look(struct machine *machine, const struct condition *condition,
                                struct arena *arena, struct shop_condition *found, struct error *error)
{
    struct profile_facts facts;
    const char *path = condition->profile_path;
    *found = (struct shop_condition){.condition = condition, .findings = findings_new(arena)};
    if (path && !profile_read(machine, path, arena, &facts, NULL, error)) return false;
    profile_check(condition, path ? &facts : NULL, &found->findings);
    if (!path || facts.state != PROFILE_FINE) return true;
    found->profile = profile_words(&facts, arena);
    found->profile_fingerprint = arena_copy_string(arena, facts.computed_id);
    return true;
}

bool desk_conditions(struct machine *machine, const char *shop_folder, struct arena *arena,
                     struct shop_conditions *conditions, struct error *error)
{
    struct report report = report_new(arena);
    struct shop *shop = NULL;
    bool there = job_load_shop(machine, shop_folder, arena, &report, &shop);
    size_t count = shop ? shop->condition_count : 0;
    *conditions = (struct shop_conditions){
        .trouble = !there          ? sentence_plain("there-is-no-shop-yaml-here-yet")
                   : report.errors ? report.mistakes[0].text
                                   : NULL,
        .items = arena_take_array(arena, count, sizeof *conditions->items),
    };
    for (; conditions->count < count; conditions->count++)
        if (!shop_condition_look(machine, &shop->conditions[conditions->count], arena,
                                 &conditions->items[conditions->count], error))
            return false;
    return true;
}

/* ---- opening hours ---- */

enum { SPANS_MOST = 400 };

struct open_span *desk_hours(const struct plan *plan, struct arena *arena, size_t *count)
{
    struct calendar calendar = calendar_of(plan->input->job->shop, plan->input->zone);
    struct open_span *spans = arena_take_array(arena, SPANS_MOST, sizeof *spans);
    int64_t first = INT64_MAX, last = 0;
    for (size_t i = 0; i < plan->step_count; i++) {
        if (plan->steps[i].start < first) first = plan->steps[i].start;
        if (plan->steps[i].end > last) last = plan->steps[i].end;
    }
    *count = 0;
    for (int64_t at = first; at <= last && *count < SPANS_MOST;) {
        struct open_span span;
        if (!calendar_span(&calendar, at, &span.open, &span.close) || span.open > last) break;
        spans[(*count)++] = span;
        at = span.close;
    }
    return spans;
}
