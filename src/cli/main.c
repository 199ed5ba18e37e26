/* The program's start: reads the arguments, sets up the machine and its signals, runs one command, and
 * turns the result into an exit status. */
#include "run/run.h"
#include "answer/answer.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/pool.h"
#include "base/reader.h"
#include "commands.h"
#include "proof.h"
#include "rolls.h"
#include "record.h"
#include "reprint.h"
#include "serve.h"
#include "show.h"
#include "show_quote.h"
#include "used.h"
#include <errno.h>
#include <pthread.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { DONE = 0, STOPPED = 1, BAD_INPUT = 2, MACHINE_FAILED = 3 };

static int status_of(const struct error *error)
{
    return error->kind == FAILURE_INPUT      ? BAD_INPUT
           : error->kind == FAILURE_CONFLICT ? STOPPED
                                             : MACHINE_FAILED;
}

static int complain(const struct error *error)
{
    show_line(STDERR_FILENO, "lapstrake: ", error->text);
    return status_of(error);
}

static sigset_t signals_of_people(void)
{
    sigset_t set;
    sigemptyset(&set), sigaddset(&set, SIGINT), sigaddset(&set, SIGTERM);
    return set;
}

/* Waits for a person's Ctrl-C or a polite end, and asks the work to stop. */
static void wait_and_ask(struct cancel *cancel)
{
    sigset_t set = signals_of_people();
    int which;
    while (sigwait(&set, &which)) {
    }
    cancel->asked = 1;
}

/* A second one ends at once. */
static void *wait_for_signal(void *argument)
{
    sigset_t set = signals_of_people();
    int which;
    wait_and_ask(argument);
    while (sigwait(&set, &which)) {
    }
    _exit(MACHINE_FAILED);
}

/* Work that is inside a library, or waits for a child, hears nothing. Ending without it loses nothing: files
 * appear whole or not at all, an entry is on record or is not, and children end with their parent. */
static void *wait_and_end(void *argument)
{
    const struct timespec grace = {.tv_sec = 1};
    sigset_t set = signals_of_people();
    wait_and_ask(argument);
    while (sigtimedwait(&set, NULL, &grace) < 0 && errno == EINTR) {
    }
    show_line(STDERR_FILENO, "lapstrake: ", "stopped");
    _exit(MACHINE_FAILED);
}

static void listen_for_signals(struct cancel *cancel, void *(*wait)(void *))
{
    sigset_t set = signals_of_people();
    pthread_t thread;
    pthread_sigmask(SIG_BLOCK, &set, NULL);
    signal(SIGPIPE, SIG_IGN);
    if (!pthread_create(&thread, NULL, wait, cancel)) pthread_detach(thread);
}

/* SOURCE_DATE_EPOCH (reproducible-builds.org): the date for files and the moment that a plan counts from, in place
 * of the clock's. What goes on record has the clock's time all the same. */
static int64_t date_from_environment(void)
{
    const char *text = getenv("SOURCE_DATE_EPOCH");
    double seconds = 0;
    if (!text || str_number(str_from(text), &seconds) != strlen(text)) return 0;
    return seconds > 0 && seconds < 1e11 ? (int64_t)seconds : 0;
}

/* The words come before the findings, which explain them. */
static bool tell_drying(struct run *run, struct error *error)
{
    struct text words = text_new(run->arena);
    if (!run_write_drying(run, &words, error)) return false;
    show_text(STDOUT_FILENO, &words);
    return true;
}

static bool write_plan(struct run *run, struct error *error)
{
    return answer_write_plan(run, NULL, error) && run_write_pictures(run, error);
}

static bool write_panels(struct run *run, struct error *error)
{
    return run_write_panels(run, error) && answer_write_ink(run, error);
}

static bool main_go(struct run *run, enum command command, struct error *error)
{
    if (!run_plan(run, error)) return false;
    if (command == COMMAND_CHECK) return run_tell_old(run), true;
    if (command == COMMAND_CLOCK) return tell_drying(run, error);
    if (command == COMMAND_PROOF) return proof_do(run, error);
    bool all = command == COMMAND_MAKE, panels = command == COMMAND_PANELS, same = true;
    if (command != COMMAND_SHEET && !run_set_apart(run, &same, error)) return false;
    if ((all || command == COMMAND_PLAN || !same) && !write_plan(run, error)) return false;
    if (command == COMMAND_ORDER) return run_write_order(run, error);
    if ((all || panels) && !write_panels(run, error)) return false;
    if (all || command == COMMAND_SHEET) return run_write_sheet(run, error);
    return true;
}

