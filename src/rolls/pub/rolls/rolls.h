/* On which of the shop's rolls does each print lie, and where; what is to be bought, and what is left over?
 * Shapes in model/roll_layout.h, words in doc/rolls.md. How rectangles lie best is the room `layout`'s answer.
 *
 * Pure: the same order gives the same layout, unless `enough` ends the search before its tries are used up. */
#ifndef ROLLS_ROLLS_H
#define ROLLS_ROLLS_H

#include "base/error.h"
#include "model/roll_layout.h"

/* Of all jobs together: all prints, in all vehicles. Measured: 1,000 take 2 s of a processor, 5,000 minutes. */
enum { ROLL_PRINTS_MOST = 1000 };

/* False with FAILURE_INPUT when there are more prints than that. A print that no roll holds is left out, with a
 * finding. Plans and stock are borrowed; the rest is the arena's. */
bool rolls_lay(const struct roll_order *order, struct arena *arena, struct roll_layout *layout,
               struct error *error);

#endif
