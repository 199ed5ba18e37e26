/* What sight says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_sight[] = {
    {"sight-four-marks", "a plane is measured by 4 marks or more; {count} {count|is|are} there"},
    {"sight-in-line",
     "the marks lie on one line, so nothing says what lies beside it; set marks above and below it, "
     "and tape a diagonal"},
    {"sight-not-fixed", "the measures leave open where {mark} lies; tape from it to two other marks, in two "
                        "directions"},
    {"sight-too-few",
     "{missing} more {missing|measure is|measures are} needed to fix the plane; tape between marks, "
     "one of them diagonally"},
};
const size_t english_sight_count = sizeof english_sight / sizeof *english_sight;
