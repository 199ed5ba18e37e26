/* Writes the plan and its findings as JSON. Called by cli for OUT/plan.json and `--json`, and by web for the
 * page; every figure comes ready from the plan. */
#include "answer/answer.h"
#include "base/json.h"
#include "plan/suit.h"
#include "run/run.h"
#include "shape.h"
#include <math.h>

static const char *const channel_names[INK_CHANNELS] = {"C", "M", "Y", "K"};

static void rect_json(struct json *json, const char *key, struct rect r)
{
    json_numbers(json, key, (const double[]){r.x0, r.y0, r.x1, r.y1}, 4, 3);
}

static void strings_json(struct json *json, const char *key, const char **strings, size_t count)
{
    json_open_list_inline(json, key);
    for (size_t i = 0; i < count; i++) json_string(json, NULL, strings[i]);
    json_close(json);
}

static void money_json(struct json *json, const char *key, money_minor amount)
{
    json_number(json, key, (double)amount / 100, 2);
}

/* What the seam would cost 50 mm lower or further left, or the other way; null where it may not stand. */
static void moved_json(struct json *json, const char *key, money_minor cost)
{
    if (cost < 0)
        json_null(json, key);
    else
        money_json(json, key, cost);
}

static void parts_json(struct json *json, const char *key, const struct seam_part *parts, size_t count)
{
    json_open_list_inline(json, key);
    for (size_t i = 0; i < count; i++)
        json_numbers(json, NULL, (const double[]){parts[i].from_mm, parts[i].to_mm}, 2, 3);
    json_close(json);
}

static void seam_json(struct json *json, const struct surface_plan *surface, const struct seam *seam)
{
    json_open_object_inline(json, NULL);
    json_string(json, "axis", seam->axis == AXIS_X ? "x" : "y");
    json_string(json, "kind", seam->kind == SEAM_GAP ? "gap" : "lap");
    json_number(json, "at_mm", seam->at_mm, 3);
    json_number(json, "from_mm", seam->from_mm, 3);
    json_number(json, "to_mm", seam->to_mm, 3);
    const char *one = surface->panels[seam->over].id, *other = surface->panels[seam->under].id;
    json_string(json, "over", seam->laps ? one : NULL);
    json_string(json, "under", seam->laps ? other : NULL);
    json_open_list_inline(json, "between");
    json_string(json, NULL, one);
    json_string(json, NULL, other);
    json_close(json);
    json_number(json, "overlap_mm", seam->overlap_mm, 3);
    json_number(json, "seam_trim_mm", seam->trim_mm, 3);
    json_number(json, "turn_in_mm", seam->turn_in_mm, 3);
    if (seam->kind == SEAM_GAP) parts_json(json, "gap_mm", seam->gaps, seam->gap_count);
    json_number(json, "detail", seam->detail, 4);
    strings_json(json, "crosses", seam->crosses, seam->crosses_count);
    json_number(json, "minutes", seam->minutes, 2);
    money_json(json, "cost", seam->cost);
    money_json(json, "cost_shows", seam->shown);
    moved_json(json, "cost_50_before", seam->cost_before);
    moved_json(json, "cost_50_after", seam->cost_after);
    json_string(json, "why", seam->why.words);
    json_string(json, "id", seam->why.id);
    arguments_json(json, "args", seam->why.arguments);
    json_close(json);
}

static void coverage_json(struct json *json, const struct ink *ink, const struct panel *panel)
{
    json_open_object_inline(json, "coverage");
    json_number(json, "mean_percent", panel->coverage.mean_percent, 2);
    json_number(json, "peak_percent", panel->coverage.peak_percent, 2);
    json_number(json, "hand_peak_percent", panel->coverage.hand_peak_percent, 2);
    json_bool(json, "estimate", true);
    json_open_object_inline(json, "channels_percent");
    for (int i = 0; i < INK_CHANNELS; i++)
        json_number(json, channel_names[i], panel->coverage.channel_percent[i], 2);
    json_close(json);
    json_open_object_inline(json, "ink_ml");
    for (size_t i = 0; i < ink->channel_count; i++) json_number(json, ink->channels[i], panel->ink_ml[i], 2);
    json_close(json);
    json_close(json);
}

