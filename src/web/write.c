/* Writes facts, states, times, money and mistakes as the JSON that the page reads. Called by the views;
 * every figure comes ready from run and floor. */
#include "write.h"
#include "model/entry.h"
#include "base/sentence.h"
#include <math.h>
#include <stdlib.h>

void write_time(struct json *json, const char *key, const struct zone *zone, int64_t at)
{
    if (!at) {
        json_null(json, key);
        return;
    }
    json_open_object_inline(json, key);
    json_whole(json, "s", at);
    json_string(json, "words", zone_words(zone, at, json->out->arena));
    json_close(json);
}

void write_figure(struct json *json, const char *key, double value, int decimals)
{
    if (isnan(value))
        json_null(json, key);
    else
        json_number(json, key, value, decimals);
}

void write_strings(struct json *json, const char *key, const char **strings, size_t count)
{
    json_open_list_inline(json, key);
    for (size_t i = 0; i < count; i++) json_string(json, NULL, strings[i]);
    json_close(json);
}

static void write_field(struct json *json, const struct fact *fact, const struct fact_field *field,
                        const struct zone *zone)
{
    if (field->form == FACT_FORM_TIME)
        write_time(json, field->name, zone, fact_whole(fact, field));
    else if (field->form == FACT_FORM_KIND)
        json_string(json, field->name, fact_kind_name(fact->kind));
    else if (fact_form_is_figure(field->form))
        write_figure(json, field->name, fact_figure(fact, field), field->form >= FACT_FORM_NUMBER ? 3 : 1);
    else if (!fact_form_is_text(field->form))
        json_whole(json, field->name, fact_whole(fact, field));
    else if (field->form == FACT_FORM_DIGEST && fact_text(fact, field))
        json_string(json, field->name,
                    arena_format(json->out->arena, "/api/photos/%s", fact_text(fact, field)));
    else
        json_string(json, field->name, fact_text(fact, field));
}

void write_fact(struct json *json, const struct fact *fact, const struct zone *zone)
{
    json_open_object_inline(json, NULL);
    for (size_t i = 0; i < fact_field_count; i++) write_field(json, fact, &fact_fields[i], zone);
    json_string(json, "kind_words", fact_kind_words(fact->kind));
    json_open_object_inline(json, "details");
    json_string(json, "mm", fact_details(fact, false, json->out->arena));
    json_string(json, "in", fact_details(fact, true, json->out->arena));
    json_close(json);
    json_bool(json, "withdrawn", fact->withdrawn);
    json_bool(json, "undone", fact->undone);
    json_close(json);
}

void write_state(struct json *json, const struct panel_state *state, const struct zone *zone)
{
    json_open_object_inline(json, "state");
    write_time(json, "printed", zone, state->printed);
    write_time(json, "hung", zone, state->hung);
    write_time(json, "dry_checked", zone, state->dry_checked);
    write_time(json, "laminated", zone, state->laminated);
    write_time(json, "trimmed", zone, state->trimmed);
    write_time(json, "installed", zone, state->installed);
    json_bool(json, "damaged", state->damaged);
    json_whole(json, "reprints", state->reprints);
    json_whole(json, "overrides", (int64_t)state->overrides);
    json_close(json);
}

const char *write_step_name(enum fact_kind kind)
{
    switch (kind) {
    case FACT_PRINTED:
        return "print";
    case FACT_HUNG:
        return "hang";
    case FACT_DRY_CHECKED:
        return sentence_plain("check-that-it-is-dry");
    case FACT_LAMINATED:
        return "laminate";
    case FACT_TRIMMED:
        return "trim";
    case FACT_INSTALLED:
        return "install";
    case FACT_REPRINT:
        return "reprint";
    default:
        return "done";
    }
}

void write_reason(struct json *json, const struct reason *reason)
{
    json_string(json, "why", reason->words);
    json_string(json, "id", reason->id);
    arguments_json(json, "args", reason->arguments);
}

void write_next(struct json *json, const struct next_step *next, const struct zone *zone)
{
    if (next->kind == FACT_KIND_COUNT) {
        json_null(json, "next");
        return;
    }
    json_open_object_inline(json, "next");
    json_string(json, "kind", fact_kind_name(next->kind));
    json_string(json, "step", write_step_name(next->kind));
    write_time(json, "from", zone, next->from);
    write_time(json, "needed", zone, next->needed);
    json_bool(json, "open", next->open);
    write_reason(json, &next->why);
    json_close(json);
}

void write_mistakes(struct json *json, const struct report *report)
{
    json_open_list(json, "mistakes");
    for (size_t i = 0; report && i < report->count; i++) {
        const struct mistake *m = &report->mistakes[i];
        if (m->remark) continue;
        json_open_object_inline(json, NULL);
        json_string(json, "where",
                    m->place.line ? arena_format(json->out->arena, "%s:%d:%d", m->place.file, m->place.line,
                                                 m->place.column)
                                  : m->place.file);
        json_string(json, "text", m->text);
        json_string(json, "id", m->id);
        arguments_json(json, "args", m->arguments);
        json_close(json);
    }
    json_close(json);
}

void write_visitor(struct json *json, const struct visitor *visitor)
{
    bool shop = visitor->role == ROLE_SHOP;
    json_string(json, "who", visitor->open ? NULL : visitor->name);
    json_string(json, "role", shop ? "shop" : "viewer");
    json_bool(json, "open", visitor->open);
    write_strings(json, "may", (const char *[]){"look", "record", "change", "people"}, shop ? 4 : 1);
}
