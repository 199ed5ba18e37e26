/* Writes the shop's roll layout as JSON. Called by cli for OUT/rolls.json and `--json`; every figure comes ready
 * from the layout. */
#include "answer/answer.h"
#include "base/json.h"
#include "model/roll_layout.h"

static void amount_json(struct json *json, const char *key, money_minor amount)
{
    json_number(json, key, (double)amount / 100, 2);
}

/* Members that name a print. */
static void who_json(struct json *json, const struct plan *plan, size_t surface, size_t panel, size_t vehicle)
{
    json_string(json, "job", plan->input->job->number);
    json_string(json, "surface", plan->surfaces[surface].surface->name);
    json_string(json, "panel", plan->surfaces[surface].panels[panel].id);
    json_whole(json, "vehicle", (int64_t)vehicle);
    const char *name = roll_vehicle_name(plan, surface, panel, vehicle);
    if (name) json_string(json, "vehicle_name", name);
}

static void outline_json(struct json *json, const struct polygon *outline)
{
    if (!outline->count) {
        json_null(json, "outline_mm");
        return;
    }
    json_open_list_inline(json, "outline_mm");
    for (size_t i = 0; i < outline->count; i++)
        json_numbers(json, NULL, (const double[]){outline->points[i].x, outline->points[i].y}, 2, 2);
    json_close(json);
}

static void laid_print_json(struct json *json, const struct laid_print *print)
{
    json_open_object_inline(json, NULL);
    who_json(json, print->plan, print->surface, print->panel, print->vehicle);
    json_number(json, "across_mm", print->across_mm, 3);
    json_number(json, "along_mm", print->along_mm, 3);
    json_number(json, "turned_deg", print->turned_deg, 0);
    json_number(json, "wide_mm", print->wide_mm, 3);
    json_number(json, "long_mm", print->long_mm, 3);
    json_whole(json, "sent", (int64_t)print->sent + 1);
    outline_json(json, &print->outline);
    json_close(json);
}

static void laid_roll_json(struct json *json, const struct roll_layout *layout, size_t i)
{
    const struct laid_roll *roll = &layout->rolls[i];
    json_open_object(json, NULL);
    json_string(json, "roll", roll->name);
    json_bool(json, "new", roll->is_new);
    json_string(json, "film", roll->film->name);
    json_string(json, "printer", roll->printer->name);
    json_number(json, "width_mm", roll->width_mm, 3);
    json_number(json, "length_mm", roll->length_mm, 3);
    json_string(json, "batch", roll->batch);
    json_number(json, "used_mm", roll->used_mm, 3);
    json_number(json, "leader_mm", roll->leader_mm, 3);
    json_number(json, "tail_mm", roll->tail_mm, 3);
    json_string(json, "picture", arena_format(json->out->arena, "pictures/laid-%zu.svg", i + 1));
    json_open_list(json, "placements");
    for (size_t k = 0; k < roll->print_count; k++) laid_print_json(json, &roll->prints[k]);
    json_close(json);
    json_close(json);
}

static void laminate_json(struct json *json, const struct roll_layout *layout,
                          const struct laid_laminate *run)
{
    json_open_object_inline(json, NULL);
    json_string(json, "roll", run->name);
    json_bool(json, "new", run->is_new);
    json_string(json, "laminate", run->laminate->name);
    json_number(json, "width_mm", run->width_mm, 3);
    json_number(json, "length_mm", run->length_mm, 3);
    json_string(json, "batch", run->batch);
    json_number(json, "from_mm", run->from_mm, 3);
    json_number(json, "to_mm", run->to_mm, 3);
    json_string(json, "over", layout->rolls[run->roll].name);
    json_close(json);
}

static void off_cut_json(struct json *json, const struct roll_layout *layout, const struct off_cut *cut)
{
    const struct laid_roll *roll = &layout->rolls[cut->roll];
    json_open_object_inline(json, NULL);
    json_string(json, "name", cut->name);
    json_string(json, "cut_from", roll->name);
    json_string(json, "film", roll->film->name);
    json_string(json, "batch", roll->batch);
    json_number(json, "width_mm", cut->width_mm, 3);
    json_number(json, "length_mm", cut->length_mm, 3);
    json_number(json, "across_mm", cut->across_mm, 3);
    json_number(json, "along_mm", cut->along_mm, 3);
    json_close(json);
}

