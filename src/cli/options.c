/* Reads the command line by one table and writes the help from it. Called by main.c; `record` has its own
 * table in record_options.c. */
#include "options.h"
#include <string.h>

struct command_row {
    const char *name, *takes, *help;
};

static const struct command_row commands[COMMAND_COUNT] = {
    [COMMAND_INIT] = {"init", "DIR", "makes a new job folder with a commented job.yaml and shop.yaml"},
    [COMMAND_CHECK] =
        {"check", "JOB",
         "reads everything and prints the findings; writes its cache in OUT, and the picture of artwork that "
         "changed after printing"},
    [COMMAND_PLAN] = {"plan", "JOB",
                      "seams, panels, order, rolls, ink, times, cost: OUT/plan.json and OUT/pictures"},
    [COMMAND_PANELS] = {"panels", "JOB", "the print files: OUT/panels"},
    [COMMAND_SHEET] = {"sheet", "JOB",
                       "the job sheet and labels for the liner: OUT/sheet.pdf, OUT/labels.pdf"},
    [COMMAND_MAKE] = {"make", "JOB", "all of it: plan, pictures, panels and job sheet"},
    [COMMAND_ORDER] =
        {"order", "JOB",
         "a purchase order for bought-in printing, with a check list for the delivery: OUT/order.pdf"},
    [COMMAND_CLOCK] = {"clock", "JOB",
                       "how the prints dry and the room they need: words, and OUT/pictures/drying"},
    [COMMAND_SERVE] = {"serve", "[DIR]",
                       "the page over the job folders in DIR, for the shop's own network and phones"},
    [COMMAND_PERSON] = {"person", "DIR",
                        "sets up who may use the page; the password is read from the terminal"},
    [COMMAND_PROFILE] = {"profile", "FILE",
                         "says what a colour profile or a measurement file is, in plain words"},
    [COMMAND_DOC] = {"doc", "PAGE", "prints a page made from the program's tables: findings, practice, keys"},
};

enum option {
    OPTION_OUT,
    OPTION_JSON,
    OPTION_ONLY,
    OPTION_THREADS,
    OPTION_QUIET,
    OPTION_ANYWAY,
    OPTION_NO_COST,
    OPTION_PROVE,
    OPTION_COMPRESS,
    OPTION_EXACT,
    OPTION_CHOOSE,
    OPTION_PATIENT,
    OPTION_STEPS,
    OPTION_WITHIN,
    OPTION_ANYWHERE,
    OPTION_LISTEN,
    OPTION_PORT,
    OPTION_NAME,
    OPTION_CERTIFICATE,
    OPTION_KEY,
    OPTION_ROLE,
    OPTION_AGAINST,
    OPTION_HELP,
    OPTION_VERSION,
    OPTION_COUNT,
};

#define ON(command) (1u << (command))
#define WRITING                                                                                              \
    (ON(COMMAND_PLAN) | ON(COMMAND_PANELS) | ON(COMMAND_SHEET) | ON(COMMAND_MAKE) | ON(COMMAND_ORDER) |      \
     ON(COMMAND_CLOCK))
#define ON_JOBS (WRITING | ON(COMMAND_CHECK))
#define ON_ALL  (~0u)

struct command_option_row {
    const char *name, *takes; /* takes NULL: no value */
    unsigned commands;
    const char *help;
};

