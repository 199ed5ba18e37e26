/* Facts go in once, come out as they went in, and are refused with a sentence when they cannot be right. */
#include "bench.h"
#include <math.h>
#include <string.h>

static struct fact *all(size_t *count)
{
    struct fact *facts;
    struct error error = {0};
    struct fact_query query = {0};
    if (!record_facts(bench.record, &query, bench.arena, &facts, count, &error)) fail_msg("%s", error.text);
    return facts;
}

static void a_fact_comes_out_as_it_went_in(void **state)
{
    (void)state;
    struct fact in = fact_on(FACT_LAMINATED, "left-1", NOON, 1);
    in.device = "hall tablet", in.air_c = 21.3, in.surface_c = 60, in.humidity_percent = 48.5;
    in.batch = "B-77", in.words = "zweite Walze; caf\xc3\xa9", in.override = "due tomorrow",
    in.gate = "Dries.";
    put(in);
    bench_again();
    size_t count;
    struct fact *out = all(&count);
    assert_int_equal(count, 1);
    assert_int_equal(out->number, 1);
    assert_int_equal(out->kind, FACT_LAMINATED);
    assert_int_equal(out->at, NOON);
    assert_int_equal(out->recorded, NOON + 86400);
    assert_string_equal(out->panel, "left-1");
    assert_string_equal(out->device, "hall tablet");
    assert_true(out->air_c == 21.3 && out->surface_c == 60 && out->humidity_percent == 48.5);
    assert_true(isnan(out->measured_mm) && isnan(out->width_mm));
    assert_string_equal(out->words, in.words);
    assert_string_equal(out->override, in.override);
    assert_string_equal(out->gate, in.gate);
    assert_null(out->roll);
    assert_false(out->withdrawn);
    /* another program reads the same */
    assert_string_equal(judge("SELECT number, kind, panel, air_c, batch FROM fact"),
                        "1|laminated|left-1|21.3|B-77");
}

static void every_kind_has_a_name_that_leads_back(void **state)
{
    (void)state;
    for (int i = 0; i < FACT_KIND_COUNT; i++) {
        enum fact_kind kind;
        assert_true(fact_kind_from(fact_kind_name((enum fact_kind)i), &kind));
        assert_int_equal(kind, i);
        assert_true(strlen(fact_kind_words((enum fact_kind)i)) > 3);
    }
    enum fact_kind kind;
    assert_false(fact_kind_from("glued", &kind));
}

static void sent_twice_it_is_recorded_once(void **state)
{
    (void)state;
    struct error error = {0};
    put(fact_on(FACT_PRINTED, "left-1", NOON, 1));
    put(fact_on(FACT_PRINTED, "left-2", NOON, 2));
    struct fact again = fact_on(FACT_PRINTED, "left-1", NOON, 1);
    assert_true(put_facts(bench.record, &again, 1, &error));
    assert_int_equal(again.number, 1);
    assert_int_equal(fact_count(), 2);
    refuse_key(fact_on(FACT_HUNG, "left-1", NOON, 1));
    refuse_key(fact_on(FACT_PRINTED, "left-2", NOON, 1));
}

static void all_or_none(void **state)
{
    (void)state;
    struct error error = {0};
    struct fact facts[] = {fact_on(FACT_PRINTED, "left-1", NOON, 1), fact_on(FACT_PRINTED, "left-2", NOON, 2),
                           fact_on(FACT_PRINTED, NULL, NOON, 3)};
    assert_false(put_facts(bench.record, facts, 3, &error));
    assert_int_equal(fact_count(), 0);
    assert_int_equal(facts[0].number, 0);
    assert_true(put_facts(bench.record, facts, 2, &error));
    assert_int_equal(facts[1].number, 2);
}

