/* Stock against the shop files: what comes in must be something that a shop here buys. */
#include "base/path.h"
#include "base/text.h"
#include "base/units.h"
#include "inner.h"
#include "job/job.h"
#include <math.h>
#include <string.h>
#include <strings.h>

/* A remnant of a metre is kept, no roll is half a kilometre long. Common practice, no source. */
#define ROLL_LEAST_MM 1000.0
#define ROLL_MOST_MM  500000.0
#define SAME_WIDTH_MM 0.5

/* ---- the shops ---- */

struct shops {
    struct arena *arena;
    const struct shop **items;
    size_t count, capacity;
};

static void add_shop(struct shops *shops, const struct shop *shop)
{
    for (size_t i = 0; i < shops->count; i++)
        if (string_equal(shops->items[i]->file, shop->file) &&
            string_equal(shops->items[i]->folder, shop->folder))
            return;
    *(const struct shop **)arena_append(shops->arena, &shops->items, &shops->count, &shops->capacity,
                                        sizeof *shops->items) = shop;
}

/* The shop that the job in that folder names, when its files can be read. */
static void add_shop_of_job(struct shops *shops, struct machine *machine, const char *folder)
{
    struct report report = report_new(shops->arena);
    struct job *job = NULL;
    if (job_load(machine, folder, shops->arena, &report, &job, NULL) && job && job->shop)
        add_shop(shops, job->shop);
}

/* Each shop file once: jobs name the same one over and over. */
static struct shops gather_shops(struct floor *floor, struct arena *arena)
{
    struct shops shops = {.arena = arena};
    struct report report = report_new(arena);
    struct shop *own = NULL;
    if (job_load_shop(floor->machine, floor->folder, arena, &report, &own) && own) add_shop(&shops, own);
    pthread_mutex_lock(&floor->mutex);
    const struct job_list *list = &floor->list;
    for (size_t i = 0; i < list->count; i++) {
        const char *file = list->entries[i].shop_file;
        bool known = !file;
        for (size_t k = 0; k < i && !known; k++) known = string_equal(file, list->entries[k].shop_file);
        if (!known) add_shop_of_job(&shops, floor->machine, list->entries[i].folder);
    }
    pthread_mutex_unlock(&floor->mutex);
    return shops;
}

/* ---- what comes in ---- */

struct goods {
    struct text names;       /* all of that sort, for a message */
    struct text widths;      /* those that it comes in */
    bool found, width_found; /* the name; the width, or none is written */
};

static void take_names(struct goods *goods, const char *name, bool same)
{
    const char *quoted = arena_format(goods->names.arena, "\"%s\"", name);
    if (!strstr(text_string(&goods->names), quoted))
        text_addf(&goods->names, "%s%s", goods->names.length ? ", " : "", quoted);
    goods->found = goods->found || same;
}

static void take_films(struct goods *goods, const struct film *films, size_t count, const struct fact *fact)
{
    for (size_t i = 0; i < count; i++) {
        bool same = string_equal(films[i].name, fact->of);
        take_names(goods, films[i].name, same);
        for (size_t k = 0; same && k < films[i].width_count; k++) {
            text_addf(&goods->widths, "%s%g", goods->widths.length ? ", " : "", films[i].widths_mm[k]);
            if (fabs(films[i].widths_mm[k] - fact->width_mm) <= SAME_WIDTH_MM) goods->width_found = true;
        }
    }
}

static struct goods goods_of(const struct shops *shops, const struct fact *fact)
{
    struct goods goods = {.names = text_new(shops->arena), .widths = text_new(shops->arena)};
    goods.width_found = isnan(fact->width_mm);
    for (size_t i = 0; i < shops->count; i++) {
        const struct shop *shop = shops->items[i];
        if (string_equal(fact->what, "film")) take_films(&goods, shop->films, shop->film_count, fact);
        if (string_equal(fact->what, "laminate"))
            take_films(&goods, shop->laminates, shop->laminate_count, fact);
        if (!string_equal(fact->what, "ink")) continue;
        for (size_t k = 0; k < shop->ink_count; k++)
            take_names(&goods, shop->inks[k].name, string_equal(shop->inks[k].name, fact->of));
    }
    return goods;
}

static bool is_roll_length(double mm)
{
    return isnan(mm) || (mm >= ROLL_LEAST_MM && mm <= ROLL_MOST_MM);
}

