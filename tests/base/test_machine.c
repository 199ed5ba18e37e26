/* Files that appear whole or not at all, readers that may die, pixels through shared memory. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/reader.h"
#include "base/slots.h"
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[64];
static struct machine machine;
static struct arena *arena;

static int set_up(void **state)
{
    (void)state;
    strcpy(folder, "/tmp/base-test-XXXXXX");
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    return mkdtemp(folder) ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return rmdir(folder);
}

static void whole_or_not_at_all(void **state)
{
    (void)state;
    struct error error = {0};
    struct out_file file;
    char *path = path_join(arena, folder, "plan.json");
    assert_true(machine.create(&machine, path, &file, &error));
    assert_true(machine_write_fd(file.fd, "{}", 2, path, &error));
    assert_false(machine.status(&machine, path).exists);
    machine.abandon(&machine, &file);
    assert_false(machine.status(&machine, path).exists);
    assert_true(machine_write(&machine, path, str_from("{}\n"), true, &error));
    struct str bytes;
    assert_true(machine_read(&machine, path, 100, arena, &bytes, &error));
    assert_true(str_equal(bytes, "{}\n"));
    assert_false(machine_read(&machine, path, 2, arena, &bytes, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_true(machine.remove_file(&machine, path, &error));
}

/* What is mapped stays what it was when the file's name goes to another; nothing and too much are refused. */
static void mapped_files(void **state)
{
    (void)state;
    struct error error = {0};
    struct str bytes = {0};
    char *path = path_join(arena, folder, "left.maps");
    assert_true(machine_write(&machine, path, str_from("first"), false, &error));
    int fd = machine.open_file(&machine, path, &error);
    assert_false(machine_map(fd, 4, path, &bytes, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_true(machine_map(fd, 5, path, &bytes, &error));
    close(fd);
    assert_true(machine_write(&machine, path, str_from(""), false, &error));
    assert_true(str_equal(bytes, "first"));
    machine_rest(bytes);
    assert_true(str_equal(bytes, "first"));
    machine_unmap(&bytes);
    assert_int_equal(bytes.length, 0);
    machine_unmap(&bytes);
    fd = machine.open_file(&machine, path, &error);
    assert_false(machine_map(fd, 5, path, &bytes, &error));
    close(fd);
    assert_true(machine.remove_file(&machine, path, &error));
}

static void stale_files_are_cleared(void **state)
{
    (void)state;
    struct out_file file;
    char *path = path_join(arena, folder, "sheet.pdf");
    assert_true(machine.create(&machine, path, &file, NULL));
    char *left = arena_copy_string(arena, file.temporary);
    close(file.fd), free(file.path), free(file.temporary); /* as a kill would leave it */
    machine_clear_stale(&machine, folder, arena);
    assert_false(machine.status(&machine, left).exists);
}

static void one_run_at_a_time(void **state)
{
    (void)state;
    struct error error = {0};
    int fd = machine_lock(folder, &error);
    assert_true(fd >= 0);
    assert_int_equal(machine_lock(folder, &error), -1);
    assert_non_null(strstr(error.text, "another run"));
    close(fd);
    fd = machine_lock(folder, &error);
    assert_true(fd >= 0);
    close(fd);
    unlink(path_join(arena, folder, ".lock"));
}

static bool ask(const char *how, struct wire_in *answer, struct error *error)
{
    const char *arguments[] = {how, NULL};
    struct reader_order order = {
        .subject = "left.pdf", .arguments = arguments, .cpu_seconds = 1, .memory_limit = 256u << 20};
    return reader_ask(&machine, &order, arena, answer, error);
}

static void readers_answer_fail_and_die(void **state)
{
    (void)state;
    struct wire_in answer;
    struct error error = {0};
    assert_true(ask("good", &answer, &error));
    assert_int_equal(wire_get_u32(&answer), 42);
    const char *const bad[] = {"refuse", "crash", "spin", "hoard", "silent", "unknown"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        error.text[0] = 0;
        assert_false(ask(bad[i], &answer, &error));
        assert_int_equal(error.kind, FAILURE_INPUT);
        assert_non_null(strstr(error.text, "left.pdf"));
    }
}

static void pixels_through_slots(void **state)
{
    (void)state;
    enum { SIZE = 4096, STRIPS = 50 };
    struct slots slots;
    struct error error = {0};
    assert_true(slots_create(&slots, SIZE, &error));
    int fds[3];
    slots_child_fds(&slots, fds);
    const char *arguments[] = {"strips", NULL};
    struct reader_order order = {.subject = "left.tif", .arguments = arguments, .fds = fds, .fd_count = 3};
    struct reader_run run;
    assert_true(reader_start(&machine, &order, &run, &error));
    slots_close_child_ends(&slots);
    struct slot_message message;
    const uint8_t *pixels;
    int seen = 0;
    while (slots_take(&slots, &message, &pixels)) {
        assert_int_equal(message.y, seen);
        assert_int_equal(pixels[0], seen);
        assert_int_equal(pixels[SIZE - 1], seen++);
        slots_give_back(&slots, &message);
    }
    assert_int_equal(seen, STRIPS);
    struct wire_in answer;
    assert_true(reader_finish(&machine, &run, arena, &answer, &error));
    slots_destroy(&slots);
}

/* ---- the reader's side: this program started again ---- */

static bool good(int count, char **arguments, struct machine *m, struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)m, (void)error;
    wire_put_u32(answer, 42);
    return true;
}

static bool refuse(int count, char **arguments, struct machine *m, struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)m, (void)answer;
    return error_words(error, FAILURE_INPUT, "left.pdf is locked");
}

