/* The floor: jobs found by listing, planned and recorded, shown from the record. Hours and days worked by
 * hand: 48 h of drying for eco-solvent, 24 h of bond, a cast laminate at 20 to 23 degrees C (common practice,
 * no source). 2027-03-01 is a Monday; the shop is open Mon-Fri 08:00-17:00, UTC. The sqlite3 program judges.
 */
#include "../test.h"
#include "../record/put.h"
#include "../support/outside.h"
#include "answer/answer.h"
#include "floor/floor.h"
#include "run/run.h"
#include "base/path.h"
#include "base/text.h"
#include "record/record.h"
#include <math.h>
#include <pthread.h>
#include <string.h>
#include <time.h>

#define HOUR   INT64_C(3600)
#define DAY    (24 * HOUR)
#define MONDAY INT64_C(1803859200) /* 2027-03-01T00:00Z */

static struct machine machine;
static struct arena *arena;
static const char *folder;
static struct floor *place;
static int64_t clock_s;
static int keys;

static int64_t now_of(struct machine *unused)
{
    (void)unused;
    return clock_s;
}

static const char *profile; /* of the printing condition: without one a job has a stop */

static const char shop[] =
    "currency: EUR\nzone: UTC\nhours: {mon-fri: 08:00-17:00, sat: closed, sun: closed}\n"
    "printers:\n  - {name: wide, media-width: 1625, edge: 8, max-length: 30 m, speed: 12 m2/h, setup: 20 "
    "min}\n"
    "films:\n  - {name: cast-white, kind: cast, widths: [1370, 1520], length: 50 m, price: 9.80 per m2}\n"
    "laminates:\n  - {name: cast-gloss, kind: cast, finish: gloss, widths: [1370, 1520], length: 50 m, "
    "price: 7.10 per m2}\n"
    "inks:\n  - {name: eco, technology: eco-solvent, channels: [C, M, Y, K], ml-per-m2: [8, 8, 8, 8], price: "
    "0.16 per ml}\n"
    "conditions:\n  - {name: van-cast, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco, "
    "mode: 8 pass, "
    "profile: %s}\n"
    "  - {name: no-profile, printer: wide, film: cast-white, laminate: cast-gloss, ink: eco}\n"
    "rates: {print: 35, laminate: 30, install: 42, install-speed: 1.6 m2/h, margin: 30 %%}\n";

static void write_file(const char *path, const char *words)
{
    struct error error = {0};
    if (!machine_write(&machine, arena_format(arena, "%s/%s", folder, path), str_from(words), false, &error))
        fail_msg("%s", error.text);
}

static void write_job(const char *name, const char *number, const char *more)
{
    write_file(arena_format(arena, "%s/job.yaml", name),
               arena_format(arena,
                            "job: %s\ntitle: Mobile library\nvehicle: long van\nshop: ../shop.yaml\n"
                            "start: 2027-03-01T08:00\ndue: 2027-03-12T17:00\nprint: {condition: van-cast}\n"
                            "drying: hung\n%ssurfaces:\n"
                            "  - {name: left, size: [2600, 1900], front: left, panels: upright}\n"
                            "  - {name: rear, size: [1300, 1900], front: away, panels: upright}\n",
                            number, more));
}

static int begin(void **state)
{
    (void)state;
    machine = machine_real(""), machine.now = now_of;
    arena = arena_new(&machine);
    folder = outside_folder(arena);
    clock_s = MONDAY + 8 * HOUR;
    write_file("shop.yaml", arena_format(arena, shop, path_full(arena, profile)));
    write_job("van", "LV-1", "");
    struct error error = {0};
    if (!floor_open(&machine, folder, true, &place, &error)) fail_msg("%s", error.text);
    return 0;
}

static int end(void **state)
{
    (void)state;
    floor_close(place);
    outside_remove(folder);
    arena_free(arena);
    return 0;
}

static void plan(const char *number)
{
    struct run_options options = {.now = clock_s, .threads = 1};
    struct error error = {0};
    struct run run;
    struct str json;
    if (!floor_plan(place, number, &options, arena, &run, &error)) fail_msg("%s", error.text);
    if (!answer_write_plan(&run, &json, &error) || !run_write_pictures(&run, &error) ||
        !floor_keep_plan(place, &run, json, &error))
        fail_msg("%s", error.text);
    run_close(&run);
}

static struct floor_view view(void)
{
    struct floor_view seen;
    struct error error = {0};
    if (!floor_view(place, clock_s, arena, &seen, &error)) fail_msg("%s", error.text);
    return seen;
}

