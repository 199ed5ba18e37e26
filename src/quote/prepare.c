/* Lines of what comes before film: design, measuring, removal, cleaning, parts. */
#include "base/arena.h"
#include "base/str.h"
#include "inner.h"
#include <math.h>

static const double SECONDS_PER_HOUR = 3600;

static const struct charge *charge_of(const struct draft *draft, enum quote_kind kind)
{
    return &draft->shop->quote.charges[kind];
}

static void add_design(struct draft *draft)
{
    const struct charge *charge = charge_of(draft, QUOTE_DESIGN);
    double seconds = draft->job->design_s;
    bool charged = charge->written || draft->shop->design_per_h > 0;
    if (seconds < 0 && charged && !charge->included && !(charge->written && charge->unit == UNIT_JOB)) {
        draft_lacks(draft, sentence_plain("quote-design"), sentence_plain("quote-write-design"));
        return;
    }
    bool whole = charge->written && !charge->included && charge->unit == UNIT_JOB && seconds != 0;
    if (seconds <= 0 && !whole && !charge->included)
        draft_excludes(draft, sentence_plain("quote-without-design"));
    draft_add(draft, &(struct quote_item){
                         .id = "design",
                         .what = sentence_plain("quote-design"),
                         .kind = QUOTE_DESIGN,
                         .charge = charge,
                         .amounts = {[UNIT_HOUR] = seconds / SECONDS_PER_HOUR, [UNIT_JOB] = whole},
                         .cost_amount = seconds / SECONDS_PER_HOUR,
                         .cost_rate = draft->shop->design_per_h,
                         .cost_key = "rates: design",
                         .basis = sentence_plain("quote-basis-design"),
                     });
}

/* Only where the shop charges for it, or the job asks for it. */
static void add_measuring(struct draft *draft)
{
    const struct charge *charge = charge_of(draft, QUOTE_MEASURING);
    double seconds = draft->job->quote.measuring_s;
    struct measure usual = draft->shop->quote.measuring_s;
    if (seconds < 0 && !charge->written) return;
    if (seconds < 0 && charge->unit == UNIT_HOUR && !charge->included)
        draft_assumes(draft, sentence_words(draft->arena, "quote-assumes-measuring",
                                            ARGUMENTS(arg_number("hours", usual.value / SECONDS_PER_HOUR))));
    if (seconds < 0) seconds = usual.value;
    draft_add(draft, &(struct quote_item){
                         .id = "measuring",
                         .what = sentence_plain("quote-measuring"),
                         .kind = QUOTE_MEASURING,
                         .charge = charge,
                         .amounts = {[UNIT_HOUR] = seconds / SECONDS_PER_HOUR, [UNIT_JOB] = 1},
                         .cost_amount = seconds / SECONDS_PER_HOUR,
                         .cost_rate = draft->shop->install_per_h,
                         .cost_key = "rates: install",
                         .basis = sentence_plain("quote-basis-measuring"),
                     });
}

/* ---- tasks ---- */

struct task_sum {
    double quantity, hours;
};

static struct task_sum sum_tasks(const struct draft *draft, enum task_kind kind,
                                 const struct surface *surface)
{
    struct task_sum sum = {0};
    for (size_t i = 0; i < draft->plan->task_count; i++) {
        const struct task *task = &draft->plan->tasks[i];
        if (task->kind != kind || (surface && task->surface != surface)) continue;
        sum.quantity += task->quantity, sum.hours += (double)task->seconds / SECONDS_PER_HOUR;
    }
    return sum;
}

static void assume_age(struct draft *draft, const struct surface *surface)
{
    draft_assumes(draft,
                  sentence_words(draft->arena, "quote-assumes-age",
                                 ARGUMENTS(arg_words("surface", surface->name),
                                           arg_number("years", practice_value("removal-fresh").value))));
}

static const char *removal_basis(const struct draft *draft, double area_m2, double age_y, double percent)
{
    struct text words = text_new(draft->arena);
    text_say(&words, "quote-basis-removal", ARGUMENTS(arg_fixed("area_m2", area_m2, 2)));
    if (age_y > 0)
        text_say(&words, "quote-basis-removal-age",
                 ARGUMENTS(arg_number("years", age_y), arg_number("percent", percent)));
    text_add(&words, vehicles_words(draft));
    return text_string(&words);
}