static void what_cannot_be_right_is_refused(void **state)
{
    (void)state;
    struct fact f = fact_on(FACT_PRINTED, "left-1", NOON, 1);
    f.key = "short";
    refuse(f, "8 to 64");
    f.key = "semi;colon";
    refuse(f, "letters, digits");
    f = fact_on(FACT_PRINTED, "left-1", 12345, 1);
    refuse(f, "2000 and 2200");
    f = fact_on(FACT_LAMINATED, "left-1", NOON, 1), f.air_c = 700;
    refuse(f, "-50 to 80");
    f.air_c = INFINITY;
    refuse(f, "not a valid number");
    f = fact_on(FACT_MEASURED, "left-1", NOON, 1);
    refuse(f, "length measured");
    f = fact_on(FACT_PRINTED, "left-1", NOON, 1), f.who = "two\nlines";
    refuse(f, "one line");
    f.who = "bad \xff bytes";
    refuse(f, "UTF-8");
    f.who = "a name of more than sixty-four bytes, which is more than a column of a page holds";
    refuse(f, "1 to 64");
    char long_words[FACT_WORDS_MOST + 2] = {0};
    memset(long_words, 'x', sizeof long_words - 1);
    f = fact_on(FACT_NOTE, NULL, NOON, 1), f.words = long_words;
    refuse(f, "at most 2000");
    f = fact_on(FACT_PHOTO, "left-1", NOON, 1), f.photo = "../../etc";
    refuse(f, "64 hex");
    f.photo = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    refuse(f, "send it first");
    f = fact_on(FACT_PRINTED, "left-1", NOON, 1), f.roll = "R9";
    refuse(f, "take it into stock first");
}

static void a_mistake_is_withdrawn_by_another_fact(void **state)
{
    (void)state;
    put(fact_on(FACT_PRINTED, "left-1", NOON, 1));
    put(fact_on(FACT_HUNG, "left-1", NOON + 60, 2));
    struct fact w = fact_blank(FACT_WITHDRAWN);
    w.key = "withdraw-1", w.at = NOON + 120, w.withdraws = 2;
    bench.now = NOON + 86400 + FACT_UNDO_S + 1;
    refuse(w, "needs words");
    w.words = "it was left-2";
    put(w);
    size_t count;
    struct fact *facts = all(&count);
    assert_int_equal(count, 3);
    assert_true(facts[1].withdrawn && !facts[0].withdrawn);
    assert_false(facts[1].undone || facts[2].undone);
    assert_string_equal(facts[2].panel, "left-1");
    assert_string_equal(judge("SELECT printed > 0, hung FROM state"), "1|0");
    w.key = "withdraw-2";
    refuse(w, "withdrawn before");
    w.withdraws = 3;
    refuse(w, "cannot be withdrawn");
    w.withdraws = 99;
    refuse(w, "no entry 99");
    assert_int_equal(verify(NULL), 0);
}

/* Taken back while the button still says so: both stay on record and say that of themselves; the reason may
 * be left out. */
static void what_is_taken_back_at_once_is_undone(void **state)
{
    (void)state;
    put(fact_on(FACT_PRINTED, "left-1", NOON, 1));
    put(fact_on(FACT_HUNG, "left-1", NOON + 60, 2));
    bench.now = NOON + 86400 + FACT_UNDO_S;
    struct fact w = fact_blank(FACT_WITHDRAWN);
    w.key = "take-back-1", w.withdraws = 2;
    put(w);
    size_t count;
    struct fact *facts = all(&count);
    assert_int_equal(count, 3);
    assert_true(!facts[0].undone && facts[1].undone && facts[1].withdrawn && facts[2].undone);
    assert_int_equal(facts[2].at, bench.now); /* nobody said when: now */
    assert_string_equal(judge("SELECT printed > 0, hung FROM state"), "1|0");
    assert_int_equal(verify(NULL), 0);
}

/* The same key with other content is refused, whichever field it is that differs; what was left out and
 * worked out may be left out again. */
static void a_key_is_for_one_content(void **state)
{
    (void)state;
    struct fact f = fact_on(FACT_LAMINATED, "left-1", NOON, 1), again, none = fact_blank(FACT_LAMINATED);
    f.air_c = 21, f.words = "first pass", f.batch = "L-17", f.device = "tablet";
    put(f);
    put(f);
    again = f, again.at = 0, again.batch = again.who = again.device = NULL;
    put(again);
    assert_int_equal(fact_count(), 1);
    again = f, again.air_c = 21.5, refuse_key(again);
    again = f, again.air_c = none.air_c, refuse_key(again);
    again = f, again.humidity_percent = 50, refuse_key(again);
    again = f, again.words = "second pass", refuse_key(again);
    again = f, again.words = NULL, refuse_key(again);
    again = f, again.at = NOON + 60, refuse_key(again);
    again = f, again.batch = "L-18", refuse_key(again);
    again = f, again.job = "LV-2", refuse_key(again);
    again = f, again.override = "wet", put(again); /* kept only where a gate asks */
}