static const struct command_option_row options[OPTION_COUNT] = {
    [OPTION_OUT] = {"--out", "DIR", ON_JOBS, "where results go (usual: JOB/out)"},
    [OPTION_JSON] = {"--json", NULL, ON_JOBS,
                     "the result as JSON on standard output, and nothing else there"},
    [OPTION_ONLY] = {"--only", "SURFACE[/PANEL]", ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
                     "panel files of this surface or panel only"},
    [OPTION_THREADS] = {"--threads", "N", ON_JOBS, "processors to use, 1 to 64 (usual: all)"},
    [OPTION_QUIET] = {"--quiet", NULL, ON_JOBS, "no progress, no list of files"},
    [OPTION_ANYWAY] = {"--anyway", NULL, ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
                       "write panels although there is a stop; their labels say so"},
    [OPTION_NO_COST] = {"--no-cost", NULL, ON(COMMAND_SHEET) | ON(COMMAND_MAKE),
                        "the job sheet without its page of costs"},
    [OPTION_PROVE] = {"--prove", NULL, ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
                      "compare every pixel of the panels with the artwork: PDF panels by MuPDF and by "
                      "Ghostscript (slow)"},
    [OPTION_COMPRESS] = {"--compress", "none|lzw|deflate|zstd", ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
                         "of TIFF panels (usual: lzw)"},
    [OPTION_EXACT] = {"--exact", NULL, ON(COMMAND_PLAN) | ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
                      "every colour of a picture by the colour library itself (slow)"},
    [OPTION_CHOOSE] = {"--choose", "N", WRITING, "take alternative N of the plan (usual: 0, the least cost)"},
    [OPTION_PATIENT] = {"--patient", NULL, ON_JOBS,
                        "600 s of processor time, not 60, to read a file and to render a page of it"},
    [OPTION_STEPS] = {"--steps", NULL, ON_JOBS, "progress as lines `@FRACTION WORDS`, for another program"},
    [OPTION_WITHIN] = {"--within", "DIR", ON_JOBS, "refuse a job that names files outside of this folder"},
    [OPTION_ANYWHERE] = {"--anywhere", NULL, ON(COMMAND_SERVE),
                         "jobs may name files outside of DIR (usual: only below it)"},
    [OPTION_LISTEN] = {"--listen", "ADDRESS", ON(COMMAND_SERVE),
                       "address to serve on (usual: 127.0.0.1, this machine only)"},
    [OPTION_PORT] = {"--port", "N", ON(COMMAND_SERVE), "port, 1 to 65535 (usual: 8017)"},
    [OPTION_NAME] = {"--name", "NAME", ON(COMMAND_SERVE) | ON(COMMAND_PERSON),
                     "serve: another name of this machine in browsers; person: who"},
    [OPTION_CERTIFICATE] = {"--certificate", "FILE", ON(COMMAND_SERVE),
                            "the shop's certificate (PEM), for https"},
    [OPTION_KEY] = {"--key", "FILE", ON(COMMAND_SERVE), "the certificate's key (PEM)"},
    [OPTION_ROLE] = {"--role", "shop|viewer|none", ON(COMMAND_PERSON),
                     "shop: may record and change; viewer: may look; none: taken out"},
    [OPTION_AGAINST] = {"--against", "FILE", ON(COMMAND_PROFILE),
                        "how near the profile comes to a print measured in this file (ISO 28178, CGATS.17)"},
    [OPTION_HELP] = {"--help", NULL, ON_ALL, "this help"},
    [OPTION_VERSION] = {"--version", NULL, ON_ALL, "the program's version"},
};

/* ---- reading ---- */

static bool whole_number(const char *text, int least, int most, int *value)
{
    size_t digits = strspn(text, "0123456789");
    if (!digits || text[digits] || digits > 6) return false;
    *value = 0;
    for (const char *at = text; *at; at++) *value = *value * 10 + (*at - '0');
    return *value >= least && *value <= most;
}

static bool options_take_number(const char *name, const char *value, int least, int most, int *number,
                                struct error *error)
{
    if (whole_number(value, least, most, number)) return true;
    return error_set(error, FAILURE_INPUT, "whole-number-from-to-is-right",
                     ARGUMENTS(arg_words("name", name), arg_words("value", value), arg_count("least", least),
                               arg_count("most", most)));
}

static bool take_packing(const char *value, enum tiff_packing *packing, struct error *error)
{
    static const char *const names[] = {"none", "lzw", "deflate", "zstd"};
    for (int i = 0; i < 4; i++)
        if (!strcmp(value, names[i])) {
            *packing = (enum tiff_packing)i;
            return true;
        }
    return error_set(error, FAILURE_INPUT, "compress-one-of-none-lzw-deflate",
                     ARGUMENTS(arg_words("value", value)));
}

