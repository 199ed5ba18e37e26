#include "plan/plan.h"
#include "base/str.h"
#include "choose.h"
#include "cost.h"
#include "plan/suit.h"
#include "rolls.h"
#include "schedule.h"

/* A shop may raise a severity, never lower one. */
static void raise_severities(const struct shop *shop, struct findings *findings)
{
    for (size_t i = 0; i < findings->count; i++)
        for (size_t k = 0; k < shop->raised_count; k++) {
            struct finding *finding = &findings->items[i];
            if (!string_equal(finding->code, shop->raised_codes[k])) continue;
            enum severity to = string_equal(shop->raised_to[k], "stop") ? SEVERITY_STOP : SEVERITY_WARN;
            if (to > finding->severity) finding->severity = to;
        }
}

struct plan *plan_make(const struct plan_input *input, struct arena *arena)
{
    struct plan *plan = arena_take(arena, sizeof *plan);
    const struct job *job = input->job;
    plan->input = input;
    plan->findings = findings_new(arena);
    plan->surface_count = input->surface_count;
    plan->surfaces = arena_take_array(arena, input->surface_count, sizeof *plan->surfaces);
    for (size_t i = 0; i < input->surface_count; i++) {
        suit_check(input->surfaces[i].surface, job, input->zone, input->now, &plan->findings);
        choose_surface(&input->surfaces[i], job, GOAL_BEST, &plan->surfaces[i], &plan->findings);
    }
    rolls_make(plan, arena);
    struct efforts efforts = efforts_of(plan, arena);
    schedule_make(plan, &efforts, arena);
    cost_make(plan, &efforts, arena);
    raise_severities(job->shop, &plan->findings);
    return plan;
}
