#include "bench.h"
#include "base/report.h"
#include <math.h>
#include <string.h>

struct bench bench;

static int64_t clock_of(struct machine *machine)
{
    (void)machine;
    return bench.now ? bench.now : NOON + 86400;
}

int bench_open(void **state)
{
    (void)state;
    bench.machine = machine_real("");
    bench.machine.now = clock_of;
    bench.now = 0;
    bench.arena = arena_new(&bench.machine);
    bench.folder = outside_folder(bench.arena);
    struct error error = {0};
    bench.record = record_open(&bench.machine, bench.folder, RECORD_CREATE, &error);
    if (!bench.record) fail_msg("%s", error.text);
    return 0;
}

int bench_close(void **state)
{
    (void)state;
    record_close(bench.record);
    outside_remove(bench.folder);
    arena_free(bench.arena);
    return 0;
}

void bench_again(void)
{
    struct error error = {0};
    record_close(bench.record);
    bench.record = record_open(&bench.machine, bench.folder, RECORD_WRITE, &error);
    if (!bench.record) fail_msg("%s", error.text);
}

struct fact fact_on(enum fact_kind kind, const char *panel, int64_t at, int key)
{
    struct fact fact = fact_blank(kind);
    fact.key = arena_format(bench.arena, "test-key-%d", key);
    fact.job = "LV-1", fact.panel = panel, fact.at = at, fact.who = "desk";
    return fact;
}

void put(struct fact fact)
{
    struct error error = {0};
    if (!put_facts(bench.record, &fact, 1, &error)) fail_msg("%s", error.text);
    assert_true(fact.number > 0);
}

static void refuse_as(struct fact fact, enum failure kind, const char *words)
{
    struct error error = {0};
    size_t before = fact_count();
    assert_false(put_facts(bench.record, &fact, 1, &error));
    assert_int_equal(error.kind, kind);
    if (!strstr(error.text, words)) fail_msg("\"%s\" does not say \"%s\"", error.text, words);
    assert_int_equal(fact.number, 0);
    assert_int_equal(fact_count(), before);
}

void refuse(struct fact fact, const char *words)
{
    refuse_as(fact, FAILURE_INPUT, words);
}

void refuse_key(struct fact fact)
{
    refuse_as(fact, FAILURE_CONFLICT, "says something else");
}

size_t fact_count(void)
{
    struct fact *facts;
    size_t count;
    struct error error = {0};
    struct fact_query query = {0};
    if (!record_facts(bench.record, &query, bench.arena, &facts, &count, &error)) fail_msg("%s", error.text);
    return count;
}

const char *judge(const char *statements)
{
    const char *said;
    outside_run(bench.arena, &said, "sqlite3 '%s/record.sqlite' \"%s\"", bench.folder, statements);
    size_t length = strlen(said);
    return arena_copy(bench.arena, said, length && said[length - 1] == '\n' ? length - 1 : length);
}

size_t verify(const char **words)
{
    struct error error = {0};
    struct report report = report_new(bench.arena);
    if (!record_verify(bench.record, &report, NULL, &error)) fail_msg("%s", error.text);
    struct text out = text_new(bench.arena);
    report_write(&report, &out);
    if (words) *words = text_string(&out);
    return report.errors;
}
