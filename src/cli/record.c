/* Runs `lapstrake record ...`: adds entries, shows panels and stock, keeps plans, reports, exports, backs
 * up. Called by main.c; gates and the record itself are behind floor/floor.h. */
#include "record.h"
#include "floor/floor.h"
#include "run/run.h"
#include "answer/answer.h"
#include "base/sentence.h"
#include "base/path.h"
#include "base/pool.h"
#include "base/reader.h"
#include "base/units.h"
#include "record_commands.h"
#include "show.h"
#include "model/practice.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { DONE = 0, SHUT = 1, FAILED = -1 };

/* One command as it runs. */
struct entry_recording {
    struct machine *machine;
    const struct record_request *request;
    const struct cancel *cancel;
    int64_t date; /* of files, and the moment that a plan counts from */
    struct arena *arena;
    struct floor *floor;
    const char *number; /* of the job that the path names; NULL: the folder of all */
    struct error *error;
};

static bool need_job(const struct entry_recording *r)
{
    return r->number || error_set(r->error, FAILURE_INPUT, "is-not-job-folder-name-one",
                                  ARGUMENTS(arg_words("path", r->request->asked.subject)));
}

/* ---- add ---- */

/* A picture goes into the record first; the fact then names it. */
static bool take_photo(const struct entry_recording *r, const char *path, struct fact *fact)
{
    struct str bytes;
    char name[65];
    if (!machine_read(r->machine, path, FACT_PHOTO_BYTES_MOST, r->arena, &bytes, r->error) ||
        !floor_add_photo(r->floor, bytes, name, r->error))
        return false;
    fact->photo = arena_copy_string(r->arena, name);
    return true;
}

static bool take_field(const struct entry_recording *r, const struct fact_field *field, const char *written,
                       struct fact *fact)
{
    if (field->form == FACT_FORM_TIME) return floor_read_time(r->floor, written, &fact->at, r->error);
    if (field->form == FACT_FORM_DIGEST) return take_photo(r, written, fact);
    return fact_field_read(fact, field, written, r->arena, r->error);
}

/* Unlike any other on this machine: of the moment and the process. */
static const char *new_key(const struct entry_recording *r)
{
    return arena_format(r->arena, "cli-%lld-%d-%lld", (long long)r->machine->now(r->machine), (int)getpid(),
                        (long long)r->machine->ticks_ms(r->machine));
}

static bool fill_fact(const struct entry_recording *r, struct fact *fact)
{
    enum fact_kind kind;
    if (!fact_kind_from(r->request->asked.second, &kind) || kind == FACT_PLANNED)
        return error_set(r->error, FAILURE_INPUT, "is-not-kind-of-entry-lapstrake",
                         ARGUMENTS(arg_words("second", r->request->asked.second)));
    *fact = fact_blank(kind);
    fact->key = new_key(r);
    fact->job = r->number, fact->device = "command line";
    for (size_t i = 0; i < fact_field_count; i++) {
        const char *written = r->request->fields[i];
        if (written && !take_field(r, &fact_fields[i], written, fact)) return false;
    }
    return true;
}

/* Parted by commas, blanks around them left off. */
static const char **split_panels(const struct entry_recording *r, size_t *count)
{
    const char *rest = r->request->panels ? r->request->panels : "";
    const char **panels = arena_take_array(r->arena, strlen(rest) + 1, sizeof *panels);
    *count = 0;
    while (*rest) {
        size_t length = strcspn(rest, ",");
        struct str name = str_trim((struct str){rest, length});
        panels[(*count)++] = arena_copy(r->arena, name.bytes, name.length);
        rest += length + (rest[length] == ',');
    }
    return panels;
}

