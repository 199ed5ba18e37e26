/* Writes OUT/ink.json: the ink counted on print files. Called by cli after panels were made; run does the
 * counting. */
#include "answer/answer.h"
#include "base/json.h"
#include "run/ink.h"

static const char *const ink_channel_names[INK_CHANNELS] = {"C", "M", "Y", "K"};

static void histogram_json(struct json *json, const struct print_ink *print)
{
    json_open_list(json, "histogram_percent");
    for (size_t i = 0; i < INK_BINS; i++) json_number(json, NULL, print->histogram_percent[i], 4);
    json_close(json);
}

static void places_json(struct json *json, const struct print_ink *print)
{
    json_open_list(json, "over_limit");
    for (size_t i = 0; i < print->place_count; i++) {
        const struct rect *box = &print->places[i].box;
        json_open_object_inline(json, NULL);
        json_number(json, "peak_percent", print->places[i].peak_percent, 2);
        json_numbers(json, "box_mm", (const double[]){box->x0, box->y0, box->x1, box->y1}, 4, 1);
        json_close(json);
    }
    json_close(json);
}

static void channels_json(struct json *json, const struct print_ink *print)
{
    json_open_object_inline(json, "channels_percent");
    for (size_t i = 0; i < INK_CHANNELS; i++)
        json_number(json, ink_channel_names[i], print->channel_percent[i], 4);
    json_close(json);
    json_open_object_inline(json, "ink_ml");
    for (size_t i = 0; i < print->ink->channel_count; i++)
        json_number(json, print->ink->channels[i], print->ink_ml[i], 2);
    json_close(json);
}

static void print_ink_json(struct json *json, const struct print_ink *print)
{
    json_open_object(json, NULL);
    json_string(json, "id", print->panel->id);
    json_string(json, "file", print->panel->file_name);
    json_number(json, "mean_percent", print->mean_percent, 4);
    json_number(json, "peak_percent", print->peak_percent, 4);
    json_numbers(json, "peak_at_mm", (const double[]){print->peak_at.x, print->peak_at.y}, 2, 1);
    channels_json(json, print);
    places_json(json, print);
    histogram_json(json, print);
    json_close(json);
}

bool answer_write_ink(struct run *run, struct error *error)
{
    size_t count;
    const struct print_ink *prints = print_inks(run, &count);
    if (!count) return true;
    struct text out = text_new(run->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-ink/1");
    json_string(&json, "job", run->job->number);
    json_number(&json, "bin_percent", INK_BIN_PERCENT, 0);
    json_open_list(&json, "panels");
    for (size_t i = 0; i < count; i++) print_ink_json(&json, &prints[i]);
    json_close(&json);
    json_close(&json);
    return run_write_file(run, "ink.json", (struct str){text_string(&out), out.length}, error);
}
