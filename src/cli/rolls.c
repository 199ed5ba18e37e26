/* Runs `lapstrake rolls ...`: writes what floor laid, and says it in words. Called by main.c. */
#include "rolls.h"
#include "answer/answer.h"
#include "base/path.h"
#include "base/pool.h"
#include "base/sentence.h"
#include "base/units.h"
#include "floor/floor.h"
#include "show.h"
#include <math.h>
#include <unistd.h>

enum { DONE = 0, STOPPED = 1, FAILED = -1 };

static double metres(double mm)
{
    return mm / 1000;
}

static const char *minor_amount(money_minor amount, struct arena *arena)
{
    struct text text = text_new(arena);
    text_add_fixed(&text, (double)amount / 100, 2);
    return text_string(&text);
}

static const char *price_words(money_minor amount, const char *currency, struct arena *arena)
{
    return sentence_words(
        arena, "rolls-price",
        ARGUMENTS(arg_words("cost", minor_amount(amount, arena)), arg_words("currency", currency)));
}

static const char *batch_words(const char *batch, struct arena *arena)
{
    return batch ? sentence_words(arena, "rolls-batch", ARGUMENTS(arg_words("batch", batch))) : "";
}

/* Of the first one the panel's name says enough. */
static const char *vehicle_words(size_t vehicle, struct arena *arena)
{
    return vehicle > 1
               ? sentence_words(arena, "rolls-of-vehicle", ARGUMENTS(arg_count("vehicle", (int64_t)vehicle)))
               : "";
}

/* ---- what lies where ---- */

static void say_roll(const struct laid_roll *roll, struct text *out)
{
    text_say(out, "rolls-roll",
             ARGUMENTS(arg_words("name", roll->name), arg_words("film", roll->film->name),
                       arg_number("width_mm", roll->width_mm),
                       arg_words("batch", batch_words(roll->batch, out->arena)),
                       arg_fixed("used_m", metres(roll->used_mm), 2),
                       arg_fixed("length_m", metres(roll->length_mm), 2),
                       arg_count("prints", (int64_t)roll->print_count)));
}

static void say_laminate(const struct roll_layout *layout, const struct laid_laminate *run, struct text *out)
{
    text_say(out, "rolls-laminate",
             ARGUMENTS(arg_words("name", run->name), arg_words("laminate", run->laminate->name),
                       arg_number("width_mm", run->width_mm),
                       arg_words("batch", batch_words(run->batch, out->arena)),
                       arg_fixed("run_m", metres(run->to_mm - run->from_mm), 2),
                       arg_words("over", layout->rolls[run->roll].name)));
}

static void say_left_out(const struct roll_left_out *print, struct text *out)
{
    const struct plan *plan = print->plan;
    text_say(out, "rolls-left-out",
             ARGUMENTS(arg_words("job", plan->input->job->number),
                       arg_words("panel", plan->surfaces[print->surface].panels[print->panel].id),
                       arg_words("vehicle", vehicle_words(print->vehicle, out->arena)),
                       arg_words("why", print->why)));
}

/* Of prints that may not be turned. */
static bool turning_is_barred(const struct floor_rolls *rolls)
{
    for (size_t i = 0; i < rolls->run_count; i++)
        if (!rolls->runs[i].job->turning) return true;
    return false;
}

static void say_lengths(const struct floor_rolls *rolls, struct text *out)
{
    const struct roll_layout *layout = &rolls->layout;
    const double shown_mm = 5; /* what shows in figures to 0.01 m */
    if (!layout->roll_count) return;
    text_say(out, "rolls-bound",
             ARGUMENTS(arg_fixed("used_m", metres(layout->used_mm), 2),
                       arg_fixed("lower_m", metres(layout->lower_mm), 2),
                       arg_fixed("percent", 100 * (1 - layout->lower_mm / layout->used_mm), 1)));
    if (layout->cut_short) text_add(out, sentence_plain("rolls-cut-short"));
    if (layout->together_cost_mm >= shown_mm)
        text_say(out, "rolls-together",
                 ARGUMENTS(arg_fixed("together_m", metres(layout->together_cost_mm), 2)));
    if (layout->turning_cost_mm >= shown_mm)
        text_say(out, "rolls-turning",
                 ARGUMENTS(arg_fixed("turning_m", metres(layout->turning_cost_mm), 2),
                           arg_flag("is_barred", turning_is_barred(rolls))));
}