static void stations_json(struct json *json, const struct surface *surface)
{
    if (!surface->station_count) return;
    json_string(json, "stations_along", surface->stations_along_x ? "x" : "y");
    json_open_list_inline(json, "stations");
    for (size_t i = 0; i < surface->station_count; i++) {
        json_open_list_inline(json, NULL);
        json_number(json, NULL, surface->stations[i].view_mm, 3);
        json_number(json, NULL, surface->stations[i].print_mm, 3);
        json_close(json);
    }
    json_close(json);
}

/* What is printed of it, and where that stands. */
static void print_json(struct json *json, const struct panel *panel)
{
    rect_json(json, "print_mm", panel->print);
    rect_json(json, "file_mm", panel->file);
    json_number(json, "area_m2", panel->area_m2, 4);
    json_string(json, "file", panel->file_name);
    json_whole(json, "page", panel->page);
    int drawn_at = panel_forms[panel->form].drawn_at;
    if (drawn_at > 1) json_whole(json, "print_at_percent", drawn_at * 100);
    json_whole(json, "copies", panel->copies);
    if (panel->varies) json_bool(json, "varies", true);
    json_number(json, "roll_width_mm", panel->roll_width_mm, 3);
    json_number(json, "print_length_mm", panel->print_length_mm, 2);
}

static void plan_panel_json(struct json *json, const struct surface_plan *surface, const struct panel *panel)
{
    json_open_object(json, NULL);
    json_string(json, "id", panel->id);
    json_whole(json, "order", panel->install_sequence);
    rect_json(json, "visible_mm", panel->visible);
    print_json(json, panel);
    coverage_json(json, surface->surface->condition->ink, panel);
    json_number(json, "stretch_percent", panel->stretch_percent, 3);
    json_number(json, "stretch_local_percent", panel->stretch_local_percent, 3);
    if (panel->dry_s < 0)
        json_null(json, "dry_h");
    else
        json_number(json, "dry_h", panel->dry_s / 3600, 2);
    stations_json(json, surface->surface);
    json_close(json);
}

/* The largest that any of its film must do, whatever panel it falls on. */
static void stretch_json(struct json *json, const struct surface *surface)
{
    struct suit_stretch stretch =
        suit_stretch_in(surface, rect_of(0, 0, surface->width_mm, surface->height_mm));
    json_number(json, "stretch_percent", stretch.average_percent, 3);
    json_number(json, "stretch_local_percent", stretch.local_percent, 3);
}

/* Its print, counted along the inlays that the surface has. */
static void inlay_print_json(struct json *json, const struct panel *inlay)
{
    json_string(json, "id", inlay->id);
    print_json(json, inlay);
}

static void panels_over_json(struct json *json, const struct surface_plan *plan, struct rect box)
{
    json_open_list_inline(json, "panels");
    for (size_t i = 0; i < plan->panel_count; i++)
        if (rect_overlaps(plan->panels[i].visible, box)) json_string(json, NULL, plan->panels[i].id);
    json_close(json);
}

static void inlays_json(struct json *json, const struct surface_plan *plan)
{
    const struct surface *surface = plan->surface;
    json_open_list(json, "inlays");
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *f = &surface->features[i];
        if (!feature_has_piece(f)) continue;
        struct rect piece = feature_inlay(f);
        json_open_object_inline(json, NULL);
        json_string(json, "kind", f->inlay ? "inlay" : "relief");
        json_string(json, "name", f->name);
        rect_json(json, "box_mm", f->box);
        json_number(json, "piece_width_mm", f->inlay ? rect_width(piece) : 0, 1);
        json_number(json, "piece_height_mm", f->inlay ? rect_height(piece) : 0, 1);
        panels_over_json(json, plan, f->box);
        for (size_t k = plan->panel_count; k < surface_print_count(plan); k++)
            if (plan->panels[k].inlay == f) inlay_print_json(json, &plan->panels[k]);
        json_close(json);
    }
    json_close(json);
}

static void lettering_json(struct json *json, const struct surface_plan *surface)
{
    json_open_list(json, "lettering");
    for (size_t i = 0; i < surface->lettering_count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "words", surface->letterings[i].words);
        json_bool(json, "outlined", surface->letterings[i].outlined);
        rect_json(json, "box_mm", surface->letterings[i].box);
        json_bool(json, "kept_whole", surface->letterings[i].kept);
        json_close(json);
    }
    json_close(json);
}