static int cli_record_add(const struct entry_recording *r)
{
    struct fact fact;
    struct floor_answer answer;
    size_t count;
    if (!fill_fact(r, &fact)) return FAILED;
    const char **panels = split_panels(r, &count);
    if (!floor_put(r->floor, &fact, panels, count, r->arena, &answer, r->error)) return FAILED;
    if (!answer.count) {
        show_line(STDERR_FILENO, "lapstrake: ",
                  sentence_words(r->arena, "nothing-was-put-on-record",
                                 ARGUMENTS(arg_words("panel", answer.gate_panel ? answer.gate_panel : ""),
                                           arg_words("why", answer.gate.why),
                                           arg_flag("panel_2", answer.gate_panel),
                                           arg_flag("may_override", answer.gate.may_override))));
        return SHUT;
    }
    if (answer.roll) show_line(STDOUT_FILENO, "roll: ", answer.roll);
    for (int64_t i = 0; i < answer.count; i++)
        show_line(STDOUT_FILENO,
                  "on record: ", arena_format(r->arena, "%lld", (long long)answer.first + (long long)i));
    return DONE;
}

/* ---- show ---- */

static void add_length(const struct entry_recording *r, const struct length_check *length, struct text *out)
{
    bool inches = floor_inches(r->floor, r->number);
    text_addf(out, ", %s %s", units_length_words(fabs(length->miss_mm), inches, r->arena),
              length->miss_mm < 0 ? "short" : "long");
    if (!length->within)
        text_say(
            out, "more-than-feed-mends-reprint",
            ARGUMENTS(arg_words("units_length",
                                units_length_words(practice_value("meet-tolerance").value, inches, r->arena)),
                      arg_fixed("feed_percent", length->feed_percent, 2)));
}

static void show_panel(const struct entry_recording *r, const struct floor_panel *panel, struct text *out)
{
    const struct panel_state *s = &panel->state;
    const struct {
        const char *what;
        int64_t at;
    } steps[] = {{"printed", s->printed},     {"hung", s->hung},       {"dry check", s->dry_checked},
                 {"laminated", s->laminated}, {"trimmed", s->trimmed}, {"installed", s->installed}};
    text_addf(out, "%s", panel->terms.panel);
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (steps[i].at)
            text_addf(out, ", %s %s", steps[i].what, zone_words(floor_zone(r->floor), steps[i].at, r->arena));
    if (s->reprints)
        text_say(out, "printed-again-reprints-time-reprints", ARGUMENTS(arg_count("reprints", s->reprints)));
    if (s->overrides)
        text_say(out, "gate-passed-with-reason", ARGUMENTS(arg_count("overrides", (int64_t)s->overrides)));
    if (!isnan(panel->length.miss_mm)) add_length(r, &panel->length, out);
    if (panel->next.kind != FACT_KIND_COUNT)
        text_addf(out, "\n    next: %s (%s)", fact_kind_words(panel->next.kind), panel->next.why.words);
    text_add_char(out, '\n');
}

static int record_show(const struct entry_recording *r)
{
    struct planned_job job;
    if (!need_job(r)) return FAILED;
    if (!floor_job(r->floor, r->number, r->machine->now(r->machine), r->arena, &job, r->error)) return FAILED;
    struct text out = text_new(r->arena);
    if (!job.planned)
        text_say(&out, "record-no-plan",
                 ARGUMENTS(arg_words("job", r->number), arg_words("folder", r->request->asked.subject)));
    else
        text_addf(&out, "%s, plan version %lld. %s\n", r->number, (long long)job.terms.version,
                  job.terms.decides ? job.terms.decides : "");
    for (size_t i = 0; job.planned && i < job.terms.panel_count; i++) show_panel(r, &job.panels[i], &out);
    show_text(STDOUT_FILENO, &out);
    return DONE;
}

/* ---- plan, report, export, care ---- */

/* The job's latest version on record; version 0: there is none. */
static bool terms_of(const struct entry_recording *r, struct job_terms *terms)
{
    struct planned_job job;
    if (!floor_job(r->floor, r->number, r->machine->now(r->machine), r->arena, &job, r->error)) return false;
    *terms = job.terms;
    return true;
}

