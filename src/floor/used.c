/* Gathers what jobs were planned to take and what they took, and judges the shop's rates by it. */
#include "floor/used.h"
#include "inner.h"
#include "job/job.h"
#include <math.h>

/* ---- jobs ---- */

static bool used_take_job(struct floor *floor, const char *number, struct arena *arena,
                          struct used_report *report, struct error *error)
{
    struct used_job *job = &report->jobs[report->job_count++];
    *job = (struct used_job){.job = number};
    return record_amounts(floor->record, arena, job, error);
}

static bool used_take_jobs(struct floor *floor, struct arena *arena, struct used_report *report,
                           struct error *error)
{
    struct job_terms *terms;
    size_t count;
    bool ok = record_all_terms(floor->record, arena, &terms, &count, error);
    report->jobs = arena_take_array(arena, ok ? count : 0, sizeof *report->jobs);
    for (size_t i = 0; ok && i < count; i++) ok = used_take_job(floor, terms[i].job, arena, report, error);
    return ok;
}

/* ---- rates ---- */

static bool used_counts(const struct used_job *job, const struct used_line *line, int64_t since)
{
    return job->made >= since && (line->written || job->whole) && line->planned > 0 && line->used > 0;
}

static struct used_rate *used_rate_of(struct used_report *report, const struct used_line *line,
                                      struct arena *arena)
{
    for (size_t i = 0; i < report->rate_count; i++)
        if (report->rates[i].kind == line->kind && string_equal(report->rates[i].of, line->of)) return NULL;
    struct used_rate *rate =
        arena_append(arena, &report->rates, &report->rate_count, &report->rate_capacity, sizeof *rate);
    *rate = (struct used_rate){
        .kind = line->kind, .of = line->of, .now = NAN, .suggested = NAN, .low = NAN, .high = NAN};
    return rate;
}

static size_t used_ratios(const struct used_report *report, const struct used_rate *rate, int64_t since,
                          double *ratios)
{
    size_t count = 0;
    for (size_t i = 0; i < report->job_count; i++)
        for (size_t k = 0; k < report->jobs[i].line_count; k++) {
            const struct used_line *line = &report->jobs[i].lines[k];
            if (line->kind == rate->kind && string_equal(line->of, rate->of) &&
                used_counts(&report->jobs[i], line, since))
                ratios[count++] = line->used / line->planned;
        }
    return count;
}

/* The shop's figure of now. Of ink it is a factor on ml-per-m2; of several printers nobody knows which it was. */
static double used_now(const struct shop *shop, const struct used_rate *rate)
{
    const char *key = rate->kind->rate;
    if (!key) return NAN;
    if (string_equal(key, "ml-per-m2")) return 1;
    if (!shop) return NAN;
    if (string_equal(key, "waste")) return shop->waste_percent;
    if (string_equal(key, "install-speed")) return shop->install_m2_per_h.value;
    if (string_equal(key, "laminate-speed")) return shop->laminate_m_per_min.value;
    return shop->printer_count == 1 ? shop->printers[0].speed_m2_per_h.value : NAN;
}

static void used_set_rate(const struct used_report *report, const struct shop *shop, int64_t since,
                          double *ratios, struct used_rate *rate)
{
    rate->ratio = used_judge(ratios, used_ratios(report, rate, since, ratios));
    rate->now = used_now(shop, rate);
    if (!rate->ratio.jobs || isnan(rate->now)) return;
    double one = used_suggest(rate->kind, rate->now, rate->ratio.low);
    double other = used_suggest(rate->kind, rate->now, rate->ratio.high);
    rate->suggested = used_suggest(rate->kind, rate->now, rate->ratio.median);
    rate->low = fmin(one, other), rate->high = fmax(one, other);
}

static void used_take_rates(struct floor *floor, int64_t since, struct arena *arena,
                            struct used_report *report)
{
    struct report mistakes = report_new(arena);
    struct shop *shop = NULL;
    if (!job_load_shop(floor->machine, floor->folder, arena, &mistakes, &shop)) shop = NULL;
    double *ratios = arena_take_array(arena, report->job_count, sizeof *ratios);
    for (size_t i = 0; i < report->job_count; i++)
        for (size_t k = 0; k < report->jobs[i].line_count; k++) {
            struct used_rate *rate = used_rate_of(report, &report->jobs[i].lines[k], arena);
            if (rate) used_set_rate(report, shop, since, ratios, rate);
        }
}

bool floor_used(struct floor *floor, const char *number, int64_t since, struct arena *arena,
                struct used_report *report, struct error *error)
{
    *report = (struct used_report){0};
    const char *own = number ? floor_number(floor, number, arena, error) : NULL;
    if ((number && !own) || !floor_record(floor, error)) return false;
    if (own) {
        report->jobs = arena_take(arena, sizeof *report->jobs);
        return used_take_job(floor, own, arena, report, error);
    }
    if (!used_take_jobs(floor, arena, report, error)) return false;
    used_take_rates(floor, since, arena, report);
    return true;
}
