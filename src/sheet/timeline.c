/* Steps over time, with the shop's opening hours behind them. */
#include "sheet/pictures.h"
#include "style.h"
#include "base/arena.h"
#include "base/str.h"
#include <math.h>

enum {
    DAY_S = 86400,
    DAYS_MOST = 400,
    NAMES_MM = 38,
    HEAD_MM = 12,
    ROW_MM = 4,
    GROUP_GAP_MM = 3,
    FOOT_MM = 7
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

static bool is_closed(const struct shop *shop, struct civil_time day)
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
    bool roomy = width >= 6, starts_week = weekday == 0;
    if (!roomy && !starts_week && t->to - t->from > 10 * (int64_t)DAY_S) return;
    struct letters small = words_grey(2, ALIGN_LEFT), bold = words_bold(2.3, ALIGN_LEFT);
    draw_text(d, (struct point){x + 0.6, t->y0 - 4.4}, small, weekdays[weekday]);
    bool named = starts_week || day.day == 1 || width >= 11 ||
                 day.day == zone_local(t->plan->input->zone, t->from).day;
    draw_text(d, (struct point){x + 0.6, t->y0 - 1.4}, bold,
              named && (width >= 9 || !roomy)
                  ? arena_format(arena, "%d %s", day.day, months[(day.month + 11) % 12])
                  : arena_format(arena, "%d", day.day));
}

/* The openings that begin on a day; one may run on past midnight. */
static void put_openings(const struct axis_of_time *t, struct civil_time day)
{
    const struct zone *zone = t->plan->input->zone;
    const struct shop *shop = t->plan->input->job->shop;
    const struct day_hours *hours = &shop->week[zone_weekday(day.year, day.month, day.day)];
    for (size_t i = 0; i < hours->count && !is_closed(shop, day); i++) {
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

static bool step_is_of(const struct step *step, const struct surface_plan *sp)
{
    for (size_t i = 0; i < step->panel_count; i++)
        for (size_t j = 0; j < sp->panel_count; j++)
            if (string_equal(step->panels[i], sp->panels[j].id)) return true;
    return false;
}

static bool waits(enum step_kind kind)
{
    return kind == STEP_DRY || kind == STEP_BOND;
}

static bool has_row(const struct plan *plan, const struct surface_plan *sp, enum step_kind kind)
{
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == kind && step_is_of(&plan->steps[i], sp)) return true;
    return false;
}

static void put_bar(const struct axis_of_time *t, const struct step *step, double y)
{
    double a = x_of(t, step->start), b = fmax(x_of(t, step->end), a + 0.5);
    struct look look = {
        .fill = waits(step->kind) ? paint_grey(0.74) : paint_grey(0.42), .line = ink_grey(), .line_mm = 0.12};
    if (step->decides) {
        look.fill = waits(step->kind) ? ink_accent_pale() : ink_accent();
        look.line = ink_accent();
        look.line_mm = 0.4;
    }
    draw_rect(t->drawing, (struct rect){a, y + 0.7, b, y + ROW_MM - 0.7}, look);
}

static double put_row(const struct axis_of_time *t, const struct surface_plan *sp, enum step_kind kind,
                      double y)
{
    const struct plan *plan = t->plan;
    draw_text(t->drawing, (struct point){t->x0 - 1.5, y + 2.9}, words_grey(2.3, ALIGN_RIGHT),
              step_kind_name(kind));
    for (int pass = 0; pass < 2; pass++) /* what decides lies on top */
        for (size_t i = 0; i < plan->step_count; i++)
            if (plan->steps[i].kind == kind && plan->steps[i].decides == (pass == 1) &&
                step_is_of(&plan->steps[i], sp))
                put_bar(t, &plan->steps[i], y);
    return y + ROW_MM;
}

static double put_surface(const struct axis_of_time *t, const struct surface_plan *sp, double y)
{
    struct letters name = words_bold(2.6, ALIGN_LEFT);
    name.most_mm = NAMES_MM - 16;
    draw_paragraph(t->drawing, (struct point){0.5, y + 0.4}, name, 3, sp->surface->name);
    for (enum step_kind kind = STEP_PRINT; kind <= STEP_FINISH; kind++)
        if (has_row(t->plan, sp, kind)) y = put_row(t, sp, kind, y);
    draw_line(t->drawing, (struct point){0, y + GROUP_GAP_MM / 2.0},
              (struct point){t->x1, y + GROUP_GAP_MM / 2.0}, line_of(ink_pale(), 0.15));
    return y + GROUP_GAP_MM;
}

static double rows_height(const struct plan *plan)
{
    double height = 0;
    for (size_t i = 0; i < plan->surface_count; i++) {
        for (enum step_kind kind = STEP_PRINT; kind <= STEP_FINISH; kind++)
            height += has_row(plan, &plan->surfaces[i], kind) ? ROW_MM : 0;
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
    struct letters letters = words_bold(2.3, x > (t->x0 + t->x1) / 2 ? ALIGN_RIGHT : ALIGN_LEFT);
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
    double width = fmax(options.width_mm, 60), rows = rows_height(plan);
    struct drawing *d = drawing_new(arena, width, HEAD_MM + rows + FOOT_MM, "timeline");
    struct axis_of_time t = {plan, d, 0, 0, NAMES_MM, width - 0.5, HEAD_MM, HEAD_MM + rows};
    set_range(&t);
    put_days(&t);
    double y = HEAD_MM + GROUP_GAP_MM / 2.0 - 1;
    for (size_t i = 0; i < plan->surface_count; i++) y = put_surface(&t, &plan->surfaces[i], y);
    draw_rect(d, (struct rect){t.x0, t.y0, t.x1, t.y1}, line_of(ink_grey(), 0.2));
    if (plan->has_install)
        put_moment(&t, plan->earliest_install, "install from", line_of(ink_accent(), 0.6), t.y1 + 2.8);
    int64_t due = due_of(plan);
    struct look dashed = {.line = ink_black(), .line_mm = 0.4, .dash_mm = 1.2, .gap_mm = 0.7};
    if (due && due >= t.from && due <= t.to) put_moment(&t, due, "due", dashed, t.y1 + 6);
    return d;
}
