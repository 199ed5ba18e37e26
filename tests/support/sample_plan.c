#include "sample_plan.h"
#include "base/arena.h"
#include <math.h>

#define HOUR 3600
#define DAY  86400
/* 2027-03-01T08:00Z, a Monday; Lisbon is on UTC then. */
#define START INT64_C(1803888000)

struct maker {
    struct arena *arena;
    bool long_names;
    size_t left_panels;
};

static struct condition *make_condition(const struct maker *m)
{
    struct printer *printer = arena_take(m->arena, sizeof *printer);
    *printer = (struct printer){.name = "wide", .media_width_mm = 1625, .edge_mm = 8, .max_length_mm = 30000};
    struct film *film = arena_take(m->arena, sizeof *film);
    *film = (struct film){.name = m->long_names ? "Hochleistungs-Polymerfolie gegossen weiss glaenzend"
                                                : "cast-white",
                          .kind = FILM_CAST,
                          .post_heat_c = {0, ORIGIN_ABSENT, NULL}};
    struct film *laminate = arena_take(m->arena, sizeof *laminate);
    *laminate = (struct film){.name = "cast-gloss",
                              .kind = FILM_CAST,
                              .finish = "gloss",
                              .room_low_c = {20, ORIGIN_PRACTICE, "common practice, no source"},
                              .room_high_c = {23, ORIGIN_PRACTICE, "common practice, no source"},
                              .bond_s = {24 * HOUR, ORIGIN_WRITTEN, "shop.yaml:14, laminates.bond"}};
    struct ink *ink = arena_take(m->arena, sizeof *ink);
    *ink = (struct ink){
        .name = "eco", .technology = INK_ECO_SOLVENT, .channel_count = 4, .channels = {"C", "M", "Y", "K"}};
    struct condition *condition = arena_take(m->arena, sizeof *condition);
    *condition = (struct condition){.name = "van-cast",
                                    .printer = printer,
                                    .film = film,
                                    .laminate = laminate,
                                    .ink = ink,
                                    .mode = "8 pass",
                                    .profile = "profiles/van-cast.icc",
                                    .ink_limit_percent = {280, ORIGIN_WRITTEN, "shop.yaml:22"}};
    return condition;
}

static const struct job *make_job(const struct maker *m, const struct condition *condition)
{
    struct shop *shop = arena_take(m->arena, sizeof *shop);
    *shop = (struct shop){.file = "shop.yaml", .currency = "EUR", .zone = "Europe/Lisbon"};
    for (int day = 0; day < 5; day++) shop->week[day] = (struct day_hours){{{8 * HOUR, 17 * HOUR}}, 1};
    static struct civil_date closed[] = {{2027, 3, 8}};
    shop->closed = closed;
    shop->closed_count = 1;
    struct job *job = arena_take(m->arena, sizeof *job);
    *job = (struct job){
        .number = "LV-2031",
        .title = m->long_names
                     ? "Fahrbibliothek der Samtgemeinde Oberwesterholz-Niederbuchenau: Vollverklebung "
                       "beider Fahrzeugseiten und der Hecktueren mit Schutzlaminat"
                     : "Mobile library van",
        .customer = "County library service",
        .vehicle = "long van, high roof",
        .vehicle_type = "van",
        .shop = shop,
        .start = {true, 2027, 3, 1, 8, 0, 0, false, 0},
        .due = {true, 2027, 3, 12, 17, 0, 0, false, 0},
        .room_c = {21, ORIGIN_WRITTEN, "job.yaml:6"},
        .room_humidity_percent = {50, ORIGIN_WRITTEN, "job.yaml:6"},
        .condition = condition,
        .overlap_mm = {12, ORIGIN_PRACTICE, "common practice, no source"},
        .seam_trim_mm = {3, ORIGIN_PRACTICE, "common practice, no source"},
        .resolution_ppi = 100,
        .feed_percent = 100,
        .drying = DRYING_HUNG,
    };
    return job;
}

/* A sloped nose on the side that the front is on. */
static struct polygon side_outline(struct arena *arena, double w, double h, enum front front)
{
    struct polygon p = {arena_take_array(arena, 7, sizeof(struct point)), 7};
    struct point left[7] = {{120, 0}, {w, 0},         {w, h - 60},  {w - 60, h},
                            {820, h}, {300, h - 800}, {0, h - 1150}};
    for (size_t i = 0; i < 7; i++) {
        p.points[i] = left[i];
        if (front == FRONT_RIGHT) p.points[i].x = w - left[i].x;
    }
    return p;
}

