/* Reads the arguments of `lapstrake record` and writes its help; options of entry fields come from
 * model/entry.h. Called by record.c. */
#include "record_options.h"
#include "base/str.h"
#include <string.h>

struct verb_row {
    const char *name, *takes, *second, *help;
};

static const struct verb_row verbs[RECORD_VERB_COUNT] = {
    [RECORD_SHOW] = {"show", "JOB", NULL, "how far each panel has come, and what can be done next"},
    [RECORD_ADD] = {"add", "JOB", "KIND",
                    "puts on record what was done; a gate that is shut says what is left to wait"},
    [RECORD_PLAN] =
        {"plan", "JOB", NULL,
         "plans with what is on record, and keeps the version when it changed; status 1: it has a stop"},
    [RECORD_STOCK] = {"stock", "DIR", NULL, "the rolls that are here, and what is left on them"},
    [RECORD_REPORT] = {"report", "JOB", NULL, "the final report of a job: OUT/report.pdf"},
    [RECORD_EXPORT] = {"export", "DIR", NULL, "all facts, or those of one job, as a table or as JSON"},
    [RECORD_BACKUP] = {"backup", "DIR", "FILE", "a checked copy, while others may go on recording"},
    [RECORD_VERIFY] = {"verify", "DIR", NULL,
                       "reads everything and says whether anything was changed or lost"},
    [RECORD_REBUILD] = {"rebuild", "DIR", NULL, "works out again what is derived from the facts"},
};

#define ON(verb) (1u << (verb))

struct record_option_row {
    const char *name, *takes; /* takes NULL: no value */
    unsigned verbs;
    const char *help;
};

static const struct record_option_row options[RO_COUNT] = {
    [RO_JOB] = {"--job", "NUMBER", ON(RECORD_EXPORT), "of this job only"},
    [RO_CSV] = {"--csv", NULL, ON(RECORD_EXPORT), "a table for a spreadsheet (usual)"},
    [RO_JSON] = {"--json", NULL, ON(RECORD_EXPORT), "JSON"},
    [RO_PANELS] = {"--panels", "left-1,left-2", ON(RECORD_ADD), "the panels it was done to; none: the job"},
    [RO_THREADS] = {"--threads", "N", ON(RECORD_PLAN), "processors to use, 1 to 64 (usual: all)"},
    [RO_STEPS] = {"--steps", NULL, ON(RECORD_PLAN),
                  "progress as lines `@FRACTION WORDS`, for another program"},
    [RO_PATIENT] = {"--patient", NULL, ON(RECORD_PLAN),
                    "600 s of processor time, not 60, to read a file and to render a page of it"},
    [RO_WITHIN] = {"--within", "DIR", ON(RECORD_PLAN),
                   "refuse a job that names files outside of this folder"},
    [RO_HELP] = {"--help", NULL, ~0u, "this help"},
};

/* The options of this file, then those of an entry's fields. A row without a name: no option. */
static struct record_option_row record_options_row_at(size_t i)
{
    if (i < RO_COUNT) return options[i];
    const struct fact_field *field = &fact_fields[i - RO_COUNT];
    return (struct record_option_row){field->option, field->takes, ON(RECORD_ADD), field->help};
}

static size_t row_count(void)
{
    return RO_COUNT + fact_field_count;
}

static bool is_row_of(const struct record_option_row *row, enum record_verb verb)
{
    bool common = row->verbs == ~0u;
    return row->name && (verb == RECORD_VERB_COUNT ? common : (row->verbs & ON(verb)) != 0);
}

/* ---- reading ---- */

static bool find_verb(const char *name, enum record_verb *verb, struct error *error)
{
    const char *names[RECORD_VERB_COUNT + 1] = {NULL};
    for (int i = 0; i < RECORD_VERB_COUNT; i++) {
        names[i] = verbs[i].name;
        if (strcmp(name, verbs[i].name) != 0) continue;
        *verb = (enum record_verb)i;
        return true;
    }
    const char *near = str_nearest(name, names);
    return error_set(
        error, FAILURE_INPUT, "record-lapstrake-record-help-lists-what",
        ARGUMENTS(arg_words("name", name), arg_words("near", near ? near : ""), arg_flag("near_2", near)));
}

static bool record_options_find_option(const char *name, size_t length, enum record_verb verb, size_t *place,
                                       struct error *error)
{
    const char *names[RO_COUNT + FACT_FIELDS_MOST + 1] = {NULL};
    size_t count = 0;
    for (size_t i = 0; i < row_count(); i++) {
        struct record_option_row row = record_options_row_at(i);
        if (!is_row_of(&row, verb)) continue;
        names[count++] = row.name;
        if (strlen(row.name) != length || memcmp(row.name, name, length) != 0) continue;
        *place = i;
        return true;
    }
    const char *near = str_nearest(name, names), *of = verb == RECORD_VERB_COUNT ? "" : verbs[verb].name;
    return error_set(error, FAILURE_INPUT, "is-not-option-of-record",
                     ARGUMENTS(arg_words("name", name), arg_words("of", of),
                               arg_words("near", near ? near : ""), arg_flag("near_2", near)));
}

