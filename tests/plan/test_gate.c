/* Gates, worked by hand. Drying 48 h (eco-solvent) counts from cutting and hanging, the bond 24 h from
 * laminating, cast laminate 20 to 23 degrees C, film applied at 15 to 25, neighbours meet within 1.5 mm:
 * common practice, no source. 2027-03-01 is a Monday; the zone is UTC. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "plan/gate.h"
#include <math.h>
#include <string.h>

#define MINUTE INT64_C(60)
#define HOUR   INT64_C(3600)
#define DAY    (24 * HOUR)
#define MONDAY INT64_C(1803859200) /* 2027-03-01T00:00Z */

static struct machine machine;
static struct arena *arena;
static struct zone utc;
static struct panel_terms terms;
static struct panel_state state;
static struct print_hold hold;

static int begin(void **unused)
{
    (void)unused;
    machine = machine_real("");
    arena = arena_new(&machine);
    terms = (struct panel_terms){.panel = "left-2",
                                 .surface = "left",
                                 .dry_s = 48 * 3600,
                                 .has_laminate = true,
                                 .bond_s = 24 * 3600,
                                 .laminate_low_c = 20,
                                 .laminate_high_c = 23,
                                 .laminate_source = "common practice, no source",
                                 .cast_laminate = true,
                                 .trim_waits = true,
                                 .print_mm = 2000};
    hold = (struct print_hold){0};
    state = (struct panel_state){.panel = "left-2", .measured_mm = NAN, .planned_mm = NAN};
    return 0;
}

static int end(void **unused)
{
    (void)unused;
    arena_free(arena);
    return 0;
}

/* A fact of a day on which every temperature is right. */
static struct fact on_a_good_day(enum fact_kind kind, int64_t at)
{
    struct fact fact = fact_blank(kind);
    fact.at = at, fact.air_c = 21, fact.surface_c = 20;
    return fact;
}

static struct gate ask(enum fact_kind kind, int64_t at)
{
    struct fact fact = on_a_good_day(kind, at);
    return gate_check(&hold, &terms, &state, &fact, at, &utc, arena);
}

static void says(struct gate gate, const char *words)
{
    assert_false(gate.open);
    if (!strstr(gate.why, words)) fail_msg("\"%s\" does not say \"%s\"", gate.why, words);
}

static void drying_counts_from_hanging(void **unused)
{
    (void)unused;
    state.printed = MONDAY + 9 * HOUR;
    struct gate gate = ask(FACT_LAMINATED, MONDAY + 3 * DAY);
    says(gate, "on the take-up nothing dries"); /* printed days ago, never hung */
    assert_true(gate.may_override);
    state.hung = MONDAY + 10 * HOUR + 40 * MINUTE;
    gate = ask(FACT_LAMINATED, MONDAY + 2 * DAY + 5 * HOUR + 20 * MINUTE);
    assert_string_equal(gate.why, "Dries until Wed 3 Mar, 10:40: 2\u00a0d\u00a00\u00a0h from hanging. "
                                  "5\u00a0h\u00a020\u00a0min are left.");
    assert_int_equal(gate.reason_count, 1);
    assert_string_equal(gate.reasons[0].id, "gate-dries");
    assert_string_equal(gate.reasons[0].words, gate.why);
    assert_string_equal(gate.reasons[0].arguments[2].name, "left");
    assert_string_equal(gate.reasons[0].arguments[2].words, "5\u00a0h\u00a020\u00a0min");
    assert_true(gate.may_override);
    assert_int_equal(gate.from, MONDAY + 2 * DAY + 10 * HOUR + 40 * MINUTE);
    says(ask(FACT_LAMINATED, gate.from - 1), "1\u00a0min are left");
    assert_true(ask(FACT_LAMINATED, gate.from).open);
    /* recorded later than it was done */
    struct fact fact = on_a_good_day(FACT_LAMINATED, MONDAY + 2 * DAY);
    says(gate_check(&hold, &terms, &state, &fact, MONDAY + 4 * DAY, &utc, arena),
         "10\u00a0h\u00a040\u00a0min were left then");
    terms.dry_s = -1;
    gate = ask(FACT_LAMINATED, MONDAY + 20 * DAY);
    says(gate, "does not dry");
    assert_int_equal(gate.from, 0);
}

