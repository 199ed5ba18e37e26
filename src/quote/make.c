/* The quote as a whole, and its lines of printing, installing and the job's own. Called by run. */
#include "base/arena.h"
#include "inner.h"
#include <math.h>

static const double HOUR_S = 3600;

/* ---- work by area ---- */

static double work_hours(const struct draft *draft, int64_t (*seconds)(const struct surface_work *))
{
    double sum = 0;
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        if (area_counts(surface)) sum += (double)seconds(&surface->work) * area_share(draft, surface);
    }
    return sum / HOUR_S * draft->input->vehicles;
}

static int64_t print_seconds(const struct surface_work *work)
{
    return work->print_s;
}

static int64_t laminate_seconds(const struct surface_work *work)
{
    return work->laminate_s;
}

static int64_t trim_seconds(const struct surface_work *work)
{
    return work->trim_s;
}

struct work_price {
    const char *id, *what;
    enum quote_kind kind;
    money_micro per_hour;
    const char *key;
};

static void add_work(struct draft *draft, const struct work_price *price, double hours)
{
    double area = hours > 0 ? areas_covered_m2(draft) * draft->input->vehicles : 0;
    draft_add(draft, &(struct quote_item){
                         .id = price->id,
                         .what = price->what,
                         .kind = price->kind,
                         .charge = &draft->shop->quote.charges[price->kind],
                         .amounts = {[UNIT_HOUR] = hours, [UNIT_M2] = area},
                         .cost_amount = hours,
                         .cost_rate = price->per_hour,
                         .cost_key = price->key,
                         .basis = areas_words(draft),
                         .estimated = areas_are_estimated(draft),
                     });
}

static double tasks_hours(const struct draft *draft, enum task_kind kind)
{
    double sum = 0;
    for (size_t i = 0; i < draft->plan->task_count; i++)
        if (draft->plan->tasks[i].kind == kind) sum += (double)draft->plan->tasks[i].seconds;
    return sum / HOUR_S;
}

/* One for each printing condition, however many vehicles; charged by the hour even where printing is by area. */
static void add_test_print(struct draft *draft)
{
    static const struct charge none = {0};
    const struct charge *charge = &draft->shop->quote.charges[QUOTE_PRINT];
    double hours = tasks_hours(draft, TASK_TEST_PRINT);
    bool by_hour = charge->written && (charge->included || charge->unit == UNIT_HOUR);
    draft_add(draft, &(struct quote_item){
                         .id = "print/test",
                         .what = sentence_plain("quote-test-print"),
                         .kind = QUOTE_PRINT,
                         .charge = by_hour ? charge : &none,
                         .amounts = {[UNIT_HOUR] = hours},
                         .cost_amount = hours,
                         .cost_rate = draft->shop->print_per_h,
                         .cost_key = "rates: print",
                         .basis = sentence_plain("quote-basis-test-print"),
                     });
}

static void add_printing(struct draft *draft)
{
    const struct shop *shop = draft->shop;
    bool bought = job_buys_prints(draft->job);
    if (!bought) {
        struct work_price print = {"print", sentence_plain("quote-printing"), QUOTE_PRINT, shop->print_per_h,
                                   "rates: print"};
        add_work(draft, &print, work_hours(draft, print_seconds));
        add_test_print(draft);
    }
    struct work_price laminate = {"laminating", sentence_plain("quote-laminating"), QUOTE_LAMINATING,
                                  shop->laminate_per_h, "rates: laminate"};
    if (!bought || draft->job->supply.prints_only)
        add_work(draft, &laminate, work_hours(draft, laminate_seconds));
    struct work_price trim = {"trim", sentence_plain("quote-trimming"), QUOTE_TRIM, shop->laminate_per_h,
                              "rates: laminate"};
    add_work(draft, &trim, work_hours(draft, trim_seconds));
}

/* ---- at the vehicle ---- */

static const char *install_basis(const struct draft *draft, const struct surface_plan *plan,
                                 const struct surface_difficulty *difficulty)
{
    const struct surface *surface = plan->surface;
    double share = area_share(draft, plan);
    const char *why = difficulty_words(surface, draft->arena);
    struct text words = text_new(draft->arena);
    text_say(&words, "quote-basis-surface",
             ARGUMENTS(arg_fixed("area_m2", surface->area_m2, 2),
                       arg_words("sort", surface_sort_names[difficulty->sort])));
    if (share < 1) text_say(&words, "quote-basis-covered", ARGUMENTS(arg_number("percent", share * 100)));
    if (*why)
        text_say(&words, "quote-basis-difficulty",
                 ARGUMENTS(arg_number("percent", difficulty->percent), arg_words("why", why)));
    text_add(&words, vehicles_words(draft));
    return text_string(&words);
}

