/* Walks the shop's opening hours and closures: next opening, work over several days, work that must end by
 * a moment. Called by the schedule and the page's picture of time. */
#include "plan/calendar.h"
#include <assert.h>

enum { DAY_S = 86400 };

struct calendar calendar_of(const struct shop *shop, const struct zone *zone)
{
    return (struct calendar){zone, shop->week, shop->closed, shop->closed_count, 0, 0, 0};
}

/* A day on the shop's wall calendar, as UTC moments of opening and closing. */
struct calendar_opening {
    int64_t open, close; /* closed all day when equal */
};

static bool calendar_is_closed(const struct calendar *c, const struct civil_time *day)
{
    for (size_t i = 0; i < c->closed_count; i++)
        if (c->closed[i].year == day->year && c->closed[i].month == day->month &&
            c->closed[i].day == day->day)
            return true;
    return false;
}

static int64_t calendar_moment(const struct calendar *c, const struct civil_time *day, int second_of_day)
{
    struct civil_time t = {.given = true,
                           .year = day->year,
                           .month = day->month,
                           .day = day->day,
                           .hour = second_of_day / 3600,
                           .minute = second_of_day / 60 % 60,
                           .second = second_of_day % 60};
    return zone_utc(c->zone, &t);
}

static struct calendar_opening opening_of(const struct calendar *c, const struct civil_time *day,
                                          const struct hours *hours)
{
    return (struct calendar_opening){calendar_moment(c, day, hours->open_s) - c->early_s,
                                     calendar_moment(c, day, hours->close_s)};
}

static const struct day_hours *hours_on(const struct calendar *c, const struct civil_time *day)
{
    static const struct day_hours closed = {.count = 0};
    return calendar_is_closed(c, day) ? &closed : &c->week[zone_weekday(day->year, day->month, day->day)];
}

/* The local day so many days after `day`: noon is never skipped or repeated by a clock change. */
static struct civil_time day_after(const struct calendar *c, const struct civil_time *day, int days)
{
    return zone_local(c->zone, calendar_moment(c, day, DAY_S / 2) + (int64_t)days * DAY_S);
}

/* Of the week's own: looked for from the day before, whose evening may run past midnight. */
static bool next_of_week(const struct calendar *c, int64_t at, struct calendar_opening *opening)
{
    struct civil_time today = zone_local(c->zone, at), day = day_after(c, &today, -1);
    for (int i = 0; i < CALENDAR_DAYS_MOST; i++, day = day_after(c, &day, 1)) {
        const struct day_hours *hours = hours_on(c, &day);
        for (size_t k = 0; k < hours->count; k++) {
            *opening = opening_of(c, &day, &hours->openings[k]);
            if (opening->open < opening->close && opening->close > at) return true;
        }
    }
    return false;
}

/* The first opening that ends after `at`; false when there is none for years. */
static bool next_opening(const struct calendar *c, int64_t at, struct calendar_opening *opening)
{
    bool found = next_of_week(c, at, opening);
    bool extra = c->extra_open < c->extra_close && c->extra_close > at;
    if (!extra || (found && opening->open <= c->extra_open)) return found;
    *opening = (struct calendar_opening){c->extra_open, c->extra_close};
    return true;
}

/* The last opening of the week that begins before `at`. */
static bool last_opening(const struct calendar *c, int64_t at, struct calendar_opening *opening)
{
    struct civil_time day = zone_local(c->zone, at);
    for (int i = 0; i < CALENDAR_DAYS_MOST; i++, day = day_after(c, &day, -1)) {
        const struct day_hours *hours = hours_on(c, &day);
        for (size_t k = hours->count; k-- > 0;) {
            *opening = opening_of(c, &day, &hours->openings[k]);
            if (opening->open < opening->close && opening->open < at) return true;
        }
    }
    return false;
}

bool calendar_span(const struct calendar *c, int64_t at, int64_t *open, int64_t *close)
{
    struct calendar_opening opening;
    if (!next_opening(c, at, &opening)) return false;
    *open = opening.open;
    *close = opening.close;
    return true;
}

int64_t calendar_open(const struct calendar *c, int64_t at)
{
    struct calendar_opening opening;
    if (at == CALENDAR_NEVER || !next_opening(c, at, &opening)) return CALENDAR_NEVER;
    return at > opening.open ? at : opening.open;
}

struct work calendar_work(const struct calendar *c, int64_t from, int64_t seconds)
{
    assert(seconds >= 0);
    struct work work = {calendar_open(c, from), CALENDAR_NEVER};
    struct calendar_opening opening;
    for (int64_t at = work.start; at != CALENDAR_NEVER && next_opening(c, at, &opening); at = opening.close) {
        int64_t begin = at > opening.open ? at : opening.open;
        assert(begin < opening.close);
        if (seconds <= opening.close - begin) {
            work.end = begin + seconds;
            return work;
        }
        seconds -= opening.close - begin;
    }
    return (struct work){CALENDAR_NEVER, CALENDAR_NEVER};
}

struct work calendar_work_before(const struct calendar *c, int64_t end, int64_t seconds)
{
    assert(seconds >= 0);
    struct calendar_opening opening;
    struct work work = {CALENDAR_NEVER, CALENDAR_NEVER};
    for (int64_t at = end; end != CALENDAR_NEVER && last_opening(c, at, &opening); at = opening.open) {
        int64_t close = at < opening.close ? at : opening.close;
        if (work.end == CALENDAR_NEVER) work.end = close;
        if (seconds <= close - opening.open) {
            work.start = close - seconds;
            return work;
        }
        seconds -= close - opening.open;
    }
    return (struct work){CALENDAR_NEVER, CALENDAR_NEVER};
}
