/* Private to layout: can a length be shown to be too short by one direction alone?
 *
 * A line sweeps over the strip, from one side to the other or from its beginning to its end. Each piece is under it
 * for as long as its side in that direction; of pieces that are under it at once the other sides together are never
 * more than the strip has room for. Whether pieces lie in one piece on the line is not asked: where even so they
 * cannot all be swept, there is no packing. A packing that is pushed against where the sweep begins has each piece
 * begin there or where another ends, so that no other places are tried. (One direction first: Clautiaux, Carlier
 * and Moukrim, EJOR 183, 2007, 1196-1211; Cote, Dell'Amico and Iori, Operations Research 62, 2014, 643-661. From
 * memory, unchecked.)
 *
 * What some of the pieces do not find room for, all do not: the widest ones alone come first, of which few are left
 * when those that nothing can lie beside are set aside. */
#ifndef LAYOUT_SWEEP_H
#define LAYOUT_SWEEP_H

#include "inner.h"

/* Whether no packing is as short as `limit`, as far as that is seen within so many nodes a sweep. */
bool sweep_rules_out(struct layout_search *search, int64_t limit, int64_t nodes);

#endif