static void a_cast_laminate_wants_a_warm_room(void **unused)
{
    (void)unused;
    state.printed = MONDAY, state.hung = MONDAY + HOUR;
    struct fact fact = fact_blank(FACT_LAMINATED);
    fact.at = MONDAY + 5 * DAY, fact.air_c = 17;
    struct gate gate = gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena);
    assert_string_equal(gate.why,
                        "The room: 17 degrees C; a cast laminate wants 20 to 23 (common practice, no "
                        "source).");
    assert_true(gate.may_override && gate.from == 0);
    fact.air_c = 20;
    assert_true(gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena).open);
    fact.air_c = 23.5;
    says(gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena), "23.5");
    fact.at = MONDAY + DAY; /* wet as well: both are said, and waiting alone does not help */
    gate = gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena);
    says(gate, "Dries until");
    says(gate, "The room");
    assert_int_equal(gate.from, 0);
}

/* What nobody measured opens no gate that a wrong figure keeps shut. */
static void a_missing_figure_is_asked_for(void **unused)
{
    (void)unused;
    state.printed = MONDAY, state.hung = MONDAY + HOUR;
    struct fact fact = fact_blank(FACT_LAMINATED);
    fact.at = MONDAY + 5 * DAY, fact.surface_c = 40; /* the roller's is not what the gate needs */
    struct gate gate = gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena);
    says(gate, "The room: say how many degrees C");
    assert_true(gate.may_override && gate.from == 0 && gate.asks_count == 1);
    assert_string_equal(gate.asks[0], "air_c");
    terms.laminate_low_c = terms.laminate_high_c = NAN; /* a laminate that wants nothing */
    assert_true(gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena).open);
    state.laminated = MONDAY + 3 * DAY;
    fact = fact_blank(FACT_INSTALLED);
    fact.at = MONDAY + 5 * DAY;
    gate = gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena);
    says(gate, "The vehicle's surface: say how many degrees C; applying film wants 15 to 25");
    assert_int_equal(gate.asks_count, 2);
    fact.air_c = 18;
    gate = gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena);
    assert_int_equal(gate.asks_count, 1);
    assert_string_equal(gate.asks[0], "surface_c");
    fact.air_c = 10; /* one is wrong, one is missing: both are said */
    gate = gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena);
    says(gate, "The air: 10 degrees C");
    says(gate, "The vehicle's surface: say");
    fact.kind = FACT_TRIMMED; /* trimming needs none */
    assert_true(gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena).open);
}

static void applying_waits_for_the_bond(void **unused)
{
    (void)unused;
    state.printed = MONDAY, state.hung = MONDAY + HOUR;
    says(ask(FACT_INSTALLED, MONDAY + 5 * DAY), "not on record as laminated");
    state.laminated = MONDAY + 3 * DAY + 9 * HOUR;
    struct gate gate = ask(FACT_INSTALLED, MONDAY + 3 * DAY + 20 * HOUR);
    assert_string_equal(
        gate.why,
        "The laminate bonds until Fri 5 Mar, 09:00: 24\u00a0h from laminating. 13\u00a0h are left.");
    assert_true(gate.may_override);
    says(ask(FACT_TRIMMED, MONDAY + 3 * DAY + 20 * HOUR), "The laminate bonds");
    terms.trim_waits = false;
    assert_true(ask(FACT_TRIMMED, MONDAY + 3 * DAY + 20 * HOUR).open);
    assert_true(ask(FACT_INSTALLED, MONDAY + 4 * DAY + 9 * HOUR).open);
    struct fact fact = fact_blank(FACT_INSTALLED);
    fact.at = MONDAY + 5 * DAY, fact.air_c = 19, fact.surface_c = 11;
    says(gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena),
         "The vehicle's surface: 11 degrees C");
    fact.surface_c = 15;
    assert_true(gate_check(&hold, &terms, &state, &fact, fact.at, &utc, arena).open);
    terms.has_laminate = false, state.laminated = 0; /* then the print itself must be dry */
    assert_true(ask(FACT_INSTALLED, MONDAY + 5 * DAY).open);
    says(ask(FACT_INSTALLED, MONDAY + DAY), "Dries until Wed 3 Mar, 01:00");
}

