/* Reads what a panel was printed from: its last `printed` on record, and what OUT keeps of its file. Called by
 * reprint.c. */
#include "base/arena.h"
#include "base/path.h"
#include "record/record.h"
#include "reprint_inner.h"
#include "steps.h"
#include <math.h>

static const struct panel_terms *reprint_terms_of(const struct job_terms *terms, const char *panel)
{
    for (size_t i = 0; i < terms->panel_count; i++)
        if (string_equal(terms->panels[i].panel, panel)) return &terms->panels[i];
    return NULL;
}

/* The version has one condition: that of the job. Surfaces with one of their own say nothing of their profile. */
static void reprint_take_terms(const struct run *run, const struct job_terms *terms, struct panel_print *was)
{
    const struct panel_terms *panel = reprint_terms_of(terms, was->panel);
    if (panel) was->visible = panel->visible;
    if (isnan(was->feed_percent)) was->feed_percent = terms->feed_percent;
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct surface *s = run->surfaces[i].surface;
        if (string_equal(s->name, was->surface) && s->condition &&
            string_equal(s->condition->name, terms->condition))
            was->profile = terms->profile_fingerprint;
    }
}

static void reprint_take_piece(struct run *run, const struct panel_print *was, int64_t version)
{
    struct printed_piece *piece = arena_take(run->arena, sizeof *piece);
    *piece = (struct printed_piece){was->panel, was->surface, version, was->visible, was->artwork};
    run->pieces = piece, run->piece_count = 1;
}

/* The panel's last print, and whether it was recorded as to be printed again after that. */
static const struct fact *reprint_last_print(const struct fact *facts, size_t count, bool *since)
{
    *since = false;
    for (size_t i = count; i-- > 0;) {
        if (facts[i].withdrawn) continue;
        if (facts[i].kind == FACT_PRINTED) return &facts[i];
        *since = *since || facts[i].kind == FACT_REPRINT;
    }
    return NULL;
}

static bool reprint_take_print(struct run *run, struct record *record, struct panel_print *was,
                               struct error *error)
{
    struct fact *facts;
    size_t count;
    struct job_terms terms;
    bool found;
    struct fact_query query = {.job = run->job->number, .panel = was->panel};
    if (!record_facts(record, &query, run->arena, &facts, &count, error)) return false;
    const struct fact *print = reprint_last_print(facts, count, &was->since);
    if (!print) return true;
    was->source = PRINT_RECORDED;
    was->artwork = print->artwork, was->with = print->printed_with, was->feed_percent = print->feed_percent;
    was->batch = print->batch;
    if (!record_terms_at(record, run->job->number, print->number, run->arena, &terms, &found, error))
        return false;
    if (found) reprint_take_terms(run, &terms, was);
    if (found) reprint_take_piece(run, was, terms.version);
    return true;
}

static bool reprint_from_record(struct run *run, struct panel_print *was, struct error *error)
{
    const char *folder = path_folder(run->arena, path_full(run->arena, run->job->folder));
    if (!record_exists(run->machine, folder)) return true;
    struct record *record = record_open(run->machine, folder, RECORD_READ, error);
    bool ok = record && reprint_take_print(run, record, was, error);
    record_close(record);
    return ok;
}

/* The file is that of the print when it is of the same artwork, or the record does not say. */
static void reprint_from_made(const struct run *run, struct panel_print *was)
{
    if (!made_find(run->machine, run->out, was->panel, run->arena, &was->made)) return;
    const struct made_panel *made = &was->made;
    was->has_made = !was->artwork || string_equal(was->artwork, made->artwork);
    if (!was->has_made) return;
    if (was->source == PRINT_UNKNOWN) was->source = PRINT_MADE, was->visible = made->visible;
    if (!was->artwork) was->artwork = made->artwork;
    if (!was->profile) was->profile = made->profile;
    if (!was->with) was->with = made->with;
    if (isnan(was->feed_percent)) was->feed_percent = made->feed_percent;
}

bool reprint_read(struct run *run, struct panel_print *was, struct error *error)
{
    run->pieces = NULL, run->piece_count = 0;
    if (!reprint_from_record(run, was, error)) return false;
    reprint_from_made(run, was);
    return true;
}
