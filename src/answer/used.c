/* Writes planned against used as JSON and CSV. Called by cli and web. */
#include "answer/answer.h"
#include "base/json.h"
#include "cells.h"
#include "model/used.h"
#include <math.h>

static void used_figure_json(struct json *json, const char *key, double value)
{
    if (isfinite(value))
        json_number(json, key, value, 4);
    else
        json_null(json, key);
}

static void used_line_json(struct json *json, const struct used_line *line)
{
    json_open_object_inline(json, NULL);
    json_string(json, "what", line->kind->name);
    json_string(json, "of", line->of);
    json_string(json, "unit", used_unit_name(line->kind->unit));
    used_figure_json(json, "planned", line->planned);
    used_figure_json(json, "used", line->used);
    used_figure_json(json, "ratio", line->used / line->planned);
    json_string(json, "from", isnan(line->used) ? NULL : line->written ? "used" : "prints");
    json_close(json);
}

static void used_job_json(struct json *json, const struct used_job *job)
{
    json_open_object(json, NULL);
    json_string(json, "job", job->job);
    json_string(json, "title", job->title);
    json_bool(json, "printed", job->whole);
    json_open_list(json, "lines");
    for (size_t i = 0; i < job->line_count; i++) used_line_json(json, &job->lines[i]);
    json_close(json);
    json_close(json);
}

static void used_rate_json(struct json *json, const struct used_rate *rate)
{
    json_open_object_inline(json, NULL);
    json_string(json, "what", rate->kind->name);
    json_string(json, "of", rate->of);
    json_whole(json, "jobs", (int64_t)rate->ratio.jobs);
    used_figure_json(json, "median", rate->ratio.median);
    used_figure_json(json, "low", rate->ratio.low);
    used_figure_json(json, "high", rate->ratio.high);
    json_string(json, "sure", used_sure_name(rate->ratio.sure));
    json_string(json, "key", rate->kind->rate);
    used_figure_json(json, "now", rate->now);
    used_figure_json(json, "suggested", rate->suggested);
    used_figure_json(json, "suggested_low", rate->low);
    used_figure_json(json, "suggested_high", rate->high);
    json_close(json);
}

void answer_used(const struct used_report *report, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-used/1");
    json_open_list(&json, "jobs");
    for (size_t i = 0; i < report->job_count; i++) used_job_json(&json, &report->jobs[i]);
    json_close(&json);
    json_open_list(&json, "rates");
    for (size_t i = 0; i < report->rate_count; i++) used_rate_json(&json, &report->rates[i]);
    json_close(&json);
    json_close(&json);
}

static const char *used_cell(struct arena *arena, double value)
{
    struct text text = text_new(arena);
    if (!isfinite(value)) return NULL;
    text_add_number(&text, value, 4);
    return text_string(&text);
}

void answer_used_csv(const struct used_report *report, struct text *out)
{
    text_add(out, "job,what,of,unit,planned,used,ratio,from\r\n");
    for (size_t i = 0; i < report->job_count; i++)
        for (size_t k = 0; k < report->jobs[i].line_count; k++) {
            const struct used_line *line = &report->jobs[i].lines[k];
            answer_add_cell(out, true, report->jobs[i].job);
            answer_add_cell(out, false, line->kind->name);
            answer_add_cell(out, false, line->of);
            answer_add_cell(out, false, used_unit_name(line->kind->unit));
            answer_add_cell(out, false, used_cell(out->arena, line->planned));
            answer_add_cell(out, false, used_cell(out->arena, line->used));
            answer_add_cell(out, false, used_cell(out->arena, line->used / line->planned));
            answer_add_cell(out, false, isnan(line->used) ? NULL : line->written ? "used" : "prints");
            text_add(out, "\r\n");
        }
}
