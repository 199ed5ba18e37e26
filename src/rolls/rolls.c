/* The entry of the room, called by floor: the layout, and what laying all vehicles together saves. */
#include "inner.h"

/* Packings and steps in all; some of a second for a vehicle, and then nothing more is found. */
enum { TRIES_USUAL = 60000 };

bool rolls_lay(const struct roll_order *order, struct arena *arena, struct roll_layout *layout,
               struct error *error)
{
    struct laying work = {.order = order,
                          .arena = arena,
                          .layout = layout,
                          .most_tries = order->most_tries ? order->most_tries : TRIES_USUAL};
    return lay_once(order, work.most_tries, arena, layout, error) && compare_singly(&work, error);
}
