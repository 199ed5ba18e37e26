/* Private to cli: the commands of `lapstrake` and their options, by the tables of commands.c (options.h says how
 * they are read). A new option is a row there and a member here; a new command a row there, its name in
 * `enum command`, and what main.c does for it. `lapstrake record` is in record_commands.h. */
#ifndef CLI_COMMANDS_H
#define CLI_COMMANDS_H

#include "run/run.h"
#include "options.h"
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
    COMMAND_QUOTE,
    COMMAND_PROOF,
    COMMAND_REPRINT,
    COMMAND_USED,
    COMMAND_ROLLS,
    COMMAND_SERVE,
    COMMAND_PERSON,
    COMMAND_PROFILE,
    COMMAND_DOC,
    COMMAND_COUNT,
};

/* All of it borrowed from the arguments. */
struct command_line {
    struct command_asked asked; /* its subject: JOB, DIR, FILE */
    const char *against;        /* a measurement file, or NULL */
    struct run_options run;
    bool json, csv, quiet;
    const char *since;        /* of `used`: a time; NULL: always */
    bool patient;             /* with readers of files */
    bool steps;               /* progress as lines for a program */
    const char *reason, *who; /* of a reprint */
    bool patches;             /* repair pieces of it too */
    bool off_record;          /* a reprint that nothing is put on record of */
    const char *within;       /* files that jobs name lie below this folder; NULL: anywhere */
    bool anywhere;            /* served jobs too */
    int seconds, seed;        /* of a roll layout */
    struct web_options web;
    const char *names[WEB_NAMES_MOST];
    const char *person, *role; /* role "none": taken out */
};

/* The lines of help of options that `record plan` takes as well. */
extern const char help_threads[], help_patient[], help_steps[], help_within[];

/* Reads the arguments behind the program's name. False with a sentence for people in `error` (FAILURE_INPUT).
 * asked.command is COMMAND_COUNT only with asked.help or asked.version. */
bool commands_read(int count, char **arguments, struct command_line *request, struct error *error);
/* The help of the program (command COMMAND_COUNT) or of one command. */
void commands_help(enum command command, struct text *out);

#endif
