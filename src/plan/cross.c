/* Cuts strips that are longer than the longest print, across the film, and staggers those cuts between
 * neighbours. Called by candidate.c. */
#include "cross.h"
#include "base/units.h"
#include "cache.h"
#include "model/practice.h"
#include "plan/plan.h"
#include "rolls.h"
#include <math.h>

struct crosser {
    const struct surface_input *input;
    const struct field *field;
    const struct job *job;
    struct plan_cache *cache;
    double longest_mm; /* print without marks, on film */
    int least;
    bool slivers_may_be, letters_may_be_cut;
    bool met_slivers, met_letters; /* what forbade seams and may yet be allowed */
};

static double longest_print(const struct surface_input *input, const struct job *job)
{
    const struct condition *condition = input->surface->condition;
    double longest = rolls_longest_mm(condition, job->shop).mm * 100 / feed_percent_of(job, condition);
    if (job_makes_pixels(job) && job->resolution_ppi > 0) longest -= 2 * MM_PER_INCH / job->resolution_ppi;
    return longest - PANEL_END_MM - PANEL_TAIL_MM;
}

/* No seam at the strip's ends or nearer to them than the least panel. */
static void keep_off_ends(struct field *field, const struct cut_strip *strip, int least)
{
    for (int at = 0; at <= field->frame.positions; at++)
        if (at < strip->start + least || at > strip->end - least) field->cost[at] = SEAM_FORBIDDEN;
}

/* The strip along its length: the print reaches from its start less the bleed to its end and the bleed. */
static struct seam_problem strip_problem(struct crosser *c, const struct cut_strip *strip,
                                         struct cut_crossing *crossing)
{
    const struct frame *frame = &c->field->frame;
    struct window window = {fmax(strip->u0, 0), fmin(strip->u1, frame->across_mm)};
    struct field_wish wish = {c->input,      !frame->upright,   c->job->shop,         &window,
                              c->longest_mm, c->slivers_may_be, c->letters_may_be_cut};
    crossing->field = cache_field(c->cache, &wish, c->field->arena);
    keep_off_ends(&crossing->field, strip, c->least);
    c->met_slivers |= crossing->field.slivers > 0, c->met_letters |= crossing->field.letterings.count > 0;
    struct seam_problem problem = field_problem(&crossing->field, c->longest_mm);
    const struct frame *along = &crossing->field.frame;
    double low = frame_place(along, along->low_mm) - frame_place(along, strip->print_start);
    double high = frame_place(along, strip->print_end) - frame_place(along, along->high_mm);
    problem.low_bleed_um = llround(low * 1000);
    problem.high_bleed_um = llround(high * 1000);
    problem.least = c->least;
    return problem;
}

/* Neighbours keep apart where that can be; else each strip takes its own best. */
static bool solve_strips(const struct seam_problem *problems, size_t count, struct cut_crossing *crossings,
                         struct arena *arena)
{
    int apart = (int)practice_value("stagger").value;
    struct stagger_answer answer = seams_stagger(problems, count, apart, arena);
    if (!answer.possible) answer = seams_stagger(problems, count, 0, arena);
    for (size_t i = 0; answer.possible && i < count; i++)
        crossings[i].cuts = cuts_chosen(&crossings[i].field, &problems[i], &answer.strips[i], arena);
    return answer.possible;
}

static struct cut_crossing *cross_with(struct crosser *c, const struct cuts *cuts)
{
    struct arena *arena = c->field->arena;
    size_t count = cuts->count + 1, there = 0;
    struct cut_crossing *crossings = arena_take_array(arena, count, sizeof *crossings);
    struct seam_problem *problems = arena_take_array(arena, count, sizeof *problems);
    for (size_t i = 0; i < count; i++) {
        struct cut_strip strip = strip_at(&c->field->frame, cuts, i);
        if (!strip.there)
            return NULL; /* a strip beside the outline is not printed, and its neighbours do not
                            meet: too rare to be cut both ways */
        problems[there] = strip_problem(c, &strip, &crossings[i]);
        there++;
    }
    return solve_strips(problems, count, crossings, arena) ? crossings : NULL;
}

/* First with pieces that are easy to apply, no sliver and no small lettering cut; then with what must be: a
 * short piece is better than a print that is too long. */
struct cut_crossing *cross_strips(const struct candidate_search *search, const struct field *field,
                                  const struct cuts *cuts)
{
    struct crosser c = {.input = search->input,
                        .field = field,
                        .job = search->job,
                        .cache = search->cache,
                        .longest_mm = longest_print(search->input, search->job),
                        .least = (int)ceil(fmax(candidate_least_panel(search), 1))};
    if (c.longest_mm < 1) return NULL;
    struct cut_crossing *crossings = cross_with(&c, cuts);
    c.slivers_may_be = true;
    if (!crossings && c.met_slivers) crossings = cross_with(&c, cuts);
    c.letters_may_be_cut = true;
    if (!crossings && c.met_letters) crossings = cross_with(&c, cuts);
    c.least = 1;
    return crossings ? crossings : cross_with(&c, cuts);
}
