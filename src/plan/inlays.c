/* Recesses that the job covers otherwise: the prints of their inlays, and the time that they take. */
#include "handling.h"
#include "model/practice.h"
#include "panels.h"
#include "plan/plan.h"
#include "weights.h"

/* As long along the film as a panel of its height would be, the same way up. */
static void make_inlay(const struct field *field, const struct job *job, const struct feature *f,
                       struct surface_plan *plan)
{
    const struct frame *frame = &field->frame;
    size_t number = ++plan->inlay_count;
    struct panel *inlay = &plan->panels[plan->panel_count + number - 1];
    struct rect print = frame_turn(frame, feature_inlay(f));
    struct piece piece = {.v0 = print.y0, .v1 = print.y1};
    *inlay = (struct panel){.id = arena_format(field->arena, "%s-inlay-%zu", frame->surface->id, number),
                            .number = number,
                            .inlay = f,
                            .visible = feature_inlay(f),
                            .print = feature_inlay(f),
                            .area_m2 = rect_area(print) / 1e6,
                            .roll_width_mm = plan->roll_width_mm,
                            .print_length_mm = piece_length(frame, &piece, job)};
    inlay->file = frame_turn(
        frame, (struct rect){print.x0, print.y0 - PANEL_END_MM, print.x1, print.y1 + PANEL_TAIL_MM});
}

void inlays_make(const struct field *field, const struct job *job, struct surface_plan *plan)
{
    const struct surface *s = field->frame.surface;
    for (size_t i = 0; i < s->feature_count; i++)
        if (feature_has_piece(&s->features[i]) && s->features[i].inlay)
            make_inlay(field, job, &s->features[i], plan);
}

void inlays_judge(const struct surface_plan *plan, struct findings *findings)
{
    for (size_t i = plan->panel_count; i < surface_print_count(plan); i++) {
        const struct panel *inlay = &plan->panels[i];
        struct rect print = inlay->print;
        double across = plan->direction == RUN_LYING ? rect_height(print) : rect_width(print);
        if (across <= plan->usable_mm + 1e-6) continue;
        finding_add(findings, "inlay-wide", plan->surface->name, "inlay-wide",
                    ARGUMENTS(arg_words("inlay", inlay->id), arg_fixed("across", across, 0),
                              arg_fixed("usable_mm", plan->usable_mm, 0)))
            ->figure = across;
    }
}

double inlays_minutes(const struct surface_plan *plan, const struct shop *shop)
{
    const struct surface *s = plan->surface;
    struct weights weights = weights_of(shop);
    double minutes = 0;
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        double rim_m = 2 * (rect_width(f->box) + rect_height(f->box)) / 1000;
        if (!feature_has_piece(f)) continue;
        minutes += f->inlay ? weights.panel_minutes + rim_m * weights.lap_minutes
                            : practice_value("relief-cuts").value;
    }
    return minutes;
}
