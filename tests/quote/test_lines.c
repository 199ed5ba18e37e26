/* The pure room: a plan made by hand in, a quote out. Expected figures are worked by hand beside each case. */
#include "../with_arena.h"
#include "base/machine.h"
#include "quote/quote.h"
#include <string.h>

/* A side of 4 x 1.5 m: 2 h of printing, none of laminating, 1 h of trimming, 3 h of applying; 40 min of washing. */
struct bench {
    struct shop shop;
    struct surface_spec spec;
    struct job job;
    struct film film;
    struct ink ink;
    struct printer printer;
    struct condition condition;
    struct surface surface;
    struct panel panel;
    struct surface_plan planned;
    struct task tasks[2];
    struct material_line material;
    struct zone zone;
    struct plan_input planning;
    struct plan plan;
    struct quote_input input;
};

static struct charge by(enum quote_unit unit, money_micro price)
{
    return (struct charge){.written = true, .price = price, .unit = unit, .source = "here"};
}

static void bench_begin(struct bench *b)
{
    *b = (struct bench){.shop = {.currency = "EUR", .design_per_h = PRICE_UNSAID, .marked_up = true}};
    b->shop.print_per_h = 30000000, b->shop.laminate_per_h = 28000000, b->shop.install_per_h = 40000000;
    b->shop.mark_up_percent = 50;
    b->shop.quote.taxed = true;
    b->shop.quote.valid_s.value = 30.0 * 86400;
    b->shop.quote.removal_year_percent = (struct measure){10, ORIGIN_PRACTICE, "usual"};
    b->film = (struct film){.name = "cast", .price_per_m2 = 10000000};
    b->ink = (struct ink){.name = "eco", .price_per_ml = PRICE_UNSAID};
    b->condition =
        (struct condition){.name = "usual", .film = &b->film, .ink = &b->ink, .printer = &b->printer};
    b->spec = (struct surface_spec){.name = "left"};
    b->job = (struct job){.number = "Q1", .shop = &b->shop, .surfaces = &b->spec, .surface_count = 1};
    b->job.quote.travel_km = b->job.quote.measuring_s = -1;
    b->job.design_s = -1;
    b->surface = (struct surface){.spec = &b->spec,
                                  .name = "left",
                                  .id = "left",
                                  .width_mm = 4000,
                                  .height_mm = 1500,
                                  .area_m2 = 6,
                                  .condition = &b->condition};
    b->panel = (struct panel){.id = "left-1", .print_length_mm = 4000};
    b->planned = (struct surface_plan){
        .surface = &b->surface, .panels = &b->panel, .panel_count = 1, .work = {2 * 3600, 0, 3600, 3 * 3600}};
    b->tasks[0] = (struct task){.kind = TASK_WASH, .surface = &b->surface, .quantity = 6, .seconds = 2400};
    b->material = (struct material_line){.what = "film", .name = "cast", .area_m2 = 7};
    b->planning = (struct plan_input){.job = &b->job, .zone = &b->zone};
    b->plan = (struct plan){.input = &b->planning,
                            .surfaces = &b->planned,
                            .surface_count = 1,
                            .tasks = b->tasks,
                            .task_count = 1,
                            .materials = &b->material,
                            .material_count = 1};
    b->input = (struct quote_input){
        .plan = &b->plan, .vehicles = 1, .made = 1800000000, .has_date = true, .finished = 1800600000};
}

static struct quote bench_quote(struct bench *b)
{
    struct quote quote;
    struct error error;
    assert_true(quote_make(&b->input, arena, &quote, &error));
    return quote;
}

static const struct quote_line *line_of(const struct quote *quote, const char *id)
{
    for (size_t i = 0; i < quote->line_count; i++)
        if (!strcmp(quote->lines[i].id, id)) return &quote->lines[i];
    return NULL;
}

static void assert_line(const struct quote *quote, const char *id, int64_t quantity, money_micro rate,
                        money_minor amount)
{
    const struct quote_line *line = line_of(quote, id);
    assert_non_null(line);
    assert_int_equal(line->quantity, quantity);
    assert_int_equal(line->rate, rate);
    assert_int_equal(line->amount, amount);
}