/* A file that changed meanwhile is the reason for whatever else went wrong. */
static bool go_on_same_files(struct run *run, enum command command, struct error *error)
{
    bool done = main_go(run, command, error);
    if (!done && error->kind == FAILURE_CANCELLED) return false;
    return run_artwork_unchanged(run, error) && done;
}

/* A quote is no print: what stops the one does not stop the other. */
static int give_quote(struct run *run, const struct command_line *request, struct show_progress *shown,
                      struct error *error)
{
    struct quote *quote = arena_take(run->arena, sizeof *quote);
    bool made = run_plan(run, error) && quote_go(run, quote, error);
    show_progress_end(shown);
    if (!made) return complain(error);
    enum quote_form form = request->json ? QUOTE_AS_JSON : request->csv ? QUOTE_AS_CSV : QUOTE_AS_WORDS;
    show_quote(run, quote, form, request->quiet);
    return DONE;
}

static int main_finish(const struct run *run, const struct command_line *request)
{
    enum command command = (enum command)request->asked.command;
    if (command == COMMAND_PROOF) return proof_show(run, request) ? DONE : STOPPED;
    show_result(run, request->json, request->quiet, command == COMMAND_MAKE || command == COMMAND_PANELS);
    return run_may_print(run) ? DONE : STOPPED;
}

/* A command on a job as it runs. */
struct working {
    struct cancel cancel;
    struct show_progress shown;
    struct progress progress, lines;
};

static void set_out(struct machine *machine, struct command_line *request, struct working *working,
                    struct arena *arena)
{
    *working = (struct working){.shown = {.fd = STDERR_FILENO}};
    working->progress = (struct progress){&working->shown, show_progress};
    working->lines = (struct progress){NULL, show_progress_line};
    listen_for_signals(&working->cancel, wait_and_end);
    request->run.cancel = &working->cancel;
    if (request->within) machine->within = path_full(arena, request->within);
    if (request->patient) machine->reader_seconds = READER_PATIENT;
    request->run.quoting = request->asked.command == COMMAND_QUOTE;
    request->run.now = request->run.date = date_from_environment();
    if (!request->run.threads) request->run.threads = pool_processors();
    if (!request->quiet && !request->json && !request->csv && isatty(STDERR_FILENO))
        request->run.progress = &working->progress;
    if (request->steps) request->run.progress = &working->lines;
}

static int on_job(struct machine *machine, struct command_line *request, struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct working working;
    set_out(machine, request, &working, arena);
    struct run run;
    bool opened = run_open(&run, machine, &request->run, true, error);
    int status;
    if (run.report.count) show_report(&run.report, STDERR_FILENO);
    if (opened && run.report.errors) {
        status = BAD_INPUT;
        if (run_has_panel_files(&run))
            show_line(STDERR_FILENO, sentence_plain("files-in-panels-are-of-another"), run.out);
    } else if (opened && request->run.quoting)
        status = give_quote(&run, request, &working.shown, error);
    else if (opened && go_on_same_files(&run, (enum command)request->asked.command, error))
        status = main_finish(&run, request);
    else
        status = (show_progress_end(&working.shown), complain(error));
    run_close(&run);
    arena_free(arena);
    return status;
}

static int print_again(struct machine *machine, struct command_line *request, struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct working working;
    set_out(machine, request, &working, arena);
    struct run run = {.lock = -1};
    struct reprint reprint;
    bool ok = reprint_do(machine, request, &run, &reprint, error);
    show_progress_end(&working.shown);
    int status = !ok                            ? complain(error)
                 : run.report.errors            ? BAD_INPUT
                 : reprint.same && reprint.path ? DONE
                                                : STOPPED;
    if (run.arena && run.report.count) show_report(&run.report, STDERR_FILENO);
    if (ok && !run.report.errors) reprint_show(&run, request, &reprint);
    if (run.arena) run_close(&run);
    arena_free(arena);
    return status;
}

static int print_out(const struct text *out, bool ok, const struct error *error)
{
    if (!ok) return complain(error);
    show_text(STDOUT_FILENO, out);
    return DONE;
}