static void never(struct gate gate, const char *words)
{
    says(gate, words);
    assert_false(gate.may_override);
    assert_int_equal(gate.from, 0);
}

static void steps_come_once_and_in_their_order(void **unused)
{
    (void)unused;
    for (enum fact_kind kind = FACT_HUNG; kind <= FACT_REPRINT; kind++)
        never(ask(kind, MONDAY), "not on record as printed");
    assert_true(ask(FACT_NOTE, MONDAY).open);
    assert_true(ask(FACT_PRINTED, MONDAY).open);
    state.printed = MONDAY + 9 * HOUR;
    never(ask(FACT_PRINTED, MONDAY + DAY), "on record as printed already, Mon 1 Mar, 09:00");
    never(ask(FACT_DRY_CHECKED, MONDAY + DAY), "not on record as cut and hung");
    never(ask(FACT_HUNG, MONDAY + 8 * HOUR), "was printed only Mon 1 Mar, 09:00");
    assert_true(ask(FACT_HUNG, MONDAY + 10 * HOUR).open);
    assert_true(ask(FACT_MEASURED, MONDAY + 10 * HOUR).open);
    state.hung = MONDAY + 10 * HOUR;
    assert_true(ask(FACT_DRY_CHECKED, MONDAY + DAY).open);
    terms.has_laminate = false;
    never(ask(FACT_LAMINATED, MONDAY + 9 * DAY), "no laminate");
    terms.has_laminate = true;
    state.laminated = MONDAY + 4 * DAY;
    state.printed = 0; /* withdrawn, and recorded again with another time */
    assert_true(ask(FACT_PRINTED, MONDAY + 9 * HOUR).open);
    never(ask(FACT_PRINTED, MONDAY + 11 * HOUR), "was cut and hung already Mon 1 Mar, 10:00");
}

static void a_damaged_piece_is_printed_again(void **unused)
{
    (void)unused;
    state.printed = MONDAY, state.hung = MONDAY + HOUR;
    assert_true(ask(FACT_DAMAGED, MONDAY + 2 * HOUR).open);
    state.damaged = true;
    never(ask(FACT_LAMINATED, MONDAY + 9 * DAY), "is damaged");
    never(ask(FACT_PRINTED, MONDAY + 9 * DAY), "is damaged");
    assert_true(ask(FACT_REPRINT, MONDAY + 9 * DAY).open);
    assert_true(ask(FACT_NOTE, MONDAY + 9 * DAY).open);
}

static void the_future_is_not_recorded(void **unused)
{
    (void)unused;
    struct fact fact = fact_blank(FACT_PRINTED);
    fact.at = MONDAY + 5 * MINUTE;
    assert_true(gate_check(&hold, &terms, &state, &fact, MONDAY, &utc, arena).open);
    fact.at++;
    never(gate_check(&hold, &terms, &state, &fact, MONDAY, &utc, arena), "still to come");
    fact.kind = FACT_TAKEN_IN; /* of the job: neither terms nor state */
    never(gate_check(&hold, NULL, NULL, &fact, MONDAY, &utc, arena), "still to come");
    fact.at = MONDAY;
    assert_true(gate_check(&hold, NULL, NULL, &fact, MONDAY, &utc, arena).open);
}

static void next(int64_t now, enum fact_kind kind, bool open, int64_t from, const char *why)
{
    struct next_step step = gate_next(&hold, &terms, &state, now, &utc, arena);
    assert_int_equal(step.kind, kind);
    assert_int_equal(step.open, open);
    assert_int_equal(step.from, from);
    assert_string_equal(step.why.words, why);
}

/* A stop shuts printing alone, and a reason opens it; before `start` nothing is to be printed yet, but what
 * was printed can be recorded. */