/* The folder that has the record: where what is left over goes back into stock. */
static void say_off_cuts(const struct floor_rolls *rolls, struct text *out)
{
    const struct roll_layout *layout = &rolls->layout;
    if (layout->off_cut_count) text_add(out, sentence_plain("rolls-off-cuts-head"));
    for (size_t i = 0; i < layout->off_cut_count; i++) {
        const struct off_cut *cut = &layout->off_cuts[i];
        const struct laid_roll *roll = &layout->rolls[cut->roll];
        text_say(out, roll->is_new ? "rolls-off-cut-new" : "rolls-off-cut",
                 ARGUMENTS(arg_words("name", cut->name), arg_number("width_mm", floor(cut->width_mm)),
                           arg_number("length_mm", floor(cut->length_mm)),
                           arg_words("film", roll->film->name), arg_words("from", roll->name),
                           arg_words("folder", rolls->runs[0].options.job)));
    }
}

/* ---- material ---- */

static const char *material_amount(const struct roll_material *line, struct arena *arena)
{
    struct text text = text_new(arena);
    bool length = string_equal(line->unit, "mm");
    text_add_fixed(&text, length ? metres(line->amount) : line->amount, length ? 2 : 1);
    text_addf(&text, " %s", length ? "m" : line->unit);
    return text_string(&text);
}

static void say_materials(const struct floor_rolls *rolls, struct text *out)
{
    const struct roll_layout *layout = &rolls->layout;
    if (layout->material_count) text_add(out, sentence_plain("rolls-material-head"));
    for (size_t i = 0; i < layout->material_count; i++) {
        const struct roll_material *line = &layout->materials[i];
        text_addf(out, "    %s%s%s", line->what, line->name ? " " : "", line->name ? line->name : "");
        if (line->width_mm > 0)
            text_say(out, "rolls-wide", ARGUMENTS(arg_number("width_mm", line->width_mm)));
        text_addf(out, ": %s", material_amount(line, out->arena));
        if (line->in_stock > 0)
            text_say(out, "rolls-in-stock", ARGUMENTS(arg_fixed("stock_m", metres(line->in_stock), 2)));
        text_add_char(out, '\n');
    }
}

static void say_buy_head(const struct floor_rolls *rolls, struct text *out)
{
    double waste = rolls->runs[0].job->shop->waste_percent;
    text_say(out, waste > 0 ? "rolls-buy-head-waste" : "rolls-buy-head",
             ARGUMENTS(arg_number("percent", waste)));
}

static void say_purchases(const struct floor_rolls *rolls, struct text *out)
{
    const struct roll_layout *layout = &rolls->layout;
    const char *currency = rolls->runs[0].job->shop->currency;
    bool any = false;
    for (size_t i = 0; i < layout->material_count; i++) {
        const struct roll_material *line = &layout->materials[i];
        if (!line->rolls) continue;
        if (!any) say_buy_head(rolls, out);
        text_say(
            out, "rolls-buy",
            ARGUMENTS(arg_count("rolls", (int64_t)line->rolls), arg_words("name", line->name),
                      arg_number("width_mm", line->width_mm),
                      arg_number("length_m", metres(line->film->length_mm)),
                      arg_words("price", line->missing ? sentence_plain("rolls-no-price")
                                                       : price_words(line->cost, currency, out->arena))));
        any = true;
    }
    if (any)
        text_say(out, "rolls-cash",
                 ARGUMENTS(arg_words("price", price_words(layout->cash, currency, out->arena))));
    else
        text_add(out, sentence_plain("rolls-buy-none"));
}

