/* What draw says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_draw[] = {
    {"could-not-be-drawn", "{path} could not be drawn: {why}."},
    {"qr-code-holds-1-to-bytes",
     "A QR code holds 1 to {most} bytes here; this content has {content}. Shorten it."},
    {"would-be-pixels-at-most-side", "{path} would be {width} x {height} pixels; at most {most} a side and "
                                     "100 million in all are written. Ask for fewer pixels per inch."},
    {"would-have-no-pixels-at-pixels", "{path} would have no pixels at {ppi} pixels per inch; ask for more."},
};
const size_t english_draw_count = sizeof english_draw / sizeof *english_draw;
