/* Reads arguments into requests, and writes the help, by the tables of a set of commands. Called by commands.c
 * and record_commands.c, whose tables they are. */
#include "options.h"
#include "base/str.h"
#include <assert.h>
#include <string.h>

/* ---- setters ---- */

bool option_set_flag(const struct option_row *row, const char *value, void *place, struct error *error)
{
    (void)row, (void)value, (void)error;
    return *(bool *)place = true;
}

bool option_set_words(const struct option_row *row, const char *value, void *place, struct error *error)
{
    (void)row, (void)error;
    *(const char **)place = value;
    return true;
}

static bool whole_number(const char *text, unsigned least, unsigned most, unsigned *value)
{
    size_t digits = strspn(text, "0123456789");
    if (!digits || text[digits] || digits > 6) return false;
    *value = 0;
    for (const char *at = text; *at; at++) *value = *value * 10 + (unsigned)(*at - '0');
    return *value >= least && *value <= most;
}

bool option_set_number(const struct option_row *row, const char *value, void *place, struct error *error)
{
    unsigned number;
    if (!whole_number(value, row->least, row->most, &number))
        return error_set(error, FAILURE_INPUT, "must-be-whole-number-from-to",
                         ARGUMENTS(arg_words("name", row->name), arg_words("value", value),
                                   arg_count("least", row->least), arg_count("most", row->most)));
    *(unsigned *)place = number;
    return true;
}

/* ---- reading ---- */

/* Arguments on the way into a request. */
struct option_reading {
    const struct command_set *set;
    char **arguments;
    int count, at;
    bool only_names; /* "--" was read */
    uint64_t early;  /* rows of options that stood before the command, one bit each */
    struct command_asked *asked;
};

static const char *command_name(const struct option_reading *r)
{
    unsigned command = r->asked->command;
    return command < r->set->command_count ? r->set->commands[command].name : r->set->unnamed;
}

static bool is_taken(const struct option_reading *r, const struct option_row *row)
{
    if (r->asked->command < r->set->command_count) return row->commands & ON(r->asked->command);
    return r->set->options_first || row->commands == ON_ALL;
}

static bool options_read_command(struct option_reading *r, const char *name, struct error *error)
{
    const char *names[sizeof(unsigned) * 8 + 1] = {NULL};
    for (unsigned i = 0; i < r->set->command_count; i++) {
        names[i] = r->set->commands[i].name;
        if (strcmp(name, names[i])) continue;
        r->asked->command = i;
        return true;
    }
    const char *near = str_nearest(name, names);
    return error_set(error, FAILURE_INPUT, near ? r->set->refusals.near_command : r->set->refusals.no_command,
                     ARGUMENTS(arg_words("name", name), arg_words("near", near)));
}

static bool options_refuse_option(const struct option_reading *r, const char *written, const char *near,
                                  struct error *error)
{
    return error_set(error, FAILURE_INPUT, near ? r->set->refusals.near_option : r->set->refusals.no_option,
                     ARGUMENTS(arg_words("name", written), arg_words("of", command_name(r)),
                               arg_flag("named", r->asked->command < r->set->command_count),
                               arg_words("near", near)));
}

/* The row of the option whose name is the first `length` letters of `written`; NULL with a refusal. */
static const struct option_row *find_option(const struct option_reading *r, const char *written,
                                            size_t length, struct error *error)
{
    const char *names[OPTIONS_MOST + 1] = {NULL};
    size_t count = 0;
    for (size_t i = 0; i < r->set->option_count; i++) {
        const struct option_row *row = &r->set->options[i];
        if (!is_taken(r, row)) continue;
        if (strlen(row->name) == length && !memcmp(row->name, written, length)) return row;
        names[count++] = row->name;
    }
    options_refuse_option(r, written, str_nearest(written, names), error);
    return NULL;
}

/* The option that r->at stands at; moves on to its value when that is the next argument. */
static bool options_read_option(struct option_reading *r, struct error *error)
{
    const char *written = r->arguments[r->at], *equals = strchr(written, '=');
    const struct option_row *row =
        find_option(r, written, equals ? (size_t)(equals - written) : strlen(written), error);
    if (!row) return false;
    if (r->asked->command == r->set->command_count) r->early |= UINT64_C(1) << (row - r->set->options);
    const char *value = equals ? equals + 1 : NULL;
    if (!row->takes && value)
        return error_set(error, FAILURE_INPUT, "options-takes-no-value",
                         ARGUMENTS(arg_words("options", row->name)));
    if (row->takes && !value) {
        if (r->at + 1 >= r->count)
            return error_set(error, FAILURE_INPUT, r->set->refusals.no_value,
                             ARGUMENTS(arg_words("name", written), arg_words("takes", row->takes)));
        value = r->arguments[++r->at];
    }
    return row->set(row, value, (char *)r->asked + row->place, error);
}