static void say_saving(const struct floor_rolls *rolls, struct text *out)
{
    const struct roll_saving *saving = &rolls->layout.saving;
    if (!saving->known) return;
    double vehicles = (double)saving->vehicles;
    money_minor saved = (saving->singly_cost - saving->together_cost) / (money_minor)saving->vehicles;
    text_say(out, "rolls-saving",
             ARGUMENTS(arg_count("vehicles", (int64_t)saving->vehicles),
                       arg_fixed("together_m", metres(saving->together_mm), 2),
                       arg_count("together_rolls", (int64_t)saving->together_rolls),
                       arg_words("together_cost", minor_amount(saving->together_cost, out->arena)),
                       arg_fixed("singly_m", metres(saving->singly_mm), 2),
                       arg_count("singly_rolls", (int64_t)saving->singly_rolls),
                       arg_words("singly_cost", minor_amount(saving->singly_cost, out->arena)),
                       arg_fixed("saved_m", metres(saving->singly_mm - saving->together_mm) / vehicles, 2),
                       arg_words("saved_cost", minor_amount(saved, out->arena)),
                       arg_words("currency", rolls->runs[0].job->shop->currency)));
}

/* ---- all of it ---- */

static void say_stops(const struct floor_rolls *rolls, struct text *out)
{
    for (size_t i = 0; i < rolls->run_count; i++) {
        size_t stops = findings_of_severity(&rolls->runs[i].findings, SEVERITY_STOP);
        if (stops)
            text_say(out, "rolls-job-stops",
                     ARGUMENTS(arg_words("job", rolls->runs[i].job->number),
                               arg_count("stops", (int64_t)stops),
                               arg_words("folder", rolls->runs[i].options.job)));
    }
}

static void say_layout(const struct floor_rolls *rolls, struct text *out)
{
    const struct roll_layout *layout = &rolls->layout;
    say_stops(rolls, out);
    show_findings(&layout->findings, out);
    for (size_t i = 0; i < layout->roll_count; i++) say_roll(&layout->rolls[i], out);
    for (size_t i = 0; i < layout->laminate_count; i++) say_laminate(layout, &layout->laminates[i], out);
    for (size_t i = 0; i < layout->left_out_count; i++) say_left_out(&layout->left_out[i], out);
    say_lengths(rolls, out);
    say_off_cuts(rolls, out);
    say_materials(rolls, out);
    say_purchases(rolls, out);
    say_saving(rolls, out);
}

static void show_rolls(const struct floor_rolls *rolls, const struct command_line *request,
                       const struct text *json)
{
    struct text words = text_new(rolls->arena);
    say_layout(rolls, &words);
    const char *said = text_string(&words);
    struct text out = text_new(rolls->arena);
    text_add(&out, rolls->runs[0].job->inches ? units_in_inches(said, rolls->arena) : said);
    if (!request->quiet)
        text_say(&out, "rolls-written",
                 ARGUMENTS(arg_words("path", path_join(rolls->arena, rolls->out, "rolls.json"))));
    show_text(STDOUT_FILENO, request->json ? json : &out);
}

int rolls_command(struct machine *machine, const struct command_line *request, struct error *error)
{
    struct run_options run = request->run;
    if (!run.threads) run.threads = pool_processors();
    struct floor_rolls_options options = {.jobs = request->asked.subjects,
                                          .job_count = request->asked.subject_count,
                                          .vehicles = (size_t)request->run.vehicles,
                                          .seconds = request->seconds,
                                          .seed = (uint64_t)request->seed,
                                          .run = &run};
    struct floor_rolls rolls;
    int status = FAILED;
    if (floor_lay_rolls(machine, &options, &rolls, error)) {
        struct text json = text_new(rolls.arena);
        answer_rolls(&rolls.layout, &json);
        if (floor_write_rolls(&rolls, (struct str){text_string(&json), json.length}, error)) {
            show_rolls(&rolls, request, &json);
            status = floor_rolls_may_print(&rolls) ? DONE : STOPPED;
        }
    }
    floor_close_rolls(&rolls);
    return status;
}
