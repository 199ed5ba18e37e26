/* Several writers, readers and a copy at once; and a disk that takes no more. The sqlite3 program counts. */
#include "bench.h"
#include <pthread.h>
#include <stdatomic.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

enum { WRITERS = 3, EACH = 40 };

static bool add_many(struct record *record, int writer)
{
    for (int i = 0; i < EACH; i++) {
        char key[40], panel[40];
        format_into(key, sizeof key, "writer-%d-%d", writer, i);
        format_into(panel, sizeof panel, "left-%d", i % 5);
        struct fact fact = fact_blank(FACT_NOTE);
        fact.key = key, fact.job = "LV-1", fact.panel = panel, fact.at = NOON, fact.words = "one of many";
        if (!put_facts(record, &fact, 1, NULL)) return false;
    }
    return true;
}

static void *thread_writer(void *argument)
{
    return add_many(bench.record, *(int *)argument) ? argument : NULL;
}

/* What a reader sees has no gaps: facts 1..n. */
static void *thread_reader(void *argument)
{
    struct machine machine = machine_real("");
    for (int i = 0; i < 60; i++) {
        struct arena *arena = arena_new(&machine);
        struct fact *facts;
        size_t count;
        struct fact_query query = {0};
        bool ok = record_facts(bench.record, &query, arena, &facts, &count, NULL);
        for (size_t k = 0; ok && k < count; k++) ok = facts[k].number == (int64_t)k + 1;
        arena_free(arena);
        if (!ok) return NULL;
    }
    return argument;
}

static void threads_take_turns(void **state)
{
    (void)state;
    pthread_t writers[WRITERS], readers[6];
    int numbers[WRITERS], token = 1;
    void *end;
    for (int i = 0; i < WRITERS; i++) {
        numbers[i] = i;
        pthread_create(&writers[i], NULL, thread_writer, &numbers[i]);
    }
    for (int i = 0; i < 6; i++) pthread_create(&readers[i], NULL, thread_reader, &token);
    for (int i = 0; i < WRITERS; i++) pthread_join(writers[i], &end), assert_non_null(end);
    for (int i = 0; i < 6; i++) pthread_join(readers[i], &end), assert_non_null(end);
    assert_int_equal(fact_count(), WRITERS * EACH);
    assert_int_equal(verify(NULL), 0);
}

/* Another process, with a handle of its own. */
static pid_t start_process(int writer)
{
    pid_t child = fork();
    if (child) return child;
    struct record *record = record_open(&bench.machine, bench.folder, RECORD_WRITE, NULL);
    bool ok = record && add_many(record, writer);
    record_close(record);
    _exit(ok ? 0 : 1);
}

static void processes_take_turns_and_copies_are_whole(void **state)
{
    (void)state;
    pid_t children[WRITERS];
    struct error error = {0};
    const char *said, *path = arena_format(bench.arena, "%s/copy.sqlite", bench.folder);
    record_close(bench.record);
    for (int i = 0; i < WRITERS; i++) children[i] = start_process(i);
    bench.record = record_open(&bench.machine, bench.folder, RECORD_WRITE, &error);
    for (int i = 0; i < 5; i++) {
        if (!record_backup(bench.record, path, &error)) fail_msg("%s", error.text);
        outside_run(
            bench.arena, &said,
            "sqlite3 '%s' 'PRAGMA integrity_check; SELECT count(*) = coalesce(max(number), 0) FROM fact'",
            path);
        assert_string_equal(said, "ok\n1\n");
    }
    for (int i = 0; i < WRITERS; i++) {
        int status;
        waitpid(children[i], &status, 0);
        assert_int_equal(status, 0);
    }
    assert_string_equal(judge("PRAGMA integrity_check; SELECT count(*), max(number) FROM fact"),
                        "ok\n120|120");
    assert_int_equal(verify(NULL), 0);
}

/* ---- on the disk before the answer ---- */

/* This program's own write and sync calls stand before the C library's, also for SQLite: they note whether
 * anything was written to a file that was not told to go to the disk since. A power cut cannot be played
 * here; this is what makes it harmless (fdatasync(2), sqlite.org/pragma.html#pragma_synchronous, FULL). */
static atomic_int syncs, unsynced[1024];

static ssize_t note_write(int fd, ssize_t written)
{
    if (fd >= 0 && fd < 1024) unsynced[fd] = 1;
    return written;
}