static bool refuse_in_units(struct floor *floor, struct arena *arena, struct error *error, const char *words)
{
    bool inches = floor_inches(floor, NULL);
    return error_words(error, FAILURE_INPUT, inches ? units_in_inches(words, arena) : words);
}

bool stock_check(struct floor *floor, const struct fact *fact, struct arena *arena, struct error *error)
{
    if (!fact->what || !fact->of) return true; /* the record says what is missing */
    struct shops shops = gather_shops(floor, arena);
    if (!shops.count)
        return error_set(error, FAILURE_INPUT, "no-shop-file-says-what-there",
                         ARGUMENTS(arg_words("what", fact->what),
                                   arg_words("path", path_join(arena, floor->folder, "shop.yaml"))));
    struct goods goods = goods_of(&shops, fact);
    if (!goods.found)
        return error_set(
            error, FAILURE_INPUT, "shop-has-no-it-has",
            ARGUMENTS(arg_words("what", fact->what), arg_words("of", fact->of),
                      arg_words("names", goods.names.length ? text_string(&goods.names) : "none")));
    if (!string_equal(fact->what, "ink") && !goods.width_found)
        return refuse_in_units(floor, arena, error,
                               sentence_words(arena, "is-wide-in-shop-file-not",
                                              ARGUMENTS(arg_words("of", fact->of),
                                                        arg_words("widths", text_string(&goods.widths)),
                                                        arg_number("width_mm", fact->width_mm))));
    return is_roll_length(fact->length_mm) ||
           refuse_in_units(floor, arena, error,
                           sentence_words(arena, "length-roll-is-1-to-500",
                                          ARGUMENTS(arg_number("length_mm", fact->length_mm))));
}

/* ---- off-cuts ---- */

static const struct stock_roll *roll_named(const struct stock_roll *rolls, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (!strcasecmp(rolls[i].name, name)) return &rolls[i];
    return NULL;
}

/* No wider and no longer than what it was cut from. */
static bool cut_has_size(struct floor *floor, const struct fact *fact, const struct stock_roll *roll,
                         struct arena *arena, struct error *error)
{
    bool inches = floor_inches(floor, NULL);
    double most = roll->length_mm > 0 ? roll->length_mm : ROLL_MOST_MM;
    bool fits = fact->width_mm <= roll->width_mm + SAME_WIDTH_MM && fact->length_mm <= most;
    return fits || error_set(error, FAILURE_INPUT, "off-cut-has-no-size",
                             ARGUMENTS(arg_words("roll", roll->name),
                                       arg_words("width", units_length_words(roll->width_mm, inches, arena)),
                                       arg_words("length", units_run_words(most, inches, arena))));
}

bool stock_take_cut(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error)
{
    struct stock_roll *rolls;
    size_t count;
    if (!floor_stock(floor, arena, &rolls, &count, error)) return false;
    const struct stock_roll *roll = roll_named(rolls, count, fact->cut_from);
    if (!roll || string_equal(roll->what, "ink"))
        return error_set(error, FAILURE_INPUT, "off-cut-of-no-roll",
                         ARGUMENTS(arg_words("roll", fact->cut_from)));
    bool other = (fact->what && !string_equal(fact->what, roll->what)) ||
                 (fact->of && !string_equal(fact->of, roll->of)) ||
                 (fact->batch && !string_equal(fact->batch, roll->batch));
    if (other)
        return error_set(error, FAILURE_INPUT, "off-cut-is-of-its-roll",
                         ARGUMENTS(arg_words("roll", roll->name), arg_words("what", roll->what),
                                   arg_words("of", roll->of)));
    fact->cut_from = roll->name, fact->what = roll->what, fact->of = roll->of, fact->batch = roll->batch;
    if (isnan(fact->width_mm)) fact->width_mm = roll->width_mm;
    return cut_has_size(floor, fact, roll, arena, error);
}

bool stock_check_use(const struct fact *fact, const struct stock_roll *roll, struct error *error)
{
    const char *wanted = fact->kind == FACT_PRINTED     ? "film"
                         : fact->kind == FACT_LAMINATED ? "laminate"
                                                        : NULL;
    if (!wanted || string_equal(roll->what, wanted)) return true;
    return error_set(error, FAILURE_INPUT, "is-roll-of-not-of-name",
                     ARGUMENTS(arg_words("roll", roll->name), arg_words("what", roll->what),
                               arg_words("of", roll->of), arg_words("wanted", wanted)));
}
