/* One layout: prints on film, laminate over these, what is left over and what to buy. Called by rolls.c, and by
 * saving.c for its comparison. */
#include "inner.h"
#include "base/sentence.h"
#include <math.h>

bool lay_once(const struct roll_order *order, int64_t most_tries, struct arena *arena,
              struct roll_layout *layout, struct error *error)
{
    *layout = (struct roll_layout){
        .jobs = order->jobs, .job_count = order->job_count, .findings = findings_new(arena)};
    struct laying work = {.order = order,
                          .arena = arena,
                          .layout = layout,
                          .shop = order->jobs[0].plan->input->job->shop,
                          .most_tries = most_tries};
    work.stock.mm = arena_take_array(arena, order->stock_count, sizeof *work.stock.mm);
    for (size_t i = 0; i < order->stock_count; i++)
        work.stock.mm[i] = isnan(order->stock[i].left_mm) ? 0 : order->stock[i].left_mm;
    struct prints_wanted prints = gather_prints(&work);
    if (prints.count > ROLL_PRINTS_MOST)
        return error_set(
            error, FAILURE_INPUT, "rolls-too-many-prints",
            ARGUMENTS(arg_count("count", (int64_t)prints.count), arg_count("most", ROLL_PRINTS_MOST)));
    if (!lay_films(&work, &prints, error)) return false;
    lay_laminates(&work);
    find_off_cuts(&work);
    list_materials(&work);
    return true;
}
