/* Judges whether film, laminate and ink suit the surface: temperature, stretch, durability, glass, missing
 * laminate. Called by plan.c and, for windows and waivers, by the schedule. */
#include "plan/suit.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>

/* ---- limits ---- */

static void take_least(struct suit_limit *limit, struct measure percent, const char *part, const char *name)
{
    if (!limit->part || percent.value < limit->percent.value)
        *limit = (struct suit_limit){percent, part, name};
}

/* Over it the set fails: what was written, else the high end of common practice. */
static struct suit_limit suit_limit_of(const struct condition *condition)
{
    struct suit_limit limit = {0};
    take_least(&limit, condition->film->stretch_limit_percent, "film", condition->film->name);
    if (condition->laminate)
        take_least(&limit, condition->laminate->stretch_limit_percent, "laminate", condition->laminate->name);
    take_least(&limit, condition->ink->stretch_limit_percent, "ink", condition->ink->name);
    return limit;
}

static void take_low(struct suit_limit *limit, struct measure ask, const char *part, const char *name)
{
    if (measure_known(ask)) take_least(limit, ask, part, name);
}

/* Over it the maker should be asked: the low end of common practice, of parts whose limit nobody wrote. */
static struct suit_limit suit_low_limit_of(const struct condition *condition)
{
    const struct film *film = condition->film, *laminate = condition->laminate;
    struct suit_limit limit = {0};
    take_low(&limit, film->stretch_ask_percent, "film", film->name);
    if (laminate) take_low(&limit, laminate->stretch_ask_percent, "laminate", laminate->name);
    take_low(&limit, condition->ink->stretch_ask_percent, "ink", condition->ink->name);
    return limit;
}

struct suit_window suit_room_window(const struct film *laminate)
{
    return (struct suit_window){laminate->room_low_c, laminate->room_high_c};
}

struct suit_window suit_roller_window(const struct film *laminate)
{
    return (struct suit_window){laminate->temperature_low_c, laminate->temperature_high_c};
}

/* ---- stretch ---- */

static bool suit_holds(struct rect box, double x, double y)
{
    return x >= box.x0 && x < box.x1 && y >= box.y0 && y < box.y1;
}

/* A direction's figure over the free span: the feature's local figure belongs to its larger direction. */
static double local_of(const struct stretch *stretch, double percent)
{
    double larger = fmax(stretch->across_percent, stretch->up_percent);
    return percent > 0 && stretch->local_percent > larger ? percent / larger * stretch->local_percent
                                                          : percent;
}

/* Largest stretch of either direction at one place: factors of features that cross there multiply. */
static double stretch_at(const struct surface *s, double x, double y, bool local)
{
    double across = 1, up = 1;
    for (size_t i = 0; i < s->stretch_count; i++) {
        const struct stretch *one = &s->stretches[i];
        if (!suit_holds(one->box, x, y)) continue;
        across *= 1 + (local ? local_of(one, one->across_percent) : one->across_percent) / 100;
        up *= 1 + (local ? local_of(one, one->up_percent) : one->up_percent) / 100;
    }
    return (fmax(across, up) - 1) * 100;
}

/* The stretch is constant between the features' edges, so it is enough to test where a left edge of one and
 * a lower edge of another (or of the area) begin. */
static void stretch_from_left_edge(const struct surface *s, struct rect area, size_t left,
                                   struct suit_stretch *largest)
{
    double x = fmax(s->stretches[left].box.x0, area.x0);
    for (size_t i = 0; i < s->stretch_count; i++) {
        double y = fmax(s->stretches[i].box.y0, area.y0);
        if (!suit_holds(area, x, y)) continue;
        largest->average_percent = fmax(largest->average_percent, stretch_at(s, x, y, false));
        double local = stretch_at(s, x, y, true);
        if (local <= largest->local_percent) continue;
        largest->local_percent = local;
        largest->box = rect_intersect(s->stretches[left].box, s->stretches[i].box);
        largest->reason = s->stretches[i].reason;
    }
}

struct suit_stretch suit_stretch_in(const struct surface *s, struct rect area)
{
    struct suit_stretch largest = {.box = area};
    for (size_t i = 0; i < s->stretch_count; i++)
        if (rect_overlaps(s->stretches[i].box, area)) stretch_from_left_edge(s, area, i, &largest);
    return largest;
}

/* ---- verdicts ---- */

struct suit {
    const struct surface *surface;
    const struct condition *condition;
    const struct job *job;
    struct findings *findings;
};

static void suit_say_place(struct finding *finding, struct rect box, struct measure limit)
{
    finding->has_box = !rect_is_empty(box), finding->box = box;
    finding->source = limit.source;
}

/* What the film must do, in a sentence's beginning. */
static const char *suit_stretch_words(const struct suit *suit, struct suit_stretch stretch)
{
    return sentence_words(suit->findings->arena, "film-must-stretch-on-average-and",
                          ARGUMENTS(arg_fixed("average_percent", stretch.average_percent, 1),
                                    arg_fixed("local_percent", stretch.local_percent, 1)));
}

