/* What scan says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_scan[] = {
    {"coarse-rendering-must-be-cmyk-with", "the coarse rendering must be CMYK with 8 bits"},
};
const size_t english_scan_count = sizeof english_scan / sizeof *english_scan;
