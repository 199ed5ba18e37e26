/* Dates worked by hand. The one surface is a rear of 1300 x 1900 mm in one panel: print 1400 x 2000 = 2.8 m2.
 *   printing    20 min + 2.8 m2 at 12 m2/h          = 1200 + 840       = 2040 s = 34 min
 *   laminating  20 min + (2.12 m + 1 m) at 2 m/min  = 1200 + 93.6      = 1294 s = 21 min 34 s (whole seconds
 * up) trimming    2.8 m2 at 12 m2/h                                     =  840 s = 14 min installing  2.47 m2
 * at 1.6 m2/h                 = 5557.5           = 5558 s = 1 h 32 min 38 s Drying and bonding hours: common
 * practice, no source (48 h eco-solvent, 24 h else, to 72 h with ink at the limit of 280 %; 24 h of bond), or
 * the shop's. Open Mon-Fri 08:00-17:00. 2027-03-01 is a Monday. */
#include "fixture.h"
#include "plan/calendar.h"
#include "plan/clock.h"
#include <stdlib.h>
#include <string.h>

static struct fixture f;

static int open_fixture(void **state)
{
    (void)state;
    fixture_open(&f);
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
    to->zone = (struct zone){"test", 0, changes_2027, 2};
}

/* A flat ink of so much percent everywhere. */
static struct ink_map flat_ink(double percent)
{
    enum { COLUMNS = 300, ROWS = 420 };
    static uint16_t c[COLUMNS * ROWS], none[COLUMNS * ROWS];
    static uint16_t rest[COLUMNS * ROWS], last[COLUMNS * ROWS];
    uint16_t *channels[] = {c, rest, last, none};
    for (int k = 0; k < 3; k++) {
        double part = percent > 100 ? 100 : percent;
        percent -= part;
        for (size_t i = 0; i < COLUMNS * ROWS; i++) channels[k][i] = (uint16_t)(part * 100 + 0.5);
    }
    return (struct ink_map){{-60, -60, 1440, 2040}, COLUMNS, ROWS, {c, rest, last, none}};
}

static int64_t utc(struct civil_time t, int second)
{
    t.second = second;
    return zone_utc(&f.zone, &t);
}

static const struct step *step_of(const struct plan *plan, enum step_kind kind)
{
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == kind) return &plan->steps[i];
    return NULL;
}

struct hand_case {
    const char *what;
    enum ink_technology technology;
    enum drying way;
    double ink_percent;
    struct civil_time start;
    double dry_h; /* expected */
    struct {
        int month, day, hour, minute, second;
    } laminate, earliest; /* expected, local: start of laminating; earliest install */
    bool closed_monday_8, summer;
    double shop_least_h, shop_bond_h;
};

#define MON_1                                                                                                \
    {                                                                                                        \
        true, 2027, 3, 1, 8, 0, 0, false, 0                                                                  \
    }
#define MAR(day, hour, minute)                                                                               \
    {                                                                                                        \
        true, 2027, 3, day, hour, minute, 0, false, 0                                                        \
    }

