/* Civil time against the C library's gmtime and timegm (POSIX), clock changes by hand. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "model/plan.h"
#include <time.h>

static void days_like_gmtime(void **state)
{
    (void)state;
    struct zone utc = {"UTC", 0, NULL, 0, 0};
    for (int64_t at = -5000000000; at < 10000000000; at += 86399 * 37) {
        time_t moment = at;
        struct tm tm;
        gmtime_r(&moment, &tm);
        struct civil_time t = zone_local(&utc, at);
        assert_int_equal(t.year, tm.tm_year + 1900);
        assert_int_equal(t.month, tm.tm_mon + 1);
        assert_int_equal(t.day, tm.tm_mday);
        assert_int_equal(t.hour, tm.tm_hour);
        assert_int_equal(t.second, tm.tm_sec);
        assert_int_equal(zone_weekday(t.year, t.month, t.day), (tm.tm_wday + 6) % 7);
        t.has_offset = false;
        assert_int_equal(zone_utc(&utc, &t), at);
    }
}

/* Europe/Lisbon in 2027 by the European rule (directive 2000/84/EC): on at 28 March 01:00 UTC, off at 31
 * October 01:00 UTC. */
static void clock_changes(void **state)
{
    (void)state;
    struct tm on = {.tm_year = 127, .tm_mon = 2, .tm_mday = 28, .tm_hour = 1};
    struct tm off = {.tm_year = 127, .tm_mon = 9, .tm_mday = 31, .tm_hour = 1};
    struct zone_change changes[] = {{timegm(&on), 3600}, {timegm(&off), 0}};
    struct zone lisbon = {"Europe/Lisbon", 0, changes, 2, 0};
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    assert_string_equal(zone_iso(&lisbon, changes[0].at - 1, arena), "2027-03-28T00:59+00:00");
    assert_string_equal(zone_iso(&lisbon, changes[0].at, arena), "2027-03-28T02:00+01:00");
    assert_string_equal(zone_words(&lisbon, changes[0].at, arena), "Sun 28 Mar, 02:00");
    lisbon.now = changes[0].at - 80 * 86400; /* in January of that year, and the year before */
    assert_string_equal(zone_words(&lisbon, changes[0].at, arena), "Sun 28 Mar, 02:00");
    lisbon.now = changes[0].at - 90 * 86400;
    assert_string_equal(zone_words(&lisbon, changes[0].at, arena), "Sun 28 Mar 2027, 02:00");
    struct civil_time skipped = {true, 2027, 3, 28, 1, 30, 0, false, 0};
    assert_string_equal(zone_iso(&lisbon, zone_utc(&lisbon, &skipped), arena), "2027-03-28T02:30+01:00");
    struct civil_time twice = {true, 2027, 10, 31, 1, 30, 0, false, 0};
    assert_int_equal(zone_utc(&lisbon, &twice), changes[1].at - 1800); /* the first of the two */
    struct civil_time plain = {true, 2027, 7, 1, 8, 0, 0, false, 0};
    assert_string_equal(zone_iso(&lisbon, zone_utc(&lisbon, &plain), arena), "2027-07-01T08:00+01:00");
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(days_like_gmtime), cmocka_unit_test(clock_changes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
