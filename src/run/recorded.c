/* What the record beside a job folder says of the job, for planning it. */
#include "base/path.h"
#include "record/record.h"
#include "steps.h"
#include "model/practice.h"
#include "model/proof.h"
#include <math.h>

/* ---- reading ---- */

static const struct fact *recorded_print_of(const struct fact *facts, size_t count, const char *panel)
{
    for (size_t i = count; i-- > 0;)
        if (facts[i].kind == FACT_PRINTED && !facts[i].withdrawn && string_equal(facts[i].panel, panel))
            return &facts[i];
    return NULL;
}

/* The piece as the plan version had it that was the last when it was printed. */
static bool recorded_take_piece(struct run *run, struct record *record, const struct fact *print,
                                struct error *error)
{
    struct job_terms terms;
    bool found;
    if (!record_terms_at(record, run->job->number, print->number, run->arena, &terms, &found, error))
        return false;
    for (size_t i = 0; found && i < terms.panel_count; i++)
        if (string_equal(terms.panels[i].panel, print->panel))
            run->pieces[run->piece_count++] = (struct printed_piece){.panel = print->panel,
                                                                     .surface = terms.panels[i].surface,
                                                                     .version = terms.version,
                                                                     .visible = terms.panels[i].visible,
                                                                     .artwork = print->artwork};
    return true;
}

static bool take_pieces(struct run *run, struct record *record, const struct fact *facts, size_t count,
                        const struct event_fact *events, size_t event_count, struct error *error)
{
    run->pieces = arena_take_array(run->arena, event_count, sizeof *run->pieces);
    for (size_t i = 0; i < event_count; i++) {
        const struct fact *print =
            events[i].kind == EVENT_PRINTED ? recorded_print_of(facts, count, events[i].panel) : NULL;
        if (print && !recorded_take_piece(run, record, print, error)) return false;
    }
    return true;
}

/* What was put on record before an acceptance had a code and a place accepts nothing any more. */
static void take_acceptances(struct run *run, const struct fact *facts, size_t count)
{
    run->acceptances = arena_take_array(run->arena, count, sizeof *run->acceptances);
    for (size_t i = 0; i < count; i++) {
        const struct fact *f = &facts[i];
        if (f->kind != FACT_ACCEPTED || f->withdrawn || !f->code || !f->place) continue;
        run->acceptances[run->acceptance_count++] =
            (struct acceptance){f->code, f->place, f->figure, f->who, f->words, f->at};
    }
}

static void recorded_take_approvals(struct run *run, const struct fact *facts, size_t count)
{
    run->approvals = arena_take_array(run->arena, count, sizeof *run->approvals);
    for (size_t i = 0; i < count; i++) {
        const struct fact *f = &facts[i];
        if (f->kind != FACT_APPROVED || f->withdrawn || !f->letters) continue;
        run->approvals[run->approval_count++] = (struct proof_approval){f->letters, f->how, f->who, f->at};
    }
}

static bool recorded_take_facts(struct run *run, struct record *record, struct error *error)
{
    struct fact *facts;
    size_t count, event_count;
    struct fact_query query = {.job = run->job->number};
    if (!record_facts(record, &query, run->arena, &facts, &count, error)) return false;
    struct event_fact *events = panel_events(facts, count, run->arena, &event_count);
    if (!run->options.events) {
        run->options.events = events, run->options.event_count = event_count;
        run->options.recorded = run->options.recorded || count;
    }
    take_acceptances(run, facts, count);
    recorded_take_approvals(run, facts, count);
    run->spoilt = spoilt_pieces(facts, count, run->arena, &run->spoilt_count);
    return take_pieces(run, record, facts, count, events, event_count, error);
}

/* Of the job's conditions that nobody wrote a feed for. */
static bool take_feeds(struct run *run, struct record *record, struct error *error)
{
    struct shop *shop = run->job->shop;
    for (size_t i = 0; i < shop->condition_count; i++) {
        struct condition *condition = &shop->conditions[i];
        if (condition->feed_percent > 0 || run->job->feed_percent > 0) continue;
        if (!record_feed(record, run->job->number, feed_condition(condition, run->arena), run->arena,
                         &condition->recorded_feed, error))
            return false;
    }
    return true;
}

/* What a condition's prints are made with because the record says so. */
static void report_feed(const struct run *run, const struct condition *condition, struct findings *findings)
{
    const struct feed_recorded *feed = &condition->recorded_feed;
    if (run->job->feed_percent > 0 || condition->feed_percent > 0 || !(feed->percent > 0) ||
        fabs(feed->percent - 100) < 0.005)
        return;
    const char *day = zone_words(run->zone, feed->at, run->arena);
    finding_add(findings, "feed-recorded", "job", "feed-recorded",
                ARGUMENTS(arg_words("condition", condition->name), arg_fixed("percent", feed->percent, 2),
                          arg_words("day", day), arg_words("job", feed->job),
                          arg_words("feed_condition", feed_condition(condition, run->arena)),
                          arg_flag("printed", feed->printed)));
}

void step_judge_feeds(const struct run *run, struct findings *findings)
{
    for (size_t i = 0; i < run->condition_count; i++)
        report_feed(run, run->conditions[i].condition, findings);
}

bool step_take_record(struct run *run, struct error *error)
{
    const char *folder = path_folder(run->arena, path_full(run->arena, run->job->folder));
    if (!record_exists(run->machine, folder)) return true;
    struct record *record = record_open(run->machine, folder, RECORD_READ, error);
    bool ok = record && recorded_take_facts(run, record, error) && take_feeds(run, record, error);
    record_close(record);
    return ok;
}

/* ---- judging ---- */

static const struct panel *recorded_find_panel(const struct plan *plan, const char *id)
{
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++)
            if (string_equal(plan->surfaces[i].panels[k].id, id)) return &plan->surfaces[i].panels[k];
    return NULL;
}

static bool recorded_same_place(const struct rect *a, const struct rect *b)
{
    double most = practice_value("printed-moved").value;
    return fabs(a->x0 - b->x0) <= most && fabs(a->y0 - b->y0) <= most && fabs(a->x1 - b->x1) <= most &&
           fabs(a->y1 - b->y1) <= most;
}

void step_judge_pieces(const struct run *run, const struct plan *plan, struct findings *findings)
{
    for (size_t i = 0; i < run->piece_count; i++) {
        const struct printed_piece *piece = &run->pieces[i];
        const struct panel *panel = recorded_find_panel(plan, piece->panel);
        const struct rect *was = &piece->visible, *is = panel ? &panel->visible : NULL;
        const char *where = arena_format(findings->arena, "%s/%s", piece->surface, piece->panel);
        if (!panel)
            finding_add(
                findings, "printed-otherwise", where, "printed-otherwise-was-printed-for-plan",
                ARGUMENTS(arg_words("panel", piece->panel), arg_count("version", (int64_t)piece->version)));
        else if (!recorded_same_place(was, is))
            finding_add(findings, "printed-otherwise", where, "printed-otherwise-was-printed-for-plan-2",
                        ARGUMENTS(arg_words("panel", piece->panel),
                                  arg_count("version", (int64_t)piece->version),
                                  arg_fixed("was_x0", was->x0, 1), arg_fixed("was_x1", was->x1, 1),
                                  arg_fixed("was_y0", was->y0, 1), arg_fixed("was_y1", was->y1, 1),
                                  arg_fixed("is_x0", is->x0, 1), arg_fixed("is_x1", is->x1, 1),
                                  arg_fixed("is_y0", is->y0, 1), arg_fixed("is_y1", is->y1, 1)));
    }
}
