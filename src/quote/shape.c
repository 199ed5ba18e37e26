/* How difficult a surface is to cover, by its features. Values: quote-... of model/practice.h. */
#include "base/arena.h"
#include "inner.h"
#include <math.h>

enum { DIFFICULTY_MOST = 300 };

struct shape_counts {
    int recesses, ribs, curves, parts;
    double extra_m2; /* of flat film that would take as long as what is more difficult */
};

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

static void count_feature(const struct surface *surface, const struct feature *f, struct shape_counts *counts)
{
    double area = box_m2(surface, f->box);
    enum feature_relief relief = feature_types[f->kind].relief;
    if (relief == RELIEF_RECESS)
        counts->recesses++, counts->extra_m2 += area * practice_share("quote-recess");
    if (relief == RELIEF_RIBS) counts->ribs++, counts->extra_m2 += area * practice_share("quote-ribs");
    if (feature_types[f->kind].is_curved)
        counts->curves++, counts->extra_m2 += area * practice_share("quote-curve");
    if (is_worked_round(f)) counts->parts++, counts->extra_m2 += practice_value("quote-part").value;
}

static enum surface_sort sort_of(const struct surface *surface, const struct shape_counts *counts)
{
    if (surface->glass) return SORT_GLASS;
    if (surface->front == FRONT_UP || surface->front == FRONT_DOWN) return SORT_LYING;
    return counts->recesses + counts->ribs + counts->curves ? SORT_SHAPED : SORT_FLAT;
}

static double written_percent(const struct surface *surface)
{
    enum difficulty difficulty = surface->spec ? surface->spec->difficulty : DIFFICULTY_NORMAL;
    if (difficulty == DIFFICULTY_NORMAL) return 100;
    return practice_value(difficulty == DIFFICULTY_EASY ? "difficulty-easy" : "difficulty-hard").value;
}

static const char *counts_words(const struct surface *surface, const struct shape_counts *counts,
                                struct arena *arena)
{
    const struct {
        const char *id;
        int count;
    } rows[] = {{"quote-shape-recesses", counts->recesses},
                {"quote-shape-ribs", counts->ribs},
                {"quote-shape-curves", counts->curves},
                {"quote-shape-parts", counts->parts}};
    struct text words = text_new(arena);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i].count)
            text_addf(&words, "%s%s", words.length ? ", " : "",
                      sentence_words(arena, rows[i].id, ARGUMENTS(arg_count("count", rows[i].count))));
    enum difficulty difficulty = surface->spec ? surface->spec->difficulty : DIFFICULTY_NORMAL;
    if (difficulty != DIFFICULTY_NORMAL)
        text_addf(&words, "%s%s", words.length ? ", " : "", difficulty == DIFFICULTY_EASY ? "easy" : "hard");
    return text_string(&words);
}

struct quote_shape shape_of(const struct surface *surface, struct arena *arena)
{
    struct shape_counts counts = {0};
    for (size_t i = 0; i < surface->feature_count; i++)
        count_feature(surface, &surface->features[i], &counts);
    double measured = surface->area_m2 > 0 ? 100 * (1 + counts.extra_m2 / surface->area_m2) : 100;
    return (struct quote_shape){.sort = sort_of(surface, &counts),
                                .percent =
                                    fmin(round(measured * written_percent(surface) / 100), DIFFICULTY_MOST),
                                .why = counts_words(surface, &counts, arena)};
}