static void plan_outline_json(struct json *json, const char *key, const struct polygon *shape)
{
    json_open_list_inline(json, key);
    for (size_t k = 0; k < shape->count; k++)
        json_numbers(json, NULL, (const double[]){shape->points[k].x, shape->points[k].y}, 2, 2);
    json_close(json);
}

/* Where the body stays bare though the panel runs over it. */
static void cut_outs_json(struct json *json, const struct surface *surface)
{
    json_open_list(json, "cut_outs");
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *f = &surface->features[i];
        if (feature_types[f->kind].film != FILM_CUT_OUT) continue;
        const struct polygon box = polygon_of_rect(feature_bare_box(f), json->out->arena);
        const struct polygon *shape = feature_bare_shape(f)->count ? feature_bare_shape(f) : &box;
        json_open_object_inline(json, NULL);
        json_string(json, "kind", feature_kind_name(f->kind));
        json_string(json, "name", f->name);
        json_number(json, "margin_mm", feature_cut_out_mm(f), 3);
        rect_json(json, "box_mm", feature_bare_box(f));
        plan_outline_json(json, "outline_mm", shape);
        json_close(json);
    }
    json_close(json);
}

/* Panes in the body: their seal stays bare between the body's film and the film on the glass. */
static void panes_json(struct json *json, const struct surface *surface)
{
    json_open_list(json, "panes");
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *f = &surface->features[i];
        const struct polygon box = polygon_of_rect(f->box, json->out->arena);
        if (!(feature_cut_short_mm(f) > 0)) continue;
        json_open_object_inline(json, NULL);
        json_string(json, "name", f->name);
        json_number(json, "cut_short_mm", feature_cut_short_mm(f), 3);
        rect_json(json, "box_mm", f->box);
        plan_outline_json(json, "outline_mm", f->shape.count ? &f->shape : &box);
        plan_outline_json(json, "film_mm", &f->on_glass);
        json_close(json);
    }
    json_close(json);
}

/* Where it meets other surfaces at a corner of the vehicle. */
static void corners_json(struct json *json, const struct surface *surface)
{
    json_open_list(json, "corners");
    for (int edge = 0; edge < EDGE_COUNT; edge++) {
        const struct surface_corner *corner = &surface->corners[edge];
        if (!corner->other) continue;
        json_open_object_inline(json, NULL);
        json_string(json, "edge", edge_name((enum edge)edge));
        json_string(json, "other", corner->other);
        json_string(json, "over", corner->over ? surface->name : corner->other);
        json_number(json, "wrap_mm", corner->wrap_mm, 3);
        json_close(json);
    }
    json_close(json);
    json_number(json, "cut_short_mm", surface_cut_short_mm(surface), 3);
}

static void feed_json(struct json *json, const struct surface_plan *surface)
{
    const struct condition *condition = surface->surface->condition;
    json_string(json, "printed_with", condition ? feed_condition(condition, json->out->arena) : NULL);
    json_number(json, "feed_percent", surface->feed_percent, 4);
}

void answer_surface(struct json *json, const char *key, const struct surface_plan *surface,
                    const struct picture *preview)
{
    json_open_object(json, key);
    json_string(json, "name", surface->surface->name);
    json_number(json, "width_mm", surface->surface->width_mm, 3);
    json_number(json, "height_mm", surface->surface->height_mm, 3);
    json_number(json, "area_m2", surface->surface->area_m2, 4);
    json_string(json, "front", front_name(surface->surface->front));
    json_string(json, "condition", surface->surface->condition ? surface->surface->condition->name : NULL);
    feed_json(json, surface);
    json_string(json, "panels_run", panels_run_name(surface->direction));
    json_number(json, "roll_width_mm", surface->roll_width_mm, 3);
    json_number(json, "usable_mm", surface->usable_mm, 3);
    stretch_json(json, surface->surface);
    inlays_json(json, surface);
    lettering_json(json, surface);
    cut_outs_json(json, surface->surface);
    panes_json(json, surface->surface);
    corners_json(json, surface->surface);
    shape_json(json, surface->surface);
    if (preview)
        rect_json(json, "preview_mm", preview->box);
    else
        json_null(json, "preview_mm");
    json_open_list(json, "seams");
    for (size_t i = 0; i < surface->seam_count; i++) seam_json(json, surface, &surface->seams[i]);
    json_close(json);
    json_open_list(json, "panels");
    for (size_t i = 0; i < surface->panel_count; i++) plan_panel_json(json, surface, &surface->panels[i]);
    json_close(json);
    json_close(json);
}

