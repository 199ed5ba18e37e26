/* The commands of `lapstrake`: what they take, and where it goes. Called by main.c; `record` has its own tables
 * in record_commands.c. */
#include "commands.h"
#include "model/quote.h"
#include <string.h>

static const struct command_row commands[COMMAND_COUNT] = {
    [COMMAND_INIT] = {"init", "DIR",
                      .help = "makes a new job folder with a commented job.yaml and shop.yaml"},
    [COMMAND_CHECK] = {"check", "JOB",
                       .help = "reads everything and prints the findings; writes its cache in OUT, and the "
                               "picture of artwork that "
                               "changed after printing"},
    [COMMAND_PLAN] =
        {"plan", "JOB",
         .help = "seams, panels, install sequence, rolls, ink, times, cost: OUT/plan.json and OUT/pictures"},
    [COMMAND_PANELS] = {"panels", "JOB", .help = "the print files: OUT/panels"},
    [COMMAND_SHEET] = {"sheet", "JOB",
                       .help = "the job sheet and labels for the liner: OUT/sheet.pdf, OUT/labels.pdf"},
    [COMMAND_MAKE] = {"make", "JOB", .help = "all of it: plan, pictures, panels and job sheet"},
    [COMMAND_ORDER] =
        {"order", "JOB",
         .help =
             "a purchase order for bought-in printing, with a check list for the delivery: OUT/order.pdf"},
    [COMMAND_CLOCK] = {"clock", "JOB",
                       .help = "how the prints dry and the room they need: words, and OUT/pictures/drying"},
    [COMMAND_QUOTE] = {"quote", "JOB",
                       .help = "a price and a date, with or without artwork: OUT/quote.pdf for the customer, "
                               "OUT/quote-shop.pdf with the costs, OUT/quote.json"},
    [COMMAND_PROOF] =
        {"proof", "JOB",
         .help = "what the customer approves, known by eight letters: OUT/proof.pdf, OUT/proof.json"},
    [COMMAND_REPRINT] = {"reprint", "JOB", .second = "SURFACE/PANEL",
                         .help = "one panel again as it was printed, for a reason: OUT/reprint; status 1: it "
                                 "would not be the same"},
    [COMMAND_USED] = {"used", "DIR",
                      .help =
                          "planned against used, of a job or of all, and which of the shop's rates are off"},
    [COMMAND_ROLLS] = {"rolls", "JOB",
                       .help = "lays the prints of all these jobs on the rolls in stock and on new ones: "
                               "OUT/rolls.json and OUT/pictures, what to buy and which off-cuts to keep",
                       .several = true},
    [COMMAND_SERVE] = {"serve", "[DIR]", .usual = ".",
                       .help = "the page over the job folders in DIR, for the shop's own network and phones"},
    [COMMAND_PERSON] = {"person", "DIR",
                        .help = "sets up who may use the page; the password is read from the terminal"},
    [COMMAND_PROFILE] = {"profile", "FILE",
                         .help = "says what a colour profile or a measurement file is, in plain words"},
    [COMMAND_DOC] = {"doc", "PAGE",
                     .help = "prints a page made from the program's tables: findings, practice, keys"},
};

/* ---- setters of these options alone ---- */

static bool set_packing(const struct option_row *row, const char *value, void *place, struct error *error)
{
    static const char *const names[] = {"none", "lzw", "deflate", "zstd"};
    enum tiff_packing *packing = place;
    (void)row;
    for (int i = 0; i < 4; i++)
        if (!strcmp(value, names[i])) {
            *packing = (enum tiff_packing)i;
            return true;
        }
    return error_set(error, FAILURE_INPUT, "compress-one-of-none-lzw-deflate",
                     ARGUMENTS(arg_words("value", value)));
}

/* Of a person, or of this machine. Its place is the request. */
static bool set_name(const struct option_row *row, const char *value, void *place, struct error *error)
{
    struct command_line *request = place;
    (void)row;
    request->person = value;
    if (request->web.name_count == WEB_NAMES_MOST)
        return error_set(error, FAILURE_INPUT, "name-at-most-names",
                         ARGUMENTS(arg_count("most", WEB_NAMES_MOST)));
    request->names[request->web.name_count++] = value;
    return true;
}

/* ---- options ---- */