/* By the plan's hours, which have the difficulty in them, or by area at a rate that has it. */
static void add_install(struct draft *draft, const struct surface_plan *plan)
{
    const struct surface *surface = plan->surface;
    struct surface_difficulty difficulty = difficulty_of(surface);
    double share = area_share(draft, plan) * draft->input->vehicles;
    double hours = (double)plan->work.install_s / HOUR_S * share;
    if (!area_counts(plan)) return;
    draft_add(draft, &(struct quote_item){
                         .id = arena_format(draft->arena, "install/%s", surface->id),
                         .what = sentence_words(draft->arena, "quote-install",
                                                ARGUMENTS(arg_words("surface", surface->name))),
                         .kind = QUOTE_INSTALL,
                         .charge = &draft->shop->quote.install[difficulty.sort],
                         .amounts = {[UNIT_HOUR] = hours, [UNIT_M2] = surface->area_m2 * share},
                         .difficulty_percent = difficulty.percent,
                         .cost_amount = hours,
                         .cost_rate = draft->shop->install_per_h,
                         .cost_key = "rates: install",
                         .basis = install_basis(draft, plan, &difficulty),
                         .estimated = area_is_estimated(draft, plan),
                     });
}

static void add_finish(struct draft *draft)
{
    double vehicles = draft->input->vehicles;
    double hours = tasks_hours(draft, TASK_POST_HEAT) + tasks_hours(draft, TASK_EDGE_SEAL) +
                   tasks_hours(draft, TASK_CHECK);
    draft_add(draft, &(struct quote_item){
                         .id = "finish",
                         .what = sentence_plain("quote-finish"),
                         .kind = QUOTE_FINISH,
                         .charge = &draft->shop->quote.charges[QUOTE_FINISH],
                         .amounts = {[UNIT_HOUR] = hours * vehicles,
                                     [UNIT_M2] = areas_covered_m2(draft) * vehicles,
                                     [UNIT_VEHICLE] = vehicles},
                         .cost_amount = hours * vehicles,
                         .cost_rate = draft->shop->install_per_h,
                         .cost_key = "rates: install",
                         .basis = areas_words(draft),
                     });
}

static void add_travel(struct draft *draft)
{
    double km = draft->job->quote.travel_km;
    if (km <= 0) {
        draft_excludes(draft, sentence_plain("quote-without-travel"));
        return;
    }
    draft_add(draft, &(struct quote_item){
                         .id = "travel",
                         .what = sentence_plain("quote-travel"),
                         .kind = QUOTE_TRAVEL,
                         .charge = &draft->shop->quote.charges[QUOTE_TRAVEL],
                         .amounts = {[UNIT_KM] = km, [UNIT_VEHICLE] = draft->input->vehicles, [UNIT_JOB] = 1},
                         .cost_unit = UNIT_KM,
                         .cost_amount = km,
                         .cost_rate = PRICE_UNSAID,
                         .basis = sentence_words(draft->arena, "quote-basis-travel",
                                                 ARGUMENTS(arg_number("km", km))),
                     });
}

/* ---- the job's own lines ---- */

static void add_extra(struct draft *draft, size_t i)
{
    const int hundred = 100;
    const struct extra_line *extra = &draft->job->quote.extras[i];
    struct quote_line line = {.id = arena_format(draft->arena, "other/%s", extra->what),
                              .kind = QUOTE_OTHER,
                              .what = extra->what,
                              .quantity = llround(extra->quantity * hundred),
                              .unit = extra->unit,
                              .rate = extra->rate,
                              .basis = sentence_plain("quote-basis-other"),
                              .rate_basis = arena_format(draft->arena, "%s:%d, job.quote.lines",
                                                         extra->place.file, extra->place.line),
                              .cost_rate = PRICE_UNSAID,
                              .cost_unit = extra->unit,
                              .cost = -1};
    line.cost_quantity = line.quantity;
    if (!money_amount(line.quantity, line.rate, draft->quote->digits, &line.amount))
        draft->too_large = line.what;
    draft_put(draft, &line);
}

static void lines_making(struct draft *draft)
{
    add_printing(draft);
    for (size_t i = 0; i < draft->plan->surface_count; i++) add_install(draft, &draft->plan->surfaces[i]);
    add_finish(draft);
    add_travel(draft);
    for (size_t i = 0; i < draft->job->quote.extra_count; i++) add_extra(draft, i);
}