static struct polygon plain_outline(struct arena *arena, double w, double h)
{
    struct polygon p = {arena_take_array(arena, 4, sizeof(struct point)), 4};
    p.points[1] = (struct point){w, 0};
    p.points[2] = (struct point){w, h};
    p.points[3] = (struct point){0, h};
    return p;
}

static struct rect mirrored(struct rect r, double width, bool mirror)
{
    return mirror ? (struct rect){width - r.x1, r.y0, width - r.x0, r.y1} : r;
}

static void add_side_features(struct arena *arena, struct surface *s)
{
    const struct feature all[] = {
        {.kind = FEATURE_HANDLE, .box = {1340, 860, 1500, 960}},
        {.kind = FEATURE_OPENING, .name = "wheel arch", .box = {620, 0, 1320, 360}},
        {.kind = FEATURE_OPENING, .name = "wheel arch", .box = {3900, 0, 4600, 360}},
        {.kind = FEATURE_GLASS, .name = "cab window", .box = {760, 960, 1160, 1560}},
        {.kind = FEATURE_GAP, .box = {1250, 180, 1250, 1700}, .from = {1250, 180}, .to = {1250, 1700}},
        {.kind = FEATURE_RECESS,
         .name = "lower moulding",
         .box = {1330, 420, 3700, 560},
         .depth_mm = 12,
         .wall_deg = 60},
        {.kind = FEATURE_CORRUGATION,
         .box = {3850, 700, 4750, 1500},
         .pitch_mm = 90,
         .depth_mm = 12,
         .ribs_upright = true},
        {.kind = FEATURE_BADGE, .box = {4720, 250, 4920, 350}},
        {.kind = FEATURE_KEEP_WHOLE, .name = "telephone number", .box = {1400, 640, 2400, 800}},
    };
    s->feature_count = sizeof all / sizeof *all;
    s->features = arena_take_array(arena, s->feature_count, sizeof *s->features);
    bool mirror = s->front == FRONT_RIGHT;
    for (size_t i = 0; i < s->feature_count; i++) {
        s->features[i] = all[i];
        s->features[i].margin_mm = -1;
        s->features[i].box = mirrored(all[i].box, s->width_mm, mirror);
        if (mirror) {
            s->features[i].from.x = s->width_mm - all[i].from.x;
            s->features[i].to.x = s->width_mm - all[i].to.x;
        }
    }
    s->stretches = arena_take(arena, sizeof *s->stretches);
    s->stretch_count = 1;
    s->stretches[0] = (struct stretch){.box = s->features[5].box,
                                       .feature = 5,
                                       .up_percent = 8.3,
                                       .local_percent = 9.9,
                                       .reason = "recess 12 mm deep over 140 mm, walls 60 degrees: 9.9 %",
                                       .source = "trapezoid, recomputed"};
}

static const struct surface *make_surface(const struct maker *m, const char *name, double w, double h,
                                          enum front front, const struct condition *condition)
{
    struct surface *s = arena_take(m->arena, sizeof *s);
    const char *id = m->long_names && front == FRONT_LEFT ? "linke-Fahrzeugseite-mit-Schiebetuer" : name;
    *s = (struct surface){.name = id,
                          .id = id,
                          .width_mm = w,
                          .height_mm = h,
                          .front = front,
                          .condition = condition,
                          .bleed_mm = {50, 50, 50, 50},
                          .overlap_mm = 12,
                          .seam_trim_mm = 3,
                          .turn_in_mm = 25,
                          .area_m2 = w * h / 1e6};
    s->outline = front == FRONT_AWAY ? plain_outline(m->arena, w, h) : side_outline(m->arena, w, h, front);
    if (front != FRONT_AWAY) add_side_features(m->arena, s);
    return s;
}

static void add_seam(struct arena *arena, struct surface_plan *sp, size_t i, double at, bool left_over)
{
    struct seam_part *whole = arena_take_array(arena, 1, sizeof *whole);
    *whole = (struct seam_part){0, sp->surface->height_mm};
    double door = left_over ? 1250 : sp->surface->width_mm - 1250;
    bool gap = fabs(at - door) < 1;
    sp->seams[i] = (struct seam){.axis = AXIS_X,
                                 .kind = gap ? SEAM_GAP : SEAM_LAP,
                                 .at_mm = at,
                                 .to_mm = sp->surface->height_mm,
                                 .over = left_over ? i : i + 1,
                                 .under = left_over ? i + 1 : i,
                                 .overlap_mm = gap ? 0 : 12,
                                 .trim_mm = gap ? 0 : 3,
                                 .turn_in_mm = gap ? 25 : 0,
                                 .laps = !gap,
                                 .gap_count = gap,
                                 .gaps = gap ? whole : NULL,
                                 .detail = 0.031,
                                 .why = {.words = "plain colour, clear of handle and badge"},
                                 .cost = 412};
}

