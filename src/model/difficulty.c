/* Measures from its features how difficult a surface is to cover. Called by planning for hours, by quotes for the
 * rate of a m2. */
#include "model/difficulty.h"
#include "base/arena.h"
#include "base/sentence.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>

enum { DIFFICULTY_MOST = 300 };

static double box_m2(const struct surface *surface, struct rect box)
{
    double x0 = fmax(box.x0, 0), x1 = fmin(box.x1, surface->width_mm);
    double y0 = fmax(box.y0, 0), y1 = fmin(box.y1, surface->height_mm);
    return x1 > x0 && y1 > y0 ? (x1 - x0) * (y1 - y0) / 1e6 : 0;
}

/* What stays on while film goes on: it is cut round it. */
static bool is_worked_round(const struct feature *f)
{
    const struct feature_type *type = &feature_types[f->kind];
    return (type->is_hardware || type->film == FILM_CUT_OUT) && !(type->comes_off && !f->stays);
}

/* m2 of flat film that would take as long as what is more difficult at this feature. */
static double difficulty_count(const struct surface *surface, const struct feature *f,
                               struct surface_difficulty *d)
{
    double area = box_m2(surface, f->box), extra_m2 = 0;
    enum feature_relief relief = feature_types[f->kind].relief;
    if (relief == RELIEF_RECESS) d->recesses++, extra_m2 += area * practice_share("quote-recess");
    if (relief == RELIEF_RIBS) d->ribs++, extra_m2 += area * practice_share("quote-ribs");
    if (feature_types[f->kind].is_curved) d->curves++, extra_m2 += area * practice_share("quote-curve");
    if (is_worked_round(f)) d->parts++, extra_m2 += practice_value("quote-part").value;
    return extra_m2;
}

static enum surface_sort sort_of(const struct surface *surface, const struct surface_difficulty *d)
{
    if (surface->glass) return SORT_GLASS;
    if (surface->front == FRONT_UP || surface->front == FRONT_DOWN) return SORT_LYING;
    return d->recesses + d->ribs + d->curves ? SORT_SHAPED : SORT_FLAT;
}

static enum difficulty difficulty_written(const struct surface *surface)
{
    return surface->spec ? surface->spec->difficulty : DIFFICULTY_NORMAL;
}

double difficulty_written_percent(const struct surface *surface)
{
    enum difficulty difficulty = difficulty_written(surface);
    if (difficulty == DIFFICULTY_NORMAL) return 100;
    return practice_value(difficulty == DIFFICULTY_EASY ? "difficulty-easy" : "difficulty-hard").value;
}

struct surface_difficulty difficulty_of(const struct surface *surface)
{
    struct surface_difficulty d = {0};
    double extra_m2 = 0;
    for (size_t i = 0; i < surface->feature_count; i++)
        extra_m2 += difficulty_count(surface, &surface->features[i], &d);
    double measured = surface->area_m2 > 0 ? 100 * (1 + extra_m2 / surface->area_m2) : 100;
    d.sort = sort_of(surface, &d);
    d.percent = fmin(round(measured * difficulty_written_percent(surface) / 100), DIFFICULTY_MOST);
    return d;
}

double removal_age_percent(const struct surface *surface, const struct shop *shop)
{
    double age_y = surface->spec ? surface->spec->old_film_age_y : 0;
    double beyond = fmax(0, age_y - practice_value("removal-fresh").value);
    return round(100 + beyond * shop->quote.removal_year_percent.value);
}

const char *difficulty_words(const struct surface *surface, struct arena *arena)
{
    const struct surface_difficulty d = difficulty_of(surface);
    const struct {
        const char *id;
        int count;
    } rows[] = {{"quote-shape-recesses", d.recesses},
                {"quote-shape-ribs", d.ribs},
                {"quote-shape-curves", d.curves},
                {"quote-shape-parts", d.parts}};
    struct text words = text_new(arena);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].count)
            text_addf(&words, "%s%s", words.length ? ", " : "",
                      sentence_words(arena, rows[i].id, ARGUMENTS(arg_count("count", rows[i].count))));
    if (difficulty_written(surface) != DIFFICULTY_NORMAL)
        text_addf(&words, "%s%s", words.length ? ", " : "",
                  difficulty_written(surface) == DIFFICULTY_EASY ? "easy" : "hard");
    return text_string(&words);
}
