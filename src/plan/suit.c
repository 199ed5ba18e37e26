#include "plan/suit.h"
#include "base/str.h"
#include "model/practice.h"
#include <math.h>

/* ---- limits ---- */

static struct measure film_limit(const struct film *film)
{
    static const char *const usual[] = {"stretch-cast", "stretch-calendered", "stretch-perforated"};
    return measure_or(film->stretch_limit_percent, practice_value(usual[film->kind]));
}

static struct measure ink_limit(const struct ink *ink)
{
    static const char *const usual[] = {"stretch-ink-solvent", "stretch-ink-solvent", "stretch-ink-latex",
                                        "stretch-ink-uv"};
    return measure_or(ink->stretch_limit_percent, practice_value(usual[ink->technology]));
}

static void take_least(struct suit_limit *limit, struct measure percent, const char *part, const char *name)
{
    if (!limit->part || percent.value < limit->percent.value)
        *limit = (struct suit_limit){percent, part, name};
}

struct suit_limit suit_limit_of(const struct condition *condition)
{
    struct suit_limit limit = {0};
    take_least(&limit, film_limit(condition->film), "film", condition->film->name);
    if (condition->laminate)
        take_least(&limit, film_limit(condition->laminate), "laminate", condition->laminate->name);
    take_least(&limit, ink_limit(condition->ink), "ink", condition->ink->name);
    return limit;
}

struct suit_window suit_laminate_window(const struct film *laminate)
{
    bool cast = laminate->kind == FILM_CAST;
    const char *low = cast ? "laminate-cast-low" : "laminate-calendered-low";
    const char *high = cast ? "laminate-cast-high" : "laminate-calendered-high";
    return (struct suit_window){measure_or(laminate->temperature_low_c, practice_value(low)),
                                measure_or(laminate->temperature_high_c, practice_value(high))};
}

/* ---- stretch ---- */

static bool holds(struct rect box, double x, double y)
{
    return x >= box.x0 && x < box.x1 && y >= box.y0 && y < box.y1;
}

/* Largest stretch of either direction at one place: factors of features that cross there multiply. */
static double stretch_at(const struct surface *s, double x, double y)
{
    double across = 1, up = 1;
    for (size_t i = 0; i < s->stretch_count; i++) {
        if (!holds(s->stretches[i].box, x, y)) continue;
        across *= 1 + s->stretches[i].across_percent / 100;
        up *= 1 + s->stretches[i].up_percent / 100;
    }
    return (fmax(across, up) - 1) * 100;
}

/* The stretch is constant between the features' edges, so it is enough to look where a left edge of one and
 * a lower edge of another (or of the area) begin. */
static void look_from_left_edge(const struct surface *s, struct rect area, size_t left,
                                struct suit_stretch *largest)
{
    double x = fmax(s->stretches[left].box.x0, area.x0);
    for (size_t i = 0; i < s->stretch_count; i++) {
        double y = fmax(s->stretches[i].box.y0, area.y0);
        if (!holds(area, x, y)) continue;
        double percent = stretch_at(s, x, y);
        if (percent <= largest->average_percent) continue;
        largest->average_percent = percent;
        largest->box = rect_intersect(s->stretches[left].box, s->stretches[i].box);
        largest->reason = s->stretches[i].reason;
    }
}

struct suit_stretch suit_stretch_in(const struct surface *s, struct rect area)
{
    struct suit_stretch largest = {.box = area};
    for (size_t i = 0; i < s->stretch_count; i++) {
        if (!rect_overlaps(s->stretches[i].box, area)) continue;
        look_from_left_edge(s, area, i, &largest);
        largest.local_percent = fmax(largest.local_percent, s->stretches[i].local_percent);
    }
    largest.local_percent = fmax(largest.local_percent, largest.average_percent);
    return largest;
}

/* ---- verdicts ---- */

struct suit {
    const struct surface *surface;
    const struct condition *condition;
    const struct job *job;
    struct findings *findings;
};

static void say_place(struct finding *finding, struct rect box, struct measure limit)
{
    finding->has_box = !rect_is_empty(box), finding->box = box;
    finding->source = limit.source;
}

static void judge_limit(const struct suit *suit, struct suit_stretch stretch)
{
    struct suit_limit limit = suit_limit_of(suit->condition);
    double warn = limit.percent.value * practice_value("stretch-warn-share").value / 100;
    const char *reason = stretch.reason ? stretch.reason : "", *between = stretch.reason ? " " : "";
    if (stretch.average_percent > limit.percent.value + 1e-9)
        say_place(finding_add(
                      suit->findings, "stretch-over-limit", suit->surface->name,
                      "The film must stretch %.1f %% on average and %.1f %% over a free span; the %s \"%s\" "
                      "takes %g %% (%s).%s%s",
                      stretch.average_percent, stretch.local_percent, limit.part, limit.name,
                      limit.percent.value, limit.percent.source, between, reason),
                  stretch.box, limit.percent);
    else if (stretch.local_percent > warn + 1e-9)
        say_place(finding_add(
                      suit->findings, "stretch-near-limit", suit->surface->name,
                      "The film must stretch %.1f %% on average and %.1f %% over a free span; the %s \"%s\" "
                      "takes %g %% (%s), and care begins at half of it.%s%s",
                      stretch.average_percent, stretch.local_percent, limit.part, limit.name,
                      limit.percent.value, limit.percent.source, between, reason),
                  stretch.box, limit.percent);
}

