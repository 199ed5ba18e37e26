/* Starts the page's server from the command line, and sets people's passwords. Called by main.c; serving is
 * the web room's. */
#include "serve.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/path.h"
#include "show.h"
#include <string.h>
#include <termios.h>
#include <unistd.h>

static void say_address(void *self, const char *address)
{
    (void)self;
    show_line(STDOUT_FILENO, sentence_plain("page-is-at"), address);
}

bool serve(struct machine *machine, const struct command_line *request, const struct cancel *cancel,
           struct error *error)
{
    struct web_options options = request->web;
    options.folder = request->asked.subject;
    options.names = request->names;
    options.started = say_address;
    struct arena *arena = arena_new(machine);
    if (!request->anywhere) machine->within = path_full(arena, options.folder);
    bool ok = web_serve(machine, &options, cancel, error);
    machine->within = NULL;
    arena_free(arena);
    return ok;
}

/* One line of standard input without its end; false when there is none. */
static bool serve_read_line(char *line, size_t size)
{
    size_t length = 0;
    char c;
    while (read(STDIN_FILENO, &c, 1) == 1 && c != '\n')
        if (length + 1 < size) line[length++] = c;
    line[length] = 0;
    return length > 0;
}

static bool ask(const char *question, char *line, size_t size)
{
    struct termios before, silent;
    bool terminal = !tcgetattr(STDIN_FILENO, &before);
    if (terminal) {
        silent = before;
        silent.c_lflag &= (tcflag_t)~ECHO;
        tcsetattr(STDIN_FILENO, TCSAFLUSH, &silent);
        machine_write_fd(STDERR_FILENO, question, strlen(question), "output", NULL);
    }
    bool got = serve_read_line(line, size);
    if (terminal) {
        tcsetattr(STDIN_FILENO, TCSAFLUSH, &before);
        machine_write_fd(STDERR_FILENO, "\n", 1, "output", NULL);
    }
    return got;
}

bool set_up_person(struct machine *machine, const struct command_line *request, struct error *error)
{
    char password[256], again[256];
    if (!request->person || !request->role)
        return error_set(error, FAILURE_INPUT, "lapstrake-person-dir-needs-name-name", NULL);
    if (!strcmp(request->role, "none"))
        return web_remove_person(machine, request->asked.subject, request->person, error);
    if (!ask("Password: ", password, sizeof password))
        return error_set(error, FAILURE_INPUT, "no-password-was-given", NULL);
    if (isatty(STDIN_FILENO) && (!ask("The same again: ", again, sizeof again) || strcmp(password, again)))
        return error_set(error, FAILURE_INPUT, "two-passwords-differ-nothing-was-changed", NULL);
    return web_set_person(machine, request->asked.subject, request->person, request->role, password, error);
}
