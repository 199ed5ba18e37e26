/* Rows of register marks, and for each the nearest free place. */
#include "contour/marks.h"
#include "inner.h"
#include <math.h>

struct mark_search {
    const struct contour_sheet *sheet;
    const struct contour_means *means;
    struct rect pieces;
    double half;  /* of the mark's size */
    double reach; /* from its middle to its furthest point */
    double distance;
    double along; /* how far it has moved along the feed */
    double most;  /* how far it may move along the feed */
    bool stopped; /* it was enough */
};

static bool mark_is_free(const struct mark_search *search, struct point p)
{
    struct rect mark = {p.x - search->half, p.y - search->half, p.x + search->half, p.y + search->half};
    if (!rect_contains(search->sheet->printed, mark, 1e-9)) return false;
    const double clear = search->reach + search->distance - 1e-9;
    return !rect_overlaps(rect_grow(search->pieces, clear),
                          (struct rect){p.x, p.y, p.x + 1e-9, p.y + 1e-9}) ||
           (region_distance(search->sheet->keep_out, p) >= clear &&
            !region_contains(search->sheet->keep_out, p));
}

/* Across from where it should be: out to the sheet's edge, and at last in between the pieces. */
static void mark_across(const struct mark_search *search, struct point ideal, double step, double *nearest,
                        struct point *found)
{
    const double width = rect_width(search->sheet->printed), out = ideal.x < search->pieces.x0 ? -step : step;
    const int most = (int)(width / step) + 1;
    for (int k = -most; k <= most; k++) {
        struct point p = {ideal.x + k * out, ideal.y};
        double away = hypot(k * step, search->along) + (k < 0 ? width : 0);
        if (away < *nearest && mark_is_free(search, p)) *nearest = away, *found = p;
    }
}

/* Along the feed from where it should be, both ways. The nearest that is free. */
static bool mark_find(struct mark_search *search, struct point ideal, struct point *found)
{
    const double step = fmax(search->half / 2, 0.5);
    double nearest = INFINITY;
    *found = ideal;
    for (search->along = 0; search->along <= search->most && search->along < nearest; search->along += step)
        for (int way = -1; way <= 1; way += 2) {
            struct point place = {ideal.x, ideal.y + way * search->along};
            mark_across(search, place, step, &nearest, found);
            search->stopped = search->means->enough && search->means->enough(search->means->self);
            if (search->stopped) return false;
        }
    return nearest < INFINITY;
}

static double mark_turn(struct point mark, struct rect pieces)
{
    bool left = mark.x < (pieces.x0 + pieces.x1) / 2, low = mark.y < (pieces.y0 + pieces.y1) / 2;
    return left ? (low ? 0 : 270) : low ? 90 : 180;
}

static bool mark_pair(struct mark_search *search, size_t row, double y, struct contour_marks *marks,
                      struct error *error)
{
    const double off = search->reach + search->distance;
    const struct rect printed = search->sheet->printed;
    for (int right = 0; right < 2; right++) {
        struct point p, ideal = {right ? search->pieces.x1 + off : search->pieces.x0 - off, y};
        ideal.x = fmin(fmax(ideal.x, printed.x0 + search->half), printed.x1 - search->half);
        if (mark_find(search, ideal, &p)) {
            marks->places[marks->count++] = (struct contour_mark_place){p, mark_turn(p, search->pieces), row};
            continue;
        }
        if (search->stopped) return error_set(error, FAILURE_INPUT, "contour-long", NULL);
        return error_set(error, FAILURE_INPUT, "contour-marks-room",
                         ARGUMENTS(arg_rounded("y_mm", y, 1), arg_words("side", right ? "right" : "left"),
                                   arg_rounded("room_mm", search->half + off, 1)));
    }
    return true;
}

static bool entry_check(const struct contour_mark_entry *entry, struct error *error)
{
    bool good = entry->size >= 1 && entry->size <= 100 && entry->line >= 0 && entry->line <= entry->size &&
                entry->distance >= 0 && entry->distance <= 500 && entry->count <= CONTOUR_MARK_ROWS_MOST;
    if (!good) return error_set(error, FAILURE_INPUT, "contour-marks-entry", NULL);
    good = (entry->every == 0 || (entry->every >= entry->size && entry->every <= CONTOUR_REACH_MM)) &&
           (entry->section == 0 || (entry->section >= 2 * entry->size && entry->section <= CONTOUR_REACH_MM));
    return good || error_set(error, FAILURE_INPUT, "contour-marks-every", NULL);
}

static bool sheet_check(const struct contour_sheet *sheet, struct error *error)
{
    const struct rect most = {-CONTOUR_REACH_MM, -CONTOUR_REACH_MM, CONTOUR_REACH_MM, CONTOUR_REACH_MM};
    if (!rect_contains(most, sheet->printed, 0) || rect_is_empty(sheet->printed))
        return error_set(error, FAILURE_INPUT, "contour-marks-sheet", NULL);
    return region_check(sheet->keep_out, error);
}

/* Steps between rows of one section, so that rows are near enough to each other and marks are enough. */
static double section_steps(const struct contour_mark_entry *entry, double length)
{
    double steps = entry->count > 4 ? ceil((double)entry->count / 2) - 1 : 1;
    return entry->every > 0 ? fmax(steps, ceil(length / entry->every - 1e-9)) : steps;
}

bool contour_marks_place(const struct contour_sheet *sheet, const struct contour_mark_entry *entry,
                         const struct contour_means *means, struct contour_marks *marks, struct error *error)
{
    *marks = (struct contour_marks){NULL, 0, 0};
    if (!entry_check(entry, error) || !sheet_check(sheet, error)) return false;
    if (!region_points(sheet->keep_out)) return true;
    struct mark_search search = {.sheet = sheet, .means = means, .pieces = region_bounds(sheet->keep_out)};
    search.half = entry->size / 2, search.distance = entry->distance;
    search.reach =
        search.half * (entry->shape == CONTOUR_CIRCLE || entry->shape == CONTOUR_CROSS ? 1 : M_SQRT2);
    double low = fmax(search.pieces.y0, sheet->printed.y0 + search.half);
    double high = fmin(search.pieces.y1, sheet->printed.y1 - search.half), length = fmax(high - low, 0);
    double sections = entry->section > 0 ? fmax(1, ceil(length / entry->section - 1e-9)) : 1;
    double steps = sections * section_steps(entry, length / sections);
    if (!(steps < CONTOUR_MARK_ROWS_MOST))
        return error_set(error, FAILURE_INPUT, "contour-marks-many",
                         ARGUMENTS(arg_count("most", 2 * (int64_t)CONTOUR_MARK_ROWS_MOST)));
    marks->sections = (size_t)sections, search.most = fmax(length / steps / 2, entry->size);
    marks->places = arena_take_array(means->arena, 2 * ((size_t)steps + 1), sizeof *marks->places);
    for (size_t row = 0; row <= (size_t)steps; row++)
        if (!mark_pair(&search, row, low + length * (double)row / steps, marks, error)) return false;
    return true;
}