static struct fact said(enum fact_kind kind)
{
    struct fact fact = fact_blank(kind);
    fact.job = "LV-1", fact.at = clock_s, fact.who = "desk";
    fact.key = arena_format(arena, "floor-key-%d", ++keys);
    return fact;
}

/* Records for these panels ("left-1,left-2"); the answer. */
static struct floor_answer tell(struct fact fact, const char *panels)
{
    const char *names[20];
    size_t count = 0;
    struct floor_answer answer;
    struct error error = {0};
    char *copy = arena_copy_string(arena, panels);
    for (char *at = strtok(copy, ","); at; at = strtok(NULL, ",")) names[count++] = at;
    if (!floor_put(place, &fact, names, count, arena, &answer, &error)) fail_msg("%s", error.text);
    return answer;
}

static void done(enum fact_kind kind, const char *panels)
{
    struct floor_answer answer = tell(said(kind), panels);
    if (!answer.count) fail_msg("%s", answer.gate.why);
}

static void jobs_are_found_by_listing(void **state)
{
    (void)state;
    write_job("bus", "LV-7", "");
    write_job("double", "lv-1", "");
    write_file("broken/job.yaml", "job: LV-9\nwheels: 4\n");
    write_file("letters/a.txt", "not a job");
    struct floor_view seen = view();
    assert_int_equal(seen.job_count, 4);
    assert_string_equal(seen.jobs[0].folder_name, "broken");
    assert_int_equal(seen.jobs[0].stage, STAGE_BROKEN);
    assert_non_null(strstr(seen.jobs[0].trouble, "job.yaml:"));
    assert_string_equal(seen.jobs[1].number, "LV-7");
    assert_int_equal(seen.jobs[1].stage, STAGE_UNPLANNED);
    assert_string_equal(seen.jobs[1].vehicle, "long van");
    assert_int_equal(seen.jobs[1].due, MONDAY + 11 * DAY + 17 * HOUR);
    assert_non_null(strstr(seen.jobs[3].trouble, "double")); /* "double" comes before "van" */
    assert_string_equal(floor_job_folder(place, "lv-7", arena), arena_format(arena, "%s/bus", folder));
    assert_null(floor_job_folder(place, "../van", arena));
    int64_t before = floor_revision(place);
    assert_int_equal(floor_revision(place), before);
    write_job("bus", "LV-8", "");
    assert_true(floor_revision(place) > before);
    assert_null(floor_job_folder(place, "LV-7", arena));
    assert_non_null(floor_job_folder(place, "LV-8", arena));
}

static const struct floor_step *step(const struct floor_step *steps, size_t count, enum fact_kind kind,
                                     const char *surface)
{
    for (size_t i = 0; i < count; i++)
        if (steps[i].kind == kind && !strcmp(steps[i].surface, surface)) return &steps[i];
    fail_msg("no step %s of %s", fact_kind_name(kind), surface);
    return NULL;
}

static void a_job_goes_through_the_shop(void **state)
{
    (void)state;
    plan("LV-1");
    struct floor_view seen = view();
    assert_int_equal(seen.jobs[0].panels, 3);
    assert_int_equal(seen.jobs[0].stage, STAGE_PRINT);
    assert_int_equal(seen.ready_count, 2);
    assert_int_equal(step(seen.ready, 2, FACT_PRINTED, "left")->panel_count, 2);
    clock_s = MONDAY + 10 * HOUR;
    done(FACT_PRINTED, "left-1,left-2,rear-1");
    clock_s = MONDAY + 11 * HOUR;
    done(FACT_HUNG, "left-1,LEFT-2");
    seen = view();
    assert_int_equal(seen.jobs[0].stage, STAGE_PRINT); /* the rear still lies on the take-up */
    const struct floor_step *dries = step(seen.next, seen.next_count, FACT_LAMINATED, "left");
    assert_int_equal(dries->from, MONDAY + 2 * DAY + 11 * HOUR);
    assert_string_equal(dries->why.words, "dries until Wed 3 Mar, 11:00");
    assert_string_equal(step(seen.ready, seen.ready_count, FACT_HUNG, "rear")->panels[0], "rear-1");
    clock_s = MONDAY + DAY + 9 * HOUR;
    struct fact laminated = said(FACT_LAMINATED);
    laminated.air_c = 21;
    struct floor_answer answer = tell(laminated, "left-1,left-2");
    assert_int_equal(answer.count, 0);
    assert_string_equal(
        answer.gate.why,
        "Dries until Wed 3 Mar, 11:00: 2\u00a0d\u00a00\u00a0h from hanging. 26\u00a0h are left.");
    assert_string_equal(answer.gate_panel, "left-1");
    clock_s = MONDAY + 2 * DAY + 11 * HOUR;
    seen = view();
    assert_string_equal(step(seen.ready, seen.ready_count, FACT_LAMINATED, "left")->why.words,
                        "dry since Wed 3 Mar, 11:00");
    struct fact fact = said(FACT_LAMINATED);
    fact.air_c = 17;
    answer = tell(fact, "left-1");
    assert_int_equal(answer.count, 0);
    assert_non_null(strstr(answer.gate.why, "17 degrees C"));
    fact.override = "  ";
    assert_int_equal(tell(fact, "left-1").count, 0); /* blanks are no reason */
    fact.override = "heated laminator, the maker allows it";
    assert_int_equal(tell(fact, "left-1").count, 1);
    struct fact *facts;
    size_t count;
    struct error error = {0};
    assert_true(floor_facts(place, "lv-1", "left-1", arena, &facts, &count, &error));
    assert_string_equal(facts[count - 1].override, "heated laminator, the maker allows it");
    assert_non_null(strstr(facts[count - 1].gate, "17 degrees C"));
}