static int note_sync(int fd, int result)
{
    if (fd >= 0 && fd < 1024) unsynced[fd] = 0;
    syncs++;
    return result;
}

#define SEEN __attribute__((visibility("default")))
SEEN ssize_t pwrite64(int fd, const void *bytes, size_t length, off64_t at)
{
    return note_write(fd, syscall(SYS_pwrite64, fd, bytes, length, at));
}
SEEN ssize_t write(int fd, const void *bytes, size_t length)
{
    return note_write(fd, syscall(SYS_write, fd, bytes, length));
}
SEEN int fdatasync(int fd)
{
    return note_sync(fd, (int)syscall(SYS_fdatasync, fd));
}
SEEN int fsync(int fd)
{
    return note_sync(fd, (int)syscall(SYS_fsync, fd));
}

/* The index of the write-ahead log is made anew after a power cut (sqlite.org/walformat.html, 2.0). */
static bool is_index(int fd)
{
    char path[64], name[1024] = {0};
    format_into(path, sizeof path, "/proc/self/fd/%d", fd);
    return readlink(path, name, sizeof name - 1) > 0 && strstr(name, "record.sqlite-shm");
}

static void a_fact_is_on_the_disk_before_the_answer(void **state)
{
    (void)state;
    for (int i = 0; i < 50; i++) {
        for (size_t k = 0; k < 1024; k++) unsynced[k] = 0;
        int before = syncs;
        struct fact note = fact_on(FACT_NOTE, "left-1", NOON, i);
        note.words = "to the disk";
        put(note);
        assert_true(syncs > before);
        for (int k = 3; k < 1024; k++) assert_true(!unsynced[k] || is_index(k));
    }
}

/* Files may not grow: as on a full disk, writing fails. Says how many facts were acknowledged before. */
static int until_full(int *acknowledged, enum failure *kind)
{
    struct error error = {0};
    struct rlimit limit = {220000, 220000};
    signal(SIGXFSZ, SIG_IGN);
    setrlimit(RLIMIT_FSIZE, &limit);
    struct record *record = record_open(&bench.machine, bench.folder, RECORD_WRITE, &error);
    for (*acknowledged = 0; record && *acknowledged < 5000; ++*acknowledged) {
        char key[40], words[1500];
        memset(words, 'w', sizeof words);
        words[sizeof words - 1] = 0;
        format_into(key, sizeof key, "until-full-%d", *acknowledged);
        struct fact fact = fact_blank(FACT_NOTE);
        fact.key = key, fact.job = "LV-1", fact.at = NOON, fact.words = words;
        if (!put_facts(record, &fact, 1, &error)) break;
    }
    *kind = error.kind;
    return strstr(error.text, "Nothing was put on record") ? 0 : 1;
}

static void a_full_disk_is_refused_cleanly(void **state)
{
    (void)state;
    int channel[2], answer[2];
    record_close(bench.record);
    assert_int_equal(pipe(channel), 0);
    pid_t child = fork();
    if (!child) {
        enum failure kind;
        int status = until_full(&answer[0], &kind);
        answer[1] = (int)kind;
        ssize_t told = write(channel[1], answer, sizeof answer);
        _exit(told == sizeof answer ? status : 2);
    }
    int status;
    assert_int_equal(read(channel[0], answer, sizeof answer), sizeof answer);
    waitpid(child, &status, 0);
    close(channel[0]), close(channel[1]);
    assert_int_equal(status, 0);
    assert_int_equal(answer[1], FAILURE_FULL);
    assert_in_range(answer[0], 10, 4000);
    struct error error = {0};
    bench.record = record_open(&bench.machine, bench.folder, RECORD_WRITE, &error);
    if (!bench.record) fail_msg("%s", error.text);
    assert_int_equal(fact_count(), answer[0]);
    assert_int_equal(verify(NULL), 0);
    struct fact more = fact_on(FACT_NOTE, NULL, NOON, 1);
    more.words = "room again";
    put(more);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(threads_take_turns, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(processes_take_turns_and_copies_are_whole, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(a_fact_is_on_the_disk_before_the_answer, bench_open, bench_close),
        cmocka_unit_test_setup_teardown(a_full_disk_is_refused_cleanly, bench_open, bench_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
