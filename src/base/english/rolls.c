/* What rolls says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_rolls[] = {
    {"application-tape", "application tape"},
    {"batch-short",
     "{surface} takes {need_m} m of {film}; {all_m} m are in stock, but of one batch only {best_m} m "
     "({batch}), so it lies on a new roll"},
    {"batch-to-ask",
     "{surface} lies on more than one new roll of {film}; rolls of two batches may differ in colour"},
    {"left-out-bought-in", "bought in"},
    {"left-out-no-roll", "no roll holds it"},
    {"left-out-printed", "printed already"},
    {"roll-short",
     "a print of {wide_mm} x {long_mm} mm with its marks fits on no roll of {film}, in stock or to buy, "
     "on {printer}; {ends_mm} mm of each roll are leader, tail and threading"},
    {"rolls-too-many-prints",
     "{count} prints are more than can be laid at once, which is {most}; lay fewer jobs or vehicles"},
};
const size_t english_rolls_count = sizeof english_rolls / sizeof *english_rolls;
