/* Conversions of units, here and nowhere else. Inside the program lengths are millimetres,
 * temperatures degrees Celsius, durations seconds, areas square metres, shares percent. */
#ifndef BASE_UNITS_H
#define BASE_UNITS_H

#include "base/str.h"
#include <stdbool.h>
#include <stdint.h>

struct arena;

#define MM_PER_INCH   25.4
#define POINTS_PER_MM (72.0 / 25.4)
#define MM_PER_POINT  (25.4 / 72.0)

/* Quantities as people write them. Each returns true and the value when the whole of `text` is one;
 * blanks between number and unit are allowed. */
bool units_number(struct str text, double *value);    /* 12, 12.5 */
bool units_length_mm(struct str text, double *mm);    /* 12, 12 mm, 1.2 cm, 5.4 m, 0.5 in, 2 ft 3 in */
bool units_temperature_c(struct str text, double *c); /* 21, 21 C, 73 F */
bool units_duration_s(struct str text,
                      double *seconds);               /* 48 h, 90 min, 3 d, 1 h 30 min, 20 s; unit required */
bool units_volume_ml(struct str text, double *ml);    /* 120, 120 ml, 1.5 l */
bool units_percent(struct str text, double *percent); /* 15, 15 % */
bool units_angle_deg(struct str text, double *degrees); /* 60, 60 deg */
bool units_years(struct str text, double *years);       /* 5, 5 y, 18 months */
/* A decimal amount of money in millionths of the currency unit: 9.80 -> 9800000. At most 6 decimals. */
bool units_money_micro(struct str text, int64_t *micro);

/* A figure as people in many countries write it: one comma between two digits is a decimal mark ("21,5",
 * "1,48 m"), and the result, in the arena, has a point in its place. Before exactly three digits it may as
 * well part thousands: then NULL, and *trouble (in the arena) has both readings and what to write. Text
 * without such a comma comes back as it is. */
const char *units_with_point(const char *written, struct arena *arena, const char **trouble);

/* For people who work in inches: every figure with a unit of length or area in a sentence is said in inches
 * (mm), feet (m, m per min) or square feet (m2, m2/h), to 0.01, thin ones to 0.0001. Figures before it that
 * share the unit go with it ("x 155 to 695, y 80 to 220 mm", "54 x 19 m"). Words without such a figure, and
 * those that were converted before, come back as they are; NULL for NULL. */
const char *units_in_inches(const char *words, struct arena *arena);
/* A figure in those units. */
const char *units_figure(double value, struct arena *arena);
/* A length as people read it, in the arena: to 0.1 mm or 0.01 in (finer than 1/16 in, and than the 1.5 mm by which
 * length marks may miss); what comes off a roll: to 0.1 m or 0.1 ft. */
const char *units_length_words(double mm, bool inches, struct arena *arena); /* "1432.5 mm", "56.4 in" */
const char *units_run_words(double mm, bool inches, struct arena *arena);    /* "13.2 m", "43.3 ft" */
#define M2_PER_FT2 (0.3048 * 0.3048)

#endif