static void cost_with_a_mark_up_where_nothing_is_charged(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    struct quote quote = bench_quote(&b);
    assert_line(&quote, "cleaning", 67, 60000000, 4020); /* 0.6667 h: 0.67 x 60.00 = 40.20 */
    assert_line(&quote, "film/cast", 700, 15000000, 10500);
    assert_line(&quote, "print", 200, 45000000, 9000);
    assert_line(&quote, "trim", 100, 42000000, 4200);
    assert_line(&quote, "install/left", 300, 60000000, 18000);
    assert_int_equal(quote.line_count, 5);
    assert_int_equal(quote.net, 45720);
    assert_int_equal(quote.cost, 2680 + 7000 + 6000 + 2800 + 12000);
    assert_int_equal(quote.missing_count, 0);
    assert_int_equal(quote.valid_until.month, 2); /* Fri 15 Jan 2027 and 30 days */
    assert_int_equal(quote.valid_until.day, 14);
}

/* 40 / (1 - 0.3) = 57.142857...: to two digits more than the currency has. */
static void a_margin_is_a_share_of_the_price(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    b.shop.money = 2, b.shop.margin_percent = 30, b.shop.mark_up_percent = 0;
    struct quote quote = bench_quote(&b);
    assert_line(&quote, "install/left", 300, 57142900, 17143); /* 171.4287 */
    b.shop.currency = "JPY";
    quote = bench_quote(&b);
    assert_line(&quote, "install/left", 300, 57140000, 171); /* 57.14 x 3 = 171.42 */
    b.shop.currency = "KWD";
    quote = bench_quote(&b);
    assert_line(&quote, "install/left", 300, 57142860, 171429); /* 171.42858 */
}

static void what_is_charged_stands_above_cost(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    b.shop.quote.charges[QUOTE_PRINT] = by(UNIT_M2, 6000000);
    b.shop.quote.charges[QUOTE_FILM] = (struct charge){.written = true, .included = true, .source = "here"};
    b.shop.quote.charges[QUOTE_TRIM] = by(UNIT_HOUR, 50000000);
    b.input.vehicles = 3;
    struct quote quote = bench_quote(&b);
    assert_line(&quote, "print", 1800, 6000000, 10800);
    assert_line(&quote, "film/cast", 2100, 0, 0);
    assert_true(line_of(&quote, "film/cast")->included);
    assert_int_equal(line_of(&quote, "film/cast")->cost, 21000);
    assert_line(&quote, "trim", 300, 50000000, 15000);
}

static void a_share_while_artwork_follows(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    b.spec.covered_percent = 25;
    struct quote quote = bench_quote(&b);
    assert_line(&quote, "film/cast", 175, 15000000, 2625);
    assert_line(&quote, "install/left", 75, 60000000, 4500);
    assert_line(&quote, "cleaning", 67, 60000000, 4020); /* all of it is washed */
    assert_true(quote.estimated);
    b.spec.artwork_count = 1; /* and not once it is there */
    quote = bench_quote(&b);
    assert_line(&quote, "install/left", 300, 60000000, 18000);
    assert_false(quote.estimated);
}

/* A recess of 2 m2 counts twice, a handle that stays as 0.1 m2: (6 + 2 + 0.1) / 6 = 135 %. The plan's hours have it in
 * them: 3 h; a price for a m2 takes it. Of a hard surface 135 x 1.5 = 202.5: 203 %. */
static void difficulty_is_measured_and_written(void **state)
{
    (void)state;
    struct bench b;
    struct feature features[] = {{.kind = FEATURE_RECESS, .box = rect_of(100, 100, 2000, 1000)},
                                 {.kind = FEATURE_HANDLE, .box = rect_of(3000, 500, 200, 80), .stays = true},
                                 {.kind = FEATURE_HANDLE, .box = rect_of(3500, 500, 200, 80)}};
    bench_begin(&b);
    b.surface.features = features, b.surface.feature_count = 3;
    struct quote quote = bench_quote(&b);
    assert_line(&quote, "install/left", 300, 60000000, 18000);
    b.shop.quote.install[SORT_SHAPED] = by(UNIT_M2, 20000000);
    quote = bench_quote(&b);
    assert_line(&quote, "install/left", 600, 27000000, 16200);
    b.surface.front = FRONT_UP;
    b.shop.quote.install[SORT_LYING] = by(UNIT_M2, 10000000);
    quote = bench_quote(&b);
    assert_line(&quote, "install/left", 600, 13500000, 8100);
    b.spec.difficulty = DIFFICULTY_HARD;
    quote = bench_quote(&b);
    assert_line(&quote, "install/left", 600, 20300000, 12180);
}

