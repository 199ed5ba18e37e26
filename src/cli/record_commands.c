/* The commands of `lapstrake record`: what they take, and where it goes; options of entry fields come from
 * model/entry.h. Called by record.c. */
#include "record_commands.h"
#include "commands.h"
#include <string.h>

static const struct command_row verbs[RECORD_VERB_COUNT] = {
    [RECORD_SHOW] = {"show", "JOB", .help = "how far each panel has come, and what can be done next"},
    [RECORD_ADD] = {"add", "JOB", .second = "KIND",
                    .help = "puts on record what was done; a gate that is shut says what is left to wait"},
    [RECORD_PLAN] =
        {"plan", "JOB",
         .help =
             "plans with what is on record, and keeps the version when it changed; status 1: it has a stop"},
    [RECORD_STOCK] = {"stock", "DIR", .help = "the rolls that are here, and what is left on them"},
    [RECORD_REPORT] = {"report", "JOB", .help = "the final report of a job: OUT/report.pdf"},
    [RECORD_EXPORT] = {"export", "DIR", .help = "all entries, or those of one job, as a table or as JSON"},
    [RECORD_BACKUP] = {"backup", "DIR", .second = "FILE",
                       .help = "a checked copy, while others may go on recording"},
    [RECORD_VERIFY] = {"verify", "DIR",
                       .help = "reads everything and says whether anything was changed or lost"},
    [RECORD_REBUILD] = {"rebuild", "DIR", .help = "works out again what is derived from the entries"},
};

#define FLAG(member)  OPTION_FLAG(record_request, member)
#define WORDS(member) OPTION_WORDS(record_request, member)

/* In the order of the help; those of an entry's fields stand behind them. */
static const struct option_row options[] = {
    {"--job", "NUMBER", ON(RECORD_EXPORT), "of this job only", WORDS(job)},
    {"--csv", NULL, ON(RECORD_EXPORT), "a table for a spreadsheet (usual)", FLAG(csv)},
    {"--json", NULL, ON(RECORD_EXPORT), "JSON", FLAG(json)},
    {"--panels", "left-1,left-2", ON(RECORD_ADD), "the panels it was done to; none: the job", WORDS(panels)},
    {"--threads", "N", ON(RECORD_PLAN), help_threads, OPTION_NUMBER(record_request, threads, 1, 64)},
    {"--steps", NULL, ON(RECORD_PLAN), help_steps, FLAG(steps)},
    {"--patient", NULL, ON(RECORD_PLAN), help_patient, FLAG(patient)},
    {"--within", "DIR", ON(RECORD_PLAN), help_within, WORDS(within)},
    {"--help", NULL, ON_ALL, "this help", FLAG(asked.help)},
};
enum { OPTION_COUNT = sizeof options / sizeof *options };

/* The rows of `options`, then those of an entry's fields. */
struct record_options {
    struct option_row rows[OPTION_COUNT + FACT_FIELDS_MOST];
    size_t count;
};
_Static_assert(OPTION_COUNT + FACT_FIELDS_MOST <= OPTIONS_MOST, "raise OPTIONS_MOST");

static struct record_options all_options(void)
{
    struct record_options all = {.count = OPTION_COUNT};
    memcpy(all.rows, options, sizeof options);
    for (size_t i = 0; i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        if (field->option)
            all.rows[all.count++] =
                (struct option_row){field->option,
                                    field->takes,
                                    ON(RECORD_ADD),
                                    field->help,
                                    .set = option_set_words,
                                    .place = offsetof(struct record_request, fields) + i * sizeof(char *)};
    }
    return all;
}

/* Borrows the rows. */
static struct command_set record_set(const struct record_options *all)
{
    return (struct command_set){
        .program = "lapstrake record",
        .unnamed = "",
        .commands = verbs,
        .command_count = RECORD_VERB_COUNT,
        .options = all->rows,
        .option_count = all->count,
        .command_columns = 36,
        .option_columns = 30,
        .refusals = {.no_command = "record-no-such-thing",
                     .near_command = "record-did-you-mean",
                     .no_option = "is-not-option-of-record",
                     .near_option = "is-not-option-of-record-did-you-mean",
                     .no_value = "needs-value-such-as",
                     .too_many = "nothing-more-is-taken-here",
                     .nothing = "record-say-what-lapstrake-record-help"},
    };
}

bool record_commands_read(int count, char **arguments, struct record_request *request, struct error *error)
{
    struct record_options all = all_options();
    struct command_set set = record_set(&all);
    *request = (struct record_request){.job = NULL};
    return options_read(&set, count, arguments, &request->asked, error);
}

/* ---- help ---- */

static void help_kinds(struct text *out)
{
    text_add(out, "\nKIND is one of:\n");
    for (int i = 0; i < FACT_KIND_COUNT; i++) {
        if (i == FACT_PLANNED) continue; /* `record plan` does that */
        size_t start = out->length;
        text_addf(out, "  %s", fact_kind_name((enum fact_kind)i));
        options_pad(out, start, 16);
        text_addf(out, "%s\n", fact_kind_words((enum fact_kind)i));
    }
}

static void help_verbs(const struct command_set *set, struct text *out)
{
    text_add(out,
             "lapstrake record: what was really done, kept in record.sqlite beside the job folders.\n\n");
    options_help_commands(set, out);
    text_add(out, "\nJOB is a job folder; DIR is the folder that holds them, or a job folder in it.\n");
}

void record_commands_help(enum record_verb verb, struct text *out)
{
    struct record_options all = all_options();
    struct command_set set = record_set(&all);
    if (verb == RECORD_VERB_COUNT) {
        help_verbs(&set, out);
        return;
    }
    options_help_command(&set, verb, out);
    text_add_char(out, '\n');
    options_help_options(&set, verb, out);
    if (verb == RECORD_ADD) help_kinds(out);
}