static void sent_again_it_is_the_same_fact(void **state)
{
    (void)state;
    plan("LV-1");
    struct fact fact = said(FACT_PRINTED);
    struct floor_answer one = tell(fact, "left-1,left-2"), two = tell(fact, "left-1,left-2");
    assert_int_equal(one.count, 2);
    assert_int_equal(two.first, one.first);
    assert_int_equal(two.count, 2);
    struct fact other = said(FACT_PRINTED);
    other.override = "no reason helps";
    struct floor_answer answer = tell(other, "left-1");
    assert_int_equal(answer.count, 0);
    assert_false(answer.gate.may_override);
    assert_non_null(strstr(answer.gate.why, "on record as printed already"));
}

/* Many try to record the same step at once, through floors of their own as other programs would: one
 * succeeds, the others are told that it is on record already. */
enum { RACERS = 6, ROUNDS = 12 };
static pthread_barrier_t start;

struct racer {
    int number;
    int succeeded, told;
};

static void *race(void *argument)
{
    struct racer *racer = argument;
    struct arena *own = arena_new(&machine);
    struct floor *mine = NULL;
    const char *panel = "left-1";
    bool opened = floor_open(&machine, folder, true, &mine, NULL);
    for (int round = 0; round < ROUNDS; round++) {
        struct floor_answer answer = {.count = -1};
        struct fact fact = fact_blank(round % 2 ? FACT_REPRINT : FACT_PRINTED);
        fact.job = "LV-1", fact.at = clock_s;
        fact.key = arena_format(own, "racer-%d-%d", racer->number, round);
        pthread_barrier_wait(&start);
        if (opened) floor_put(mine, &fact, &panel, 1, own, &answer, NULL);
        racer->succeeded += answer.count == 1;
        racer->told += answer.count == 0 && strstr(answer.gate.why, "on record as printed") != NULL;
    }
    floor_close(mine);
    arena_free(own);
    return NULL;
}

static void one_of_many_succeeds(void **state)
{
    (void)state;
    struct racer racers[RACERS] = {0};
    pthread_t threads[RACERS];
    int succeeded = 0, told = 0;
    plan("LV-1");
    pthread_barrier_init(&start, NULL, RACERS);
    for (int i = 0; i < RACERS; i++) {
        racers[i].number = i;
        pthread_create(&threads[i], NULL, race, &racers[i]);
    }
    for (int i = 0; i < RACERS; i++) {
        pthread_join(threads[i], NULL);
        succeeded += racers[i].succeeded, told += racers[i].told;
    }
    pthread_barrier_destroy(&start);
    assert_int_equal(succeeded, ROUNDS); /* each round one: printed, to be printed again, printed ... */
    assert_int_equal(told, (RACERS - 1) * ROUNDS);
}

static struct error conflict(struct fact fact, const char *const *panels, size_t count)
{
    struct floor_answer answer;
    struct error error = {0};
    assert_false(floor_put(place, &fact, panels, count, arena, &answer, &error));
    assert_int_equal(error.kind, FAILURE_CONFLICT);
    return error;
}

/* A second note of one key, other panels of one key: nothing is recorded, and nobody is told that it was.
 * What was acknowledged is answered as before, whatever its gates say by then. */