static double beyond(const struct surface_plan *sp, size_t seam, size_t panel)
{
    const struct seam *s = &sp->seams[seam];
    return s->kind == SEAM_GAP ? s->turn_in_mm : s->over == panel ? s->trim_mm : s->overlap_mm;
}

static void make_panel(const struct maker *m, struct surface_plan *sp, size_t i, double x0, double x1)
{
    const struct surface *s = sp->surface;
    size_t n = sp->panel_count;
    double left = i ? beyond(sp, i - 1, i) : 50, right = i + 1 < n ? beyond(sp, i, i) : 50;
    struct panel *p = &sp->panels[i];
    *p = (struct panel){.id = arena_format(m->arena, "%s-%zu", s->id, i + 1),
                        .number = i + 1,
                        .install_sequence = (int)(s->front == FRONT_RIGHT ? i + 1 : n - i),
                        .visible = {x0, 0, x1, s->height_mm},
                        .print = {x0 - left, -50, x1 + right, s->height_mm + 50},
                        .stretch_percent = i == 1 ? 8.3 : 0,
                        .stretch_local_percent = i == 1 ? 9.9 : 0,
                        .dry_s = (48 + 3.0 * (double)(i % 4)) * HOUR,
                        .print_length_mm = s->height_mm + 180,
                        .roll_width_mm = sp->roll_width_mm,
                        .page = (int)i + 1,
                        .file_name = arena_format(m->arena, "panels/LV-2031_%s.pdf", s->id)};
    p->file = (struct rect){p->print.x0, p->print.y0 - 40, p->print.x1, p->print.y1 + 40};
    p->area_m2 = rect_area(p->print) / 1e6;
    p->coverage = (struct coverage){.mean_percent = 121.4 + 9.3 * (double)(i % 5),
                                    .peak_percent = 246 + 3.0 * (double)(i % 9),
                                    .hand_peak_percent = 231,
                                    .channel_percent = {48, 31, 22, 20.4}};
    for (int c = 0; c < INK_CHANNELS; c++)
        p->ink_ml[c] = p->area_m2 * 8 * p->coverage.channel_percent[c] / 100;
}

static void fill_surface(const struct maker *m, struct surface_plan *sp, const struct surface *s, size_t n)
{
    *sp = (struct surface_plan){.surface = s,
                                .direction = RUN_UPRIGHT,
                                .roll_width_mm = 1370,
                                .usable_mm = 1354,
                                .panel_count = n,
                                .seam_count = n - 1};
    sp->panels = arena_take_array(m->arena, n, sizeof *sp->panels);
    sp->seams = arena_take_array(m->arena, n, sizeof *sp->seams);
    double step = s->width_mm / (double)n;
    double *cuts = arena_take_array(m->arena, n + 1, sizeof *cuts);
    for (size_t i = 0; i <= n; i++) cuts[i] = step * (double)i;
    if (n == 4 && s->front == FRONT_LEFT) cuts[1] = 1250;
    if (n == 4 && s->front == FRONT_RIGHT) cuts[3] = s->width_mm - 1250;
    for (size_t i = 0; i + 1 < n; i++) add_seam(m->arena, sp, i, cuts[i + 1], s->front != FRONT_RIGHT);
    for (size_t i = 0; i < n; i++) make_panel(m, sp, i, cuts[i], cuts[i + 1]);
}

static void add_step(const struct maker *m, struct plan *plan, const struct surface_plan *sp,
                     enum step_kind kind, int64_t start, int64_t end, const char *why, bool decides)
{
    static const size_t most = 64;
    if (!plan->steps) plan->steps = arena_take_array(m->arena, most, sizeof *plan->steps);
    const char **panels = arena_take_array(m->arena, sp->panel_count, sizeof *panels);
    for (size_t i = 0; i < sp->panel_count; i++) panels[i] = sp->panels[i].id;
    plan->steps[plan->step_count++] = (struct step){
        kind, panels, sp->panel_count, START + start, START + end, {"step-on-record", NULL, why}, decides};
}

