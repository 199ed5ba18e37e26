/* Lists the work at the vehicle besides panels, how much of it and for how long. Called by plan.c; workload.c
 * and schedule.c read its times. */
#include "tasks.h"
#include "base/text.h"
#include "model/difficulty.h"
#include <assert.h>
#include <math.h>

bool task_prepares(enum task_kind kind)
{
    return kind == TASK_REMOVE_FILM || kind == TASK_WASH || kind == TASK_TAKE_OFF;
}

bool task_finishes(enum task_kind kind)
{
    return kind == TASK_POST_HEAT || kind == TASK_EDGE_SEAL || kind == TASK_REFIT;
}

/* ---- how much ---- */

static bool comes_off(const struct feature *f)
{
    return feature_types[f->kind].comes_off && !f->stays;
}

static bool is_shaped(const struct feature *f)
{
    return feature_types[f->kind].relief != RELIEF_FLAT && !(feature_has_piece(f) && f->inlay);
}

static double count_features(const struct surface *surface, bool (*counts)(const struct feature *))
{
    double count = 0;
    for (size_t i = 0; i < surface->feature_count; i++) count += counts(&surface->features[i]);
    return count;
}

/* Of what is covered. */
static double perimeter_m(const struct surface *s)
{
    return (s->covered.count ? region_length(&s->covered) : polygon_length(&s->outline)) / 1000;
}

static double quantity_of(const struct job *job, const struct surface *s, enum task_kind kind)
{
    const struct surface_spec *spec = s->spec;
    const int copies = surface_copies(s);
    switch (kind) {
    case TASK_REMOVE_FILM:
        return job->old_film || (spec && spec->old_film) ? copies * s->area_m2 : 0;
    case TASK_WASH:
        return copies * s->area_m2;
    case TASK_TAKE_OFF:
    case TASK_REFIT:
        return copies * count_features(s, comes_off);
    case TASK_POST_HEAT:
        return copies * count_features(s, is_shaped);
    case TASK_EDGE_SEAL:
        return job->edge_seal || (spec && spec->edge_seal) ? copies * perimeter_m(s) : 0;
    default:
        return 0;
    }
}

/* "handle at x 1520, y 880 mm; badge ..." */
static const char *parts_words(const struct surface *s, enum task_kind kind, struct arena *arena)
{
    struct text words = text_new(arena);
    bool parts = kind == TASK_TAKE_OFF || kind == TASK_REFIT, shapes = kind == TASK_POST_HEAT;
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        if (!(parts && comes_off(f)) && !(shapes && is_shaped(f))) continue;
        text_addf(&words, "%s%s at x %.0f, y %.0f mm", words.length ? "; " : "",
                  f->name ? f->name : feature_kind_name(f->kind), f->box.x0, f->box.y0);
    }
    return words.length ? text_string(&words) : NULL;
}

/* ---- the list ---- */

static void add_task(struct plan *plan, enum task_kind kind, const struct surface *surface, double quantity,
                     const char *parts)
{
    const struct shop *shop = plan->input->job->shop;
    struct measure minutes = shop->task_minutes[kind];
    double percent = surface && kind != TASK_TEST_PRINT ? difficulty_written_percent(surface) : 100;
    if (kind == TASK_REMOVE_FILM) percent *= removal_age_percent(surface, shop) / 100;
    double seconds = quantity * minutes.value * 60 * percent / 100;
    if (quantity <= 0) return;
    assert(plan->task_count <=
           plan->surface_count * TASK_COUNT); /* one of a kind for each surface, and the check */
    plan->tasks[plan->task_count++] = (struct task){
        kind, surface, quantity, parts, minutes, percent, (int64_t)ceil(fmin(seconds, 1e9) - 1e-6)};
}

static bool condition_met_before(const struct plan *plan, size_t surface)
{
    for (size_t i = 0; i < surface; i++)
        if (plan->surfaces[i].panel_count &&
            plan->surfaces[i].surface->condition == plan->surfaces[surface].surface->condition)
            return true;
    return false;
}

void tasks_make(struct plan *plan, struct arena *arena)
{
    const struct job *job = plan->input->job;
    bool any = false;
    plan->tasks = arena_take_array(arena, plan->surface_count * TASK_COUNT + 1, sizeof *plan->tasks);
    for (size_t i = 0; i < plan->surface_count; i++) any |= plan->surfaces[i].panel_count > 0;
    for (enum task_kind kind = 0; kind < TASK_COUNT; kind++) {
        if (kind == TASK_CHECK && any) add_task(plan, kind, NULL, 1, NULL);
        for (size_t i = 0; i < plan->surface_count; i++) {
            const struct surface *surface = plan->surfaces[i].surface;
            if (!plan->surfaces[i].panel_count) continue;
            if (kind == TASK_TEST_PRINT && job->test_print && !condition_met_before(plan, i))
                add_task(plan, kind, surface, 1, surface->condition->name);
            add_task(plan, kind, surface, quantity_of(job, surface, kind), parts_words(surface, kind, arena));
        }
    }
}

int64_t tasks_seconds(const struct plan *plan, const struct surface *surface, enum task_kind kind)
{
    int64_t sum = 0;
    for (size_t i = 0; i < plan->task_count; i++)
        if (plan->tasks[i].kind == kind && plan->tasks[i].surface == surface) sum += plan->tasks[i].seconds;
    return sum;
}