static void stops_and_the_start_hold_printing_up(void **unused)
{
    (void)unused;
    hold.stops = 2;
    struct gate gate = ask(FACT_PRINTED, MONDAY);
    says(gate, "left-2 is not to be printed: the job has 2 stops");
    assert_true(gate.may_override && gate.from == 0);
    next(MONDAY, FACT_PRINTED, false, 0, "the job has 2 stops");
    hold = (struct print_hold){.stops = 1, .start = MONDAY + 8 * HOUR};
    next(MONDAY, FACT_PRINTED, false, 0, "the job has a stop");
    state.printed = MONDAY;
    assert_true(ask(FACT_HUNG, MONDAY + HOUR).open);
    next(MONDAY, FACT_HUNG, true, 0, "printed; on the take-up nothing dries");
    state.printed = 0, hold.stops = 0;
    next(MONDAY, FACT_PRINTED, false, hold.start, "the job starts Mon 1 Mar, 08:00");
    next(hold.start, FACT_PRINTED, true, 0, "to be printed");
    assert_true(ask(FACT_PRINTED, MONDAY).open);
}

static void what_comes_next(void **unused)
{
    (void)unused;
    next(MONDAY, FACT_PRINTED, true, 0, "to be printed");
    state.printed = MONDAY;
    next(MONDAY, FACT_HUNG, true, 0, "printed; on the take-up nothing dries");
    state.hung = MONDAY + 10 * HOUR;
    int64_t dry = MONDAY + 2 * DAY + 10 * HOUR;
    next(dry - 1, FACT_LAMINATED, false, dry, "dries until Wed 3 Mar, 10:00");
    next(dry, FACT_LAMINATED, true, dry, "dry since Wed 3 Mar, 10:00");
    state.laminated = dry + HOUR;
    next(dry + HOUR, FACT_TRIMMED, false, dry + 25 * HOUR, "the laminate bonds until Thu 4 Mar, 11:00");
    terms.trim_waits = false;
    next(dry + HOUR, FACT_TRIMMED, true, dry + HOUR, "laminated; trimming may go on meanwhile");
    state.trimmed = dry + 2 * HOUR;
    next(dry + 30 * HOUR, FACT_INSTALLED, true, dry + 25 * HOUR, "bonded since Thu 4 Mar, 11:00");
    state.installed = dry + 30 * HOUR;
    next(dry + 30 * HOUR, FACT_KIND_COUNT, false, 0, "done");
    state.damaged = true;
    next(dry + 40 * HOUR, FACT_REPRINT, true, 0, "damaged");
}

/* A print of 2400 mm that comes out 0.2 % long is 4.8 mm off at the far end: the handbook's "0.2 % of 2.4 m
 * is 5 mm" (common practice, no source). The feed that mends it is the old one times planned over measured.
 */
static void lengths(void **unused)
{
    (void)unused;
    struct length_check check = gate_length(2400, 2404.8, 100);
    assert_true(fabs(check.miss_mm - 4.8) < 1e-9 && !check.within);
    assert_true(fabs(check.feed_percent - 100 / 1.002) < 1e-9);
    check = gate_length(2000, 2001.5, 99.9);
    assert_true(check.within);
    check = gate_length(2000, 1998.4, 99.9);
    assert_true(!check.within && check.miss_mm < 0);
    /* printed with that feed, the same machine gives the planned length: length is proportional to feed */
    assert_true(fabs(1998.4 * check.feed_percent / 99.9 - 2000) < 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(drying_counts_from_hanging, begin, end),
        cmocka_unit_test_setup_teardown(a_cast_laminate_wants_a_warm_room, begin, end),
        cmocka_unit_test_setup_teardown(a_missing_figure_is_asked_for, begin, end),
        cmocka_unit_test_setup_teardown(applying_waits_for_the_bond, begin, end),
        cmocka_unit_test_setup_teardown(steps_come_once_and_in_their_order, begin, end),
        cmocka_unit_test_setup_teardown(a_damaged_piece_is_printed_again, begin, end),
        cmocka_unit_test_setup_teardown(the_future_is_not_recorded, begin, end),
        cmocka_unit_test_setup_teardown(stops_and_the_start_hold_printing_up, begin, end),
        cmocka_unit_test_setup_teardown(what_comes_next, begin, end),
        cmocka_unit_test_setup_teardown(lengths, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
