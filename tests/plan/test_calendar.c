/* Opening hours alone: work over several openings a day, over midnight and through clock changes. */
#include "fixture.h"
#include "plan/calendar.h"
#include <stdlib.h>
#include <string.h>

static struct fixture f;

static int open_fixture(void **state)
{
    (void)state;
    fixture_open(&f);
    f.shop.seams.panel_min = measure_written(0, "shop.yaml:30"); /* the times above are all there is */
    return 0;
}

static int close_fixture(void **state)
{
    (void)state;
    fixture_close(&f);
    return 0;
}

/* Western European time: one hour east from the last Sunday of March, 01:00 UTC, to that of October (EU
 * directive 2000/84/EC); in 2027: 28 March and 31 October. */
static struct zone_change changes_2027[] = {{1806195600, 3600}, {1824944400, 0}};

static void west(struct fixture *to)
{
    to->zone = (struct zone){"test", 0, changes_2027, 2, 0};
}

static int64_t utc(struct civil_time t, int second)
{
    t.second = second;
    return zone_utc(&f.zone, &t);
}

/* Hours that span a clock change: Sunday and Monday 00:00 to 06:00. On 28 March the Sunday has 5 hours: 6 h
 * of work end Mon 01:00 local. On 31 October it has 7: 7 h end that day at 06:00 local. */
static void work_across_clock_changes(void **state)
{
    (void)state;
    west(&f);
    struct day_hours week[7] = {[0] = {{{0, 6 * 3600}}, 1}, [6] = {{{0, 6 * 3600}}, 1}};
    struct calendar calendar = {.zone = &f.zone, .week = week};
    int64_t from = utc(at_time(2027, 3, 28, 0, 0), 0);
    assert_int_equal(calendar_work(&calendar, from, 6 * 3600).end, utc(at_time(2027, 3, 29, 1, 0), 0));
    from = utc(at_time(2027, 10, 31, 0, 0), 0);
    assert_int_equal(calendar_work(&calendar, from, 7 * 3600).end, utc(at_time(2027, 10, 31, 6, 0), 0));
    assert_int_equal(calendar_work(&calendar, from, 7 * 3600).end - from, 7 * 3600);
}

static void never_open(void **state)
{
    (void)state;
    struct day_hours week[7] = {{.count = 0}};
    struct calendar calendar = {.zone = &f.zone, .week = week};
    assert_true(calendar_open(&calendar, 0) == CALENDAR_NEVER);
    assert_true(calendar_work(&calendar, 0, 1).end == CALENDAR_NEVER);
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    memset(f.shop.week, 0, sizeof f.shop.week);
    assert_false(fixture_plan(&f)->has_install);
}

/* Not between one and two at night, which the clock tells twice or never on days of change. */
static int told_once(int minute)
{
    return minute % 1440 > 60 && minute % 1440 < 120 ? minute - minute % 1440 + 120 : minute;
}

/* Up to three openings a day, in order, the last one perhaps past midnight. */
static struct day_hours random_day(void)
{
    struct day_hours day = {.count = 0};
    for (int at = told_once(rand() % 600), i = rand() % 4; i; i--, at = told_once(at + 30 + rand() % 300)) {
        if (at >= 1440) break;
        int close = told_once(at + 20 + rand() % 500);
        day.openings[day.count++] = (struct hours){at * 60, close * 60};
        at = close;
    }
    return day;
}

static bool in_opening(const struct day_hours *day, int second)
{
    for (size_t i = 0; i < day->count; i++)
        if (second >= day->openings[i].open_s && second < day->openings[i].close_s) return true;
    return false;
}

/* As the shop's clock shows it; what began yesterday runs on, also into a closed day. Wall-clock seconds: on a
 * day of a clock change, yesterday's evening ends when the clock shows its end. */
static bool shop_is_open(const struct calendar *c, int64_t moment)
{
    struct civil_time t = zone_local(c->zone, moment);
    struct civil_time noon = t;
    noon.hour = 12, noon.minute = noon.second = 0, noon.has_offset = false;
    struct civil_time y = zone_local(c->zone, zone_utc(c->zone, &noon) - 86400);
    int second = t.hour * 3600 + t.minute * 60 + t.second;
    bool closed = false, was_closed = false;
    for (size_t i = 0; i < c->closed_count; i++) {
        closed |= c->closed[i].day == t.day && c->closed[i].month == t.month;
        was_closed |= c->closed[i].day == y.day && c->closed[i].month == y.month;
    }
    return (!closed && in_opening(&c->week[zone_weekday(t.year, t.month, t.day)], second)) ||
           (!was_closed && in_opening(&c->week[zone_weekday(y.year, y.month, y.day)], second + 86400));
}

/* Against a slow count: one second at a time, over random hours with several openings a day and some over
 * midnight, closed days among them, through both clock changes; and the same backwards. */
static void work_equals_counting(void **state)
{
    (void)state;
    srand(11);
    west(&f);
    for (int n = 0; n < 60; n++) {
        struct day_hours week[7];
        for (int d = 0; d < 7; d++) week[d] = random_day();
        week[2] = (struct day_hours){{{7 * 3600, 9 * 3600}}, 1};
        struct civil_date closed[] = {{2027, n & 1 ? 3 : 10, n & 1 ? 29 : 30}};
        struct calendar calendar = {
            .zone = &f.zone, .week = week, .closed = closed, .closed_count = n % 3 == 0};
        int64_t at = (n & 1 ? 1806195600 : 1824944400) - 86400 * (rand() % 3) - rand() % 86400;
        int64_t seconds = rand() % 60000 + 1, left = seconds, start = -1, moment = at;
        for (; left; moment++) {
            if (!shop_is_open(&calendar, moment)) continue;
            if (start < 0) start = moment;
            left--;
        }
        struct work work = calendar_work(&calendar, at, seconds);
        assert_int_equal(work.start, start);
        assert_int_equal(work.end, moment);
        struct work back = calendar_work_before(&calendar, work.end, seconds);
        assert_int_equal(back.start, start);
        assert_int_equal(back.end, moment);
    }
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        ONE(work_across_clock_changes),
        ONE(never_open),
        ONE(work_equals_counting),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
