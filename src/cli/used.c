/* Runs `lapstrake used`: planned against used, in words, JSON or CSV. Called by main.c. */
#include "used.h"
#include "answer/answer.h"
#include "base/arena.h"
#include "base/units.h"
#include "floor/used.h"
#include "show.h"
#include <math.h>
#include <unistd.h>

static const char *used_amount(const struct used_line *line, double amount, bool inches, struct arena *arena)
{
    if (isnan(amount)) return "-";
    if (line->kind->unit == USED_MM) return units_run_words(amount, inches, arena);
    return arena_format(arena, "%.1f %s", amount, used_unit_name(line->kind->unit));
}

static void used_show_line(const struct used_line *line, bool inches, struct text *out)
{
    size_t start = out->length;
    text_addf(out, "  %s%s%s", line->kind->name, line->of ? " " : "", line->of ? line->of : "");
    options_pad(out, start, 28);
    text_addf(out, "%s planned, %s used", used_amount(line, line->planned, inches, out->arena),
              used_amount(line, line->used, inches, out->arena));
    double more = (line->used / line->planned - 1) * 100;
    if (isfinite(more)) text_addf(out, ", %s%.0f %%", more < 0 ? "" : "+", more);
    text_add_char(out, '\n');
}

static void used_show_rate(const struct used_rate *rate, struct text *out)
{
    const struct used_ratio *r = &rate->ratio;
    size_t start = out->length;
    if (!r->jobs) return;
    text_addf(out, "  %s%s%s", rate->kind->name, rate->of ? " " : "", rate->of ? rate->of : "");
    options_pad(out, start, 28);
    text_say(out, "used-ratio",
             ARGUMENTS(arg_count("jobs", (int64_t)r->jobs), arg_fixed("median", r->median, 2),
                       arg_words("sure", used_sure_name(r->sure))));
    if (r->sure != USED_TOO_FEW)
        text_say(out, "used-interval", ARGUMENTS(arg_fixed("low", r->low, 2), arg_fixed("high", r->high, 2)));
    if (rate->kind->rate && !isnan(rate->suggested) && r->sure >= USED_PERHAPS)
        text_say(out, "used-suggested",
                 ARGUMENTS(arg_words("key", rate->kind->rate), arg_rounded("now", rate->now, 2),
                           arg_rounded("suggested", rate->suggested, 2), arg_rounded("low", rate->low, 2),
                           arg_rounded("high", rate->high, 2),
                           arg_flag("factor", rate->kind->unit == USED_ML)));
    text_add_char(out, '\n');
}

static void used_show(const struct used_report *report, bool inches, struct text *out)
{
    for (size_t i = 0; i < report->job_count; i++) {
        const struct used_job *job = &report->jobs[i];
        text_addf(out, "%s%s%s\n", job->job, job->title ? "  " : "", job->title ? job->title : "");
        for (size_t k = 0; k < job->line_count; k++) used_show_line(&job->lines[k], inches, out);
    }
    if (report->rate_count) text_say(out, "used-all-jobs", NULL);
    for (size_t i = 0; i < report->rate_count; i++) used_show_rate(&report->rates[i], out);
}

static bool used_read_since(struct floor *floor, const struct command_line *request, int64_t *since,
                            struct error *error)
{
    *since = 0;
    return !request->since || floor_read_time(floor, request->since, since, error);
}

static bool used_on_floor(struct floor *floor, const char *number, const struct command_line *request,
                          struct arena *arena, struct error *error)
{
    struct used_report report;
    int64_t since;
    if (!used_read_since(floor, request, &since, error) ||
        !floor_used(floor, number, since, arena, &report, error))
        return false;
    struct text out = text_new(arena);
    if (request->json)
        answer_used(&report, &out);
    else if (request->csv)
        answer_used_csv(&report, &out);
    else
        used_show(&report, floor_inches(floor, number), &out);
    show_text(STDOUT_FILENO, &out);
    return true;
}

bool used_command(struct machine *machine, const struct command_line *request, struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct floor *floor;
    const char *number;
    bool ok = floor_open_at(machine, request->asked.subject, false, arena, &floor, &number, error);
    if (ok) {
        ok = used_on_floor(floor, number, request, arena, error);
        floor_close(floor);
    }
    arena_free(arena);
    return ok;
}