static void another_content_of_the_key_is_refused(void **state)
{
    (void)state;
    static const char *const one[] = {"left-1"}, *const two[] = {"left-1", "left-2"};
    plan("LV-1");
    struct fact note = said(FACT_NOTE);
    note.words = "scratch at the sill", note.at = 0;
    int64_t first = tell(note, "left-1").first;
    clock_s += HOUR;
    assert_int_equal(tell(note, "left-1").first, first);
    conflict(note, two, 2);
    note.words = "scratch at the door";
    struct error error = conflict(note, one, 1);
    assert_non_null(strstr(error.text, "says something else"));
    note = said(FACT_NOTE), note.words = "both";
    tell(note, "left-1,left-2");
    conflict(note, one, 1);
    assert_int_equal(tell(note, "left-1,left-2").count, 2);
}

/* Who is signed in did it, unless another is named: then both are kept. */
static void who_did_it_and_who_entered_it(void **state)
{
    (void)state;
    struct fact *facts, note = said(FACT_NOTE);
    size_t count;
    struct error error = {0};
    note.words = "one", note.who = NULL, note.entered_by = "Tablet in the hall";
    tell(note, "");
    note = said(FACT_NOTE), note.words = "two", note.who = "Ana", note.entered_by = "Tablet in the hall";
    tell(note, "");
    note = said(FACT_NOTE), note.words = "three", note.who = NULL;
    tell(note, "");
    assert_true(floor_facts(place, "LV-1", NULL, arena, &facts, &count, &error));
    assert_string_equal(facts[0].who, "Tablet in the hall");
    assert_null(facts[0].entered_by);
    assert_string_equal(facts[1].who, "Ana");
    assert_string_equal(facts[1].entered_by, "Tablet in the hall");
    assert_null(facts[2].who);
}

/* A job that a finding stops, and one whose start is still to come, do not stand under what is to be printed
 * now. */
static void stops_and_starts_hold_printing_up(void **state)
{
    (void)state;
    write_job("stopped", "LV-2", "");
    const char *path = arena_format(arena, "%s/stopped/job.yaml", folder), *said_so;
    outside_run(arena, &said_so, "sed -i 's/van-cast/no-profile/' '%s'", path);
    plan("LV-1"), plan("LV-2");
    struct floor_view seen = view();
    for (size_t i = 0; i < seen.ready_count; i++) assert_string_equal(seen.ready[i].job, "LV-1");
    const struct floor_step *held = &seen.next[0];
    assert_string_equal(held->job, "LV-2");
    assert_string_equal(held->why.words, "the job has a stop");
    assert_int_equal(held->from, 0);
    struct fact fact = said(FACT_PRINTED);
    fact.job = "LV-2";
    struct floor_answer answer = tell(fact, "left-1");
    assert_true(!answer.count && answer.gate.may_override);
    fact.override = "printed with the printer's own profile";
    assert_int_equal(tell(fact, "left-1").count, 1);
    clock_s = MONDAY - 3 * DAY; /* Friday before the start, a Monday, 08:00 */
    seen = view();
    for (size_t i = 0; i < seen.ready_count; i++) assert_int_not_equal(seen.ready[i].kind, FACT_PRINTED);
    held = step(seen.next, seen.next_count, FACT_PRINTED, "left");
    assert_int_equal(held->from, MONDAY + 8 * HOUR);
    assert_string_equal(held->why.words, "the job starts Mon 1 Mar, 08:00");
}

static const char *plan_words(void)
{
    struct str bytes;
    struct error error = {0};
    if (!machine_read(&machine, arena_format(arena, "%s/van/out/plan.json", folder), 1 << 22, arena, &bytes,
                      &error))
        fail_msg("%s", error.text);
    return bytes.bytes;
}

static void refused(struct fact fact, const char *panel, const char *words);

/* Bound to a finding that the plan has; what it was accepted for stays with it, and `check` says so. */
static void a_finding_is_accepted_with_a_reason(void **state)
{
    (void)state;
    plan("LV-1");
    struct fact fact = said(FACT_ACCEPTED);
    fact.words = "the customer brings it on Friday";
    refused(fact, NULL, "its code");
    fact.code = "artwork-mising";
    refused(fact, NULL, "did you mean artwork-missing");
    fact.code = "seam-crosses";
    refused(fact, NULL, "has no finding seam-crosses");
    fact.code = "artwork-missing";
    refused(fact, NULL, "name its place");
    fact.place = "rear", fact.words = " ";
    refused(fact, NULL, "say why");
    fact.words = "the customer brings it on Friday";
    int64_t first = tell(fact, "").first;
    assert_int_equal(tell(fact, "").first, first);
    plan("LV-1");
    const char *words = plan_words(), *accepted = strstr(words, "\"accepted\"");
    assert_non_null(accepted);
    assert_null(strstr(accepted + 1, "\"accepted\"")); /* the other surface's is not accepted */
    assert_non_null(strstr(accepted, "the customer brings it on Friday"));
}