static const char *counted(const struct entry_recording *r, size_t count, const char *one)
{
    return arena_format(r->arena, "%zu %s%s", count, one, count == 1 ? "" : "s");
}

/* What was kept, and whether it is another than before. */
static void show_version(const struct entry_recording *r, const struct job_terms *before,
                         const struct job_terms *after, struct text *out)
{
    text_addf(out, "%s: plan version %lld %s. ", after->job, (long long)after->version,
              after->version == before->version ? "stays, nothing changed" : "is on record");
    if (after->has_install)
        text_addf(out, "Finished %s. ", zone_words(floor_zone(r->floor), after->finished, r->arena));
    text_addf(out, "%s, %s, %s.\n", counted(r, after->stops, "stop"), counted(r, after->warnings, "warning"),
              counted(r, after->notes, "note"));
}

static bool plan_and_keep(const struct entry_recording *r, const struct run_options *options)
{
    struct run run;
    struct str json;
    if (!floor_plan(r->floor, r->number, options, r->arena, &run, r->error)) return false;
    bool ok = answer_write_plan(&run, &json, r->error) && run_write_pictures(&run, r->error) &&
              floor_keep_plan(r->floor, &run, json, r->error);
    run_close(&run);
    return ok;
}

static int plan(const struct entry_recording *r)
{
    struct show_progress shown = {.fd = STDERR_FILENO};
    struct progress progress = {&shown, show_progress}, lines = {NULL, show_progress_line};
    struct run_options options = {
        .threads = pool_processors(), .cancel = r->cancel, .packing = PACKING_LZW, .now = r->date};
    if (!need_job(r)) return FAILED;
    if (r->request->threads) options.threads = r->request->threads;
    if (isatty(STDERR_FILENO)) options.progress = &progress;
    if (r->request->steps) options.progress = &lines;
    struct job_terms before = {0}, after = {0};
    bool ok = terms_of(r, &before) && plan_and_keep(r, &options) && terms_of(r, &after);
    show_progress_end(&shown);
    if (!ok) return FAILED;
    struct text out = text_new(r->arena);
    show_version(r, &before, &after, &out);
    show_text(STDOUT_FILENO, &out);
    return after.stops ? SHUT : DONE;
}

static void show_roll(const struct entry_recording *r, const struct stock_roll *roll, struct text *out)
{
    text_addf(out, "%s  %s %s", roll->name, roll->what, roll->of);
    bool inches = floor_inches(r->floor, NULL);
    if (roll->width_mm > 0) text_addf(out, ", %s wide", units_length_words(roll->width_mm, inches, r->arena));
    if (roll->batch) text_addf(out, ", batch %s", roll->batch);
    if (!isnan(roll->left_mm))
        text_addf(out, ", %s of %s left", units_run_words(roll->left_mm, inches, r->arena),
                  units_run_words(roll->length_mm, inches, r->arena));
    if (roll->panels)
        text_say(out, "panels-panel-panels-on-it", ARGUMENTS(arg_count("panels", (int64_t)roll->panels)));
    if (roll->cut_from) text_say(out, "stock-cut-from", ARGUMENTS(arg_words("roll", roll->cut_from)));
    text_addf(out, ", in since %s\n", zone_words(floor_zone(r->floor), roll->in, r->arena));
}

static int stock(const struct entry_recording *r)
{
    struct stock_roll *rolls;
    size_t count, here = 0;
    if (!floor_stock(r->floor, r->arena, &rolls, &count, r->error)) return FAILED;
    struct text out = text_new(r->arena);
    for (size_t i = 0; i < count; i++) {
        if (rolls[i].out) continue;
        show_roll(r, &rolls[i], &out);
        here++;
    }
    if (!here) text_add(&out, sentence_plain("no-roll-is-in-stock-n"));
    show_text(STDOUT_FILENO, &out);
    return DONE;
}

