/* Steps over time, with the shop's opening hours behind them. */
#include "sheet/pictures.h"
#include "groups.h"
#include "style.h"
#include "base/arena.h"
#include <math.h>

enum {
    DAY_S = 86400,
    DAYS_MOST = 400,
    NAMES_MM = 50,
    HEAD_MM = 12,
    ROW_MM = 4,
    GROUP_GAP_MM = 3,
    FOOT_MM = 9
};

struct axis_of_time {
    const struct plan *plan;
    struct drawing *drawing;
    int64_t from, to; /* local midnights, UTC seconds */
    double x0, x1;
    double y0, y1; /* of the rows */
};

static double x_of(const struct axis_of_time *t, int64_t at)
{
    double share = (double)(at - t->from) / (double)(t->to - t->from);
    return t->x0 + (t->x1 - t->x0) * fmin(fmax(share, 0), 1);
}

/* Midnight of the day `days` after the day of `at`, in the zone. */
static int64_t midnight(const struct zone *zone, int64_t at, int days)
{
    struct civil_time t = zone_local(zone, at + (int64_t)days * DAY_S);
    if (days) { /* a clock change between may have moved us over midnight: step from noon */
        struct civil_time first = zone_local(zone, at);
        first.hour = 12, first.minute = first.second = 0, first.has_offset = false;
        t = zone_local(zone, zone_utc(zone, &first) + (int64_t)days * DAY_S);
    }
    t.hour = t.minute = t.second = 0;
    t.has_offset = false;
    return zone_utc(zone, &t);
}

static bool timeline_is_closed(const struct shop *shop, struct civil_time day)
{
    for (size_t i = 0; i < shop->closed_count; i++)
        if (shop->closed[i].year == day.year && shop->closed[i].month == day.month &&
            shop->closed[i].day == day.day)
            return true;
    return false;
}

static int64_t at_time(const struct zone *zone, struct civil_time day, int seconds)
{
    day.hour = seconds / 3600, day.minute = seconds / 60 % 60, day.second = seconds % 60;
    day.has_offset = false;
    return zone_utc(zone, &day);
}

