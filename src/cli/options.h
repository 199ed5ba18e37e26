/* Private to cli: the command line, read by one table that also makes the help. */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include "app/run.h"
#include "base/text.h"
#include "web/web.h"

enum command {
    COMMAND_INIT,
    COMMAND_CHECK,
    COMMAND_PLAN,
    COMMAND_PANELS,
    COMMAND_SHEET,
    COMMAND_MAKE,
    COMMAND_ORDER,
    COMMAND_CLOCK,
    COMMAND_SERVE,
    COMMAND_PERSON,
    COMMAND_PROFILE,
    COMMAND_DOC,
    COMMAND_COUNT,
};

struct command_line {
    enum command command;
    const char *subject; /* JOB, DIR, FILE */
    const char *against; /* a measurement file, or NULL */
    struct run_options run;
    bool json, quiet, help, version;
    bool patient;       /* with readers of files */
    bool steps;         /* progress as lines for a program */
    const char *within; /* files that jobs name lie below this folder; NULL: anywhere */
    bool anywhere;      /* served jobs too */
    struct web_options web;
    const char *names[WEB_NAMES_MOST];
    const char *person, *role; /* role "none": taken out */
};

/* Reads the arguments behind the program's name. False with a sentence for people in `error` (FAILURE_INPUT).
 */
bool options_read(int count, char **arguments, struct command_line *request, struct error *error);
/* The help of the program (command COMMAND_COUNT) or of one command. */
void options_help(enum command command, struct text *out);

#endif