/* Several facts that were sent as one: the same again, fewer, more, or others. */
static void several_of_one_key(void **state)
{
    (void)state;
    struct error error = {0};
    bool known;
    struct fact facts[3];
    for (int i = 0; i < 3; i++) {
        facts[i] = fact_on(FACT_NOTE, arena_format(bench.arena, "left-%d", i + 1), NOON, 0);
        facts[i].words = "stone chips", facts[i].sent_as = "several-in-one";
        facts[i].key = arena_format(bench.arena, "several-in-one-%d", i + 1);
    }
    assert_true(record_find_sent(bench.record, "several-in-one", facts, 2, &known, &error));
    assert_false(known);
    assert_true(put_facts(bench.record, facts, 2, &error));
    assert_true(record_find_sent(bench.record, "several-in-one", facts, 2, &known, &error));
    assert_true(known);
    assert_int_equal(facts[1].number, 2);
    assert_false(record_find_sent(bench.record, "several-in-one", facts, 1, &known, &error));
    assert_int_equal(error.kind, FAILURE_CONFLICT);
    assert_false(record_find_sent(bench.record, "several-in-one", facts, 3, &known, &error));
    facts[1].words = "a scratch";
    assert_false(record_find_sent(bench.record, "several-in-one", facts, 2, &known, &error));
    struct fact alone = fact_on(FACT_NOTE, NULL, NOON, 0);
    alone.words = "stone chips", alone.key = "several-in-one";
    refuse_key(alone);
}

/* State against folding by hand: a reprint starts the piece again and keeps count. */
static void states_follow_the_facts(void **state)
{
    (void)state;
    struct panel_terms panels[] = {{.panel = "left-1", .surface = "left"},
                                   {.panel = "left-2", .surface = "left"}};
    struct job_terms terms = {.job = "LV-1", .panels = panels, .panel_count = 2};
    struct panel_state *states;
    struct error error = {0};
    struct fact measured = fact_on(FACT_MEASURED, "left-2", NOON + 90, 4);
    measured.planned_mm = 2000, measured.measured_mm = 2001.2, measured.override = "wet";
    put(fact_on(FACT_PRINTED, "left-1", NOON, 1));
    put(fact_on(FACT_PRINTED, "left-2", NOON, 2));
    put(fact_on(FACT_HUNG, "left-2", NOON + 60, 3));
    put(measured);
    assert_true(record_states(bench.record, &terms, bench.arena, &states, &error));
    assert_int_equal(states[0].printed, NOON);
    assert_int_equal(states[0].hung, 0);
    assert_int_equal(states[1].hung, NOON + 60);
    assert_true(states[1].measured_mm == 2001.2 && states[1].overrides == 1);
    put(fact_on(FACT_DAMAGED, "left-2", NOON + 100, 5));
    assert_true(record_states(bench.record, &terms, bench.arena, &states, &error));
    assert_true(states[1].damaged);
    put(fact_on(FACT_REPRINT, "left-2", NOON + 110, 6));
    assert_true(record_states(bench.record, &terms, bench.arena, &states, &error));
    assert_true(!states[1].damaged && !states[1].printed && !states[1].hung && isnan(states[1].measured_mm));
    assert_int_equal(states[1].reprints, 1);
    struct recorded_state *since;
    size_t count;
    assert_true(record_states_since(bench.record, 5, bench.arena, &since, &count, &error));
    assert_int_equal(count, 1);
    assert_string_equal(since->state.panel, "left-2");
    assert_int_equal(since->fact, 6);
}