static const struct hand_case cases[] = {
    /* Mon 08:34 printed; + 48 h: Wed 08:34; laminated 08:55:34; + 24 h: Thu 08:55:34. */
    {"eco, hung",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MON_1,
     48,
     {3, 3, 8, 34, 0},
     {3, 4, 8, 55, 34},
     0,
     0,
     0,
     0},
    {"eco, cabinet",
     INK_ECO_SOLVENT,
     DRYING_CABINET,
     50,
     MON_1,
     48,
     {3, 3, 8, 34, 0},
     {3, 4, 8, 55, 34},
     0,
     0,
     0,
     0},
    {"eco, loose",
     INK_ECO_SOLVENT,
     DRYING_LOOSE,
     50,
     MON_1,
     48,
     {3, 3, 8, 34, 0},
     {3, 4, 8, 55, 34},
     0,
     0,
     0,
     0},
    {"eco, flat",
     INK_ECO_SOLVENT,
     DRYING_FLAT,
     50,
     MON_1,
     48,
     {3, 3, 8, 34, 0},
     {3, 4, 8, 55, 34},
     0,
     0,
     0,
     0},
    /* + 24 h: Tue 08:34; Wed 08:55:34. */
    {"latex", INK_LATEX, DRYING_HUNG, 50, MON_1, 24, {3, 2, 8, 34, 0}, {3, 3, 8, 55, 34}, 0, 0, 0, 0},
    {"uv", INK_UV, DRYING_HUNG, 50, MON_1, 24, {3, 2, 8, 34, 0}, {3, 3, 8, 55, 34}, 0, 0, 0, 0},
    {"solvent", INK_SOLVENT, DRYING_HUNG, 50, MON_1, 24, {3, 2, 8, 34, 0}, {3, 3, 8, 55, 34}, 0, 0, 0, 0},
    /* Latex does not wait longer for much ink unless the shop says so. */
    {"latex, heavy", INK_LATEX, DRYING_HUNG, 270, MON_1, 24, {3, 2, 8, 34, 0}, {3, 3, 8, 55, 34}, 0, 0, 0, 0},
    /* At the limit of 280 %: 72 h: Thu 08:34; Fri 08:55:34. */
    {"eco, ink at the limit",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     280,
     MON_1,
     72,
     {3, 4, 8, 34, 0},
     {3, 5, 8, 55, 34},
     0,
     0,
     0,
     0},
    {"solvent, ink at the limit",
     INK_SOLVENT,
     DRYING_HUNG,
     280,
     MON_1,
     72,
     {3, 4, 8, 34, 0},
     {3, 5, 8, 55, 34},
     0,
     0,
     0,
     0},
    /* 190 %: 48 + 24 x (190 - 100) / (280 - 100) = 60 h: Wed 20:34, closed; Thu 08:00 to 08:21:34; Fri
       08:21:34. */
    {"eco, half way",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     190,
     MON_1,
     60,
     {3, 4, 8, 0, 0},
     {3, 5, 8, 21, 34},
     0,
     0,
     0,
     0},
    /* Wed 3rd 08:34; Fri 08:34; 08:55:34; bonds till Sat 08:55:34: Monday 08:00. */
    {"bond over the weekend",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MAR(3, 8, 0),
     48,
     {3, 5, 8, 34, 0},
     {3, 8, 8, 0, 0},
     0,
     0,
     0,
     0},
    /* Thu 4th 08:34; Sat 08:34; Mon 8th 08:00 to 08:21:34; Tue 08:21:34. */
    {"drying over the weekend",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MAR(4, 8, 0),
     48,
     {3, 8, 8, 0, 0},
     {3, 9, 8, 21, 34},
     0,
     0,
     0,
     0},
    /* The same with Monday the 8th closed: a day later. */
    {"a closed day",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MAR(4, 8, 0),
     48,
     {3, 9, 8, 0, 0},
     {3, 10, 8, 21, 34},
     1,
     0,
     0,
     0},
    /* Fri 5th 16:50: 10 min, then Mon 08:00 to 08:24 (2040 - 600 = 1440 s); Wed 08:24; 08:45:34; Thu
       08:45:34. */
    {"printing over the weekend",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MAR(5, 16, 50),
     48,
     {3, 10, 8, 24, 0},
     {3, 11, 8, 45, 34},
     0,
     0,
     0,
     0},
    /* Saturday the 6th waits for Monday the 8th, 08:00. */
    {"start on a Saturday",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MAR(6, 10, 0),
     48,
     {3, 10, 8, 34, 0},
     {3, 11, 8, 55, 34},
     0,
     0,
     0,
     0},
    /* The shop's own 36 h: Tue 20:34; Wed 08:00 to 08:21:34; Thu 08:21:34. */
    {"eco, shop's 36 h",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MON_1,
     36,
     {3, 3, 8, 0, 0},
     {3, 4, 8, 21, 34},
     0,
     0,
     36,
     0},
    /* Latex with the shop's 6 h: Mon 14:34; 14:55:34; Tue 14:55:34. */
    {"latex, shop's 6 h",
     INK_LATEX,
     DRYING_HUNG,
     50,
     MON_1,
     6,
     {3, 1, 14, 34, 0},
     {3, 2, 14, 55, 34},
     0,
     0,
     6,
     0},
    /* A solvent print never below 24 h, whatever is written. */
    {"solvent, shop's 12 h",
     INK_SOLVENT,
     DRYING_HUNG,
     50,
     MON_1,
     24,
     {3, 2, 8, 34, 0},
     {3, 3, 8, 55, 34},
     0,
     0,
     12,
     0},
    /* Bond of 12 h: Wed 08:55:34 + 12 h = 20:55:34, closed: Thu 08:00. */
    {"shop's bond of 12 h",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MON_1,
     48,
     {3, 3, 8, 34, 0},
     {3, 4, 8, 0, 0},
     0,
     0,
     0,
     12},
    /* Clocks go forward on Sunday the 28th. Fri 26th 08:34 UTC; + 48 h: Sun 08:34 UTC; Mon 08:00 local is
     * 07:00 UTC, to 08:21:34; + 24 h: Tue 08:21:34 local. */
    {"clocks go forward",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     MAR(26, 8, 0),
     48,
     {3, 29, 8, 0, 0},
     {3, 30, 8, 21, 34},
     0,
     1,
     0,
     0},
    /* Thu 25th: printed 16:30 to 17:00 and Fri 08:00 to 08:04; latex: Sat 08:04 UTC. Mon 29th 08:00 local;
       Tue 08:21:34. */
    {"forward, printing cut by the evening",
     INK_LATEX,
     DRYING_HUNG,
     50,
     MAR(25, 16, 30),
     24,
     {3, 29, 8, 0, 0},
     {3, 30, 8, 21, 34},
     0,
     1,
     0,
     0},
    /* Clocks go back on Sunday 31 October. Fri 29th 08:00 local is 07:00 UTC; Sun 07:34 UTC; Mon 1 Nov 08:00;
       Tue 08:21:34. */
    {"clocks go back",
     INK_ECO_SOLVENT,
     DRYING_HUNG,
     50,
     {true, 2027, 10, 29, 8, 0, 0, false, 0},
     48,
     {11, 1, 8, 0, 0},
     {11, 2, 8, 21, 34},
     0,
     1,
     0,
     0},
};

