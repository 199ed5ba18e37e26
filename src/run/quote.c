/* Quotes: the date for several vehicles, the quote before, the file for the customer. Called by cli and web. */
#include "run/quote.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/sentence.h"
#include "job/quote_file.h"
#include "plan/calendar.h"
#include "plan/suit.h"
#include "quote/quote.h"
#include "sheet/quote.h"
#include "steps.h"
#include <math.h>

enum { KEPT_MOST = 999 };

/* ---- ink while artwork follows ---- */

/* The same everywhere: a quarter of the usual in each of the four, and never more than the film takes. */
const struct ink_map *step_even_ink(struct run *run, const struct surface *surface)
{
    double percent = run->job->shop->quote.ink_percent.value;
    struct measure limit = surface->condition->ink_limit_percent;
    if (measure_known(limit)) percent = fmin(percent, limit.value);
    struct rect box = surface_bleed_box(surface);
    struct ink_map *map = arena_take(run->arena, sizeof *map);
    *map = (struct ink_map){.box = box,
                            .columns = (size_t)ceil(rect_width(box) / INK_CELL_MM),
                            .rows = (size_t)ceil(rect_height(box) / INK_CELL_MM)};
    uint16_t *cells = arena_take_array(run->arena, map->columns * map->rows, sizeof *cells);
    for (size_t i = 0; i < map->columns * map->rows; i++)
        cells[i] = (uint16_t)lround(percent / INK_CHANNELS * 100);
    for (int i = 0; i < INK_CHANNELS; i++) map->channel[i] = cells;
    return map;
}

/* ---- date ---- */

/* What one vehicle keeps the shop's busiest place for. Identical vehicles follow each other at that pace: of n
 * equal jobs through the same places one after another the last is finished (n - 1) times the longest after the
 * first (permutation flow shop with equal jobs). */
static int64_t busiest_s(const struct plan *plan)
{
    const struct job *job = plan->input->job;
    int64_t print = 0, laminate = 0, trim = 0, bay = 0;
    int crew = job->crew > 0 ? job->crew : job->shop->crew > 0 ? job->shop->crew : 1;
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface_work *work = &plan->surfaces[i].work;
        print += work->print_s, laminate += work->laminate_s, trim += work->trim_s, bay += work->install_s;
    }
    for (size_t i = 0; i < plan->task_count; i++)
        if (plan->tasks[i].kind != TASK_TEST_PRINT && plan->tasks[i].kind != TASK_CHECK)
            bay += plan->tasks[i].seconds;
    int64_t most = (bay + crew - 1) / crew;
    const int64_t others[] = {job_buys_prints(job) ? 0 : print, laminate, trim};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (others[i] > most) most = others[i];
    return most;
}

static bool find_date(const struct run *run, int vehicles, int64_t *finished)
{
    const struct plan *plan = run->plan;
    if (!plan->has_install) return false;
    struct calendar calendar = calendar_of(run->job->shop, run->zone);
    *finished = vehicles == 1
                    ? plan->finished
                    : calendar_work(&calendar, plan->finished, busiest_s(plan) * (vehicles - 1)).end;
    return *finished != CALENDAR_NEVER;
}

static struct quote_lasting *list_lasting(const struct run *run, size_t *count)
{
    struct quote_lasting *list = arena_take_array(run->arena, run->plan->surface_count, sizeof *list);
    *count = 0;
    for (size_t i = 0; i < run->plan->surface_count; i++) {
        const struct surface *surface = run->plan->surfaces[i].surface;
        if (!run->plan->surfaces[i].panel_count) continue;
        struct suit_lasting lasting = suit_lasting_of(surface, run->arena);
        list[(*count)++] = (struct quote_lasting){surface->name, lasting.lying, lasting.years,
                                                  lasting.part,  lasting.name,  lasting.unknown};
    }
    return list;
}

/* ---- the quote before ---- */

static const char *kept_name(const struct run *run, int number)
{
    return arena_format(run->arena, "quote-%d.json", number);
}

static bool is_kept(const struct run *run, int number)
{
    return run->machine->status(run->machine, path_join(run->arena, run->out, kept_name(run, number))).exists;
}

static int kept_count(const struct run *run)
{
    int count = 0;
    while (count < KEPT_MOST && is_kept(run, count + 1)) count++;
    return count;
}

/* A file that is no quote of this program's is kept like one, and not compared with. */
static void compare_with_last(struct run *run, struct quote *quote)
{
    struct quote *last = arena_take(run->arena, sizeof *last);
    const char *path = path_join(run->arena, run->out, "quote.json");
    int kept = kept_count(run);
    bool readable = job_read_quote(run->machine, path, run->arena, last);
    bool same = readable && quote_is_same(quote, last);
    if (readable && !same)
        quote_compare(quote, last, kept_name(run, kept + 1), run->arena);
    else if (same && kept &&
             job_read_quote(run->machine, path_join(run->arena, run->out, kept_name(run, kept)), run->arena,
                            last))
        quote_compare(quote, last, kept_name(run, kept), run->arena);
}

bool run_quote(struct run *run, struct quote *quote, struct error *error)
{
    struct quote_input input = {.plan = run->plan,
                                .vehicles =
                                    run->options.vehicles ? (int)run->options.vehicles : run->job->vehicles,
                                .made = run->options.now};
    input.has_date = find_date(run, input.vehicles, &input.finished);
    input.lasting = list_lasting(run, &input.lasting_count);
    if (!quote_make(&input, run->arena, quote, error)) return false;
    compare_with_last(run, quote);
    return true;
}

/* ---- files ---- */

/* Whether OUT/quote.json says something else than this quote. */
static bool last_differs(struct run *run, const struct quote *quote)
{
    struct quote last;
    const char *path = path_join(run->arena, run->out, "quote.json");
    if (!run->machine->status(run->machine, path).exists) return false;
    return !job_read_quote(run->machine, path, run->arena, &last) || !quote_is_same(quote, &last);
}

static bool keep_last(struct run *run, struct error *error)
{
    int kept = kept_count(run);
    if (kept == KEPT_MOST)
        return error_set(error, FAILURE_INPUT, "quotes-too-many",
                         ARGUMENTS(arg_words("out", run->out), arg_count("most", KEPT_MOST)));
    const char *from = path_join(run->arena, run->out, "quote.json"),
               *to = path_join(run->arena, run->out, kept_name(run, kept + 1));
    if (!run->machine->move_file(run->machine, from, to, error)) return false;
    step_written(run, to);
    return true;
}

bool run_write_quote(struct run *run, const struct quote *quote, struct error *error)
{
    const char *path = path_join(run->arena, run->out, "quote.pdf"),
               *shop = path_join(run->arena, run->out, "quote-shop.pdf");
    const struct picture **previews = arena_take_array(run->arena, run->surface_count, sizeof *previews);
    for (size_t i = 0; i < run->surface_count; i++) previews[i] = run->surfaces[i].preview;
    struct sheet_options options = {.date = run->options.date,
                                    .inches = run->job->inches,
                                    .version = LAPSTRAKE_VERSION,
                                    .previews = previews};
    if (!quote_write(run->plan, quote, &options, run->machine, path, run->arena, error)) return false;
    step_written(run, path);
    if (!quote_write_shop(run->plan, quote, &options, run->machine, shop, run->arena, error)) return false;
    step_written(run, shop);
    return !last_differs(run, quote) || keep_last(run, error);
}