/* Of a person, or of this machine. */
static bool take_name(struct command_line *request, const char *value, struct error *error)
{
    request->person = value;
    if (request->web.name_count == WEB_NAMES_MOST)
        return error_set(error, FAILURE_INPUT, "name-at-most-names",
                         ARGUMENTS(arg_count("most", WEB_NAMES_MOST)));
    request->names[request->web.name_count++] = value;
    return true;
}

static bool options_take(struct command_line *request, enum option option, const char *value,
                         struct error *error)
{
    int number = 0;
    switch (option) {
    case OPTION_OUT:
        request->run.out = value;
        return true;
    case OPTION_ONLY:
        request->run.only = value;
        return true;
    case OPTION_JSON:
        return request->json = true;
    case OPTION_QUIET:
        return request->quiet = true;
    case OPTION_ANYWAY:
        return request->run.anyway = true;
    case OPTION_NO_COST:
        return request->run.no_cost = true;
    case OPTION_PROVE:
        return request->run.prove = true;
    case OPTION_EXACT:
        return request->run.exact = true;
    case OPTION_HELP:
        return request->help = true;
    case OPTION_VERSION:
        return request->version = true;
    case OPTION_COMPRESS:
        return take_packing(value, &request->run.packing, error);
    case OPTION_CHOOSE:
        if (!options_take_number("--choose", value, 0, 9, &number, error)) return false;
        request->run.choose = number;
        return true;
    case OPTION_PATIENT:
        return request->patient = true;
    case OPTION_STEPS:
        return request->steps = true;
    case OPTION_WITHIN:
        request->within = value;
        return true;
    case OPTION_ANYWHERE:
        return request->anywhere = true;
    case OPTION_LISTEN:
        request->web.listen = value;
        return true;
    case OPTION_CERTIFICATE:
        request->web.certificate = value;
        return true;
    case OPTION_KEY:
        request->web.key = value;
        return true;
    case OPTION_ROLE:
        request->role = value;
        return true;
    case OPTION_AGAINST:
        request->against = value;
        return true;
    case OPTION_NAME:
        return take_name(request, value, error);
    case OPTION_PORT:
        if (!options_take_number("--port", value, 1, 65535, &number, error)) return false;
        request->web.port = (unsigned)number;
        return true;
    default:
        if (!options_take_number("--threads", value, 1, 64, &number, error)) return false;
        request->run.threads = (unsigned)number;
        return true;
    }
}

static bool find_command(const char *name, enum command *command, struct error *error)
{
    const char *names[COMMAND_COUNT + 1] = {NULL};
    for (int i = 0; i < COMMAND_COUNT; i++) {
        names[i] = commands[i].name;
        if (strcmp(name, commands[i].name)) continue;
        *command = (enum command)i;
        return true;
    }
    const char *near = str_nearest(name, names);
    if (near)
        return error_set(error, FAILURE_INPUT, "is-no-command-did-you-mean",
                         ARGUMENTS(arg_words("name", name), arg_words("near", near)));
    return error_set(error, FAILURE_INPUT, "is-no-command-lapstrake-help-lists",
                     ARGUMENTS(arg_words("name", name)));
}

static bool options_find_option(const char *name, size_t length, enum command command, enum option *option,
                                struct error *error)
{
    const char *names[OPTION_COUNT + 1] = {NULL};
    for (int i = 0, n = 0; i < OPTION_COUNT; i++) {
        bool here = command == COMMAND_COUNT || (options[i].commands & ON(command));
        if (here) names[n++] = options[i].name;
        if (!here || strlen(options[i].name) != length || memcmp(options[i].name, name, length)) continue;
        *option = (enum option)i;
        return true;
    }
    const char *near = str_nearest(name, names);
    const char *of = command == COMMAND_COUNT ? "lapstrake" : commands[command].name;
    if (near)
        return error_set(error, FAILURE_INPUT, "is-no-option-of-did-you",
                         ARGUMENTS(arg_words("name", name), arg_words("of", of), arg_words("near", near)));
    return error_set(error, FAILURE_INPUT, "is-no-option-of-help-lists",
                     ARGUMENTS(arg_words("name", name), arg_words("of", of)));
}