static void set_case(const struct hand_case *c, struct ink_map *map)
{
    static const struct civil_date monday_8 = {2027, 3, 8};
    static struct civil_date closed[1];
    closed[0] = monday_8;
    f.ink.technology = c->technology;
    f.ink.dry_least_s =
        c->shop_least_h > 0 ? measure_written(c->shop_least_h * 3600, "shop.yaml:14") : (struct measure){0};
    f.laminate.bond_s =
        c->shop_bond_h > 0 ? measure_written(c->shop_bond_h * 3600, "shop.yaml:12") : (struct measure){0};
    f.shop.closed = closed, f.shop.closed_count = c->closed_monday_8;
    f.zone = (struct zone){0};
    if (c->summer) west(&f);
    f.job.drying = c->way, f.job.start = c->start;
    *map = flat_ink(c->ink_percent);
    f.inputs[0].ink = map;
}

static void by_hand(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct hand_case *c = &cases[i];
        struct ink_map map;
        set_case(c, &map);
        struct plan *plan = fixture_plan(&f);
        struct civil_time laminate =
            at_time(2027, c->laminate.month, c->laminate.day, c->laminate.hour, c->laminate.minute);
        struct civil_time earliest =
            at_time(2027, c->earliest.month, c->earliest.day, c->earliest.hour, c->earliest.minute);
        if (plan->surfaces[0].panels[0].dry_s != c->dry_h * 3600)
            fail_msg("%s: dries %.2f h, not %.2f", c->what, plan->surfaces[0].panels[0].dry_s / 3600,
                     c->dry_h);
        if (step_of(plan, STEP_LAMINATE)->start != utc(laminate, c->laminate.second))
            fail_msg("%s: laminated %s", c->what,
                     zone_iso(&f.zone, step_of(plan, STEP_LAMINATE)->start, f.arena));
        if (plan->earliest_install != utc(earliest, c->earliest.second))
            fail_msg("%s: earliest %s", c->what, zone_iso(&f.zone, plan->earliest_install, f.arena));
    }
}

