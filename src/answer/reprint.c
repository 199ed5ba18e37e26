/* Writes what came of printing a panel again as JSON. Called by cli for `--json`. */
#include "answer/answer.h"
#include "base/json.h"
#include "run/reprint.h"
#include <math.h>

static void reprint_roll_json(struct json *json, const struct stock_roll *roll)
{
    if (!roll) {
        json_null(json, "roll");
        return;
    }
    json_open_object_inline(json, "roll");
    json_string(json, "name", roll->name);
    json_string(json, "batch", roll->batch);
    json_number(json, "width_mm", roll->width_mm, 1);
    if (isnan(roll->left_mm))
        json_null(json, "left_mm");
    else
        json_number(json, "left_mm", roll->left_mm, 1);
    json_close(json);
}

static void reprint_material_json(struct json *json, const struct run *run, const struct reprint *reprint)
{
    const struct condition *condition = run->surfaces[reprint->surface].surface->condition;
    double ink_ml = 0;
    for (size_t i = 0; reprint->panel && condition && i < condition->ink->channel_count; i++)
        ink_ml += reprint->panel->ink_ml[i];
    json_open_object(json, "material");
    json_string(json, "film", condition ? condition->film->name : NULL);
    if (isnan(reprint->film_mm))
        json_null(json, "film_mm");
    else
        json_number(json, "film_mm", reprint->film_mm, 1);
    json_string(json, "laminate", condition && condition->laminate ? condition->laminate->name : NULL);
    json_number(json, "ink_ml", ink_ml, 2);
    reprint_roll_json(json, reprint->roll);
    json_close(json);
}

void answer_reprint(const struct run *run, const struct reprint *reprint, struct text *out)
{
    static const char *const sources[] = {NULL, "made", "record"};
    const struct panel_print *was = &reprint->was;
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-reprint/1");
    json_string(&json, "job", run->job->number);
    json_string(&json, "surface", was->surface);
    json_string(&json, "panel", was->panel);
    json_string(&json, "compared_with", sources[was->source]);
    json_bool(&json, "same", reprint->same);
    json_string(&json, "file", reprint->path);
    json_string(&json, "sha256", reprint->sha256);
    json_string(&json, "patches", reprint->patches);
    json_whole(&json, "patch_count", (int64_t)reprint->patch_count);
    if (reprint->compared)
        json_bool(&json, "same_bytes", reprint->same_bytes);
    else
        json_null(&json, "same_bytes");
    json_number(&json, "feed_percent", was->feed_percent, 4);
    reprint_material_json(&json, run, reprint);
    if (reprint->entry)
        json_number(&json, "entry", (double)reprint->entry, 0);
    else
        json_null(&json, "entry");
    answer_findings(&json, &run->findings);
    json_close(&json);
}