static void refused(struct fact fact, const char *panel, const char *words)
{
    struct floor_answer answer;
    struct error error = {0};
    assert_false(floor_put(place, &fact, &panel, panel ? 1 : 0, arena, &answer, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    if (!strstr(error.text, words)) fail_msg("%s", error.text);
}

static void what_is_not_there_is_said(void **state)
{
    (void)state;
    refused(said(FACT_PRINTED), "left-1", "no plan on record");
    plan("LV-1");
    refused(said(FACT_PRINTED), "left-9", "it has left-1, left-2, rear-1");
    refused(said(FACT_PRINTED), NULL, "which panels");
    struct fact fact = said(FACT_NOTE);
    fact.job = "LV-99", fact.words = "hello";
    refused(fact, NULL, "no job LV-99");
    fact = said(FACT_PRINTED), fact.roll = "R5";
    refused(fact, "left-1", "take it into stock first");
}

static void the_roll_brings_its_batch(void **state)
{
    (void)state;
    struct stock_roll *rolls;
    size_t count;
    struct error error = {0};
    plan("LV-1");
    struct fact in = said(FACT_ROLL_IN);
    in.job = NULL, in.what = "film", in.of = "cast-white", in.batch = "C-5541", in.width_mm = 1370;
    in.length_mm = 50000;
    assert_string_equal(tell(in, "").roll, "R1");
    struct fact fact = said(FACT_PRINTED), *facts;
    fact.roll = "r1";
    tell(fact, "left-1,left-2");
    assert_true(floor_facts(place, "LV-1", "left-2", arena, &facts, &count, &error));
    assert_string_equal(facts[count - 1].batch, "C-5541");
    assert_true(floor_stock(place, arena, &rolls, &count, &error));
    assert_int_equal(rolls->panels, 2);
    assert_true(fabs(rolls->left_mm - (50000 - 2 * 2000)) < 1e-9); /* two prints of 1900 + 2 x 50 mm */
    struct fact out = said(FACT_ROLL_OUT);
    out.job = NULL, out.roll = "R1";
    tell(out, "");
    assert_true(floor_stock(place, arena, &rolls, &count, &error));
    assert_int_equal(rolls->out, clock_s);
}

/* What comes in must be something that the shop files here know; prints go on film. */
static void stock_is_checked_against_the_shops(void **state)
{
    (void)state;
    struct fact in = said(FACT_ROLL_IN);
    in.job = NULL, in.what = "film", in.of = "cast-whit";
    refused(in, NULL, "it has: \"cast-white\"");
    in.of = "cast-gloss";
    refused(in, NULL, "the shop has no film \"cast-gloss\"");
    in.what = "laminate", in.width_mm = 1600;
    refused(in, NULL, "1370, 1520 mm wide in the shop file, not 1600 mm");
    in.width_mm = 1520, in.length_mm = 50;
    refused(in, NULL, "1 to 500 m long");
    in.length_mm = 50000;
    assert_string_equal(tell(in, "").roll, "R1");
    in = said(FACT_ROLL_IN);
    in.job = NULL, in.what = "ink", in.of = "eco";
    assert_string_equal(tell(in, "").roll, "R2");
    plan("LV-1");
    struct fact print = said(FACT_PRINTED);
    print.roll = "R1";
    refused(print, "left-1", "R1 is a roll of laminate (cast-gloss), not of film");
    print.roll = NULL;
    tell(print, "left-1,left-2");
    clock_s += HOUR;
    done(FACT_HUNG, "left-1,left-2");
    clock_s += 60 * HOUR;
    struct fact narrow = said(FACT_ROLL_IN);
    narrow.job = NULL, narrow.what = "laminate", narrow.of = "cast-gloss", narrow.width_mm = 1370;
    const char *narrow_roll = tell(narrow, "").roll;
    double widest = 0;
    for (const char *panel = "12"; *panel; panel++) {
        double width;
        struct error error = {0};
        struct record *record = record_open(&machine, folder, RECORD_READ, &error);
        assert_true(
            record_print_width(record, "LV-1", arena_format(arena, "left-%c", *panel), &width, &error));
        record_close(record);
        if (width > widest) widest = width;
        struct fact laminated = said(FACT_LAMINATED);
        laminated.roll = narrow_roll, laminated.air_c = 21;
        const char *id = arena_format(arena, "left-%c", *panel);
        if (width > 1370)
            refused(laminated, id, "name a wider laminate roll");
        else
            assert_int_equal(tell(laminated, id).count, 1);
    }
    assert_true(widest >= 1350 &&
                widest <= 1504); /* half of 2600 and its bleed, at most what 1520 mm film holds */
    /* another shop file that a job here names */
    write_file("other/shop.yaml", arena_format(arena, shop, path_full(arena, profile)));
    const char *unused;
    outside_run(arena, &unused, "sed -i 's/cast-white/cast-grey/' '%s/other/shop.yaml'", folder);
    write_job("bus", "LV-7", "");
    outside_run(arena, &unused, "sed -i 's,../shop.yaml,../other/shop.yaml,' '%s/bus/job.yaml'", folder);
    view();
    in = said(FACT_ROLL_IN);
    in.job = NULL, in.what = "film", in.of = "cast-grey";
    assert_string_equal(tell(in, "").roll, "R4");
}

/* Planned to print on Monday at 8; printed on Wednesday at 10. The new plan says so and is a new version; the
 * old promise stays known. By hand: two surfaces of 5.2 x 2.0 and 1.4 x 2.0 m and their setting up end well
 * before Wed 17:00, so the last drying ends on Friday, the bond on Saturday or later: on Monday 8th from 08:00 the
 * first is trimmed (2.8 to 11 m2 at 12 m2/h: 14 to 55 min), then installed. Applying 7.41 m2 at 1.6 m2/h takes 4.6 h: promised for Monday 12:00 it is late, for Friday 12th not.
 */
static void a_late_start_is_seen(void **state)
{
    (void)state;
    plan("LV-1");
    struct planned_job first, later;
    struct error error = {0};
    assert_true(floor_job(place, "LV-1", clock_s, arena, &first, &error));
    assert_true(first.planned && first.terms.version == 1 && first.terms.has_install);
    assert_false(view().jobs[0].late);
    clock_s = MONDAY + 2 * DAY + 10 * HOUR;
    struct floor_view seen = view();
    assert_false(seen.ready[0].late || seen.jobs[0].late); /* there is room until Friday 12th */
    const char *unused;
    outside_run(arena, &unused, "sed -i 's/2027-03-12T17:00/2027-03-08T12:00/' '%s/van/job.yaml'", folder);
    plan("LV-1");
    assert_true(floor_job(place, "LV-1", clock_s, arena, &later, &error));
    assert_int_equal(later.terms.version, 2);
    assert_in_range(later.terms.earliest_install, MONDAY + 7 * DAY + 8 * HOUR + 14 * 60,
                    MONDAY + 7 * DAY + 8 * HOUR + 55 * 60);
    assert_int_equal(later.terms.first_promised, first.terms.finished);
    assert_true(later.terms.finished > first.terms.finished);
    assert_int_equal(later.panels[0].terms.print_start, clock_s);
    seen = view();
    assert_true(seen.jobs[0].late && seen.ready[0].late);
    assert_int_equal(seen.jobs[0].late_s, later.terms.finished - later.terms.due);
    assert_int_equal(seen.jobs[0].expected, later.terms.finished);
    assert_true(later.panels[0].late);
    plan("LV-1");
    assert_true(floor_job(place, "LV-1", clock_s, arena, &later, &error));
    assert_int_equal(later.terms.version, 2); /* nothing changed */
}

/* left-1 is printed, then the seam is moved: the piece in the shop no longer is the piece in the plan. */
static void seams_moved_after_printing_are_said(void **state)
{
    (void)state;
    plan("LV-1");
    done(FACT_PRINTED, "left-1");
    plan("LV-1");
    assert_null(strstr(plan_words(), "printed-otherwise"));
    struct str bytes;
    struct error error = {0};
    assert_true(machine_read(&machine, arena_format(arena, "%s/van/job.yaml", folder), 1 << 20, arena, &bytes,
                             &error));
    char *at = strstr(bytes.bytes, "panels: upright}");
    const char *moved = arena_format(arena, "%.*spanels: upright, seams: [1290]}%s", (int)(at - bytes.bytes),
                                     bytes.bytes, at + strlen("panels: upright}"));
    write_file("van/job.yaml", moved);
    plan("LV-1");
    const char *said =
        strstr(plan_words(), "left-1 was printed for plan version 1, where it covers x 0.0 to ");
    assert_non_null(said);
    assert_non_null(strstr(said, "now it would cover x 0.0 to 1290.0"));
    done(FACT_REPRINT, "left-1");
    plan("LV-1");
    assert_null(strstr(plan_words(), "printed-otherwise"));
}

static void the_zone_outlives_the_job_that_named_it(void **state)
{
    (void)state;
    write_job("van", "LV-1", "durability: 5 y\n");
    int64_t before = floor_revision(place);
    write_job("van", "LV-1", "durability: 4 years\n");
    assert_true(floor_revision(place) > before);
    assert_string_equal(floor_zone(place)->name, "UTC");
}

/* The print of left-1 is 1900 + 50 + 50 = 2000 mm long. Marks 1500 mm apart that measure 1501.2 mm are 1.6 mm
 * over the whole print: more than the 1.5 mm that neighbours may miss (common practice, no source); with a
 * feed of 100 % the reprint wants 100 x 1500 / 1501.2. */
static void length_marks(void **state)
{
    (void)state;
    plan("LV-1");
    done(FACT_PRINTED, "left-1");
    struct fact fact = said(FACT_MEASURED);
    fact.planned_mm = 1500, fact.measured_mm = 1501.2;
    tell(fact, "left-1");
    struct planned_job job;
    struct error error = {0};
    assert_true(floor_job(place, "LV-1", clock_s, arena, &job, &error));
    assert_true(fabs(job.panels[0].terms.print_mm - 2000) < 1e-9);
    assert_true(fabs(job.panels[0].length.miss_mm - 1.6) < 1e-9 && !job.panels[0].length.within);
    assert_true(fabs(job.panels[0].length.feed_percent - 150000.0 / 1501.2) < 1e-9);
    assert_true(isnan(job.panels[1].length.miss_mm));
    assert_int_equal(job.panels[0].fact_count, 2);
    assert_int_equal(job.panels[0].facts[0].kind, FACT_MEASURED);
    fact = said(FACT_MEASURED), fact.measured_mm = 2000.4;
    tell(fact, "left-1"); /* after laminating, over the whole print */
    assert_true(floor_job(place, "LV-1", clock_s, arena, &job, &error));
    assert_true(fabs(job.panels[0].length.miss_mm - 0.4) < 1e-9 && job.panels[0].length.within);
}

/* Read back by Python's own csv and json modules. */
static void exports_are_read_by_others(void **state)
{
    (void)state;
    static const char script[] =
        "import csv, json, sys\n"
        "rows = list(csv.DictReader(open(sys.argv[1], newline='', encoding='utf-8')))\n"
        "facts = json.load(open(sys.argv[2], encoding='utf-8'))['facts']\n"
        "note = [r for r in rows if r['kind'] == 'note'][0]\n"
        "other = [f for f in facts if f['kind'] == 'note'][0]\n"
        "print(len(rows), len(facts), note['words'] == other['words'] == 'scratch, \"long\"\\nsecond line', "
        "note['at'], note['air_c'])\n"
        "print([r['words'] for r in rows][-1])\n";
    plan("LV-1");
    done(FACT_PRINTED, "left-1");
    struct fact note = said(FACT_NOTE);
    note.words = "scratch, \"long\"\nsecond line", note.air_c = 20.5;
    tell(note, "");
    note = said(FACT_NOTE), note.words = "=1+1";
    tell(note, "");
    struct error error = {0};
    struct text csv = text_new(arena), json = text_new(arena);
    struct fact *facts;
    size_t count;
    assert_true(floor_facts(place, NULL, NULL, arena, &facts, &count, &error));
    answer_facts_csv(facts, count, floor_zone(place), &csv);
    assert_true(floor_facts(place, "LV-1", NULL, arena, &facts, &count, &error));
    answer_facts(facts, count, floor_zone(place), &json);
    write_file("out.csv", text_string(&csv)), write_file("out.json", text_string(&json));
    write_file("read.py", script);
    const char *out;
    outside_run(arena, &out, "python3 '%s/read.py' '%s/out.csv' '%s/out.json'", folder, folder, folder);
    assert_string_equal(out, "4 4 True 2027-03-01T08:00+00:00 20.5\n'=1+1\n");
}

enum { JOBS = 300, PANELS = 20 };

/* A plan on record and all panels printed and hung, put there by another process's handle. */
static void fill_job(struct record *record, int i)
{
    struct panel_terms panels[PANELS];
    struct fact facts[PANELS];
    struct error error = {0};
    const char *number = arena_format(arena, "J-%d", i);
    for (int k = 0; k < PANELS; k++) {
        const char *panel = arena_format(arena, "left-%d", k + 1);
        panels[k] = (struct panel_terms){.panel = panel,
                                         .surface = "left",
                                         .install_sequence = k,
                                         .dry_s = 48.0 * 3600,
                                         .has_laminate = true,
                                         .bond_s = 24.0 * 3600,
                                         .print_mm = 2000,
                                         .laminate_start = MONDAY + 3 * DAY};
        facts[k] = fact_blank(k % 2 ? FACT_PRINTED : FACT_NOTE);
        facts[k].key = arena_format(arena, "many-%d-%d", i, k), facts[k].job = number, facts[k].panel = panel;
        facts[k].at = MONDAY, facts[k].words = "one of many";
    }
    struct job_terms terms = {.job = number,
                              .fingerprint = "0123456789abcdef",
                              .made = MONDAY,
                              .panels = panels,
                              .panel_count = PANELS,
                              .has_install = true,
                              .finished = MONDAY + 9 * DAY};
    if (!record_plan(record, &terms, str_from("{}"), NULL, &error) ||
        !put_facts(record, facts, PANELS, &error))
        fail_msg("%s", error.text);
}

static void view_all(void)
{
    struct arena *own = arena_new(&machine);
    struct floor_view seen;
    assert_true(floor_view(place, clock_s, own, &seen, NULL));
    assert_int_equal(seen.job_count, JOBS + 1);
    assert_int_equal(seen.ready_count, 2 * JOBS); /* half to be printed, half to be hung */
    arena_free(own);
}

/* 300 jobs of 20 panels are shown, also after each fact that is added (how fast: bench/page.py). */
static void hundreds_of_jobs_are_shown(void **state)
{
    (void)state;
    struct error error = {0};
    struct record *record = record_open(&machine, folder, RECORD_WRITE, &error);
    for (int i = 0; i < JOBS; i++) {
        write_file(
            arena_format(arena, "job-%d/job.yaml", i),
            arena_format(arena,
                         "job: J-%d\nvehicle: long van\nshop: ../shop.yaml\nprint: {condition: van-cast}\n"
                         "surfaces: [{name: left, size: [26000, 1900]}]\n",
                         i));
        fill_job(record, i);
    }
    view_all();
    for (int i = 0; i < 3; i++) {
        struct fact note = fact_blank(FACT_NOTE);
        note.key = arena_format(arena, "later-key-%d", i), note.job = "J-7", note.panel = "left-3";
        note.at = MONDAY, note.words = "one more";
        assert_true(put_facts(record, &note, 1, &error));
        view_all();
    }
    record_close(record);
}

int main(int count, char **arguments)
{
    if (count != 2) return 2;
    profile = arguments[1];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(jobs_are_found_by_listing, begin, end),
        cmocka_unit_test_setup_teardown(a_job_goes_through_the_shop, begin, end),
        cmocka_unit_test_setup_teardown(sent_again_it_is_the_same_fact, begin, end),
        cmocka_unit_test_setup_teardown(another_content_of_the_key_is_refused, begin, end),
        cmocka_unit_test_setup_teardown(who_did_it_and_who_entered_it, begin, end),
        cmocka_unit_test_setup_teardown(stops_and_starts_hold_printing_up, begin, end),
        cmocka_unit_test_setup_teardown(a_finding_is_accepted_with_a_reason, begin, end),
        cmocka_unit_test_setup_teardown(one_of_many_succeeds, begin, end),
        cmocka_unit_test_setup_teardown(what_is_not_there_is_said, begin, end),
        cmocka_unit_test_setup_teardown(the_roll_brings_its_batch, begin, end),
        cmocka_unit_test_setup_teardown(stock_is_checked_against_the_shops, begin, end),
        cmocka_unit_test_setup_teardown(a_late_start_is_seen, begin, end),
        cmocka_unit_test_setup_teardown(seams_moved_after_printing_are_said, begin, end),
        cmocka_unit_test_setup_teardown(the_zone_outlives_the_job_that_named_it, begin, end),
        cmocka_unit_test_setup_teardown(length_marks, begin, end),
        cmocka_unit_test_setup_teardown(exports_are_read_by_others, begin, end),
        cmocka_unit_test_setup_teardown(hundreds_of_jobs_are_shown, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