/* The first case to its end: bond over Thu 08:55:34; trimmed 09:09:34; installed 10:42:12. */
static void hands_follow(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(step_of(plan, STEP_TRIM)->start, utc(at_time(2027, 3, 4, 8, 55), 34));
    assert_int_equal(step_of(plan, STEP_INSTALL)->start, utc(at_time(2027, 3, 4, 9, 9), 34));
    assert_int_equal(plan->finished, utc(at_time(2027, 3, 4, 10, 42), 12));
    assert_non_null(strstr(plan->decides, "Drying decides: rear-1"));
    f.laminate.trim_while_bonding =
        true; /* then trimmed from Wed 08:55:34, and installed from Thu 08:55:34 */
    plan = fixture_plan(&f);
    assert_int_equal(step_of(plan, STEP_TRIM)->start, utc(at_time(2027, 3, 3, 8, 55), 34));
    assert_int_equal(step_of(plan, STEP_INSTALL)->start, utc(at_time(2027, 3, 4, 8, 55), 34));
}

/* Without laminate, for a written reason: dry Wed 08:34, trimmed 08:48, installed 10:20:38. */
static void without_laminate(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    f.condition.laminate = NULL, f.condition.laminate_waiver = "three days' fair";
    f.condition.waiver_until = (struct civil_date){2027, 4, 1};
    f.input.now = utc(at_time(2027, 2, 20, 12, 0), 0);
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->earliest_install, utc(at_time(2027, 3, 3, 8, 34), 0));
    assert_int_equal(plan->finished, utc(at_time(2027, 3, 3, 10, 20), 38));
    assert_null(step_of(plan, STEP_BOND));
    assert_non_null(fixture_finding(plan, "laminate-waived"));
    assert_null(fixture_finding(plan, "laminate-missing"));
    f.input.now = utc(at_time(2027, 4, 2, 12, 0), 0); /* the reason has ended */
    assert_non_null(fixture_finding(fixture_plan(&f), "laminate-missing"));
}

/* Promised for Thu 4 March 09:42:12: the first case is an hour late. Backwards: 6398 s of trimming and
 * installing, of which 6132 s fit on Thursday, so bond over by Wed 16:55:34; laminating begins by Tue
 * 16:34:00; printed by Sun 16:34, that is by Friday's closing at 17:00; printing begins by Fri 26 February
 * 16:26. */
static void missed_by_an_hour(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    f.job.due = at_time(2027, 3, 4, 9, 42), f.job.due.second = 12;
    struct plan *plan = fixture_plan(&f);
    const struct finding *missed = fixture_finding(plan, "due-missed");
    assert_non_null(missed);
    assert_non_null(strstr(missed->text, "1.0 h late"));
    assert_true(plan->has_latest_start);
    assert_int_equal(plan->latest_start, utc(at_time(2027, 2, 26, 16, 26), 0));
    /* Started then, it is in time; a minute later it is not. */
    f.job.start = at_time(2027, 2, 26, 16, 26);
    assert_null(fixture_finding(fixture_plan(&f), "due-missed"));
    f.job.start = at_time(2027, 2, 26, 16, 27);
    assert_non_null(fixture_finding(fixture_plan(&f), "due-missed"));
    /* Promised for Thu 17:00: bond over by 15:13:22, laminating from Wed 14:51:48, printing from Mon
     * 14:17:48: 14:17. */
    f.job.due = at_time(2027, 3, 4, 17, 0);
    assert_int_equal(fixture_plan(&f)->latest_start, utc(at_time(2027, 3, 1, 14, 17), 0));
}