static int export(const struct entry_recording *r)
{
    struct text out = text_new(r->arena);
    struct fact *facts;
    size_t count;
    const char *job = r->request->job ? r->request->job : r->number;
    if (!floor_facts(r->floor, job, NULL, r->arena, &facts, &count, r->error)) return FAILED;
    if (r->request->json)
        answer_facts(facts, count, floor_zone(r->floor), &out);
    else
        answer_facts_csv(facts, count, floor_zone(r->floor), &out);
    show_text(STDOUT_FILENO, &out);
    return DONE;
}

static int report(const struct entry_recording *r)
{
    const char *path;
    if (!need_job(r)) return FAILED;
    if (!floor_report(r->floor, r->number, r->date, r->arena, &path, r->error)) return FAILED;
    show_line(STDOUT_FILENO, "written: ", path);
    return DONE;
}

static int back_up(const struct entry_recording *r)
{
    if (!floor_backup(r->floor, r->request->asked.second, r->error)) return FAILED;
    show_line(STDOUT_FILENO, "Copied and checked: ", r->request->asked.second);
    return DONE;
}

static int cli_record_verify(const struct entry_recording *r)
{
    struct report report = report_new(r->arena);
    size_t facts = 0;
    if (!floor_verify(r->machine, r->request->asked.subject, &report, &facts, r->error)) return FAILED;
    if (report.errors) {
        show_report(&report, STDERR_FILENO);
        return SHUT;
    }
    show_line(STDOUT_FILENO, "",
              sentence_words(r->arena, "record-is-whole-fact-nothing-changed",
                             ARGUMENTS(arg_count("entries", (int64_t)facts))));
    return DONE;
}

static int rebuild(const struct entry_recording *r)
{
    if (!floor_rebuild(r->floor, r->error)) return FAILED;
    show_line(STDOUT_FILENO, "", sentence_plain("what-is-derived-from-facts-was"));
    return DONE;
}

static enum record_verb verb(const struct entry_recording *r)
{
    return (enum record_verb)r->request->asked.command;
}

static int record_go(const struct entry_recording *r)
{
    switch (verb(r)) {
    case RECORD_SHOW:
        return record_show(r);
    case RECORD_ADD:
        return cli_record_add(r);
    case RECORD_PLAN:
        return plan(r);
    case RECORD_STOCK:
        return stock(r);
    case RECORD_REPORT:
        return report(r);
    case RECORD_EXPORT:
        return export(r);
    case RECORD_BACKUP:
        return back_up(r);
    case RECORD_VERIFY:
        return cli_record_verify(r);
    case RECORD_REBUILD:
        return rebuild(r);
    case RECORD_VERB_COUNT: /* never past record_commands_read */
        break;
    }
    abort();
}

static bool writes(const struct entry_recording *r)
{
    return verb(r) == RECORD_ADD || verb(r) == RECORD_PLAN || verb(r) == RECORD_REBUILD;
}

static int on_floor(struct entry_recording *r)
{
    if (verb(r) == RECORD_VERIFY) return record_go(r); /* of a copy as well, which no floor is opened for */
    const char *within = r->request->within;
    if (r->request->patient) r->machine->reader_seconds = READER_PATIENT;
    if (within) r->machine->within = path_full(r->arena, within);
    if (!floor_open_at(r->machine, r->request->asked.subject, writes(r), r->arena, &r->floor, &r->number,
                       r->error))
        return FAILED;
    int status = record_go(r);
    floor_close(r->floor);
    return status;
}

int record_command(struct machine *machine, int count, char **arguments, int64_t date,
                   const struct cancel *cancel, struct error *error)
{
    struct record_request request;
    if (!record_commands_read(count, arguments, &request, error)) return FAILED;
    struct arena *arena = arena_new(machine);
    struct entry_recording recording = {machine, &request,      cancel, date ? date : machine->now(machine),
                                        arena,   .error = error};
    int status = DONE;
    if (request.asked.help) {
        struct text out = text_new(arena);
        record_commands_help(request.asked.command, &out);
        show_text(STDOUT_FILENO, &out);
    } else {
        status = on_floor(&recording);
    }
    arena_free(arena);
    return status;
}