static bool crash(int count, char **arguments, struct machine *m, struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)m, (void)answer, (void)error;
    raise(SIGSEGV);
    return true;
}

__attribute__((noreturn)) static bool spin(int count, char **arguments, struct machine *m,
                                           struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)m, (void)answer, (void)error;
    for (volatile unsigned long i = 0;; i++) {
    }
}

__attribute__((noreturn)) static bool hoard(int count, char **arguments, struct machine *m,
                                            struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)answer, (void)error;
    struct arena *greedy = arena_new(m);
    for (;;) memset(arena_take(greedy, 16u << 20), 1, 16u << 20);
}

static bool silent(int count, char **arguments, struct machine *m, struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)m, (void)answer, (void)error;
    _exit(0);
}

static bool strips(int count, char **arguments, struct machine *m, struct text *answer, struct error *error)
{
    (void)count, (void)arguments, (void)m, (void)answer;
    struct slots slots;
    if (!slots_attach(&slots, 3, 4096, error)) return false;
    for (int i = 0; i < 50; i++) {
        uint8_t *pixels = slots_begin(&slots);
        if (!pixels) return false;
        memset(pixels, i, 4096);
        if (!slots_end(&slots, i, 1)) return false;
    }
    return slots_finish(&slots);
}

int main(int argc, char **argv)
{
    const struct reader_entry verbs[] = {{"good", good},     {"refuse", refuse}, {"crash", crash},
                                         {"spin", spin},     {"hoard", hoard},   {"silent", silent},
                                         {"strips", strips}, {NULL, NULL}};
    const struct reader_entry *tables[] = {verbs, NULL};
    struct machine own = machine_real("/proc/self/exe");
    if (argc > 2 && !strcmp(argv[1], "reader")) return reader_main(argc - 2, argv + 2, tables, &own);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(whole_or_not_at_all, set_up, tear_down),
        cmocka_unit_test_setup_teardown(mapped_files, set_up, tear_down),
        cmocka_unit_test_setup_teardown(stale_files_are_cleared, set_up, tear_down),
        cmocka_unit_test_setup_teardown(one_run_at_a_time, set_up, tear_down),
        cmocka_unit_test_setup_teardown(readers_answer_fail_and_die, set_up, tear_down),
        cmocka_unit_test_setup_teardown(pixels_through_slots, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