static void add_removal_of(struct draft *draft, const struct surface *surface)
{
    struct task_sum task = sum_tasks(draft, TASK_REMOVE_FILM, surface);
    double age = surface->spec ? surface->spec->old_film_age_y : 0;
    double percent = removal_age_percent(surface, draft->shop);
    double vehicles = draft->input->vehicles, hours = task.hours * vehicles;
    if (task.quantity <= 0) return;
    if (age <= 0) assume_age(draft, surface);
    draft_add(draft, &(struct quote_item){
                         .id = arena_format(draft->arena, "removal/%s", surface->id),
                         .what = sentence_words(draft->arena, "quote-removal",
                                                ARGUMENTS(arg_words("surface", surface->name))),
                         .kind = QUOTE_REMOVAL,
                         .charge = charge_of(draft, QUOTE_REMOVAL),
                         .amounts = {[UNIT_HOUR] = hours, [UNIT_M2] = task.quantity * vehicles},
                         .difficulty_percent = percent,
                         .cost_amount = hours,
                         .cost_rate = draft->shop->install_per_h,
                         .cost_key = "rates: install",
                         .basis = removal_basis(draft, task.quantity, age, percent),
                     });
}

static void add_removal(struct draft *draft)
{
    bool any = sum_tasks(draft, TASK_REMOVE_FILM, NULL).quantity > 0;
    for (size_t i = 0; i < draft->plan->surface_count; i++)
        add_removal_of(draft, draft->plan->surfaces[i].surface);
    if (!any) draft_excludes(draft, sentence_plain("quote-without-removal"));
}

static void add_cleaning(struct draft *draft)
{
    struct task_sum task = sum_tasks(draft, TASK_WASH, NULL);
    double vehicles = draft->input->vehicles;
    draft_add(draft, &(struct quote_item){
                         .id = "cleaning",
                         .what = sentence_plain("quote-cleaning"),
                         .kind = QUOTE_CLEANING,
                         .charge = charge_of(draft, QUOTE_CLEANING),
                         .amounts = {[UNIT_HOUR] = task.hours * vehicles,
                                     [UNIT_M2] = task.quantity * vehicles,
                                     [UNIT_VEHICLE] = task.quantity > 0 ? vehicles : 0},
                         .cost_amount = task.hours * vehicles,
                         .cost_rate = draft->shop->install_per_h,
                         .cost_key = "rates: install",
                         .basis = sentence_words(draft->arena, "quote-basis-cleaning",
                                                 ARGUMENTS(arg_fixed("area_m2", task.quantity, 2),
                                                           arg_words("vehicles", vehicles_words(draft)))),
                     });
}

static void add_parts(struct draft *draft)
{
    struct task_sum off = sum_tasks(draft, TASK_TAKE_OFF, NULL), on = sum_tasks(draft, TASK_REFIT, NULL);
    double vehicles = draft->input->vehicles;
    draft_add(
        draft,
        &(struct quote_item){
            .id = "parts",
            .what = sentence_plain("quote-parts"),
            .kind = QUOTE_PARTS,
            .charge = charge_of(draft, QUOTE_PARTS),
            .amounts =
                {[UNIT_HOUR] = (off.hours + on.hours) * vehicles, [UNIT_PART] = off.quantity * vehicles},
            .cost_amount = (off.hours + on.hours) * vehicles,
            .cost_rate = draft->shop->install_per_h,
            .cost_key = "rates: install",
            .basis = sentence_words(draft->arena, "quote-basis-parts",
                                    ARGUMENTS(arg_count("parts", llround(off.quantity)),
                                              arg_words("vehicles", vehicles_words(draft)))),
        });
}

void lines_before(struct draft *draft)
{
    add_design(draft);
    add_measuring(draft);
    add_removal(draft);
    add_cleaning(draft);
    add_parts(draft);
}
