/* Entries as a table for a spreadsheet, or as JSON. Called by cli for `lapstrake record export`. */
#include "answer/answer.h"
#include "cells.h"
#include "base/json.h"
#include "base/text.h"
#include "model/entry.h"
#include "model/plan.h"
#include <math.h>

/* ---- CSV ---- */

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

static const char *cell_of(const struct fact *f, const struct fact_field *field, const struct zone *zone,
                           struct arena *arena)
{
    if (field->form == FACT_FORM_KIND) return fact_kind_name(f->kind);
    if (field->form == FACT_FORM_TIME) return zone_iso(zone, fact_whole(f, field), arena);
    if (fact_form_is_text(field->form)) return fact_text(f, field);
    if (fact_form_is_figure(field->form)) return number_words(arena, fact_figure(f, field));
    return whole_words(arena, fact_whole(f, field));
}

void answer_facts_csv(const struct fact *facts, size_t count, const struct zone *zone, struct text *out)
{
    for (size_t k = 0; k < fact_field_count; k++) answer_add_cell(out, !k, fact_fields[k].name);
    text_add(out, ",withdrawn,undone\r\n");
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < fact_field_count; k++)
            answer_add_cell(out, !k, cell_of(&facts[i], &fact_fields[k], zone, out->arena));
        answer_add_cell(out, false, facts[i].withdrawn ? "yes" : NULL);
        answer_add_cell(out, false, facts[i].undone ? "yes" : NULL);
        text_add(out, "\r\n");
    }
}

/* ---- JSON ---- */

/* A field that is not given is left out. */
static void field_json(struct json *json, const struct fact *f, const struct fact_field *field,
                       const struct zone *zone)
{
    if (!fact_field_given(f, field)) return;
    if (fact_form_is_figure(field->form))
        json_number(json, field->name, fact_figure(f, field), 3);
    else if (field->form == FACT_FORM_WHOLE)
        json_whole(json, field->name, fact_whole(f, field));
    else
        json_string(json, field->name, cell_of(f, field, zone, json->out->arena));
}

static void fact_json(struct json *json, const struct fact *f, const struct zone *zone)
{
    json_open_object_inline(json, NULL);
    for (size_t i = 0; i < fact_field_count; i++) field_json(json, f, &fact_fields[i], zone);
    json_bool(json, "withdrawn", f->withdrawn);
    if (f->undone) json_bool(json, "undone", true);
    json_close(json);
}

void answer_facts(const struct fact *facts, size_t count, const struct zone *zone, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-record/1");
    json_open_list(&json, "facts");
    for (size_t i = 0; i < count; i++) fact_json(&json, &facts[i], zone);
    json_close(&json);
    json_close(&json);
}
