/* Private to layout: is there a packing no longer than that at all? For few pieces.
 *
 * Every packing can be pushed down and to the left until each piece stands on another or on the strip's beginning,
 * and touches another or the side with its left. In the order of skyline steps, the lowest and leftmost first, such
 * a packing has one of three things at a step:
 *   - a piece in its left corner;
 *   - some of its left width stays empty, up to the level of the left wall, and a piece that is higher than that
 *     wall stands right of it: it touches what overhangs there. In between nothing can stand: what overhangs stands
 *     on the left wall or above, for what stood on the piece itself would not have kept it from going left;
 *   - no piece at all, and the step stays empty up to its lower wall.
 * What nothing can lie beside is set aside first: it lies at the end.
 * Where pieces begin across is a sum of widths of some of them. These are all gone through, depth first, as long as
 * what stays empty leaves room for the rest. Steps and pieces left that were seen to fail are remembered by two
 * hashes of 64 bits. */
#ifndef LAYOUT_EXACT_H
#define LAYOUT_EXACT_H

#include "inner.h"

enum exact_answer {
    EXACT_FOUND, /* and taken into `best` */
    EXACT_NONE,  /* none is as short */
    EXACT_OPEN   /* too many pieces, or not known after so many nodes */
};

enum exact_answer exact_pack(struct layout_search *search, int64_t limit, int64_t nodes);

#endif
