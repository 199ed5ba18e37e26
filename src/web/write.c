#include "write.h"
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

void write_fact(struct json *json, const struct fact *fact, const struct zone *zone)
{
    json_open_object_inline(json, NULL);
    json_whole(json, "number", fact->number);
    json_string(json, "key", fact->key);
    json_string(json, "kind", fact_kind_name(fact->kind));
    json_string(json, "kind_words", fact_kind_words(fact->kind));
    json_string(json, "panel", fact->panel);
    write_time(json, "at", zone, fact->at);
    write_time(json, "recorded", zone, fact->recorded);
    json_string(json, "who", fact->who);
    json_string(json, "device", fact->device);
    write_figure(json, "air_c", fact->air_c, 1);
    write_figure(json, "surface_c", fact->surface_c, 1);
    write_figure(json, "humidity_percent", fact->humidity_percent, 0);
    write_figure(json, "planned_mm", fact->planned_mm, 1);
    write_figure(json, "measured_mm", fact->measured_mm, 1);
    json_string(json, "roll", fact->roll);
    json_string(json, "batch", fact->batch);
    json_string(json, "words", fact->words);
    json_string(json, "override", fact->override);
    json_string(json, "gate", fact->gate);
    json_string(json, "photo",
                fact->photo ? arena_format(json->out->arena, "/api/photos/%s", fact->photo) : NULL);
    json_bool(json, "withdrawn", fact->withdrawn);
    if (fact->withdraws) json_whole(json, "withdraws", fact->withdraws);
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
        return "check that it is dry";
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
    json_string(json, "why", next->why);
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
        json_close(json);
    }
    json_close(json);
}

const char *write_money(money_minor sum, const char *currency, struct arena *arena)
{
    struct text out = text_new(arena);
    long long whole = llabs((long long)sum) / 100;
    if (sum < 0) text_add_char(&out, '-');
    if (whole >= 1000000)
        text_addf(&out, "%lld %03lld %03lld", whole / 1000000, whole / 1000 % 1000, whole % 1000);
    else if (whole >= 1000)
        text_addf(&out, "%lld %03lld", whole / 1000, whole % 1000);
    else
        text_addf(&out, "%lld", whole);
    text_addf(&out, ".%02lld %s", llabs((long long)sum) % 100, currency);
    return text_string(&out);
}