static bool options_read_name(struct option_reading *r, const char *name, struct error *error)
{
    struct command_asked *asked = r->asked;
    if (asked->command == r->set->command_count) return options_read_command(r, name, error);
    const struct command_row *row = &r->set->commands[asked->command];
    bool more = row->several && asked->subject_count < SUBJECTS_MOST;
    if (more) asked->subjects[asked->subject_count++] = name;
    if (more && asked->subject) return true;
    if (asked->subject && (!row->second || asked->second))
        return error_set(error, FAILURE_INPUT, r->set->refusals.too_many,
                         ARGUMENTS(arg_words("argument", name), arg_words("takes", row->takes)));
    *(asked->subject ? &asked->second : &asked->subject) = name;
    return true;
}

bool options_refuse_incomplete(const struct command_set *set, const struct command_asked *asked,
                               struct error *error)
{
    const struct command_row *row = &set->commands[asked->command];
    return error_set(error, FAILURE_INPUT, "command-needs-after-it",
                     ARGUMENTS(arg_words("program", set->program), arg_words("command", row->name),
                               arg_words("takes", row->takes),
                               arg_words("second", row->second ? row->second : ""),
                               arg_flag("second_2", row->second)));
}

static bool options_complete(const struct command_set *set, struct command_asked *asked, struct error *error)
{
    if (asked->help || asked->version) return true;
    if (asked->command == set->command_count)
        return error_set(error, FAILURE_INPUT, set->refusals.nothing, NULL);
    const struct command_row *row = &set->commands[asked->command];
    if (!asked->subject) asked->subject = row->usual;
    if (asked->subject && (!row->second || asked->second)) return true;
    return options_refuse_incomplete(set, asked, error);
}

/* What stands before the command is read before it is known whether the command takes it. */
static bool options_early_fit(const struct option_reading *r, struct error *error)
{
    if (r->asked->command == r->set->command_count) return true;
    for (size_t i = 0; i < r->set->option_count; i++)
        if (r->early >> i & 1 && !is_taken(r, &r->set->options[i]))
            return options_refuse_option(r, r->set->options[i].name, NULL, error);
    return true;
}

bool options_read(const struct command_set *set, int count, char **arguments, struct command_asked *asked,
                  struct error *error)
{
    assert(set->option_count <= OPTIONS_MOST && set->command_count <= sizeof(unsigned) * 8);
    struct option_reading r = {.set = set, .arguments = arguments, .count = count, .asked = asked};
    *asked = (struct command_asked){.command = set->command_count};
    for (; r.at < count; r.at++) {
        const char *argument = arguments[r.at];
        if (set->dashes_end && !r.only_names && !strcmp(argument, "--"))
            r.only_names = true;
        else if (!r.only_names && argument[0] == '-' && argument[1]) {
            if (!options_read_option(&r, error)) return false;
        } else if (!options_read_name(&r, argument, error))
            return false;
    }
    return options_early_fit(&r, error) && options_complete(set, asked, error);
}

/* ---- help ---- */

void options_pad(struct text *out, size_t start, size_t columns)
{
    while (out->length - start < columns) text_add_char(out, ' ');
    text_add_char(out, ' ');
}

void options_help_usage(const struct command_set *set, unsigned command, struct text *out)
{
    const struct command_row *row = &set->commands[command];
    text_addf(out, "%s %s %s", set->program, row->name, row->takes);
    if (row->second) text_addf(out, " %s", row->second);
    if (row->several) text_add(out, "...");
}

void options_help_command(const struct command_set *set, unsigned command, struct text *out)
{
    size_t start = out->length;
    text_add(out, "  ");
    options_help_usage(set, command, out);
    options_pad(out, start, set->command_columns);
    text_addf(out, "%s\n", set->commands[command].help);
}

void options_help_commands(const struct command_set *set, struct text *out)
{
    for (unsigned i = 0; i < set->command_count; i++) options_help_command(set, i, out);
}

void options_help_options(const struct command_set *set, unsigned command, struct text *out)
{
    for (size_t i = 0; i < set->option_count; i++) {
        const struct option_row *row = &set->options[i];
        if (!(row->commands & ON(command))) continue;
        size_t start = out->length;
        text_addf(out, "  %s", row->name);
        if (row->takes) text_addf(out, " %s", row->takes);
        options_pad(out, start, set->option_columns);
        text_addf(out, "%s\n", row->help);
    }
}
