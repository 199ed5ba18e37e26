/* The entry of the room, called by floor: the layout, and what laying all vehicles together saves. */
#include "inner.h"

/* Packings and steps of the search, by how many prints there are: measured on the demo's van, a packing of n prints
 * takes about (n / 3 + n x n / 330) microseconds. So many end within half a second. */
static int64_t tries_usual(const struct roll_order *order)
{
    const double budget_us = 280000;
    const int64_t least = 10, most = 30000;
    size_t prints = 1;
    for (size_t j = 0; j < order->job_count; j++)
        for (size_t s = 0; s < order->jobs[j].plan->surface_count; s++)
            prints += order->jobs[j].vehicles * surface_print_count(&order->jobs[j].plan->surfaces[s]);
    double n = (double)prints;
    int64_t tries = (int64_t)(budget_us / (n / 3 + n * n / 330));
    return tries < least ? least : tries > most ? most : tries;
}

bool rolls_lay(const struct roll_order *order, struct arena *arena, struct roll_layout *layout,
               struct error *error)
{
    struct laying work = {.order = order,
                          .arena = arena,
                          .layout = layout,
                          .most_tries = order->most_tries ? order->most_tries : tries_usual(order)};
    return lay_once(order, work.most_tries, arena, layout, error) && outline_prints(&work, error) &&
           compare_singly(&work, error);
}