static void no_date(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    static const struct {
        enum drying way;
        double humidity;
    } table[] = {{DRYING_TIGHT, 40}, {DRYING_OUTDOORS, 40}, {DRYING_HUNG, 90}, {DRYING_CABINET, 85}};
    for (size_t i = 0; i < 4; i++)
        for (int technology = 0; technology < 4; technology++) {
            f.ink.technology = (enum ink_technology)technology;
            f.job.drying = table[i].way;
            f.job.room_humidity_percent = measure_written(table[i].humidity, "job.yaml:6");
            struct plan *plan = fixture_plan(&f);
            assert_false(plan->has_install || plan->has_latest_start);
            assert_true(plan->surfaces[0].panels[0].dry_s < 0);
            assert_non_null(fixture_finding(plan, "drying-not-possible"));
            assert_non_null(step_of(plan, STEP_PRINT)); /* the rest of the plan is there */
            assert_null(step_of(plan, STEP_DRY));
        }
}

/* The second surface waits for the printer, and both for the slower one's bond. Two rears: Mon 08:34, then
 * 09:08; dry Wed 08:34 and 09:08; laminated 08:55:34 and 09:29:34; bond over Thu 09:29:34. */
static void two_surfaces(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    fixture_surface(&f, "other", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->earliest_install, utc(at_time(2027, 3, 4, 9, 29), 34));
}

/* Two panels, cut as they come: the first dries from its own end, the last from the end of the run. */
static void cut_as_they_come(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct plan *run = fixture_plan(&f);
    f.job.output = OUTPUT_CUT;
    struct plan *cut = fixture_plan(&f);
    const struct step *print[2], *dry[2];
    size_t prints = 0, dries = 0;
    for (size_t i = 0; i < cut->step_count; i++) {
        if (cut->steps[i].kind == STEP_PRINT) print[prints++] = &cut->steps[i];
        if (cut->steps[i].kind == STEP_DRY) dry[dries++] = &cut->steps[i];
    }
    assert_int_equal(prints, 2);
    assert_int_equal(dries, 2);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(dry[i]->start, print[i]->end);
        assert_int_equal(dry[i]->end - dry[i]->start, 48 * 3600);
    }
    assert_true(print[0]->end < step_of(run, STEP_PRINT)->end);
    assert_int_equal(print[1]->end, step_of(run, STEP_PRINT)->end);
    assert_string_equal(print[0]->panels[0], "left-2"); /* from the back */
}

static void temperatures(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    for (int celsius = 18; celsius <= 25; celsius++) { /* cast: 20 to 23, common practice, no source */
        f.job.room_c = measure_written(celsius, "job.yaml:6");
        struct plan *plan = fixture_plan(&f);
        assert_int_equal(fixture_finding(plan, "laminate-too-cold") != NULL, celsius < 20);
        assert_int_equal(fixture_finding(plan, "laminate-too-warm") != NULL, celsius > 23);
    }
}

/* ---- the calendar alone ---- */

/* Hours that span a clock change: Sunday and Monday 00:00 to 06:00. On 28 March the Sunday has 5 hours: 6 h
 * of work end Mon 01:00 local. On 31 October it has 7: 7 h end that day at 06:00 local. */
static void work_across_clock_changes(void **state)
{
    (void)state;
    west(&f);
    struct hours week[7] = {{0, 6 * 3600}, {0, 0}, {0, 0}, {0, 0}, {0, 0}, {0, 0}, {0, 6 * 3600}};
    struct calendar calendar = {&f.zone, week, NULL, 0};
    int64_t from = utc(at_time(2027, 3, 28, 0, 0), 0);
    assert_int_equal(calendar_work(&calendar, from, 6 * 3600).end, utc(at_time(2027, 3, 29, 1, 0), 0));
    from = utc(at_time(2027, 10, 31, 0, 0), 0);
    assert_int_equal(calendar_work(&calendar, from, 7 * 3600).end, utc(at_time(2027, 10, 31, 6, 0), 0));
    assert_int_equal(calendar_work(&calendar, from, 7 * 3600).end - from, 7 * 3600);
}