static void placements_json(struct json *json, const struct plan *plan, const struct roll *roll, bool inlays)
{
    json_open_list(json, inlays ? "inlays" : "placements");
    for (size_t i = 0; i < roll->placement_count; i++) {
        const struct placement *p = &roll->placements[i];
        const struct panel *panel = &plan->surfaces[p->surface].panels[p->panel];
        if (!panel->inlay == inlays) continue;
        json_open_object_inline(json, NULL);
        json_string(json, inlays ? "inlay" : "panel", panel->id);
        json_number(json, "across_mm", p->across_mm, 3);
        json_number(json, "along_mm", p->along_mm, 3);
        json_whole(json, "turned", p->turned_deg);
        json_close(json);
    }
    json_close(json);
}

static void plan_roll_json(struct json *json, const struct plan *plan, const struct roll *roll)
{
    json_open_object(json, NULL);
    json_string(json, "film", roll->film->name);
    json_number(json, "width_mm", roll->width_mm, 3);
    json_number(json, "used_mm", roll->used_mm, 3);
    placements_json(json, plan, roll, false);
    placements_json(json, plan, roll, true);
    json_close(json);
}

static void plan_step_json(struct json *json, const struct plan *plan, const struct step *step)
{
    struct arena *arena = json->out->arena;
    const struct zone *zone = plan->input->zone;
    json_open_object_inline(json, NULL);
    json_string(json, "step", step_kind_name(step->kind));
    strings_json(json, "panels", step->panels, step->panel_count);
    json_string(json, "start", zone_iso(zone, step->start, arena));
    json_string(json, "end", zone_iso(zone, step->end, arena));
    json_bool(json, "decides", step->decides);
    json_string(json, "why", step->why.words);
    json_string(json, "id", step->why.id);
    arguments_json(json, "args", step->why.arguments);
    json_close(json);
}

static void time_json(struct json *json, const struct plan *plan, const char *key, bool known, int64_t at)
{
    json_string(json, key, known ? zone_iso(plan->input->zone, at, json->out->arena) : NULL);
}

static void buys_json(struct json *json, const struct plan *plan)
{
    json_open_list(json, "buy");
    for (size_t i = 0; i < plan->buy_count; i++) {
        const struct buy_line *line = &plan->buys[i];
        json_open_object_inline(json, NULL);
        json_string(json, "what", line->what);
        json_string(json, "name", line->film->name);
        json_number(json, "width_mm", line->width_mm, 2);
        json_number(json, "length_mm", line->film->length_mm, 2);
        json_whole(json, "rolls", (int64_t)line->rolls);
        money_json(json, "cost", line->cost);
        if (line->missing) json_bool(json, "missing", true);
        json_close(json);
    }
    json_close(json);
    money_json(json, "cash", plan->cash);
}

static void tasks_json(struct json *json, const struct plan *plan)
{
    json_open_list(json, "tasks");
    for (size_t i = 0; i < plan->task_count; i++) {
        const struct task *task = &plan->tasks[i];
        json_open_object_inline(json, NULL);
        json_string(json, "what", task_kind_words(task->kind));
        json_string(json, "surface", task->surface ? task->surface->name : NULL);
        json_number(json, "quantity", task->quantity, 4);
        json_string(json, "unit", task_kind_unit(task->kind));
        json_string(json, "parts", task->parts);
        json_number(json, "minutes", task->minutes.value, 3);
        json_string(json, "source", task->minutes.source);
        json_bool(json, "usual", !measure_is_written(task->minutes));
        json_number(json, "difficulty_percent", task->difficulty_percent, 1);
        json_number(json, "hours", (double)task->seconds / 3600, 4);
        json_close(json);
    }
    json_close(json);
}

