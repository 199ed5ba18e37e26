/* Both ends of the reader child: starting it with limits and taking its answer, and serving a verb inside
 * it. Called by pdf and raster; shared pixels are in slots.c. */
#include "base/reader.h"
#include "base/arena.h"
#include "base/machine.h"
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

enum { FDS_MOST = 32, ARGUMENTS_MOST = 16 };

unsigned reader_seconds(const struct machine *machine, unsigned asked)
{
    if (!asked) asked = machine->reader_seconds ? machine->reader_seconds : READER_SECONDS;
    return asked == READER_UNLIMITED ? 0 : asked;
}

bool reader_too_slow(const char *subject, unsigned seconds, struct error *error)
{
    char patience[60] = "";
    if (seconds < READER_PATIENT)
        format_into(patience, sizeof patience, ", or allow %u s with --patient", READER_PATIENT);
    return error_set(error, FAILURE_INPUT, "to-read-it-or-to-render",
                     ARGUMENTS(arg_words("subject", subject), arg_count("seconds", (int64_t)seconds),
                               arg_words("patience", patience)));
}

bool reader_start(struct machine *machine, const struct reader_order *order, struct reader_run *reader,
                  struct error *error)
{
    *reader = (struct reader_run){
        .answer_fd = -1, .subject = order->subject, .seconds = reader_seconds(machine, order->cpu_seconds)};
    int ends[2];
    if (pipe2(ends, O_CLOEXEC))
        return error_set(error, FAILURE_MACHINE, "no-pipe-left-why",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    const char *arguments[ARGUMENTS_MOST + 3] = {machine->program, "reader"};
    for (size_t i = 0; order->arguments[i] && i < ARGUMENTS_MOST; i++) arguments[i + 2] = order->arguments[i];
    int fds[3 + FDS_MOST] = {-1, ends[1], -1};
    for (size_t i = 0; i < order->fd_count && i < FDS_MOST; i++) fds[3 + i] = order->fds[i];
    struct child_order child = {
        .arguments = arguments,
        .fds = fds,
        .fd_count = 3 + order->fd_count,
        .memory_limit = order->memory_limit ? order->memory_limit : READER_MEMORY,
        .cpu_seconds = reader->seconds,
    };
    bool ok = machine->start(machine, &child, &reader->pid, error);
    close(ends[1]);
    if (ok)
        reader->answer_fd = ends[0];
    else
        close(ends[0]);
    return ok;
}

static bool reader_read_answer(int fd, struct text *answer)
{
    char block[16384];
    for (;;) {
        ssize_t step = read(fd, block, sizeof block);
        if (step < 0 && errno == EINTR) continue;
        if (step <= 0) return step == 0;
        if (answer->length + (size_t)step > READER_ANSWER_MOST) return false;
        text_add_bytes(answer, block, (size_t)step);
    }
}

static bool died(const struct reader_run *reader, struct child_end end, struct error *error)
{
    const char *subject = reader->subject;
    if (!end.exited && end.status == SIGXCPU) return reader_too_slow(subject, reader->seconds, error);
    if (!end.exited && end.status == SIGKILL)
        return error_set(error, FAILURE_INPUT, "reading-it-was-stopped-time-or",
                         ARGUMENTS(arg_words("subject", subject)));
    return error_set(error, FAILURE_INPUT, "could-not-be-read-its-reader",
                     ARGUMENTS(arg_words("subject", subject), arg_count("status", end.status),
                               arg_flag("exited", end.exited)));
}

bool reader_finish(struct machine *machine, struct reader_run *reader, struct arena *arena,
                   struct wire_in *answer, struct error *error)
{
    struct text text = text_new(arena);
    bool whole = reader_read_answer(reader->answer_fd, &text);
    close(reader->answer_fd);
    reader->answer_fd = -1;
    int pid = reader->pid;
    reader->pid = 0;
    if (!whole) {
        machine->stop(machine, pid);
        return error_set(error, FAILURE_INPUT, "its-reader-gave-no-end-of",
                         ARGUMENTS(arg_words("subject", reader->subject)));
    }
    struct child_end end;
    if (!machine->wait(machine, pid, &end, error)) return false;
    *answer = (struct wire_in){.bytes = {text_string(&text), text.length}};
    if (!end.exited || end.status || !text.length) return died(reader, end, error);
    if (wire_get_u32(answer) == 1) return true;
    struct error told;
    if (!wire_get_error(answer, arena, &told)) return died(reader, end, error);
    bool of_the_machine =
        told.kind == FAILURE_MACHINE || told.kind == FAILURE_FULL || told.kind == FAILURE_BUSY;
    if (!of_the_machine) told.kind = FAILURE_INPUT;
    if (error) *error = told;
    return false;
}

void reader_stop(struct machine *machine, struct reader_run *reader)
{
    if (reader->answer_fd >= 0) close(reader->answer_fd);
    reader->answer_fd = -1;
    machine->stop(machine, reader->pid);
    reader->pid = 0;
}

bool reader_ask(struct machine *machine, const struct reader_order *order, struct arena *arena,
                struct wire_in *answer, struct error *error)
{
    struct reader_run reader;
    return reader_start(machine, order, &reader, error) &&
           reader_finish(machine, &reader, arena, answer, error);
}

static reader_verb *reader_find(const char *verb, const struct reader_entry *const *tables)
{
    for (; *tables; tables++)
        for (const struct reader_entry *entry = *tables; entry->verb; entry++)
            if (!strcmp(entry->verb, verb)) return entry->perform;
    return NULL;
}

static bool reader_tell(const struct text *answer)
{
    return machine_write_fd(STDOUT_FILENO, text_string(answer), answer->length, "answer", NULL);
}

static void put_error(struct text *answer, const struct error *error)
{
    wire_put_u32(answer, 0);
    wire_put_error(answer, error);
}

void reader_refuse(struct machine *machine, enum failure kind, const char *sentence)
{
    struct arena *arena = arena_new(machine);
    struct text answer = text_new(arena);
    struct error error;
    error_words(&error, kind, sentence);
    put_error(&answer, &error);
    _exit(reader_tell(&answer) ? 0 : 3);
}

int reader_main(int argument_count, char **arguments, const struct reader_entry *const *tables,
                struct machine *machine)
{
    reader_verb *perform = argument_count ? reader_find(arguments[0], tables) : NULL;
    if (!perform) return 2;
    signal(SIGPIPE, SIG_IGN);
    struct arena *arena = arena_new(machine);
    struct text facts = text_new(arena), answer = text_new(arena);
    struct error error = {0};
    if (perform(argument_count - 1, arguments + 1, machine, &facts, &error)) {
        wire_put_u32(&answer, 1);
        text_add_bytes(&answer, text_string(&facts), facts.length);
    } else {
        put_error(&answer, &error);
    }
    bool told = reader_tell(&answer);
    arena_free(arena);
    return told ? 0 : 3;
}