static void buy_json(struct json *json, const struct roll_material *line)
{
    json_open_object_inline(json, NULL);
    json_string(json, "film", line->name);
    json_string(json, "what", line->what);
    json_number(json, "width_mm", line->width_mm, 3);
    json_number(json, "length_mm", line->film->length_mm, 3);
    json_whole(json, "rolls", (int64_t)line->rolls);
    amount_json(json, "cost", line->cost);
    if (line->missing) json_bool(json, "missing", true);
    json_close(json);
}

static void material_json(struct json *json, const struct roll_material *line)
{
    json_open_object_inline(json, NULL);
    json_string(json, "what", line->what);
    json_string(json, "name", line->name);
    if (line->width_mm > 0) json_number(json, "width_mm", line->width_mm, 3);
    json_number(json, "amount", line->amount, 3);
    json_string(json, "unit", line->unit);
    if (line->film) json_number(json, "in_stock", line->in_stock, 3);
    if (line->film) json_whole(json, "rolls", (int64_t)line->rolls);
    amount_json(json, "cost", line->cost);
    if (line->missing) json_bool(json, "missing", true);
    json_close(json);
}

static void left_out_json(struct json *json, const struct roll_left_out *print)
{
    json_open_object_inline(json, NULL);
    who_json(json, print->plan, print->surface, print->panel, print->vehicle);
    json_string(json, "why", print->why);
    json_close(json);
}

static void saving_json(struct json *json, const struct roll_saving *saving)
{
    if (!saving->known) {
        json_null(json, "batch_saves");
        return;
    }
    json_open_object(json, "batch_saves");
    json_whole(json, "vehicles", (int64_t)saving->vehicles);
    json_number(json, "together_mm", saving->together_mm, 3);
    json_number(json, "singly_mm", saving->singly_mm, 3);
    json_whole(json, "together_rolls", (int64_t)saving->together_rolls);
    json_whole(json, "singly_rolls", (int64_t)saving->singly_rolls);
    amount_json(json, "together_cost", saving->together_cost);
    amount_json(json, "singly_cost", saving->singly_cost);
    json_close(json);
}

static void roll_job_json(struct json *json, const struct roll_job *job)
{
    json_open_object_inline(json, NULL);
    json_string(json, "job", job->plan->input->job->number);
    json_string(json, "mark", job->plan->fingerprint);
    json_whole(json, "vehicles", (int64_t)job->vehicles);
    json_close(json);
}

static void lists_json(struct json *json, const struct roll_layout *layout)
{
    json_open_list(json, "laminates");
    for (size_t i = 0; i < layout->laminate_count; i++) laminate_json(json, layout, &layout->laminates[i]);
    json_close(json);
    json_open_list(json, "buy");
    for (size_t i = 0; i < layout->material_count; i++)
        if (layout->materials[i].rolls) buy_json(json, &layout->materials[i]);
    json_close(json);
    amount_json(json, "cash", layout->cash);
    json_open_list(json, "off_cuts");
    for (size_t i = 0; i < layout->off_cut_count; i++) off_cut_json(json, layout, &layout->off_cuts[i]);
    json_close(json);
    json_open_list(json, "materials");
    for (size_t i = 0; i < layout->material_count; i++) material_json(json, &layout->materials[i]);
    json_close(json);
    json_open_list(json, "left_out");
    for (size_t i = 0; i < layout->left_out_count; i++) left_out_json(json, &layout->left_out[i]);
    json_close(json);
}

void answer_rolls(const struct roll_layout *layout, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-rolls/1");
    json_open_list(&json, "jobs");
    for (size_t i = 0; i < layout->job_count; i++) roll_job_json(&json, &layout->jobs[i]);
    json_close(&json);
    json_open_list(&json, "rolls");
    for (size_t i = 0; i < layout->roll_count; i++) laid_roll_json(&json, layout, i);
    json_close(&json);
    json_number(&json, "used_mm", layout->used_mm, 3);
    json_number(&json, "lower_bound_mm", layout->lower_mm, 3);
    json_number(&json, "together_costs_mm", layout->together_cost_mm, 3);
    json_number(&json, "turning_saves_mm", layout->turning_cost_mm, 3);
    json_string(&json, "search_ended_by", layout->cut_short ? "clock" : "tries");
    lists_json(&json, layout);
    saving_json(&json, &layout->saving);
    answer_findings(&json, &layout->findings);
    json_close(&json);
}