static void materials_json(struct json *json, const struct plan *plan)
{
    json_open_object(json, "materials");
    json_open_list(json, "lines");
    for (size_t i = 0; i < plan->material_count; i++) {
        const struct material_line *line = &plan->materials[i];
        json_open_object_inline(json, NULL);
        json_string(json, "what", line->what);
        json_string(json, "name", line->name);
        json_number(json, "amount", line->amount, 4);
        json_string(json, "unit", line->unit);
        if (line->width_mm > 0) json_number(json, "width_mm", line->width_mm, 2);
        if (line->area_m2 > 0) json_number(json, "area_m2", line->area_m2, 6);
        money_json(json, "cost", line->cost);
        if (line->missing) json_bool(json, "missing", true);
        json_close(json);
    }
    json_close(json);
    buys_json(json, plan);
    json_close(json);
}

static void cost_json(struct json *json, const struct plan *plan)
{
    json_open_object(json, "cost");
    json_string(json, "currency", plan->input->job->shop->currency);
    json_open_list(json, "lines");
    for (size_t i = 0; i < plan->cost_count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "what", plan->costs[i].what);
        if (plan->costs[i].hours > 0) json_number(json, "hours", plan->costs[i].hours, 4);
        money_json(json, "cost", plan->costs[i].cost);
        if (plan->costs[i].missing) json_bool(json, "missing", true);
        json_close(json);
    }
    json_close(json);
    strings_json(json, "missing", plan->missing, plan->missing_count);
    strings_json(json, "without", plan->unpriced, plan->unpriced_count);
    money_json(json, "total", plan->total_cost);
    money_json(json, "price", plan->price);
    money_json(json, "asked", plan->asked);
    json_bool(json, "quoted", plan->quoted);
    if (plan->quoted) json_whole(json, "vehicles", plan->input->job->vehicles);
    json_close(json);
}

void answer_decided(struct json *json, const struct plan *plan)
{
    const char *kind = plan->has_install ? decider_name(plan->decided_by) : NULL;
    if (!kind) {
        json_null(json, "decided_by");
        return;
    }
    json_open_object_inline(json, "decided_by");
    json_string(json, "kind", kind);
    json_string(json, "words", plan->decides.words);
    json_string(json, "id", plan->decides.id);
    arguments_json(json, "args", plan->decides.arguments);
    json_close(json);
}

void answer_alternatives(struct json *json, const struct plan *plan)
{
    json_whole(json, "chosen", (int64_t)plan->chosen);
    json_open_list(json, "alternatives");
    for (size_t i = 0; i < plan->alternative_count; i++) {
        const struct alternative *a = &plan->alternatives[i];
        json_open_object_inline(json, NULL);
        json_string(json, "name", a->name);
        strings_json(json, "names", (const char **)a->names, a->name_count);
        money_json(json, "price", a->price);
        money_json(json, "seams_show", a->shown);
        json_whole(json, "panels", (int64_t)a->panel_count);
        json_number(json, "film_mm", a->film_mm, 1);
        json_number(json, "worst_detail", a->worst_detail, 4);
        json_close(json);
    }
    json_close(json);
    json_string(json, "price_note", plan->price_note.words);
    if (plan->price_note.id) json_string(json, "price_note_id", plan->price_note.id);
}

static void acceptance_json(struct json *json, const char *key, const struct acceptance *acceptance)
{
    if (!acceptance) return;
    json_open_object_inline(json, key);
    json_string(json, "who", acceptance->who);
    json_whole(json, "at_s", acceptance->at);
    json_string(json, "words", acceptance->words);
    json_close(json);
}

static void answer_one_finding(struct json *json, const struct finding *finding)
{
    json_open_object_inline(json, NULL);
    json_string(json, "code", finding->code);
    json_string(json, "severity", severity_name(finding->severity));
    json_string(json, "where", finding->where);
    json_string(json, "text", finding->text);
    json_string(json, "id", finding->id);
    arguments_json(json, "args", finding->arguments);
    json_string(json, "do", finding->remedy);
    if (finding->source) json_string(json, "source", finding->source);
    if (finding->has_box) rect_json(json, "box_mm", finding->box);
    json_string(json, "place", finding_place(finding, json->out->arena));
    if (!isnan(finding->figure)) json_number(json, "figure", finding->figure, 3);
    acceptance_json(json, "accepted", finding->accepted);
    acceptance_json(json, "lapsed", finding->lapsed);
    json_close(json);
}

void answer_findings(struct json *json, const struct findings *findings)
{
    json_open_list(json, "findings");
    for (size_t i = 0; i < findings->count; i++) answer_one_finding(json, &findings->items[i]);
    json_close(json);
}

