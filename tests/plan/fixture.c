#include "fixture.h"
#include "job/settle.h"
#include <math.h>
#include <string.h>

static void fill_shop(struct fixture *f)
{
    f->widths[0] = 1370, f->widths[1] = 1520;
    f->printer = (struct printer){.name = "wide",
                                  .media_width_mm = 1625,
                                  .edge_mm = 8,
                                  .max_length_mm = 30000,
                                  .speed_m2_per_h = measure_written(12, "shop.yaml:6"),
                                  .setup_s = measure_written(1200, "shop.yaml:6")};
    f->film = (struct film){.name = "cast-white",
                            .kind = FILM_CAST,
                            .widths_mm = f->widths,
                            .width_count = 2,
                            .length_mm = 50000,
                            .price_per_m2 = 9800000,
                            .stretch_limit_percent = measure_written(15, "shop.yaml:9"),
                            .durability_y = measure_written(7, "shop.yaml:9")};
    f->laminate = f->film;
    f->laminate.name = "cast-gloss", f->laminate.price_per_m2 = 7100000;
    f->ink = (struct ink){.name = "eco",
                          .technology = INK_ECO_SOLVENT,
                          .channel_count = 4,
                          .channels = {"C", "M", "Y", "K"},
                          .ml_per_m2 = {8, 8, 8, 8},
                          .price_per_ml = 160000};
    f->condition = (struct condition){.name = "van-cast",
                                      .printer = &f->printer,
                                      .film = &f->film,
                                      .laminate = &f->laminate,
                                      .ink = &f->ink,
                                      .ink_limit_percent = measure_written(280, "shop.yaml:16")};
    f->shop = (struct shop){.currency = "EUR",
                            .print_per_h = 35000000,
                            .laminate_per_h = 30000000,
                            .install_per_h = 42000000,
                            .margin_percent = 30,
                            .waste_percent = 5,
                            .install_m2_per_h = measure_written(1.6, "shop.yaml:20")};
    for (int day = 0; day < 5; day++) f->shop.week[day] = (struct day_hours){{{8 * 3600, 17 * 3600}}, 1};
}

void fixture_open(struct fixture *f)
{
    memset(f, 0, sizeof *f);
    f->machine = machine_real("");
    f->arena = arena_new(&f->machine);
    fill_shop(f);
    f->job = (struct job){.number = "T-1",
                          .shop = &f->shop,
                          .feed_percent = 100,
                          .drying = DRYING_HUNG,
                          .start = at_time(2027, 3, 1, 8, 0)}; /* a Monday */
    f->input = (struct plan_input){.job = &f->job, .zone = &f->zone, .surfaces = f->inputs};
}

void fixture_close(struct fixture *f)
{
    arena_free(f->arena);
}

static struct span *spans(struct fixture *f, const struct polygon *outline, size_t count, bool upright)
{
    struct span *spans = arena_take_array(f->arena, count, sizeof *spans);
    for (size_t i = 0; i < count; i++) {
        double low, high, from = (double)i + 1e-6, to = (double)i + 1 - 1e-6;
        bool there = upright ? polygon_span_y(outline, from, to, &low, &high)
                             : polygon_span_x(outline, from, to, &low, &high);
        spans[i] = there ? (struct span){(float)low, (float)high} : (struct span){1, 0};
    }
    return spans;
}

void fixture_outline(struct fixture *f, struct surface *s, const struct point *points, size_t count)
{
    s->outline.points = arena_take_array(f->arena, count, sizeof *points);
    memcpy(s->outline.points, points, count * sizeof *points);
    s->outline.count = count;
    s->up_count = (size_t)ceil(s->width_mm), s->along_count = (size_t)ceil(s->height_mm);
    s->up = spans(f, &s->outline, s->up_count, true);
    s->along = spans(f, &s->outline, s->along_count, false);
    s->area_m2 = fabs(polygon_area(&s->outline)) / 1e6;
}

struct surface *fixture_surface(struct fixture *f, const char *name, double width, double height,
                                enum front front, enum panels_run run)
{
    size_t i = f->input.surface_count++;
    struct surface *s = &f->surfaces[i];
    f->specs[i] = (struct surface_spec){.name = name, .panels = run};
    *s = (struct surface){.spec = &f->specs[i],
                          .name = name,
                          .id = name,
                          .width_mm = width,
                          .height_mm = height,
                          .front = front,
                          .condition = &f->condition,
                          .overlap_mm = 12,
                          .seam_trim_mm = 3,
                          .turn_in_mm = 25,
                          .bleed_mm = {50, 50, 50, 50}};
    struct point corners[] = {{0, 0}, {width, 0}, {width, height}, {0, height}};
    fixture_outline(f, s, corners, 4);
    s->features = arena_take_array(f->arena, 100, sizeof *s->features);
    f->inputs[i].surface = s;
    return s;
}

struct feature *fixture_feature(struct fixture *f, struct surface *s, enum feature_kind kind, struct rect box)
{
    (void)f;
    struct feature *feature = &s->features[s->feature_count++];
    *feature = (struct feature){.kind = kind, .box = box, .margin_mm = -1};
    return feature;
}

/* As the job room settles what nobody wrote. */
static void fixture_settle(struct fixture *f)
{
    settle_printer(&f->printer), settle_ink(&f->ink);
    settle_film(&f->film), settle_laminate(&f->laminate);
    settle_condition(&f->condition), settle_shop(&f->shop), settle_job(&f->job);
    for (size_t i = 0; i < f->input.surface_count; i++) settle_surface(&f->specs[i], &f->job);
}

struct plan *fixture_plan(struct fixture *f)
{
    fixture_settle(f);
    return plan_make(&f->input, f->arena);
}

const struct finding *fixture_finding(const struct plan *plan, const char *code)
{
    for (size_t i = 0; i < plan->findings.count; i++)
        if (!strcmp(plan->findings.items[i].code, code)) return &plan->findings.items[i];
    return NULL;
}

struct civil_time at_time(int year, int month, int day, int hour, int minute)
{
    return (struct civil_time){
        .given = true, .year = year, .month = month, .day = day, .hour = hour, .minute = minute};
}
