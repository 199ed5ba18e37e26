/* What layout says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_layout[] = {
    {"layout-area", "the pieces are more than can be laid at once; lay them as several jobs"},
    {"layout-no-roll", "no roll is wide and long enough for panel {piece}"},
    {"layout-outline", "outline {piece} has fewer than 3 or more than {most} points, or lies too far away"},
    {"layout-outline-crosses", "outline {piece} crosses or touches itself, or has no area"},
    {"layout-outline-wide", "outline {piece} is wider than the strip however it may lie"},
    {"layout-print", "panel {piece} is longer than the longest print"},
    {"layout-roll", "a roll's width or length, a gap, leader, tail or longest print is not between 0 and "
                    "1,000,000,000 units"},
    {"layout-side", "piece {piece} has a side that is not between 1 and 1,000,000,000 units"},
    {"layout-too-many",
     "{count} pieces are more than can be laid at once, which is {most}; lay them as several jobs"},
    {"layout-too-many-outlines",
     "{count} outlines are more than can be laid at once, which is {most}; lay them as several jobs"},
    {"layout-too-many-rolls",
     "{count} rolls are more than can be looked at at once, which is {most}; name fewer"},
    {"layout-wide", "piece {piece} is wider than the strip"},
    {"layout-width", "the strip's width is not between 1 and 1,000,000,000 units"},
};
const size_t english_layout_count = sizeof english_layout / sizeof *english_layout;