static void removal_by_area_and_age(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    b.tasks[1] =
        (struct task){.kind = TASK_REMOVE_FILM, .surface = &b.surface, .quantity = 6, .seconds = 3 * 3600};
    b.plan.task_count = 2;
    struct quote quote = bench_quote(&b);
    assert_line(&quote, "removal/left", 300, 60000000, 18000);
    bool asked = false;
    for (size_t i = 0; i < quote.assumed_count; i++) asked |= strstr(quote.assumed[i], "age") != NULL;
    assert_true(asked);
    b.spec.old_film_age_y = 5.5; /* 100 + 2.5 x 10 = 125 %: in the plan's hours, and in a price for a m2 */
    quote = bench_quote(&b);
    assert_line(&quote, "removal/left", 300, 60000000, 18000);
    b.shop.quote.charges[QUOTE_REMOVAL] = by(UNIT_M2, 8000000);
    quote = bench_quote(&b);
    assert_line(&quote, "removal/left", 600, 10000000, 6000);
}

static void what_has_no_price_is_missing(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    b.shop.install_per_h = PRICE_UNSAID, b.shop.quote.taxed = false, b.shop.marked_up = false;
    b.input.has_date = false;
    b.job.quote.travel_km = 12;
    struct quote quote = bench_quote(&b);
    static const char *const wanted[] = {"Wash and degrease, 0.67 h",
                                         "Install film, left, 3.00 h",
                                         "Travel, 12.00 km",
                                         "Mark-up or margin",
                                         "Tax",
                                         "Date"};
    assert_int_equal(quote.missing_count, 6);
    for (size_t i = 0; i < 6; i++) {
        assert_string_equal(quote.missing[i].what, wanted[i]);
        assert_true(*quote.missing[i].remedy);
    }
    assert_null(line_of(&quote, "install/left"));
}

static void sums_are_refused_when_too_large(void **state)
{
    (void)state;
    struct bench b;
    struct extra_line extras[11];
    struct quote quote;
    struct error error = {0};
    bench_begin(&b);
    for (size_t i = 0; i < 11; i++)
        extras[i] = (struct extra_line){
            .what = "gold", .unit = "kg", .quantity = 1e6, .rate = INT64_C(1000000000000)};
    b.job.quote.extras = extras, b.job.quote.extra_count = 11;
    assert_false(quote_make(&b.input, arena, &quote, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_string_equal(error.id, "quote-too-large");
}

static void the_same_quote_has_no_changes(void **state)
{
    (void)state;
    struct bench b;
    bench_begin(&b);
    struct quote before = bench_quote(&b), now = bench_quote(&b);
    assert_true(quote_is_same(&before, &now));
    quote_compare(&now, &before, "quote-1.json", arena);
    assert_int_equal(now.change_count, 0);
    b.film.price_per_m2 = 11000000; /* 16.50 x 7 = 115.50 for 105.00 */
    now = bench_quote(&b);
    assert_false(quote_is_same(&before, &now));
    quote_compare(&now, &before, "quote-1.json", arena);
    assert_int_equal(now.change_count, 3); /* the line, net, gross */
    assert_int_equal(now.changes[0].before, 10500);
    assert_int_equal(now.changes[0].now, 11550);
    assert_non_null(strstr(now.changes[0].why, "rate 16.50, before 15.00"));
}

static void the_weakest_part_says_how_long(void **state)
{
    (void)state;
    const struct quote_lasting lasting[] = {
        {"left", false, {5, ORIGIN_WRITTEN, "here"}, "laminate", "gloss", ""},
        {"rear", false, {3, ORIGIN_WRITTEN, "here"}, "ink", "eco", ""},
        {"roof", true, {0, ORIGIN_ABSENT, NULL}, NULL, NULL, "ink \"eco\""},
    };
    struct quote quote = {.lasting = lasting, .lasting_count = 3};
    assert_string_equal(quote_weakest(&quote, false)->part, "ink");
    assert_null(quote_weakest(&quote, true));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cost_with_a_mark_up_where_nothing_is_charged),
        cmocka_unit_test(a_margin_is_a_share_of_the_price),
        cmocka_unit_test(what_is_charged_stands_above_cost),
        cmocka_unit_test(a_share_while_artwork_follows),
        cmocka_unit_test(difficulty_is_measured_and_written),
        cmocka_unit_test(removal_by_area_and_age),
        cmocka_unit_test(what_has_no_price_is_missing),
        cmocka_unit_test(sums_are_refused_when_too_large),
        cmocka_unit_test(the_same_quote_has_no_changes),
        cmocka_unit_test(the_weakest_part_says_how_long),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