/* One option at arguments[*i], as --name value or --name=value; moves *i on. */
static bool options_read_option(int count, char **arguments, int *i, struct command_line *request,
                                struct error *error)
{
    const char *name = arguments[*i], *equals = strchr(name, '=');
    enum option option = OPTION_COUNT;
    if (!options_find_option(name, equals ? (size_t)(equals - name) : strlen(name), request->command, &option,
                             error))
        return false;
    const char *value = equals ? equals + 1 : NULL;
    if (!options[option].takes && value)
        return error_set(error, FAILURE_INPUT, "options-takes-no-value",
                         ARGUMENTS(arg_words("options", options[option].name)));
    if (options[option].takes && !value) {
        if (*i + 1 >= count)
            return error_set(error, FAILURE_INPUT, "name-needs-takes-behind-it",
                             ARGUMENTS(arg_words("name", name), arg_words("takes", options[option].takes)));
        value = arguments[++*i];
    }
    return options_take(request, option, value, error);
}

bool options_read(int count, char **arguments, struct command_line *request, struct error *error)
{
    *request = (struct command_line){.command = COMMAND_COUNT, .run = {.packing = PACKING_LZW}};
    bool only_names = false;
    for (int i = 0; i < count; i++) {
        const char *argument = arguments[i];
        if (!only_names && !strcmp(argument, "--")) {
            only_names = true;
        } else if (!only_names && argument[0] == '-' && argument[1]) {
            if (!options_read_option(count, arguments, &i, request, error)) return false;
        } else if (request->command == COMMAND_COUNT) {
            if (!find_command(argument, &request->command, error)) return false;
        } else if (request->subject) {
            return error_set(error, FAILURE_INPUT, "only-one-is-taken",
                             ARGUMENTS(arg_words("argument", argument),
                                       arg_words("takes", commands[request->command].takes)));
        } else {
            request->subject = argument;
        }
    }
    if (request->help || request->version) return true;
    if (request->command == COMMAND_COUNT)
        return error_set(error, FAILURE_INPUT, "say-what-to-do-lapstrake-help", NULL);
    if (!request->subject && request->command == COMMAND_SERVE) request->subject = ".";
    if (!request->subject || !request->subject[0])
        return error_set(error, FAILURE_INPUT, "lapstrake-needs-behind-it",
                         ARGUMENTS(arg_words("command", commands[request->command].name),
                                   arg_words("takes", commands[request->command].takes)));
    request->run.job = request->subject;
    return true;
}

/* ---- help ---- */

static void options_pad(struct text *out, size_t used, size_t width)
{
    for (; used < width; used++) text_add_char(out, ' ');
    text_add_char(out, ' ');
}

static void help_options(enum command command, struct text *out)
{
    for (int i = 0; i < OPTION_COUNT; i++) {
        if (!(options[i].commands & ON(command))) continue;
        size_t before = out->length;
        text_addf(out, "  %s%s%s", options[i].name, options[i].takes ? " " : "",
                  options[i].takes ? options[i].takes : "");
        options_pad(out, out->length - before, 34);
        text_addf(out, "%s\n", options[i].help);
    }
}

static void help_commands(struct text *out)
{
    text_add(out,
             "lapstrake: vehicle graphics from measured vehicle and artwork to panels that can be printed,\n"
             "a plan with dates, and a job sheet.\n\n");
    for (int i = 0; i < COMMAND_COUNT; i++) {
        size_t before = out->length;
        text_addf(out, "  lapstrake %s %s", commands[i].name, commands[i].takes);
        options_pad(out, out->length - before, 26);
        text_addf(out, "%s\n", commands[i].help);
    }
    text_add(out,
             "  lapstrake record ...     what was really done: facts, copies, checks (`record --help`)\n"
             "\nJOB is a job folder or a job.yaml. `lapstrake COMMAND --help` lists a command's options.\n"
             "Exit status: 0 done; 1 the job cannot be made as it stands (a finding says stop);\n"
             "2 bad input or usage; 3 the machine failed.\n");
}

void options_help(enum command command, struct text *out)
{
    if (command == COMMAND_COUNT) {
        help_commands(out);
        return;
    }
    text_addf(out, "lapstrake %s %s\n  %s\n\n", commands[command].name, commands[command].takes,
              commands[command].help);
    help_options(command, out);
}