#define WRITING                                                                                              \
    (ON(COMMAND_PLAN) | ON(COMMAND_PANELS) | ON(COMMAND_SHEET) | ON(COMMAND_MAKE) | ON(COMMAND_ORDER) |      \
     ON(COMMAND_CLOCK) | ON(COMMAND_QUOTE))
#define ON_JOBS (WRITING | ON(COMMAND_CHECK) | ON(COMMAND_PROOF) | ON(COMMAND_REPRINT) | ON(COMMAND_ROLLS))

#define FLAG(member)             OPTION_FLAG(command_line, member)
#define WORDS(member)            OPTION_WORDS(command_line, member)
#define NUMBER(member, from, to) OPTION_NUMBER(command_line, member, from, to)

const char help_threads[] = "processors to use, 1 to 64 (usual: all)";
const char help_patient[] = "600 s of processor time, not 60, to read a file and to render a page of it";
const char help_steps[] = "progress as lines `@FRACTION WORDS`, for another program";
const char help_within[] = "refuse a job that names files outside of this folder";

/* In the order of the help. */
static const struct option_row options[] = {
    {"--out", "DIR", ON_JOBS, "where results go (usual: JOB/out)", WORDS(run.out)},
    {"--json", NULL, ON_JOBS | ON(COMMAND_USED),
     "the result as JSON on standard output, and nothing else there", FLAG(json)},
    {"--csv", NULL, ON(COMMAND_USED) | ON(COMMAND_QUOTE), "the lines as a table for a spreadsheet (CSV)",
     FLAG(csv)},
    {"--since", "2027-03-04T10:40", ON(COMMAND_USED),
     "rates by jobs planned from then on only: since a rate was changed", WORDS(since)},
    {"--only", "SURFACE[/PANEL]", ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
     "panel files of this surface or panel only", WORDS(run.only)},
    {"--threads", "N", ON_JOBS, help_threads, NUMBER(run.threads, 1, 64)},
    {"--quiet", NULL, ON_JOBS, "no progress, no list of files", FLAG(quiet)},
    {"--anyway", NULL, ON(COMMAND_PANELS) | ON(COMMAND_MAKE) | ON(COMMAND_REPRINT),
     "write panels although there is a stop; their labels say so", FLAG(run.anyway)},
    {"--seams", NULL, ON(COMMAND_PROOF), "draw panels and seams too (the letters stay the same)",
     FLAG(run.seams)},
    {"--reason", "WORDS", ON(COMMAND_REPRINT), "why it is printed again: torn, scratched, colour ...",
     WORDS(reason)},
    {"--who", "NAME", ON(COMMAND_REPRINT), "who says so, for the record", WORDS(who)},
    {"--patches", NULL, ON(COMMAND_REPRINT), "a sheet of hand-sized repair pieces of the panel too",
     FLAG(patches)},
    {"--no-record", NULL, ON(COMMAND_REPRINT), "make the file and put nothing on record", FLAG(off_record)},
    {"--no-cost", NULL, ON(COMMAND_SHEET) | ON(COMMAND_MAKE), "the job sheet without its page of costs",
     FLAG(run.no_cost)},
    {"--prove", NULL, ON(COMMAND_PANELS) | ON(COMMAND_MAKE),
     "compare every pixel of the panels with the artwork: PDF panels by MuPDF and by Ghostscript (slow)",
     FLAG(run.prove)},
    {"--compress", "none|lzw|deflate|zstd", ON(COMMAND_PANELS) | ON(COMMAND_MAKE) | ON(COMMAND_REPRINT),
     "of TIFF panels (usual: lzw)", .set = set_packing, .place = offsetof(struct command_line, run.packing)},
    {"--exact", NULL, ON(COMMAND_PLAN) | ON(COMMAND_PANELS) | ON(COMMAND_MAKE) | ON(COMMAND_REPRINT),
     "every colour of a picture by the colour library itself (slow)", FLAG(run.exact)},
    {"--choose", "N", WRITING | ON(COMMAND_REPRINT),
     "take alternative N of the plan (usual: 0, the least cost)", NUMBER(run.choose, 0, 9)},
    {"--vehicles", "N", ON(COMMAND_QUOTE) | ON(COMMAND_ROLLS),
     "so many identical vehicles, 1 to 500 (usual: as the job says)", NUMBER(run.vehicles, 1, VEHICLES_MOST)},
    {"--seconds", "S", ON(COMMAND_ROLLS),
     "the longest that places are looked for, 1 to 600 (usual: 2); the search mostly ends before",
     NUMBER(seconds, 1, 600)},
    {"--seed", "N", ON(COMMAND_ROLLS), "another number looks in another order (usual: 0)",
     NUMBER(seed, 0, 999999)},
    {"--patient", NULL, ON_JOBS, help_patient, FLAG(patient)},
    {"--steps", NULL, ON_JOBS, help_steps, FLAG(steps)},
    {"--within", "DIR", ON_JOBS, help_within, WORDS(within)},
    {"--anywhere", NULL, ON(COMMAND_SERVE), "jobs may name files outside of DIR (usual: only below it)",
     FLAG(anywhere)},
    {"--listen", "ADDRESS", ON(COMMAND_SERVE), "address to serve on (usual: 127.0.0.1, this machine only)",
     WORDS(web.listen)},
    {"--port", "N", ON(COMMAND_SERVE), "port, 1 to 65535 (usual: 8017)", NUMBER(web.port, 1, 65535)},
    {"--name", "NAME", ON(COMMAND_SERVE) | ON(COMMAND_PERSON),
     "serve: another name of this machine in browsers; person: who", .set = set_name},
    {"--certificate", "FILE", ON(COMMAND_SERVE), "the shop's certificate (PEM), for https",
     WORDS(web.certificate)},
    {"--key", "FILE", ON(COMMAND_SERVE), "the certificate's key (PEM)", WORDS(web.key)},
    {"--role", "shop|viewer|none", ON(COMMAND_PERSON),
     "shop: may record and change; viewer: may look; none: taken out", WORDS(role)},
    {"--against", "FILE", ON(COMMAND_PROFILE),
     "how near the profile comes to a print measured in this file (ISO 28178, CGATS.17)", WORDS(against)},
    {"--help", NULL, ON_ALL, "this help", FLAG(asked.help)},
    {"--version", NULL, ON_ALL, "the program's version", FLAG(asked.version)},
};

