/* Converts between UTC seconds and local civil time, and words moments. Called by planning, record and
 * sheet; reading the zone's file is run/zone_file.c. */
#include "base/arena.h"
#include "model/plan.h"

enum { DAY_S = 86400 };

static int32_t zone_offset(const struct zone *zone, int64_t utc)
{
    int32_t offset = zone->first_offset_s;
    for (size_t i = 0; i < zone->count && zone->changes[i].at <= utc; i++) offset = zone->changes[i].offset_s;
    return offset;
}

/* Days from 1970-01-01 of a date in the Gregorian calendar, and back (Hinnant's days_from_civil). */
static int64_t zone_days_of(int64_t year, int month, int day)
{
    year -= month <= 2;
    int64_t era = (year >= 0 ? year : year - 399) / 400, of_era = year - era * 400;
    int64_t of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

static struct civil_date zone_date_of(int64_t days)
{
    days += 719468;
    int64_t era = (days >= 0 ? days : days - 146096) / 146097, of_era = days - era * 146097;
    int64_t year = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
    int64_t of_year = of_era - (365 * year + year / 4 - year / 100), m = (5 * of_year + 2) / 153;
    int month = (int)(m < 10 ? m + 3 : m - 9);
    return (struct civil_date){(int)(year + era * 400 + (month <= 2)), month,
                               (int)(of_year - (153 * m + 2) / 5 + 1)};
}

static int64_t day_floor(int64_t seconds)
{
    return (seconds >= 0 ? seconds : seconds - (DAY_S - 1)) / DAY_S;
}

struct civil_time zone_local(const struct zone *zone, int64_t utc)
{
    int32_t offset = zone_offset(zone, utc);
    int64_t local = utc + offset, days = day_floor(local), rest = local - days * DAY_S;
    struct civil_date date = zone_date_of(days);
    return (struct civil_time){
        .given = true,
        .year = date.year,
        .month = date.month,
        .day = date.day,
        .hour = (int)(rest / 3600),
        .minute = (int)(rest / 60 % 60),
        .second = (int)(rest % 60),
        .has_offset = true,
        .offset_minutes = offset / 60,
    };
}

int zone_weekday(int year, int month, int day)
{
    int64_t days = zone_days_of(year, month, day) + 3; /* 1970-01-01 was a Thursday */
    return (int)(((days % 7) + 7) % 7);
}

int64_t zone_utc(const struct zone *zone, const struct civil_time *time)
{
    int64_t local = zone_days_of(time->year, time->month, time->day) * DAY_S + time->hour * 3600 +
                    time->minute * 60 + time->second;
    if (time->has_offset) return local - time->offset_minutes * 60;
    /* The first offset under which the clock shows this time. */
    int32_t before = zone_offset(zone, local - DAY_S), after = zone_offset(zone, local + DAY_S);
    if (zone_offset(zone, local - before) == before) return local - before;
    if (zone_offset(zone, local - after) == after) return local - after;
    return local - before; /* skipped by a clock change: as far behind it as the clock jumped */
}

const char *zone_iso(const struct zone *zone, int64_t utc, struct arena *arena)
{
    struct civil_time t = zone_local(zone, utc);
    int off = t.offset_minutes, size = off < 0 ? -off : off;
    return arena_format(arena, "%04d-%02d-%02dT%02d:%02d%c%02d:%02d", t.year, t.month, t.day, t.hour,
                        t.minute, off < 0 ? '-' : '+', size / 60, size % 60);
}

const char *civil_day_words(int year, int month, int day, struct arena *arena)
{
    return arena_format(arena, "%04d-%02d-%02d", year, month, day);
}

const char *civil_time_words(const struct civil_time *time, struct arena *arena)
{
    const char *day = civil_day_words(time->year, time->month, time->day, arena);
    return arena_format(arena, "%s %02d:%02d", day, time->hour, time->minute);
}

/* "Fri 5 Mar" */
static const char *zone_day_of_year(const struct civil_time *t, struct arena *arena)
{
    static const char *const days[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    static const char *const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return arena_format(arena, "%s %d %s", days[zone_weekday(t->year, t->month, t->day)], t->day,
                        months[t->month - 1]);
}

const char *zone_day(const struct zone *zone, int64_t utc, struct arena *arena)
{
    struct civil_time t = zone_local(zone, utc);
    return arena_format(arena, "%s %d", zone_day_of_year(&t, arena), t.year);
}

const char *zone_words(const struct zone *zone, int64_t utc, struct arena *arena)
{
    struct civil_time t = zone_local(zone, utc);
    bool this_year = !zone->now || zone_local(zone, zone->now).year == t.year;
    const char *year = this_year ? "" : arena_format(arena, " %d", t.year);
    return arena_format(arena, "%s%s, %02d:%02d", zone_day_of_year(&t, arena), year, t.hour, t.minute);
}