static void judge_limit(const struct suit *suit, struct suit_stretch stretch)
{
    struct suit_limit limit = suit_limit_of(suit->condition);
    double warn = limit.percent.value * practice_value("stretch-warn-share").value / 100;
    const char *reason = stretch.reason ? stretch.reason : "", *between = stretch.reason ? " " : "";
    bool over = stretch.local_percent > limit.percent.value + 1e-9;
    if (!over && stretch.local_percent <= warn + 1e-9) return;
    suit_say_place(
        finding_add(
            suit->findings, over ? "stretch-over-limit" : "stretch-near-limit", suit->surface->name, "takes",
            ARGUMENTS(arg_words("stretch", suit_stretch_words(suit, stretch)), arg_words("part", limit.part),
                      arg_words("limit", limit.name), arg_number("percent", limit.percent.value),
                      arg_words("percent_source", limit.percent.source), arg_words("between", between),
                      arg_words("reason", reason), arg_flag("over", over))),
        stretch.box, limit.percent);
}

/* Between the ends of what is usual, the maker's figure decides, and nobody wrote it. */
static void judge_unwritten(const struct suit *suit, struct suit_stretch stretch)
{
    struct suit_limit limit = suit_limit_of(suit->condition), low = suit_low_limit_of(suit->condition);
    if (!low.part || stretch.local_percent <= low.percent.value + 1e-9 ||
        stretch.local_percent > limit.percent.value + 1e-9)
        return;
    suit_say_place(finding_add(suit->findings, "stretch-limit-unwritten", suit->surface->name,
                               "stretch-limit-unwritten",
                               ARGUMENTS(arg_words("stretch", suit_stretch_words(suit, stretch)),
                                         arg_words("part", low.part), arg_words("low", low.name),
                                         arg_number("percent", low.percent.value),
                                         arg_words("percent_source", low.percent.source))),
                   stretch.box, low.percent);
}

static void suit_judge_ink(const struct suit *suit, struct suit_stretch stretch)
{
    const struct ink *ink = suit->condition->ink;
    struct measure limit = ink->stretch_limit_percent;
    if (ink->technology != INK_UV || measure_is_written(ink->stretch_limit_percent) ||
        stretch.local_percent <= limit.value + 1e-9)
        return;
    suit_say_place(finding_add(suit->findings, "ink-not-conformable", suit->surface->name,
                               "ink-not-conformable",
                               ARGUMENTS(arg_words("stretch", suit_stretch_words(suit, stretch)),
                                         arg_words("ink", ink->name), arg_number("limit", limit.value),
                                         arg_words("limit_source", limit.source))),
                   stretch.box, limit);
}

static void judge_film(const struct suit *suit, struct suit_stretch stretch)
{
    const struct film *film = suit->condition->film;
    struct measure limit = film->stretch_limit_percent;
    if (film->kind == FILM_CAST || stretch.local_percent <= limit.value / 2 + 1e-9) return;
    suit_say_place(
        finding_add(suit->findings, "film-not-conformable", suit->surface->name, "film-not-conformable",
                    ARGUMENTS(arg_words("stretch", suit_stretch_words(suit, stretch)),
                              arg_words("film", film->name),
                              arg_words("film_kind", film_kind_name(film->kind)),
                              arg_number("limit", limit.value), arg_words("limit_source", limit.source))),
        stretch.box, limit);
}

/* Pressed to the floor first, or in its corners, a recess asks for more than the verdict's figure. */
static void judge_recess(const struct suit *suit, const struct stretch *stretch)
{
    struct suit_limit limit = suit_limit_of(suit->condition), low = suit_low_limit_of(suit->condition);
    double most = fmax(stretch->stuck_percent, stretch->corner_percent), soft = limit.percent.value;
    if (low.part) soft = fmin(soft, low.percent.value);
    if (most > limit.percent.value + 1e-9)
        suit_say_place(finding_add(suit->findings, "stretch-if-stuck", suit->surface->name, "as-said",
                                   ARGUMENTS(arg_words("words", stretch->stuck_words))),
                       stretch->box, limit.percent);
    if (stretch->stuck_words && stretch->local_percent > soft + 1e-9)
        suit_say_place(finding_add(suit->findings, "inlay-proposed", suit->surface->name, "inlay-proposed",
                                   ARGUMENTS(arg_words("reason", stretch->reason),
                                             arg_words("part", limit.part), arg_words("limit", limit.name),
                                             arg_number("percent", limit.percent.value))),
                       stretch->box, limit.percent);
}

void suit_no_laminate(const struct surface *surface, const struct zone *zone, int64_t printed,
                      struct findings *findings)
{
    const struct condition *c = surface->condition;
    const struct civil_date *until = &c->waiver_until;
    struct civil_time on = zone_local(zone, printed);
    const char *end = civil_day_words(until->year, until->month, until->day, findings->arena);
    bool holds =
        until->year * 10000 + until->month * 100 + until->day >= on.year * 10000 + on.month * 100 + on.day;
    if (!c->laminate_waiver)
        finding_add(findings, "laminate-missing", surface->name, "laminate-missing-condition-has-no-laminate",
                    ARGUMENTS(arg_words("c", c->name)));
    else if (holds)
        finding_add(findings, "laminate-waived", surface->name, "laminate-waived",
                    ARGUMENTS(arg_words("end", end), arg_words("laminate_waiver", c->laminate_waiver)));
    else
        finding_add(
            findings, "laminate-missing", surface->name, "laminate-missing-condition-has-no-laminate-2",
            ARGUMENTS(arg_words("c", c->name), arg_words("end", end),
                      arg_words("civil_day", civil_day_words(on.year, on.month, on.day, findings->arena))));
}