/* Those of a vehicle's own prints that lie on pieces, or those on the surfaces themselves. */
static void vehicle_prints_json(struct json *json, const char *key, const struct plan *plan,
                                const struct plan_vehicle *vehicle, bool pieces)
{
    json_open_list(json, key);
    for (size_t i = 0; i < vehicle->print_count; i++) {
        const struct vehicle_print *print = &vehicle->prints[i];
        const struct surface_plan *surface = &plan->surfaces[print->surface];
        const struct panel *panel = &surface->panels[print->panel];
        if ((surface->surface->piece != NULL) != pieces) continue;
        json_open_object_inline(json, NULL);
        json_string(json, "id", panel->id);
        json_string(json, "surface", surface->surface->name);
        json_string(json, "file", print->file_name);
        json_whole(json, "page", print->page);
        json_close(json);
    }
    json_close(json);
}

static void plan_vehicle_json(struct json *json, const struct plan *plan, const struct plan_vehicle *vehicle)
{
    const struct fleet *fleet = plan->input->job->fleet;
    json_open_object(json, NULL);
    json_string(json, "name", vehicle->row->name);
    json_open_object_inline(json, "fields");
    for (size_t i = 0; i < fleet->column_count; i++)
        json_string(json, fleet->columns[i], vehicle->row->cells[i]);
    json_close(json);
    vehicle_prints_json(json, "panels", plan, vehicle, false);
    vehicle_prints_json(json, "pieces", plan, vehicle, true);
    json_close(json);
}

static void vehicles_json(struct json *json, const struct plan *plan)
{
    if (!plan->vehicle_count) return;
    json_open_list(json, "vehicles");
    for (size_t i = 0; i < plan->vehicle_count; i++) plan_vehicle_json(json, plan, &plan->vehicles[i]);
    json_close(json);
}

/* A piece has all keys of a surface. */
static void surfaces_json(struct json *json, const struct plan *plan, bool pieces)
{
    json_open_list(json, pieces ? "pieces" : "surfaces");
    for (size_t i = 0; i < plan->surface_count; i++)
        if (!plan->surfaces[i].surface->piece == !pieces)
            answer_surface(json, NULL, &plan->surfaces[i], plan->input->surfaces[i].preview);
    json_close(json);
}

void answer_plan(const struct plan *plan, const struct findings *findings, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", PLAN_FORMAT);
    json_string(&json, "job", plan->input->job->number);
    json_string(&json, "mark", plan->fingerprint);
    json_string(&json, "title", plan->input->job->title);
    surfaces_json(&json, plan, false);
    surfaces_json(&json, plan, true);
    vehicles_json(&json, plan);
    cutting_json(&json, plan);
    json_open_list(&json, "rolls");
    for (size_t i = 0; i < plan->roll_count; i++) plan_roll_json(&json, plan, &plan->rolls[i]);
    json_close(&json);
    json_open_list(&json, "schedule");
    for (size_t i = 0; i < plan->step_count; i++) plan_step_json(&json, plan, &plan->steps[i]);
    json_close(&json);
    time_json(&json, plan, "earliest_install", plan->has_install, plan->earliest_install);
    time_json(&json, plan, "finished", plan->has_install, plan->finished);
    time_json(&json, plan, "latest_start", plan->has_latest_start, plan->latest_start);
    json_string(&json, "decides", plan->decides.words);
    answer_decided(&json, plan);
    tasks_json(&json, plan);
    materials_json(&json, plan);
    cost_json(&json, plan);
    answer_alternatives(&json, plan);
    answer_findings(&json, findings);
    json_close(&json);
}

void answer_run(const struct run *run, struct text *out)
{
    if (run->plan) {
        answer_plan(run->plan, &run->findings, out);
        return;
    }
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "job", run->job ? run->job->number : NULL);
    answer_findings(&json, &run->findings);
    json_close(&json);
}

bool answer_write_plan(struct run *run, struct str *json, struct error *error)
{
    struct text out = text_new(run->arena);
    answer_plan(run->plan, &run->findings, &out);
    struct str bytes = {text_string(&out), out.length};
    if (json) *json = bytes;
    return run_write_file(run, "plan.json", bytes, error);
}