/* ---- what stands beside the lines ---- */

static void name_surface_left_out(struct draft *draft, const struct surface_plan *surface)
{
    const char *name = surface->surface->name;
    if (surface->pieces_alone) return;
    if (surface->no_artwork)
        draft_excludes(draft, sentence_words(draft->arena, "quote-without-surface",
                                             ARGUMENTS(arg_words("surface", name))));
    else
        draft_lacks(
            draft,
            sentence_words(draft->arena, "quote-surface-unplanned", ARGUMENTS(arg_words("surface", name))),
            sentence_plain("quote-see-findings"));
}

static void assume_cover(struct draft *draft, const struct surface_plan *surface)
{
    if (area_is_estimated(draft, surface) && surface->surface->spec->covered_percent <= 0)
        draft_assumes(draft, sentence_words(draft->arena, "quote-assumes-whole",
                                            ARGUMENTS(arg_words("surface", surface->surface->name))));
}

static void name_open_points(struct draft *draft)
{
    const struct shop *shop = draft->shop;
    if (areas_are_estimated(draft) && !job_buys_prints(draft->job))
        draft_assumes(draft, sentence_words(draft->arena, "quote-assumes-ink",
                                            ARGUMENTS(arg_number("percent", shop->quote.ink_percent.value))));
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        if (area_counts(surface))
            assume_cover(draft, surface);
        else
            name_surface_left_out(draft, surface);
    }
    if (draft->from_cost && !shop->marked_up)
        draft_lacks(draft, sentence_plain("quote-mark-up"), sentence_plain("quote-write-mark-up"));
    if (!shop->quote.taxed)
        draft_lacks(draft, sentence_plain("quote-tax"), sentence_plain("quote-write-tax"));
    if (!draft->input->has_date)
        draft_lacks(draft, sentence_plain("quote-date"), sentence_plain("quote-see-findings"));
}

static void exclude_texts(struct draft *draft, const struct quote_texts *texts)
{
    for (size_t i = 0; i < texts->count; i++) draft_excludes(draft, texts->items[i]);
}

static void exclude_written(struct draft *draft)
{
    if (!draft->shop->quote.not_included.count)
        draft_excludes(draft, sentence_plain("quote-without-repairs"));
    exclude_texts(draft, &draft->shop->quote.not_included);
    exclude_texts(draft, &draft->job->quote.not_included);
}

static struct quote quote_head(const struct quote_input *input)
{
    const struct job *job = input->plan->input->job;
    const struct zone *zone = input->plan->input->zone;
    struct civil_time until = zone_local(zone, input->made + llround(job->shop->quote.valid_s.value));
    return (struct quote){.job = job->number,
                          .title = job->title,
                          .customer = job->customer,
                          .vehicle = job->vehicle,
                          .currency = job->shop->currency,
                          .digits = currency_digits(job->shop->currency),
                          .vehicles = input->vehicles,
                          .made = input->made,
                          .zone = zone,
                          .valid_until = {until.year, until.month, until.day},
                          .valid_source = job->shop->quote.valid_s.source,
                          .has_date = input->has_date,
                          .finished = input->finished,
                          .lasting = input->lasting,
                          .lasting_count = input->lasting_count,
                          .terms = &job->shop->quote,
                          .job_terms = &job->quote};
}

bool quote_price(const struct plan *plan, struct arena *arena, money_minor *asked)
{
    const int digits = 2;
    struct quote quote;
    struct error error;
    struct quote_input input = {.plan = plan,
                                .vehicles = plan->input->job->vehicles,
                                .made = plan->input->now,
                                .has_date = plan->has_install};
    if (!quote_make(&input, arena, &quote, &error) || quote.unrated || !quote.line_count) return false;
    *asked = money_in_digits(quote.net, quote.digits, digits);
    return true;
}

bool quote_make(const struct quote_input *input, struct arena *arena, struct quote *quote,
                struct error *error)
{
    struct draft draft = {.quote = quote,
                          .input = input,
                          .plan = input->plan,
                          .job = input->plan->input->job,
                          .shop = input->plan->input->job->shop,
                          .arena = arena};
    *quote = quote_head(input);
    lines_before(&draft);
    lines_material(&draft);
    lines_making(&draft);
    name_open_points(&draft);
    exclude_written(&draft);
    if (sums_make(&draft)) return true;
    return error_set(error, FAILURE_INPUT, "quote-too-large",
                     ARGUMENTS(arg_words("what", draft.too_large),
                               arg_words("most", money_decimal(MONEY_MOST, quote->digits, arena)),
                               arg_words("currency", quote->currency)));
}
