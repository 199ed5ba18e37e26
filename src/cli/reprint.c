/* Runs `lapstrake reprint` and says what came of it. Called by main.c; the work is floor/reprint.h. */
#include "reprint.h"
#include "answer/answer.h"
#include "base/arena.h"
#include "base/sentence.h"
#include "base/units.h"
#include "floor/reprint.h"
#include "show.h"
#include <math.h>
#include <string.h>
#include <unistd.h>

bool reprint_do(struct machine *machine, const struct command_line *request, struct run *run,
                struct reprint *reprint, struct error *error)
{
    struct reprint_order order = {.run = request->run,
                                  .reason = request->reason,
                                  .who = request->who,
                                  .patches = request->patches,
                                  .off_record = request->off_record};
    if (!order.reason || !order.reason[strspn(order.reason, " \t\r\n")])
        return error_set(error, FAILURE_INPUT, "reprint-say-why", NULL);
    char key[64];
    format_into(key, sizeof key, "cli-%lld-%d-%lld", (long long)machine->now(machine), (int)getpid(),
                (long long)machine->ticks_ms(machine));
    order.key = key;
    order.run.only = request->asked.second;
    return floor_reprint(machine, &order, run, reprint, error);
}

/* Stops, and what was found in comparing: the rest was said when the job was planned. */
static void reprint_show_findings(const struct run *run, struct text *out)
{
    for (size_t i = 0; i < run->findings.count; i++) {
        const struct finding *f = &run->findings.items[i];
        bool told = f->severity == SEVERITY_STOP || string_equal(f->code, "feed-kept");
        if (told)
            text_addf(out, "%s  %s: %s\n      do: %s\n", f->severity == SEVERITY_STOP ? "STOP" : "note",
                      f->code, f->text, f->remedy);
    }
}

/* Rounded up: what is cut off must not be too short. */
static const char *reprint_film_words(double mm, bool inches, struct arena *arena)
{
    const double mm_per_m = 1000, mm_per_ft = 304.8; /* 1 ft is 0.3048 m exactly */
    double hundredths = ceil(100 * mm / (inches ? mm_per_ft : mm_per_m) - 1e-6);
    return arena_format(arena, "%.2f %s", hundredths / 100, inches ? "ft" : "m");
}

static void reprint_show_roll(const struct run *run, const struct reprint *reprint, struct text *out)
{
    bool inches = run->job->inches;
    const struct stock_roll *roll = reprint->roll;
    if (isnan(reprint->film_mm)) return;
    const char *film = reprint_film_words(reprint->film_mm, inches, out->arena);
    const char *across = units_length_words(reprint->across_mm, inches, out->arena);
    if (!roll) {
        text_say(out, "reprint-film",
                 ARGUMENTS(arg_words("film", film), arg_words("across", across),
                           arg_flag("stock", reprint->has_stock)));
        return;
    }
    bool said = !isnan(roll->left_mm);
    text_say(out, "reprint-on-roll",
             ARGUMENTS(arg_words("roll", roll->name), arg_words("film", film), arg_words("across", across),
                       arg_words("batch", roll->batch ? roll->batch : ""), arg_flag("batch_2", roll->batch),
                       arg_words("left", said ? units_run_words(roll->left_mm, inches, out->arena) : ""),
                       arg_flag("left_2", said)));
}

/* For another program: why nothing was made, a line for each stop. */
static void reprint_show_stops(const struct run *run, struct text *out)
{
    for (size_t i = 0; i < run->findings.count; i++)
        if (run->findings.items[i].severity == SEVERITY_STOP)
            text_addf(out, "%s\n", run->findings.items[i].text);
}

static void reprint_show_words(const struct run *run, const struct command_line *request,
                               const struct reprint *reprint, struct text *out)
{
    reprint_show_findings(run, out);
    if (!reprint->path) {
        text_say(out, "reprint-not-made", ARGUMENTS(arg_words("panel", reprint->was.panel)));
        return;
    }
    text_say(out, "reprint-made",
             ARGUMENTS(arg_words("panel", reprint->was.panel),
                       arg_fixed("feed", reprint->was.feed_percent, 2), arg_flag("same", reprint->same),
                       arg_flag("bytes", reprint->same_bytes)));
    reprint_show_roll(run, reprint, out);
    if (reprint->entry) text_say(out, "reprint-on-record", ARGUMENTS(arg_count("entry", reprint->entry)));
    if (reprint->was.since && !request->off_record)
        text_say(out, "reprint-was-on-record", ARGUMENTS(arg_words("panel", reprint->was.panel)));
    for (size_t i = 0; i < run->written_count; i++) text_addf(out, "written: %s\n", run->written[i]);
}

void reprint_show(const struct run *run, const struct command_line *request, const struct reprint *reprint)
{
    struct text out = text_new(run->arena);
    if (request->json)
        answer_reprint(run, reprint, &out);
    else if (request->steps && request->quiet)
        reprint_show_stops(run, &out);
    else
        reprint_show_words(run, request, reprint, &out);
    show_text(STDOUT_FILENO, &out);
}
