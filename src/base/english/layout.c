/* What layout says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_layout[] = {
    {"layout-area", "the pieces are more than can be laid at once; lay them as several jobs"},
    {"layout-side", "piece {piece} has a side that is not between 1 and 1,000,000,000 units"},
    {"layout-too-many",
     "{count} pieces are more than can be laid at once, which is {most}; lay them as several jobs"},
    {"layout-wide", "piece {piece} is wider than the strip"},
    {"layout-width", "the strip's width is not between 1 and 1,000,000,000 units"},
};
const size_t english_layout_count = sizeof english_layout / sizeof *english_layout;