static void make_steps(const struct maker *m, struct plan *plan)
{
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface_plan *sp = &plan->surfaces[i];
        int64_t t = (int64_t)i * 2 * HOUR;
        bool decides = i + 1 == plan->surface_count;
        add_step(m, plan, sp, STEP_PRINT, t, t + 2 * HOUR, "12 m2 an hour and 20 min to set up", decides);
        add_step(m, plan, sp, STEP_DRY, t + 2 * HOUR, t + 2 * HOUR + 57 * HOUR,
                 "eco-solvent, mean coverage 149 %: 57 h from hanging (common practice, no source)", decides);
        int64_t laminate = 3 * DAY + (int64_t)i * HOUR;
        add_step(m, plan, sp, STEP_LAMINATE, laminate, laminate + HOUR, "2 m a minute", decides);
        add_step(m, plan, sp, STEP_BOND, laminate + HOUR, laminate + 25 * HOUR, "24 h before it is applied",
                 decides);
        int64_t trim = 4 * DAY + (int64_t)i * HOUR + HOUR;
        add_step(m, plan, sp, STEP_TRIM, trim, trim + HOUR, "after the laminate's rest", decides);
        int64_t install = 8 * DAY + (int64_t)i * 3 * HOUR;
        add_step(m, plan, sp, STEP_INSTALL, install, install + 3 * HOUR, "1.6 m2 an hour", decides);
    }
}

static void make_roll(const struct maker *m, struct plan *plan, const struct film *film)
{
    plan->rolls = arena_take(m->arena, sizeof *plan->rolls);
    plan->roll_count = 1;
    struct roll *roll = plan->rolls;
    *roll = (struct roll){.film = film, .width_mm = 1370};
    for (size_t s = 0; s < plan->surface_count; s++) roll->placement_count += plan->surfaces[s].panel_count;
    roll->placements = arena_take_array(m->arena, roll->placement_count, sizeof *roll->placements);
    size_t n = 0;
    for (size_t s = 0; s < plan->surface_count; s++)
        for (size_t p = 0; p < plan->surfaces[s].panel_count; p++) {
            roll->placements[n++] = (struct placement){s, p, 8, roll->used_mm, 0};
            roll->used_mm += plan->surfaces[s].panels[p].print_length_mm + 20;
        }
}

static void make_money(const struct maker *m, struct plan *plan)
{
    const struct material_line materials[] = {
        {"film", plan->rolls[0].film->name, plan->rolls[0].used_mm, "mm", 1370,
         plan->rolls[0].used_mm * 1.37 / 1e3, 24120, false, 0},
        {"laminate", "cast-gloss", plan->rolls[0].used_mm + 1000, "mm", 1370,
         plan->rolls[0].used_mm * 1.37 / 1e3, 18440, false, 0},
        {"ink C", "eco", 84.2, "ml", 0, 0, 1347, false, 0},
        {"ink M", "eco", 51.9, "ml", 0, 0, 830, false, 0},
        {"ink Y", "eco", 38.0, "ml", 0, 0, 608, false, 0},
        {"ink K", "eco", 35.6, "ml", 0, 0, 570, false, 0},
    };
    plan->material_count = sizeof materials / sizeof *materials;
    plan->materials = arena_take_array(m->arena, plan->material_count, sizeof *materials);
    for (size_t i = 0; i < plan->material_count; i++) plan->materials[i] = materials[i];
    const struct cost_line costs[] = {
        {"print", 3.1, 10850, false}, {"laminate", 1.4, 4200, false}, {"install", 14.5, 60900, false}};
    plan->cost_count = 3;
    plan->costs = arena_take_array(m->arena, 3, sizeof *costs);
    for (size_t i = 0; i < 3; i++) plan->costs[i] = costs[i];
    plan->total_cost = 121865;
    plan->price = 158425;
}