static const struct command_set set = {
    .program = "lapstrake",
    .unnamed = "lapstrake",
    .commands = commands,
    .command_count = COMMAND_COUNT,
    .options = options,
    .option_count = sizeof options / sizeof *options,
    .options_first = true,
    .dashes_end = true,
    .command_columns = 26,
    .option_columns = 34,
    .refusals = {.no_command = "is-not-command-lapstrake-help-lists",
                 .near_command = "is-not-command-did-you-mean",
                 .no_option = "is-not-option-of-help-lists",
                 .near_option = "is-not-option-of-did-you",
                 .no_value = "name-needs-takes-after-it",
                 .too_many = "only-one-is-taken",
                 .nothing = "say-what-to-do-lapstrake-help"},
};

/* ---- reading and help ---- */

bool commands_read(int count, char **arguments, struct command_line *request, struct error *error)
{
    *request = (struct command_line){.run = {.packing = PACKING_LZW}, .seconds = 2};
    if (!options_read(&set, count, arguments, &request->asked, error)) return false;
    if (request->asked.help || request->asked.version) return true;
    if (!request->asked.subject[0]) return options_refuse_incomplete(&set, &request->asked, error);
    request->run.job = request->asked.subject;
    return true;
}

static void help_commands(struct text *out)
{
    text_add(out,
             "lapstrake: vehicle graphics from measured vehicle and artwork to panels that can be printed,\n"
             "a plan with dates, and a job sheet.\n\n");
    options_help_commands(&set, out);
    text_add(out,
             "  lapstrake record ...     what was really done: entries, copies, checks (`record --help`)\n"
             "\nJOB is a job folder or a job.yaml. `lapstrake COMMAND --help` lists a command's options.\n"
             "Exit status: 0 done; 1 the job cannot be made as it stands (a finding says stop);\n"
             "2 bad input or usage; 3 the machine failed.\n");
}

void commands_help(enum command command, struct text *out)
{
    if (command == COMMAND_COUNT) {
        help_commands(out);
        return;
    }
    options_help_usage(&set, command, out);
    text_addf(out, "\n  %s\n\n", commands[command].help);
    options_help_options(&set, command, out);
}
