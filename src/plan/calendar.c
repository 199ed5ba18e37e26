#include "plan/calendar.h"
#include <assert.h>

enum { DAY_S = 86400 };

struct calendar calendar_of(const struct shop *shop, const struct zone *zone)
{
    return (struct calendar){zone, shop->week, shop->closed, shop->closed_count};
}

/* A day on the shop's wall calendar, as UTC moments of opening and closing. */
struct opening {
    int64_t open, close; /* closed all day when equal */
};

static bool is_closed(const struct calendar *c, const struct civil_time *day)
{
    for (size_t i = 0; i < c->closed_count; i++)
        if (c->closed[i].year == day->year && c->closed[i].month == day->month &&
            c->closed[i].day == day->day)
            return true;
    return false;
}

static int64_t moment(const struct calendar *c, const struct civil_time *day, int second_of_day)
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

static struct opening opening_on(const struct calendar *c, const struct civil_time *day)
{
    const struct hours *hours = &c->week[zone_weekday(day->year, day->month, day->day)];
    if (hours->open_s >= hours->close_s || is_closed(c, day)) return (struct opening){0, 0};
    return (struct opening){moment(c, day, hours->open_s), moment(c, day, hours->close_s)};
}

/* The local day after `day`: noon is never skipped or repeated by a clock change. */
static struct civil_time next_day(const struct calendar *c, const struct civil_time *day)
{
    return zone_local(c->zone, moment(c, day, DAY_S / 2) + DAY_S);
}

/* The first opening that ends after `at`; false when there is none for years. */
static bool next_opening(const struct calendar *c, int64_t at, struct opening *opening)
{
    struct civil_time day = zone_local(c->zone, at);
    for (int i = 0; i < CALENDAR_DAYS_MOST; i++, day = next_day(c, &day)) {
        *opening = opening_on(c, &day);
        if (opening->open < opening->close && opening->close > at) return true;
    }
    return false;
}

bool calendar_span(const struct calendar *c, int64_t at, int64_t *open, int64_t *close)
{
    struct opening opening;
    if (!next_opening(c, at, &opening)) return false;
    *open = opening.open;
    *close = opening.close;
    return true;
}

int64_t calendar_open(const struct calendar *c, int64_t at)
{
    struct opening opening;
    if (at == CALENDAR_NEVER || !next_opening(c, at, &opening)) return CALENDAR_NEVER;
    return at > opening.open ? at : opening.open;
}

struct work calendar_work(const struct calendar *c, int64_t from, int64_t seconds)
{
    assert(seconds >= 0);
    struct work work = {calendar_open(c, from), CALENDAR_NEVER};
    struct opening opening;
    for (int64_t at = work.start; at != CALENDAR_NEVER && next_opening(c, at, &opening); at = opening.close) {
        int64_t begin = at > opening.open ? at : opening.open;
        if (seconds <= opening.close - begin) {
            work.end = begin + seconds;
            return work;
        }
        seconds -= opening.close - begin;
    }
    return (struct work){CALENDAR_NEVER, CALENDAR_NEVER};
}
