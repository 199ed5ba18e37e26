/* Finds where a panel made now would differ from what was printed. Called by reprint.c after planning. */
#include "base/arena.h"
#include "base/sentence.h"
#include "base/text.h"
#include "model/practice.h"
#include "printed_inner.h"
#include "reprint_inner.h"
#include <math.h>

struct reprint_judging {
    struct run *run;
    struct reprint *reprint;
    const char *where; /* "left/left-3" */
};

static void reprint_say(const struct reprint_judging *j, const char *code, const char *id,
                        const struct argument *arguments)
{
    finding_add(&j->run->findings, code, j->where, id, arguments);
}

/* ---- artwork ---- */

static const char *reprint_files(const struct run *run, const struct run_surface *s)
{
    struct text files = text_new(run->arena);
    for (size_t i = 0; i < s->art.count; i++)
        text_addf(&files, "%s%s", i ? ", " : "", s->art.placed[i].spec->file);
    return files.length ? text_string(&files) : s->surface->name;
}

/* What is on record was compared pixel by pixel when the job was planned. */
static bool reprint_judge_artwork(const struct reprint_judging *j, struct error *error)
{
    const struct panel_print *was = &j->reprint->was;
    const struct run_surface *s = &j->run->surfaces[j->reprint->surface];
    struct printed_art now;
    if (!was->artwork)
        reprint_say(j, "reprint-unknown", "reprint-unknown", ARGUMENTS(arg_words("panel", was->panel)));
    bool compared = j->run->piece_count && j->run->pieces->artwork;
    if (!was->artwork || compared) return true;
    if (!printed_read_now(j->run, s, &now, error)) return false;
    if (!string_equal(now.state, was->artwork))
        reprint_say(j, "artwork-changed", "artwork-changed-since-made",
                    ARGUMENTS(arg_words("files", reprint_files(j->run, s)), arg_words("panel", was->panel)));
    return true;
}

/* For a panel that is printed again the table's remedy leads in a circle. */
static void reprint_remedies(struct run *run)
{
    for (size_t i = 0; i < run->findings.count; i++)
        if (string_equal(run->findings.items[i].code, "artwork-changed"))
            run->findings.items[i].remedy = sentence_plain("reprint-put-artwork-back");
}

/* ---- printing condition ---- */

static void reprint_judge_condition(const struct reprint_judging *j)
{
    const struct panel_print *was = &j->reprint->was;
    const struct surface *surface = j->run->surfaces[j->reprint->surface].surface;
    size_t i = step_condition(j->run, surface);
    const char *profile = i == SIZE_MAX ? NULL : j->run->conditions[i].profile_fingerprint;
    const char *with = surface->condition ? feed_condition(surface->condition, j->run->arena) : NULL;
    if (was->with && with && !string_equal(with, was->with))
        reprint_say(
            j, "reprint-condition", "reprint-condition",
            ARGUMENTS(arg_words("panel", was->panel), arg_words("was", was->with), arg_words("is", with)));
    if (was->profile && !string_equal(profile, was->profile))
        reprint_say(j, "reprint-profile", "reprint-profile",
                    ARGUMENTS(arg_words("panel", was->panel), arg_words("was", was->profile),
                              arg_words("is", profile ? profile : sentence_plain("reprint-no-profile"))));
    if (fabs(j->reprint->feed_now - was->feed_percent) >= 0.005)
        reprint_say(j, "feed-kept", "feed-kept",
                    ARGUMENTS(arg_words("panel", was->panel), arg_fixed("was", was->feed_percent, 2),
                              arg_fixed("now", j->reprint->feed_now, 2)));
}

/* ---- the plan ---- */

static bool reprint_near(const struct rect *a, const struct rect *b, double most)
{
    return fabs(a->x0 - b->x0) <= most && fabs(a->y0 - b->y0) <= most && fabs(a->x1 - b->x1) <= most &&
           fabs(a->y1 - b->y1) <= most;
}

/* Seen, by the tolerance of what is cut to fit; what is printed round that as exactly as it is kept. */
static bool reprint_same_place(const struct panel_print *was, const struct panel *panel)
{
    const double kept_mm = 0.002;
    if (!reprint_near(&was->visible, &panel->visible, practice_value("printed-moved").value)) return false;
    if (!was->has_made || !reprint_near(&was->made.visible, &was->visible, kept_mm)) return true;
    return reprint_near(&was->made.print, &panel->print, kept_mm) &&
           reprint_near(&was->made.file, &panel->file, kept_mm);
}

static void reprint_judge_place(const struct reprint_judging *j)
{
    const struct panel_print *was = &j->reprint->was;
    const struct panel *panel = j->reprint->panel;
    const struct rect *r = &was->visible;
    if (panel && reprint_same_place(was, panel)) return;
    reprint_say(j, "reprint-plan", "reprint-plan",
                ARGUMENTS(arg_words("panel", was->panel), arg_fixed("was_x0", r->x0, 1),
                          arg_fixed("was_x1", r->x1, 1), arg_fixed("was_y0", r->y0, 1),
                          arg_fixed("was_y1", r->y1, 1), arg_flag("there", panel)));
}

bool reprint_judge(struct run *run, struct reprint *reprint, struct error *error)
{
    const struct panel_print *was = &reprint->was;
    struct reprint_judging j = {run, reprint, arena_format(run->arena, "%s/%s", was->surface, was->panel)};
    if (was->source == PRINT_UNKNOWN) {
        reprint_say(&j, "never-made", "never-made", ARGUMENTS(arg_words("panel", was->panel)));
        return true;
    }
    if (reprint->panel && reprint->panel->varies)
        reprint_say(&j, "reprint-vehicle", "reprint-vehicle", ARGUMENTS(arg_words("panel", was->panel)));
    if (!reprint_judge_artwork(&j, error)) return false;
    reprint_remedies(run);
    reprint_judge_condition(&j);
    reprint_judge_place(&j);
    return true;
}