static int profile(struct machine *machine, struct command_line *request, struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct text out = text_new(arena);
    bool ok = run_profile_words(machine, request->asked.subject, request->against, &out, error);
    int status = print_out(&out, ok, error);
    arena_free(arena);
    return status;
}

static int print_page(struct machine *machine, struct command_line *request, struct error *error)
{
    const char *page = request->asked.subject;
    struct arena *arena = arena_new(machine);
    struct text out = text_new(arena);
    bool ok = true;
    if (!strcmp(page, "findings"))
        run_findings_page(&out);
    else if (!strcmp(page, "keys"))
        run_keys_page(&out);
    else if (!strcmp(page, "practice"))
        run_practice_page(&out);
    else
        ok = error_set(error, FAILURE_INPUT, "doc-one-of-findings-practice-keys",
                       ARGUMENTS(arg_words("subject", page)));
    int status = print_out(&out, ok, error);
    arena_free(arena);
    return status;
}

static int init(struct machine *machine, struct command_line *request, struct error *error)
{
    if (!run_init(machine, request->asked.subject, error)) return complain(error);
    show_line(STDOUT_FILENO, sentence_plain("made-job-folder"), request->asked.subject);
    return DONE;
}

static int on_rolls(struct machine *machine, struct command_line *request, struct error *error)
{
    struct cancel cancel = {0};
    listen_for_signals(&cancel, wait_and_end);
    request->run.cancel = &cancel;
    request->run.now = request->run.date = date_from_environment();
    if (request->patient) machine->reader_seconds = READER_PATIENT;
    int status = rolls_command(machine, request, error);
    return status < 0 ? complain(error) : status;
}

static int on_network(struct machine *machine, struct command_line *request, struct error *error)
{
    struct cancel cancel = {0};
    listen_for_signals(&cancel, wait_for_signal);
    bool ok = request->asked.command == COMMAND_SERVE ? serve(machine, request, &cancel, error)
                                                      : set_up_person(machine, request, error);
    return ok ? DONE : complain(error);
}

static int command_go(struct machine *machine, struct command_line *request, struct error *error)
{
    switch ((enum command)request->asked.command) {
    case COMMAND_INIT:
        return init(machine, request, error);
    case COMMAND_CHECK:
    case COMMAND_PLAN:
    case COMMAND_PANELS:
    case COMMAND_SHEET:
    case COMMAND_MAKE:
    case COMMAND_ORDER:
    case COMMAND_CLOCK:
    case COMMAND_QUOTE:
    case COMMAND_PROOF:
        return on_job(machine, request, error);
    case COMMAND_REPRINT:
        return print_again(machine, request, error);
    case COMMAND_USED:
        return used_command(machine, request, error) ? DONE : complain(error);
    case COMMAND_ROLLS:
        return on_rolls(machine, request, error);
    case COMMAND_SERVE:
    case COMMAND_PERSON:
        return on_network(machine, request, error);
    case COMMAND_PROFILE:
        return profile(machine, request, error);
    case COMMAND_DOC:
        return print_page(machine, request, error);
    case COMMAND_COUNT: /* never past commands_read */
        break;
    }
    abort();
}

static int help(struct machine *machine, const struct command_line *request)
{
    struct arena *arena = arena_new(machine);
    struct text out = text_new(arena);
    if (request->asked.version)
        text_addf(&out, "lapstrake %s\n", LAPSTRAKE_VERSION);
    else
        commands_help((enum command)request->asked.command, &out);
    show_text(STDOUT_FILENO, &out);
    arena_free(arena);
    return DONE;
}

static int on_record(struct machine *machine, int count, char **arguments)
{
    struct cancel cancel = {0};
    struct error error = {0};
    listen_for_signals(&cancel, wait_and_end);
    int status = record_command(machine, count, arguments, date_from_environment(), &cancel, &error);
    return status < 0 ? complain(&error) : status;
}

int main(int count, char **arguments)
{
    struct machine machine = machine_real("/proc/self/exe");
    struct error error = {0};
    struct command_line request;
    if (count > 1 && !strcmp(arguments[1], "reader")) return run_reader(count - 2, arguments + 2, &machine);
    if (count > 1 && !strcmp(arguments[1], "record")) return on_record(&machine, count - 2, arguments + 2);
    if (!commands_read(count - 1, arguments + 1, &request, &error)) return complain(&error);
    if (request.asked.help || request.asked.version) return help(&machine, &request);
    return command_go(&machine, &request, &error);
}