static void judge_laminate(const struct suit *suit)
{
    const struct film *film = suit->condition->film, *laminate = suit->condition->laminate;
    if (film->kind != FILM_PERFORATED && laminate->kind != film->kind)
        finding_add(suit->findings, "laminate-mismatch", suit->surface->name,
                    "laminate-mismatch-film-is-and-laminate",
                    ARGUMENTS(arg_words("film", film->name),
                              arg_words("film_kind", film_kind_name(film->kind)),
                              arg_words("laminate", laminate->name),
                              arg_words("laminate_kind", film_kind_name(laminate->kind))));
    if (film->kind == FILM_PERFORATED && !laminate->clear)
        finding_add(suit->findings, "laminate-mismatch", suit->surface->name,
                    "laminate-mismatch-window-film-needs-optically",
                    ARGUMENTS(arg_words("film", film->name), arg_words("laminate", laminate->name)));
}

/* Years that a film or laminate lasts here; lying surfaces wear about twice as fast. */
static struct measure durability_of(const struct film *film, bool lying)
{
    if (!lying) return film->durability_y;
    if (measure_known(film->durability_flat_y) || !measure_known(film->durability_y))
        return film->durability_flat_y;
    struct measure share = practice_value("flat-durability-share");
    return (struct measure){film->durability_y.value * share.value / 100, ORIGIN_PRACTICE,
                            sentence_plain("half-of-upright-surface-common-practice-no")};
}

/* Of an upright surface's figure a lying one keeps a share. */
static struct measure ink_durability(const struct ink *ink, bool lying)
{
    struct measure years = ink->durability_y;
    if (lying) years.value *= practice_value("flat-durability-share").value / 100;
    return years;
}

static void take_lasting(struct suit_lasting *set, struct text *unknown, struct measure years,
                         const char *part, const char *name)
{
    if (!measure_known(years))
        text_addf(unknown, "%s%s \"%s\"", unknown->length ? ", " : "", part, name);
    else if (!measure_known(set->years) || years.value < set->years.value)
        set->years = years, set->part = part, set->name = name;
}

struct suit_lasting suit_lasting_of(const struct surface *surface, struct arena *arena)
{
    const struct condition *c = surface->condition;
    struct suit_lasting set = {.lying = surface->front == FRONT_UP || surface->front == FRONT_DOWN};
    struct text unknown = text_new(arena);
    take_lasting(&set, &unknown, durability_of(c->film, set.lying), "film", c->film->name);
    if (c->laminate)
        take_lasting(&set, &unknown, durability_of(c->laminate, set.lying), "laminate", c->laminate->name);
    take_lasting(&set, &unknown, ink_durability(c->ink, set.lying), "ink", c->ink->name);
    set.unknown = text_string(&unknown);
    return set;
}

static void judge_durability(const struct suit *suit)
{
    double promised = suit->job->durability_y;
    if (!(promised > 0)) return;
    struct suit_lasting set = suit_lasting_of(suit->surface, suit->findings->arena);
    if (*set.unknown)
        finding_add(suit->findings, "durability-unknown", suit->surface->name, "durability-unknown",
                    ARGUMENTS(arg_number("promised", promised), arg_words("unknown", set.unknown)));
    if (!measure_known(set.years) || set.years.value >= promised) return;
    finding_add(suit->findings, "durability-short", suit->surface->name, "durability-short",
                ARGUMENTS(arg_number("promised", promised), arg_words("set", set.name),
                          arg_number("least", set.years.value), arg_words("source", set.years.source),
                          arg_flag("lying", set.lying)))
        ->source = set.years.source;
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
    const char *wrong = film->kind == FILM_PERFORATED ? sentence_plain("one-piece-for-each-pane-no")
                                                      : sentence_plain("film-is-not-perforated-nobody-sees");
    finding_add(suit->findings, "window-rules", suit->surface->name, "window-rules",
                ARGUMENTS(arg_words("film", film->name), arg_words("wrong", wrong)));
}

void suit_check(const struct surface *surface, const struct job *job, struct findings *findings)
{
    struct suit suit = {surface, surface->condition, job, findings};
    struct suit_stretch stretch =
        suit_stretch_in(surface, rect_of(0, 0, surface->width_mm, surface->height_mm));
    judge_limit(&suit, stretch);
    judge_unwritten(&suit, stretch);
    for (size_t i = 0; i < surface->stretch_count; i++) judge_recess(&suit, &surface->stretches[i]);
    suit_judge_ink(&suit, stretch);
    judge_film(&suit, stretch);
    if (suit.condition->laminate) judge_laminate(&suit);
    judge_durability(&suit);
    judge_glass(&suit);
}
