/* What a bigger batch saves: all vehicles together beside each by itself, both on new rolls, so that what lies on
 * the shelf today counts for neither. Called by rolls.c. */
#include "inner.h"

static size_t rolls_bought(const struct roll_layout *layout)
{
    size_t count = 0;
    for (size_t i = 0; i < layout->material_count; i++) count += layout->materials[i].rolls;
    return count;
}

/* A third of the tries for all of it: the answer is a comparison. */
static bool lay_bare(const struct laying *work, const struct roll_job *jobs, size_t job_count,
                     struct roll_layout *layout, struct error *error)
{
    struct roll_order order = *work->order;
    order.stock = NULL, order.stock_count = 0, order.jobs = jobs, order.job_count = job_count;
    return lay_once(&order, work->most_tries / 3, work->arena, layout, error);
}

bool compare_singly(struct laying *work, struct error *error)
{
    struct roll_saving *saving = &work->layout->saving;
    struct roll_layout together;
    for (size_t j = 0; j < work->order->job_count; j++) saving->vehicles += work->order->jobs[j].vehicles;
    if (saving->vehicles < 2) return true;
    if (!lay_bare(work, work->order->jobs, work->order->job_count, &together, error)) return false;
    saving->together_mm = together.used_mm;
    saving->together_rolls = rolls_bought(&together), saving->together_cost = together.cash;
    for (size_t j = 0; j < work->order->job_count; j++) {
        const struct roll_job one = {work->order->jobs[j].plan, 1};
        size_t vehicles = work->order->jobs[j].vehicles;
        struct roll_layout singly;
        if (!lay_bare(work, &one, 1, &singly, error)) return false;
        saving->singly_mm += (double)vehicles * singly.used_mm;
        saving->singly_rolls += vehicles * rolls_bought(&singly);
        saving->singly_cost += (money_minor)vehicles * singly.cash;
    }
    saving->known = true;
    work->layout->cut_short |= work->order->enough && work->order->enough(work->order->self);
    return true;
}
