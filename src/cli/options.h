/* Private to cli: one reader of arguments, and one writer of help, for all commands.
 *
 * A set of commands (those of `lapstrake`, those of `lapstrake record`) is two tables. A row of the table of
 * options says how the option is written, which commands take it, where its value goes in the set's request,
 * the setter that reads it into that place, and its line of help. Reading, help and refusals all come from
 * the rows: a new option is a row and the member it fills.
 *
 * Why this is not argp of the GNU C library: it takes any beginning of a name for the name (--thr), so that a
 * new option changes what a script means; it suggests no other name for one that is wrong; it writes its
 * refusals itself, in words of its own, to standard error, where ours go up as a `struct error` to whoever
 * gives the exit status; it has its own layout of help, sorts the options and adds -? and --usage; and it
 * hands options out by number to a switch that must have a `default:`, in place of a setter in the row. */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include "base/error.h"
#include "base/text.h"
#include <stddef.h>

/* What was asked for, besides options. Stands first in the request of each set; all is borrowed from the
 * arguments and the tables. */
enum { SUBJECTS_MOST = 24 };
struct command_asked {
    unsigned command;                    /* place in the table; as many as it has: none was named */
    const char *subject, *second;        /* what stands after the command; NULL: nothing */
    const char *subjects[SUBJECTS_MOST]; /* of a command that takes several: all of them, `subject` first */
    size_t subject_count;
    bool help, version; /* then nothing else need be there */
};

struct command_row {
    const char *name;
    const char *takes;  /* what its subject is called: "JOB" */
    const char *second; /* what it takes after that; NULL: nothing */
    const char *usual;  /* the subject when none is given; NULL: it must be given */
    bool several;       /* it takes more subjects of that kind, up to SUBJECTS_MOST */
    const char *help;   /* one line */
};

#define ON(command) (1u << (command))
#define ON_ALL      (~0u)

struct option_row {
    const char *name;  /* "--out" */
    const char *takes; /* what its value is called; NULL: it takes none */
    unsigned commands; /* ON(command) of each that takes it */
    const char *help;  /* one line */
    /* Reads the value (NULL when it takes none) into its place. FAILURE_INPUT with what would be right. */
    bool (*set)(const struct option_row *row, const char *value, void *place, struct error *error);
    size_t place;         /* offset in the request */
    unsigned least, most; /* of a number */
};

/* The setter and place of a row by the type of a member of `struct request`; a member of another type does
 * not compile. A value given twice: the later one. */
#define OPTION_FLAG(request, member) .set = option_set_flag, .place = OPTION_PLACE(request, member, bool)
#define OPTION_WORDS(request, member)                                                                        \
    .set = option_set_words, .place = OPTION_PLACE(request, member, const char *)
#define OPTION_NUMBER(request, member, from, to)                                                             \
    .set = option_set_number, .least = (from), .most = (to),                                                 \
    .place = _Generic(((struct request *)NULL)->member, unsigned                                             \
                      : offsetof(struct request, member), int                                                \
                      : offsetof(struct request, member))
#define OPTION_PLACE(request, member, type)                                                                  \
    _Generic(((struct request *)NULL)->member, type : offsetof(struct request, member))

bool option_set_flag(const struct option_row *row, const char *value, void *place, struct error *error);
bool option_set_words(const struct option_row *row, const char *value, void *place, struct error *error);
bool option_set_number(const struct option_row *row, const char *value, void *place, struct error *error);

/* The sentences of base/english/cli.c in which a set refuses, with the arguments that they may name. */
struct command_refusals {
    const char *no_command;   /* name */
    const char *near_command; /* name, near */
    const char *no_option;    /* name, of, named: whether a command was */
    const char *near_option;  /* name, of, named, near */
    const char *no_value;     /* name, takes */
    const char *too_many;     /* argument, takes */
    const char *nothing;      /* no command: none */
};

struct command_set {
    const char *program; /* what a person writes in front of a command */
    const char *unnamed; /* `of` in a refusal when no command was named yet */
    const struct command_row *commands;
    unsigned command_count;
    const struct option_row *options;
    size_t option_count;    /* at most OPTIONS_MOST */
    bool options_first;     /* the command's options may stand before it, else only those of all commands */
    bool dashes_end;        /* no option stands after "--" */
    size_t command_columns; /* of a line of help before its words */
    size_t option_columns;
    struct command_refusals refusals;
};

enum { OPTIONS_MOST = 64 };

/* Reads the `count` arguments behind set->program into the request that `asked` is the first member of and
 * that holds what is usual. An option is written --name value or --name=value. False with a sentence for
 * people in `error` (FAILURE_INPUT). */
bool options_read(const struct command_set *set, int count, char **arguments, struct command_asked *asked,
                  struct error *error);
/* Says what the command needs behind it; returns false. */
bool options_refuse_incomplete(const struct command_set *set, const struct command_asked *asked,
                               struct error *error);

/* Blanks up to `columns` since `start`, and one. */
void options_pad(struct text *out, size_t start, size_t columns);
/* "lapstrake plan JOB" */
void options_help_usage(const struct command_set *set, unsigned command, struct text *out);
/* The same with what the command does: one line. */
void options_help_command(const struct command_set *set, unsigned command, struct text *out);
/* Such a line for each command. */
void options_help_commands(const struct command_set *set, struct text *out);
/* A line for each option of the command. */
void options_help_options(const struct command_set *set, unsigned command, struct text *out);

#endif
