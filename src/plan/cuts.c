/* From seams that were chosen to strips and pieces: their place, printed width, length. Called by candidate.c,
 * cross.c and panels.c. */
#include "cuts.h"
#include "plan/plan.h"
#include <assert.h>
#include <math.h>

enum { NEIGHBOUR_MM = 50 }; /* seams tell what they would cost so far to either side */

double cut_beyond(const struct surface *surface, const struct seam_cut *cut, bool low_side)
{
    double lap = cut->context.low_over == low_side ? surface->seam_trim_mm : surface->overlap_mm;
    if (!context_is_gap(&cut->context)) return lap;
    return context_is_whole_gap(&cut->context) ? surface->turn_in_mm : fmax(lap, surface->turn_in_mm);
}

static struct stretches stretches_part(const struct stretches *all, double low, double high,
                                       struct arena *arena)
{
    struct stretches part = stretches_copy(all, arena);
    part.count = 0;
    for (size_t i = 0; i < all->count; i++) {
        struct seam_part one = {fmax(all->items[i].from_mm, low), fmin(all->items[i].to_mm, high)};
        if (one.to_mm > one.from_mm) part.items[part.count++] = one;
    }
    return part;
}

struct seam_cut cut_part(const struct seam_cut *cut, double low, double high, struct arena *arena)
{
    assert(cut->context.low <= low && low < high && high <= cut->context.high);
    struct seam_cut part = *cut;
    double share = (high - low) / (cut->context.high - cut->context.low);
    part.context.low = low, part.context.high = high;
    part.context.gaps = stretches_part(&cut->context.gaps, low, high, arena);
    part.context.laps = stretches_part(&cut->context.laps, low, high, arena);
    part.context.minutes = cut->context.minutes * share;
    part.context.cost = llround((double)cut->context.cost * share);
    part.context.shown = llround((double)cut->context.shown * share);
    if (cut->before >= 0) part.before = llround((double)cut->before * share);
    if (cut->after >= 0) part.after = llround((double)cut->after * share);
    return part;
}

/* Positions of problem and answer count from the frame's first. What the seam would cost at `at` with its neighbours where they are; < 0: not possible there. */
static int64_t cost_at(const struct field *field, const struct seam_problem *problem, int below, int at,
                       int above)
{
    bool possible = at > below && at < above && at > 0 && at < problem->positions;
    int64_t cost = possible ? field->cost[field->frame.first + at] : SEAM_FORBIDDEN;
    possible &= cost != SEAM_FORBIDDEN && seams_fit(problem, below, at) && seams_fit(problem, at, above);
    return possible ? cost : -1;
}

static struct seam_cut cut_chosen(const struct field *field, const struct seam_problem *problem,
                                  const struct seam_answer *answer, size_t i)
{
    int at = answer->at[i], below = i ? answer->at[i - 1] : 0;
    int above = i + 2 < (size_t)answer->panels ? answer->at[i + 1] : problem->positions;
    struct seam_cut cut = {.at = field->frame.first + at};
    cut.context = field_context(field, cut.at);
    cut.before = cost_at(field, problem, below, at - NEIGHBOUR_MM, above);
    cut.after = cost_at(field, problem, below, at + NEIGHBOUR_MM, above);
    return cut;
}

struct cuts cuts_chosen(const struct field *field, const struct seam_problem *problem,
                        const struct seam_answer *answer, struct arena *arena)
{
    size_t count = (size_t)answer->panels - 1;
    struct cuts cuts = {.items = arena_take_array(arena, count, sizeof *cuts.items), .count = count};
    for (size_t i = 0; i < count; i++) cuts.items[i] = cut_chosen(field, problem, answer, i);
    return cuts;
}

struct cut_strip strip_at(const struct frame *frame, const struct cuts *cuts, size_t i)
{
    const struct seam_cut *below = i ? &cuts->items[i - 1] : NULL;
    const struct seam_cut *above = i < cuts->count ? &cuts->items[i] : NULL;
    struct cut_strip strip = {.u0 = below ? below->at : frame->low_mm,
                              .u1 = above ? above->at : frame->high_mm};
    assert(strip.u0 < strip.u1); /* seams rise, and stand on the surface */
    strip.roll_mm = cuts->rolls_mm ? cuts->rolls_mm[i] : 0;
    strip.low = below ? cut_beyond(frame->surface, below, false) : frame->bleed_low;
    strip.high = above ? cut_beyond(frame->surface, above, true) : frame->bleed_high;
    double u0 = strip.u0 - strip.low, u1 = strip.u1 + strip.high;
    strip.there = frame_reach(frame, u0, u1, &strip.start, &strip.end) &&
                  frame_print_reach(frame, u0, u1, &strip.print_start, &strip.print_end);
    return strip;
}

double strip_print_width(const struct frame *frame, const struct cut_strip *strip)
{
    return frame_place(frame, strip->u1 + strip->high) - frame_place(frame, strip->u0 - strip->low);
}

size_t piece_count(const struct cut_crossing *crossing)
{
    return crossing ? crossing->cuts.count + 1 : 1;
}

struct piece piece_at(const struct frame *frame, const struct cut_strip *strip,
                      const struct cut_crossing *crossing, size_t i)
{
    const struct seam_cut *before = i ? &crossing->cuts.items[i - 1] : NULL;
    const struct seam_cut *after = i + 1 < piece_count(crossing) ? &crossing->cuts.items[i] : NULL;
    struct piece piece = {
        .v0 = before ? before->at : strip->start,
        .v1 = after ? after->at : strip->end,
        .before = before ? cut_beyond(frame->surface, before, false) : strip->start - strip->print_start,
        .after = after ? cut_beyond(frame->surface, after, true) : strip->print_end - strip->end,
    };
    assert(piece.v0 < piece.v1); /* crossings rise, and lie in the strip */
    return piece;
}

double piece_length(const struct frame *frame, const struct piece *piece, const struct job *job)
{
    double view = frame_length(frame, piece->v0 - piece->before, piece->v1 + piece->after);
    double length = view + PANEL_END_MM + PANEL_TAIL_MM;
    return length * feed_percent_of(job, frame->surface->condition) / 100;
}