static void put_day_label(const struct axis_of_time *t, struct civil_time day, double x, double width)
{
    static const char *const weekdays[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    struct drawing *d = t->drawing;
    struct arena *arena = drawing_arena(d);
    int weekday = zone_weekday(day.year, day.month, day.day);
    bool roomy = width >= 8, starts_week = weekday == 0;
    if (!roomy && !starts_week && t->to - t->from > 10 * (int64_t)DAY_S) return;
    struct letters small = words_grey(TYPE_MM, ALIGN_LEFT), bold = words_bold(TYPE_MM, ALIGN_LEFT);
    draw_text(d, (struct point){x + 0.6, t->y0 - 5}, small, weekdays[weekday]);
    bool named = starts_week || day.day == 1 || width >= 13 ||
                 day.day == zone_local(t->plan->input->zone, t->from).day;
    draw_text(d, (struct point){x + 0.6, t->y0 - 1.4}, bold,
              named && (width >= 13 || !roomy)
                  ? arena_format(arena, "%d %s", day.day, months[(day.month + 11) % 12])
                  : arena_format(arena, "%d", day.day));
}

/* The openings that begin on a day; one may run on past midnight. */
static void put_openings(const struct axis_of_time *t, struct civil_time day)
{
    const struct zone *zone = t->plan->input->zone;
    const struct shop *shop = t->plan->input->job->shop;
    const struct day_hours *hours = &shop->week[zone_weekday(day.year, day.month, day.day)];
    for (size_t i = 0; i < hours->count && !timeline_is_closed(shop, day); i++) {
        double a = x_of(t, at_time(zone, day, hours->openings[i].open_s));
        double b = x_of(t, at_time(zone, day, hours->openings[i].close_s));
        if (b > a) draw_rect(t->drawing, (struct rect){a, t->y0, b, t->y1}, filled(ink_white()));
    }
}

/* Closed hours grey, opening hours white, a line and a date at each midnight. */
static void put_days(const struct axis_of_time *t)
{
    const struct zone *zone = t->plan->input->zone;
    draw_rect(t->drawing, (struct rect){t->x0, t->y0, t->x1, t->y1}, filled(paint_grey(0.87)));
    for (int i = -1; i < DAYS_MOST && midnight(zone, t->from, i) < t->to; i++)
        put_openings(t, zone_local(zone, midnight(zone, t->from, i)));
    for (int i = 0; i < DAYS_MOST; i++) {
        int64_t start = midnight(zone, t->from, i);
        if (start >= t->to) break;
        double x = x_of(t, start), width = x_of(t, midnight(zone, t->from, i + 1)) - x;
        draw_line(t->drawing, (struct point){x, t->y0 - 6.5}, (struct point){x, t->y1},
                  line_of(paint_grey(0.7), 0.12));
        put_day_label(t, zone_local(zone, start), x, width);
    }
}

/* ---- rows ---- */

static bool timeline_waits(enum step_kind kind)
{
    return kind == STEP_SUPPLY || kind == STEP_DRY || kind == STEP_BOND;
}

/* The rows of a group: one for each kind of step; or, where all would be too high, one for all of them. */
enum { KIND_ANY = -1 };

static bool timeline_is_of(int row, const struct step *step)
{
    return row == KIND_ANY ? step->kind <= STEP_FINISH : (int)step->kind == row;
}

static bool timeline_has_row(const struct plan *plan, const struct surface_group *group, int row)
{
    for (size_t i = 0; i < plan->step_count; i++)
        if (timeline_is_of(row, &plan->steps[i]) && group_has_step(group, plan, &plan->steps[i])) return true;
    return false;
}

static void put_bar(const struct axis_of_time *t, const struct step *step, double y)
{
    double a = x_of(t, step->start), b = fmax(x_of(t, step->end), a + 0.5);
    struct look look = {.fill = timeline_waits(step->kind) ? paint_grey(0.74) : paint_grey(0.42),
                        .line = ink_grey(),
                        .line_mm = 0.12};
    if (step->decides) {
        look.fill = timeline_waits(step->kind) ? ink_accent_pale() : ink_accent();
        look.line = ink_accent();
        look.line_mm = 0.4;
    }
    draw_rect(t->drawing, (struct rect){a, y + 0.7, b, y + ROW_MM - 0.7}, look);
}

static double timeline_put_row(const struct axis_of_time *t, const struct surface_group *group, int row,
                               double y)
{
    const struct plan *plan = t->plan;
    if (row != KIND_ANY)
        draw_text(t->drawing, (struct point){t->x0 - 1.5, y + 3.1}, words_grey(TYPE_MM, ALIGN_RIGHT),
                  step_kind_name((enum step_kind)row));
    for (int pass = 0; pass < 4; pass++) /* work over waiting, what decides on top */
        for (size_t i = 0; i < plan->step_count; i++) {
            const struct step *s = &plan->steps[i];
            if (s->decides == (pass >= 2) && timeline_waits(s->kind) == (pass % 2 == 0) &&
                timeline_is_of(row, s) && group_has_step(group, plan, s))
                put_bar(t, s, y);
        }
    return y + ROW_MM;
}

static double timeline_put_group(const struct axis_of_time *t, const struct surface_group *group,
                                 bool compact, double y)
{
    if (!timeline_has_row(t->plan, group, KIND_ANY)) return y; /* only pieces lie on it */
    struct letters name = words_bold(TYPE_MM, ALIGN_LEFT);
    name.most_mm = NAMES_MM - (compact ? 2 : 21);
    draw_paragraph(t->drawing, (struct point){0.5, y}, name, compact ? 1 : 4, group->name);
    if (compact) y = timeline_put_row(t, group, KIND_ANY, y);
    for (int row = STEP_SUPPLY; !compact && row <= STEP_FINISH; row++)
        if (timeline_has_row(t->plan, group, row)) y = timeline_put_row(t, group, row, y);
    draw_line(t->drawing, (struct point){0, y + GROUP_GAP_MM / 2.0},
              (struct point){t->x1, y + GROUP_GAP_MM / 2.0}, line_of(ink_pale(), 0.15));
    return y + GROUP_GAP_MM;
}

static double rows_height(const struct plan *plan, const struct surface_groups *groups, bool compact)
{
    double height = 0;
    for (size_t i = 0; i < groups->count; i++) {
        if (!timeline_has_row(plan, &groups->items[i], KIND_ANY)) continue;
        if (compact) height += ROW_MM;
        for (int row = STEP_SUPPLY; !compact && row <= STEP_FINISH; row++)
            height += timeline_has_row(plan, &groups->items[i], row) ? ROW_MM : 0;
        height += GROUP_GAP_MM;
    }
    return height;
}

/* ---- moments ---- */

static void put_moment(const struct axis_of_time *t, int64_t at, const char *what, struct look look, double y)
{
    struct arena *arena = drawing_arena(t->drawing);
    const char *words = arena_format(arena, "%s %s", what, zone_words(t->plan->input->zone, at, arena));
    double x = x_of(t, at);
    struct letters letters = words_bold(TYPE_MM, x > (t->x0 + t->x1) / 2 ? ALIGN_RIGHT : ALIGN_LEFT);
    letters.paint = look.line;
    draw_line(t->drawing, (struct point){x, t->y0 - 0.5}, (struct point){x, y + 0.5}, look);
    draw_text(t->drawing, (struct point){x + (letters.align == ALIGN_RIGHT ? -0.8 : 0.8), y}, letters, words);
}

static int64_t due_of(const struct plan *plan)
{
    return plan->promise.due;
}

static void set_range(struct axis_of_time *t)
{
    const struct plan *plan = t->plan;
    const struct zone *zone = plan->input->zone;
    int64_t first = plan->input->now, last = first;
    for (size_t i = 0; i < plan->step_count; i++) {
        const struct step *s = &plan->steps[i];
        first = !i || s->start < first ? s->start : first;
        last = !i || s->end > last ? s->end : last;
    }
    if (plan->has_install && plan->earliest_install > last) last = plan->earliest_install;
    int64_t due = due_of(plan);
    if (due > last && due - last < 14 * (int64_t)DAY_S) last = due;
    t->from = midnight(zone, first, 0);
    t->to = midnight(zone, last, 1);
    if (t->to - t->from > (DAYS_MOST - 1) * (int64_t)DAY_S) t->to = midnight(zone, t->from, DAYS_MOST - 1);
}

struct drawing *sheet_timeline(const struct plan *plan, struct picture_options options, struct arena *arena)
{
    const struct surface_groups groups = group_surfaces(plan, arena);
    double width = fmax(options.width_mm, 60), rows = rows_height(plan, &groups, false);
    bool compact = options.height_most_mm > 0 && HEAD_MM + rows + FOOT_MM > options.height_most_mm;
    if (compact) rows = rows_height(plan, &groups, true);
    struct drawing *d = drawing_new(arena, width, HEAD_MM + rows + FOOT_MM, "timeline");
    struct axis_of_time t = {plan, d, 0, 0, NAMES_MM, width - 0.5, HEAD_MM, HEAD_MM + rows};
    set_range(&t);
    put_days(&t);
    double y = HEAD_MM + GROUP_GAP_MM / 2.0 - 1;
    for (size_t i = 0; i < groups.count; i++) y = timeline_put_group(&t, &groups.items[i], compact, y);
    draw_rect(d, (struct rect){t.x0, t.y0, t.x1, t.y1}, line_of(ink_grey(), 0.2));
    if (plan->has_install)
        put_moment(&t, plan->earliest_install, "install from", line_of(ink_accent(), 0.6), t.y1 + 3.4);
    int64_t due = due_of(plan);
    struct look dashed = {.line = ink_black(), .line_mm = 0.4, .dash_mm = 1.2, .gap_mm = 0.7};
    if (due && due >= t.from && due <= t.to) put_moment(&t, due, "due", dashed, t.y1 + 7.4);
    return d;
}
