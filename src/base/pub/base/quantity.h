/* Quantities as people read them where a figure stands by itself, on pages and in the API's words. The digits of a
 * whole part stand in threes, apart by a thin no-break space (U+202F), and a unit follows a no-break space (U+00A0),
 * so that no line breaks within: SI brochure, 9th edition, 5.4.3 and 5.4.4. Figures are rounded half away from
 * zero; nothing reads "-0". All are made in the arena.
 *
 * src/web/page/words.js says the same where the page cannot ask (in the person's own units, counting down, while a
 * seam is dragged); tests/web/words.mjs holds the two alike. JSON's numbers and CSV have plain digits. */
#ifndef BASE_QUANTITY_H
#define BASE_QUANTITY_H

#include <stdbool.h>
#include <stdint.h>

struct arena;

/* "1 310", "-12.3"; finite, below 1e15, with exactly `decimals` (0..9) behind the point. */
const char *quantity_figure(double value, int decimals, struct arena *arena);
/* "1 310", or to 0.01 in, thin ones to 0.0001 in, without zeros at the end: "51.57". `decimals`: of a millimetre. */
const char *quantity_length_figure(double mm, int decimals, bool inches, struct arena *arena);
const char *quantity_length(double mm, int decimals, bool inches,
                            struct arena *arena);                      /* "1 310 mm", "51.57 in" */
const char *quantity_run(double mm, bool inches, struct arena *arena); /* off a roll: "13.2 m", "43.3 ft" */
/* Hundredths of the currency: "1 284.50 EUR". */
const char *quantity_money(int64_t minor, const char *currency, struct arena *arena);
/* How long something takes: "12 min", "5 h 20 min", "26 h", from two days on "2 d 0 h". Whole minutes up, at least
 * one; negative ones are 1 min. */
const char *quantity_span(int64_t seconds, struct arena *arena);

#endif