static void never_open(void **state)
{
    (void)state;
    struct hours week[7] = {{0, 0}};
    struct calendar calendar = {&f.zone, week, NULL, 0};
    assert_true(calendar_open(&calendar, 0) == CALENDAR_NEVER);
    assert_true(calendar_work(&calendar, 0, 1).end == CALENDAR_NEVER);
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    memset(f.shop.week, 0, sizeof f.shop.week);
    assert_false(fixture_plan(&f)->has_install);
}

/* Against a slow count: one second at a time, over random hours, through both clock changes. */
static void work_equals_counting(void **state)
{
    (void)state;
    srand(11);
    west(&f);
    for (int n = 0; n < 40; n++) {
        struct hours week[7];
        for (int d = 0; d < 7; d++) {
            int open = rand() % 20;
            week[d] = (struct hours){open * 3600, rand() % 4 ? (open + 1 + rand() % (24 - open)) * 3600 : 0};
        }
        week[2] = (struct hours){7 * 3600, 9 * 3600};
        struct calendar calendar = {&f.zone, week, NULL, 0};
        int64_t at = (n & 1 ? 1806195600 : 1824944400) - 86400 * (rand() % 3) - rand() % 86400;
        int64_t seconds = rand() % 100000 + 1, left = seconds, start = -1, moment = at;
        for (; left; moment++) {
            struct civil_time t = zone_local(&f.zone, moment);
            const struct hours *h = &week[zone_weekday(t.year, t.month, t.day)];
            int second = t.hour * 3600 + t.minute * 60 + t.second;
            if (second < h->open_s || second >= h->close_s) continue;
            if (start < 0) start = moment;
            left--;
        }
        struct work work = calendar_work(&calendar, at, seconds);
        assert_int_equal(work.start, start);
        assert_int_equal(work.end, moment);
    }
}

/* ---- what must always hold ---- */

static void properties(void **state)
{
    (void)state;
    srand(5);
    fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    for (int n = 0; n < 150; n++) {
        f.ink.technology = (enum ink_technology)(rand() % 4);
        f.job.output = rand() % 2 ? OUTPUT_CUT : OUTPUT_RUN;
        f.job.start = at_time(2027, 3, 1 + rand() % 28, rand() % 24, rand() % 60);
        for (int day = 0; day < 7; day++)
            f.shop.week[day] =
                (struct hours){(6 + rand() % 5) * 3600, day < 5 ? (12 + rand() % 6) * 3600 : 0};
        struct ink_map map = flat_ink(rand() % 280);
        f.inputs[0].ink = &map;
        struct plan *plan = fixture_plan(&f);
        double floor_h = f.ink.technology == INK_ECO_SOLVENT ? 48 : 24;
        assert_true(plan->surfaces[0].panels[0].dry_s >= floor_h * 3600);
        assert_true(step_of(plan, STEP_LAMINATE)->start >=
                    step_of(plan, STEP_PRINT)->end + (int64_t)floor_h * 3600);
        int64_t earliest = plan->earliest_install, finished = plan->finished;
        map = flat_ink(280); /* more ink, never earlier */
        assert_true(fixture_plan(&f)->earliest_install >= earliest);
        assert_true(fixture_plan(&f)->finished >= finished);
        earliest = fixture_plan(&f)->earliest_install, finished = fixture_plan(&f)->finished;
        f.shop.week[rand() % 7] = (struct hours){5 * 3600, 20 * 3600}; /* longer hours, never later */
        assert_true(fixture_plan(&f)->earliest_install <= earliest);
        assert_true(fixture_plan(&f)->finished <= finished);
        f.job.drying = DRYING_TIGHT;
        assert_false(fixture_plan(&f)->has_install);
        f.job.drying = DRYING_HUNG;
    }
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        ONE(by_hand),
        ONE(hands_follow),
        ONE(without_laminate),
        ONE(missed_by_an_hour),
        ONE(no_date),
        ONE(two_surfaces),
        ONE(cut_as_they_come),
        ONE(temperatures),
        ONE(work_across_clock_changes),
        ONE(never_open),
        ONE(work_equals_counting),
        ONE(properties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