static void judge_ink(const struct suit *suit, struct suit_stretch stretch)
{
    const struct ink *ink = suit->condition->ink;
    struct measure limit = ink_limit(ink);
    if (ink->technology != INK_UV || measure_known(ink->stretch_limit_percent) ||
        stretch.average_percent <= limit.value + 1e-9)
        return;
    say_place(finding_add(suit->findings, "ink-not-conformable", suit->surface->name,
                          "The surface asks for %.1f %% of stretch; the UV-cured ink \"%s\" has no stated "
                          "elongation and is taken to stretch %g %% at most (%s).",
                          stretch.average_percent, ink->name, limit.value, limit.source),
              stretch.box, limit);
}

static void judge_film(const struct suit *suit, struct suit_stretch stretch)
{
    const struct film *film = suit->condition->film;
    struct measure limit = film_limit(film);
    if (film->kind == FILM_CAST || stretch.average_percent <= limit.value / 2 + 1e-9) return;
    say_place(finding_add(
                  suit->findings, "film-not-conformable", suit->surface->name,
                  "The surface asks for %.1f %% of stretch; \"%s\" is %s film, for flat and simply curved "
                  "surfaces (limit %g %%, %s).",
                  stretch.average_percent, film->name, film_kind_name(film->kind), limit.value, limit.source),
              stretch.box, limit);
}

void suit_no_laminate(const struct surface *surface, const struct zone *zone, int64_t printed,
                      struct findings *findings)
{
    const struct condition *c = surface->condition;
    const struct civil_date *until = &c->waiver_until;
    struct civil_time on = zone_local(zone, printed);
    bool holds = until->year * 10000 + until->month * 100 + until->day >= on.year * 10000 + on.month * 100 + on.day;
    if (!c->laminate_waiver)
        finding_add(findings, "laminate-missing", surface->name, "The condition \"%s\" has no laminate.", c->name);
    else if (holds)
        finding_add(findings, "laminate-waived", surface->name,
                    "No laminate, by a written reason that holds until %04d-%02d-%02d: %s", until->year,
                    until->month, until->day, c->laminate_waiver);
    else
        finding_add(findings, "laminate-missing", surface->name,
                    "The condition \"%s\" has no laminate; the written reason ends on %04d-%02d-%02d, and the "
                    "print is made on %04d-%02d-%02d.",
                    c->name, until->year, until->month, until->day, on.year, on.month, on.day);
}

static void judge_laminate(const struct suit *suit)
{
    const struct film *film = suit->condition->film, *laminate = suit->condition->laminate;
    if (film->kind != FILM_PERFORATED && laminate->kind != film->kind)
        finding_add(suit->findings, "laminate-mismatch", suit->surface->name,
                    "The film \"%s\" is %s and the laminate \"%s\" is %s.", film->name,
                    film_kind_name(film->kind), laminate->name, film_kind_name(laminate->kind));
    if (film->kind == FILM_PERFORATED && !laminate->clear)
        finding_add(
            suit->findings, "laminate-mismatch", suit->surface->name,
            "The window film \"%s\" needs an optically clear laminate; \"%s\" is not stated to be clear.",
            film->name, laminate->name);
}

/* Years that a film or laminate lasts here; lying surfaces wear about twice as fast. */
static struct measure durability_of(const struct film *film, bool lying)
{
    if (!lying) return film->durability_y;
    if (measure_known(film->durability_flat_y) || !measure_known(film->durability_y))
        return film->durability_flat_y;
    struct measure share = practice_value("flat-durability-share");
    return (struct measure){film->durability_y.value * share.value / 100, ORIGIN_PRACTICE,
                            "half of an upright surface: common practice, no source"};
}

static void judge_durability(const struct suit *suit)
{
    const struct condition *c = suit->condition;
    enum front front = suit->surface->front;
    bool lying = front == FRONT_UP || front == FRONT_DOWN;
    struct measure weakest = durability_of(c->film, lying);
    const char *name = c->film->name;
    if (c->laminate) {
        struct measure other = durability_of(c->laminate, lying);
        if (measure_known(other) && (!measure_known(weakest) || other.value < weakest.value))
            weakest = other, name = c->laminate->name;
    }
    if (suit->job->durability_y <= 0 || !measure_known(weakest) || weakest.value >= suit->job->durability_y)
        return;
    finding_add(suit->findings, "durability-short", suit->surface->name,
                "%g years were promised; \"%s\" lasts %g years on %s surface (%s).", suit->job->durability_y,
                name, weakest.value, lying ? "a lying" : "an upright", weakest.source)
        ->source = weakest.source;
}

static bool has_glass(const struct surface *s)
{
    for (size_t i = 0; i < s->feature_count; i++)
        if (feature_types[s->features[i].kind].is_pane) return true;
    return s->glass;
}

static void judge_glass(const struct suit *suit)
{
    const struct film *film = suit->condition->film;
    if (!has_glass(suit->surface)) return;
    const char *wrong = film->kind == FILM_PERFORATED
                            ? "One piece for each pane, no stretch."
                            : "The film is not perforated: nobody sees out through it.";
    finding_add(
        suit->findings, "window-rules", suit->surface->name,
        "This surface has glass, film \"%s\". %s Heated and double glazing may crack under dark film: ask "
        "the glass maker.",
        film->name, wrong);
}

void suit_check(const struct surface *surface, const struct job *job, struct findings *findings)
{
    struct suit suit = {surface, surface->condition, job, findings};
    struct suit_stretch stretch =
        suit_stretch_in(surface, rect_of(0, 0, surface->width_mm, surface->height_mm));
    judge_limit(&suit, stretch);
    judge_ink(&suit, stretch);
    judge_film(&suit, stretch);
    if (suit.condition->laminate) judge_laminate(&suit);
    judge_durability(&suit);
    judge_glass(&suit);
}