static void rolls_are_counted(void **state)
{
    (void)state;
    struct fact in = fact_blank(FACT_ROLL_IN);
    in.key = "roll-in-1", in.at = NOON, in.what = "film", in.of = "cast-white", in.batch = "C-5";
    in.width_mm = 1370, in.length_mm = 50000;
    put(in);
    in.key = "roll-in-2", in.what = "laminate", in.of = "cast-gloss";
    put(in);
    in.key = "roll-in-3", in.what = "paper";
    refuse(in, "film, laminate or ink");
    in.what = "film", in.roll = "R1";
    refuse(in, "another name");
    for (int i = 0; i < 3; i++) {
        struct fact f = fact_on(FACT_PRINTED, arena_format(bench.arena, "left-%d", i), NOON, 10 + i);
        f.roll = "R1";
        put(f);
    }
    struct fact out = fact_blank(FACT_ROLL_OUT);
    out.key = "roll-out-1", out.at = NOON + 9, out.roll = "R1";
    put(out);
    struct stock_roll *rolls;
    size_t count;
    struct error error = {0};
    assert_true(record_stock(bench.record, bench.arena, &rolls, &count, &error));
    assert_int_equal(count, 2);
    assert_string_equal(rolls[0].name, "R1");
    assert_string_equal(rolls[0].batch, "C-5");
    assert_int_equal(rolls[0].panels, 3);
    assert_int_equal(rolls[0].out, NOON + 9);
    assert_string_equal(rolls[1].name, "R2");
    assert_string_equal(rolls[1].what, "laminate");
    assert_int_equal(rolls[1].out, 0);
    assert_true(rolls[1].width_mm == 1370);
}

static void photographs_are_kept_once(void **state)
{
    (void)state;
    struct error error = {0};
    char name[65], again[65];
    struct str bytes = {"\x89PNG\r\n\x1a\nnot a whole picture", 28}, out;
    const char *kind, *said;
    assert_false(record_add_photo(bench.record, (struct str){"GIF89a", 6}, "image/png", name, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_true(record_add_photo(bench.record, bytes, "image/png", name, &error));
    assert_true(record_add_photo(bench.record, bytes, "image/png", again, &error));
    assert_string_equal(name, again);
    assert_string_equal(judge("SELECT count(*) FROM photo"), "1");
    /* the name is what sha256sum says of the bytes */
    outside_run(bench.arena, &said,
                "sqlite3 '%s/record.sqlite' \"SELECT writefile('%s/photo', bytes) FROM photo\" "
                "> /dev/null; sha256sum < '%s/photo'",
                bench.folder, bench.folder, bench.folder);
    assert_memory_equal(said, name, 64);
    assert_true(record_get_photo(bench.record, name, bench.arena, &out, &kind, &error));
    assert_int_equal(out.length, bytes.length);
    assert_memory_equal(out.bytes, bytes.bytes, out.length);
    assert_string_equal(kind, "image/png");
    struct fact f = fact_on(FACT_PHOTO, NULL, NOON, 1);
    f.photo = name;
    put(f);
}

static void people_come_and_go(void **state)
{
    (void)state;
    struct error error = {0};
    struct person person = {"desk", ROLE_SHOP, "hash"}, *people;
    size_t count;
    int64_t before = record_revision(bench.record);
    assert_true(record_set_person(bench.record, &person, &error));
    assert_true(record_revision(bench.record) > before);
    person.role = ROLE_VIEWER;
    assert_true(record_set_person(bench.record, &person, &error));
    assert_true(record_people(bench.record, bench.arena, &people, &count, &error));
    assert_int_equal(count, 1);
    assert_int_equal(people->role, ROLE_VIEWER);
    assert_true(record_remove_person(bench.record, "desk", &error));
    assert_false(record_remove_person(bench.record, "desk", &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_int_equal(fact_count(), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_fact_comes_out_as_it_went_in, bench_open, bench_close),
        cmocka_unit_test(every_kind_has_a_name_that_leads_back),
        cmocka_unit_test_setup_teardown(sent_twice_it_is_recorded_once, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(all_or_none, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(what_cannot_be_right_is_refused, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(a_mistake_is_withdrawn_by_another_fact, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(what_is_taken_back_at_once_is_undone, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(a_key_is_for_one_content, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(several_of_one_key, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(states_follow_the_facts, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(rolls_are_counted, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(photographs_are_kept_once, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(people_come_and_go, bench_open, bench_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
