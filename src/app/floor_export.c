/* All facts as a table for a spreadsheet, or as JSON. */
#include "base/json.h"
#include "base/text.h"
#include "floor_inner.h"
#include <math.h>
#include <string.h>

enum { EXPORT_CELLS = 25 };

/* ---- CSV: RFC 4180 ---- */

/* A spreadsheet takes words that begin with these for a formula; a leading apostrophe keeps them words.
 * Common practice, no source. */
static bool is_formula(const char *words)
{
    return words[0] && strchr("=+-@\t", words[0]);
}

static void add_cell(struct text *out, bool first, const char *words)
{
    if (!first) text_add_char(out, ',');
    if (!words) return;
    bool guard = is_formula(words);
    if (!guard && !words[strcspn(words, ",\"\r\n")]) {
        text_add(out, words);
        return;
    }
    text_add(out, guard ? "\"'" : "\"");
    for (; *words; words++) {
        if (*words == '"') text_add_char(out, '"');
        text_add_char(out, *words);
    }
    text_add_char(out, '"');
}

static const char *number_words(struct arena *arena, double value)
{
    if (isnan(value)) return NULL;
    struct text text = text_new(arena);
    text_add_number(&text, value, 3);
    return text_string(&text);
}

static const char *whole_words(struct arena *arena, int64_t value)
{
    return value ? arena_format(arena, "%lld", (long long)value) : NULL;
}

static const char *const heads[EXPORT_CELLS] = {"number",
                                                "kind",
                                                "at",
                                                "recorded",
                                                "job",
                                                "panel",
                                                "who",
                                                "device",
                                                "air_c",
                                                "surface_c",
                                                "humidity_percent",
                                                "planned_mm",
                                                "measured_mm",
                                                "roll",
                                                "batch",
                                                "words",
                                                "override",
                                                "gate",
                                                "photo",
                                                "what",
                                                "of",
                                                "width_mm",
                                                "length_mm",
                                                "withdraws",
                                                "withdrawn"};

/* The cells of a fact, in the order of the heads. */
static void cells_of(const struct fact *f, const struct zone *zone, struct arena *arena,
                     const char *cells[EXPORT_CELLS])
{
    const char *all[EXPORT_CELLS] = {whole_words(arena, f->number),
                                     fact_kind_name(f->kind),
                                     zone_iso(zone, f->at, arena),
                                     zone_iso(zone, f->recorded, arena),
                                     f->job,
                                     f->panel,
                                     f->who,
                                     f->device,
                                     number_words(arena, f->air_c),
                                     number_words(arena, f->surface_c),
                                     number_words(arena, f->humidity_percent),
                                     number_words(arena, f->planned_mm),
                                     number_words(arena, f->measured_mm),
                                     f->roll,
                                     f->batch,
                                     f->words,
                                     f->override,
                                     f->gate,
                                     f->photo,
                                     f->what,
                                     f->of,
                                     number_words(arena, f->width_mm),
                                     number_words(arena, f->length_mm),
                                     whole_words(arena, f->withdraws),
                                     f->withdrawn ? "yes" : NULL};
    memcpy(cells, all, sizeof all);
}

static void write_csv(const struct fact *facts, size_t count, const struct zone *zone, struct text *out)
{
    const char *cells[EXPORT_CELLS];
    for (size_t i = 0; i < EXPORT_CELLS; i++) add_cell(out, !i, heads[i]);
    text_add(out, "\r\n");
    for (size_t i = 0; i < count; i++) {
        cells_of(&facts[i], zone, out->arena, cells);
        for (size_t k = 0; k < EXPORT_CELLS; k++) add_cell(out, !k, cells[k]);
        text_add(out, "\r\n");
    }
}

/* ---- JSON ---- */

static void number_json(struct json *json, const char *key, double value)
{
    if (!isnan(value)) json_number(json, key, value, 3);
}

static void words_json(struct json *json, const char *key, const char *words)
{
    if (words) json_string(json, key, words);
}

static void fact_json(struct json *json, const struct fact *f, const struct zone *zone)
{
    struct arena *arena = json->out->arena;
    json_open_object_inline(json, NULL);
    json_whole(json, "number", f->number);
    json_string(json, "key", f->key);
    json_string(json, "kind", fact_kind_name(f->kind));
    json_string(json, "at", zone_iso(zone, f->at, arena));
    json_string(json, "recorded", zone_iso(zone, f->recorded, arena));
    words_json(json, "job", f->job), words_json(json, "panel", f->panel);
    words_json(json, "who", f->who), words_json(json, "device", f->device);
    number_json(json, "air_c", f->air_c), number_json(json, "surface_c", f->surface_c);
    number_json(json, "humidity_percent", f->humidity_percent);
    number_json(json, "planned_mm", f->planned_mm), number_json(json, "measured_mm", f->measured_mm);
    words_json(json, "roll", f->roll), words_json(json, "batch", f->batch),
        words_json(json, "words", f->words);
    words_json(json, "override", f->override), words_json(json, "gate", f->gate);
    words_json(json, "photo", f->photo), words_json(json, "what", f->what), words_json(json, "of", f->of);
    number_json(json, "width_mm", f->width_mm), number_json(json, "length_mm", f->length_mm);
    if (f->withdraws) json_whole(json, "withdraws", f->withdraws);
    json_bool(json, "withdrawn", f->withdrawn);
    json_close(json);
}

static void write_json(const struct fact *facts, size_t count, const struct zone *zone, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-record/1");
    json_open_list(&json, "facts");
    for (size_t i = 0; i < count; i++) fact_json(&json, &facts[i], zone);
    json_close(&json);
    json_close(&json);
}

bool floor_export(struct floor *floor, const char *job, bool json, struct text *out, struct error *error)
{
    struct fact *facts;
    size_t count;
    if (!floor_facts(floor, job, NULL, out->arena, &facts, &count, error)) return false;
    if (json)
        write_json(facts, count, floor->zone, out);
    else
        write_csv(facts, count, floor->zone, out);
    return true;
}