/* One option at arguments[*i], as --name value or --name=value; moves *i on. */
static bool record_options_read_option(int count, char **arguments, int *i, struct record_request *request,
                                       struct error *error)
{
    const char *name = arguments[*i], *equals = strchr(name, '=');
    size_t length = equals ? (size_t)(equals - name) : strlen(name), place = 0;
    if (!record_options_find_option(name, length, request->verb, &place, error)) return false;
    struct record_option_row row = record_options_row_at(place);
    const char *value = equals ? equals + 1 : NULL;
    if (!row.takes && value)
        return error_set(error, FAILURE_INPUT, "options-takes-no-value",
                         ARGUMENTS(arg_words("options", row.name)));
    if (row.takes && !value) {
        if (*i + 1 >= count)
            return error_set(error, FAILURE_INPUT, "needs-value-such-as",
                             ARGUMENTS(arg_words("name", name), arg_words("takes", row.takes)));
        value = arguments[++*i];
    }
    *(place < RO_COUNT ? &request->values[place] : &request->fields[place - RO_COUNT]) = value ? value : "";
    return true;
}

static bool is_complete(const struct record_request *request, struct error *error)
{
    if (request->values[RO_HELP]) return true;
    if (request->verb == RECORD_VERB_COUNT)
        return error_set(error, FAILURE_INPUT, "record-say-what-lapstrake-record-help", NULL);
    const struct verb_row *row = &verbs[request->verb];
    if (!request->path || (row->second && !request->second))
        return error_set(error, FAILURE_INPUT, "lapstrake-record-needs-behind-it",
                         ARGUMENTS(arg_words("row", row->name), arg_words("takes", row->takes),
                                   arg_words("second", row->second ? row->second : ""),
                                   arg_flag("second_2", row->second)));
    return true;
}

bool record_options_read(int count, char **arguments, struct record_request *request, struct error *error)
{
    *request = (struct record_request){.verb = RECORD_VERB_COUNT};
    for (int i = 0; i < count; i++) {
        const char *argument = arguments[i];
        if (argument[0] == '-' && argument[1]) {
            if (!record_options_read_option(count, arguments, &i, request, error)) return false;
        } else if (request->verb == RECORD_VERB_COUNT) {
            if (!find_verb(argument, &request->verb, error)) return false;
        } else if (!request->path) {
            request->path = argument;
        } else if (verbs[request->verb].second && !request->second) {
            request->second = argument;
        } else {
            return error_set(error, FAILURE_INPUT, "nothing-more-is-taken-here",
                             ARGUMENTS(arg_words("argument", argument)));
        }
    }
    return is_complete(request, error);
}

/* ---- help ---- */

static void record_options_pad(struct text *out, size_t used, size_t width)
{
    for (; used < width; used++) text_add_char(out, ' ');
    text_add_char(out, ' ');
}

static void help_verb(const struct verb_row *row, struct text *out)
{
    size_t before = out->length;
    text_addf(out, "  lapstrake record %s %s%s%s", row->name, row->takes, row->second ? " " : "",
              row->second ? row->second : "");
    record_options_pad(out, out->length - before, 36);
    text_addf(out, "%s\n", row->help);
}

static void help_kinds(struct text *out)
{
    text_add(out, "\nKIND is one of:\n");
    for (int i = 0; i < FACT_KIND_COUNT; i++) {
        if (i == FACT_PLANNED) continue; /* `record plan` does that */
        text_addf(out, "  %s", fact_kind_name((enum fact_kind)i));
        record_options_pad(out, strlen(fact_kind_name((enum fact_kind)i)), 14);
        text_addf(out, "%s\n", fact_kind_words((enum fact_kind)i));
    }
}

void record_options_help(enum record_verb verb, struct text *out)
{
    if (verb == RECORD_VERB_COUNT) {
        text_add(out,
                 "lapstrake record: what was really done, kept in record.sqlite beside the job folders.\n\n");
        for (int i = 0; i < RECORD_VERB_COUNT; i++) help_verb(&verbs[i], out);
        text_add(out, "\nJOB is a job folder; DIR is the folder that holds them, or a job folder in it.\n");
        return;
    }
    help_verb(&verbs[verb], out);
    text_add_char(out, '\n');
    for (size_t i = 0; i < row_count(); i++) {
        struct record_option_row row = record_options_row_at(i);
        if (!is_row_of(&row, verb)) continue;
        size_t before = out->length;
        text_addf(out, "  %s%s%s", row.name, row.takes ? " " : "", row.takes ? row.takes : "");
        record_options_pad(out, out->length - before, 30);
        text_addf(out, "%s\n", row.help);
    }
    if (verb == RECORD_ADD) help_kinds(out);
}
