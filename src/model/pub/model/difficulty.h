/* How difficult a surface is to cover, by its features and as written. The one rule for hours of installing: dates,
 * cost and quotes go by it. Values: quote-... and difficulty-... of model/practice.h. */
#ifndef MODEL_DIFFICULTY_H
#define MODEL_DIFFICULTY_H

#include "model/charge.h"
#include "model/surface.h"

struct surface_difficulty {
    enum surface_sort sort;
    double percent;                    /* of the work on a flat surface: whole, 1 .. 300 */
    int recesses, ribs, curves, parts; /* parts: what is worked round */
};

struct surface_difficulty difficulty_of(const struct surface *surface);
/* Only what the job writes: 100, else the share of practice_value. */
double difficulty_written_percent(const struct surface *surface);
/* Old film takes longer to remove for each year beyond the first few: 100 and more, whole percent. */
double removal_age_percent(const struct surface *surface, const struct shop *shop);
/* "2 recesses, 1 part worked round, hard"; "": nothing. */
const char *difficulty_words(const struct surface *surface, struct arena *arena);

#endif