static void make_findings(const struct maker *m, struct plan *plan)
{
    plan->findings = findings_new(m->arena);
    struct findings *f = &plan->findings;
    const char *left = plan->surfaces[0].surface->name;
    finding_add(f, "stretch-over-limit", arena_format(m->arena, "%s/%s-2", left, left), "as-said",
                ARGUMENTS(arg_words(
                    "words", "The film must stretch 16.2 % in the lower moulding; the set takes 15 %.")))
        ->source = "cast-white, shop.yaml:11, films.stretch-limit";
    finding_add(f, "artwork-short", "rear", "as-said",
                ARGUMENTS(arg_words("words", "art/rear.tif ends 12 mm short of the bleed at the bottom.")));
    finding_add(f, "resolution-low", "right", "as-said",
                ARGUMENTS(arg_words(
                    "words",
                    "The photograph has 58 pixels per inch on the vehicle; the working range begins at 72.")))
        ->source = "common practice, no source";
    finding_add(f, "value-assumed", "shop", "as-said",
                ARGUMENTS(arg_words("words", "The overlap of 12 mm is not written anywhere.")))
        ->source = "common practice, no source";
    finding_add(f, "mixed-colour", left, "as-said",
                ARGUMENTS(arg_words("words", "art/left.pdf mixes RGB pictures with CMYK lettering.")));
    finding_add(f, "cut-out", "rear", "as-said",
                ARGUMENTS(arg_words("words", "The film is cut out round the number plate.")));
}

/* A sky over fields with a band of "lettering": something to see seams against. */
static struct picture *make_preview(struct arena *arena, const struct surface *s)
{
    struct picture *p = arena_take(arena, sizeof *p);
    p->box = surface_bleed_box(s);
    p->width = (int)(rect_width(p->box) / 10);
    p->height = (int)(rect_height(p->box) / 10);
    p->rgb = arena_take_array(arena, (size_t)p->width * (size_t)p->height, 3);
    for (int y = 0; y < p->height; y++)
        for (int x = 0; x < p->width; x++) {
            double up = 1 - (double)y / p->height, hill = 0.42 + 0.1 * sin(x * 0.021) + 0.04 * sin(x * 0.07);
            bool letter =
                up > 0.62 && up < 0.74 && (x / 14) % 3 != 2 && x > p->width / 3 && x < p->width * 3 / 4;
            uint8_t *to = p->rgb + ((size_t)y * (size_t)p->width + (size_t)x) * 3;
            to[0] = (uint8_t)(letter ? 250 : up > hill ? 120 + 100 * (1 - up) : 60 + 90 * up);
            to[1] = (uint8_t)(letter ? 248 : up > hill ? 170 + 60 * (1 - up) : 120 + 70 * up);
            to[2] = (uint8_t)(letter ? 235 : up > hill ? 215 : 70);
        }
    return p;
}

static void make_input(const struct maker *m, struct plan *plan, const struct job *job)
{
    struct zone *zone = arena_take(m->arena, sizeof *zone);
    *zone = (struct zone){.name = "Europe/Lisbon"};
    struct plan_input *input = arena_take(m->arena, sizeof *input);
    *input =
        (struct plan_input){.job = job, .zone = zone, .now = START, .surface_count = plan->surface_count};
    input->surfaces = arena_take_array(m->arena, plan->surface_count, sizeof *input->surfaces);
    for (size_t i = 0; i < plan->surface_count; i++) input->surfaces[i].surface = plan->surfaces[i].surface;
    plan->input = input;
}

struct sample sample_plan(struct arena *arena, size_t left_panels, bool long_names)
{
    struct maker m = {arena, long_names, left_panels};
    struct condition *condition = make_condition(&m);
    struct plan *plan = arena_take(arena, sizeof *plan);
    plan->surface_count = 3;
    plan->surfaces = arena_take_array(arena, 3, sizeof *plan->surfaces);
    fill_surface(&m, &plan->surfaces[0], make_surface(&m, "left", 5000, 1900, FRONT_LEFT, condition),
                 left_panels);
    fill_surface(&m, &plan->surfaces[1], make_surface(&m, "right", 5000, 1900, FRONT_RIGHT, condition), 4);
    fill_surface(&m, &plan->surfaces[2], make_surface(&m, "rear", 1300, 1800, FRONT_AWAY, condition), 1);
    make_input(&m, plan, make_job(&m, condition));
    make_steps(&m, plan);
    make_roll(&m, plan, condition->film);
    make_money(&m, plan);
    make_findings(&m, plan);
    plan->has_install = true;
    plan->earliest_install = START + 8 * DAY;
    plan->finished = START + 8 * DAY + 9 * HOUR;
    plan->promise = (struct promise){.due = START + 11 * DAY + 9 * HOUR, .expected = plan->finished};
    plan->has_latest_start = true;
    plan->latest_start = START + 3 * DAY;
    plan->decides.words = "Drying decides: rear-1 carries the most ink and is printed last.";
    struct sample sample = {plan, arena_take_array(arena, 3, sizeof(struct picture *))};
    for (size_t i = 0; i < 3; i++) sample.previews[i] = make_preview(arena, plan->surfaces[i].surface);
    return sample;
}
