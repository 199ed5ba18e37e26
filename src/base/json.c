/* Writes JSON with its commas, indents and escapes. Used wherever a result leaves as JSON; reading JSON is
 * the job room's. */
#include "base/json.h"
#include <assert.h>

struct json json_new(struct text *out)
{
    return (struct json){.out = out};
}

static void write_string(struct text *out, const char *value)
{
    text_add_char(out, '"');
    for (const unsigned char *at = (const unsigned char *)value; *at; at++) {
        if (*at == '"' || *at == '\\')
            text_addf(out, "\\%c", *at);
        else if (*at == '\n')
            text_add(out, "\\n");
        else if (*at == '\t')
            text_add(out, "\\t");
        else if (*at < 0x20 || *at == 0x7F)
            text_addf(out, "\\u00%02x", *at);
        else
            text_add_char(out, (char)*at);
    }
    text_add_char(out, '"');
}

static void json_new_line(struct json *json)
{
    text_add_char(json->out, '\n');
    for (int i = 0; i < json->depth; i++) text_add(json->out, "  ");
}

static void start_value(struct json *json, const char *key)
{
    if (json->has_items[json->depth]) text_add(json->out, json->inline_[json->depth] ? ", " : ",");
    json->has_items[json->depth] = true;
    if (json->depth && !json->inline_[json->depth]) json_new_line(json);
    if (!key) return;
    write_string(json->out, key);
    text_add(json->out, ": ");
}

static void open_bracket(struct json *json, const char *key, char bracket, bool one_line)
{
    start_value(json, key);
    text_add_char(json->out, bracket);
    bool inside_line = json->inline_[json->depth];
    json->depth++;
    assert(json->depth < JSON_DEPTH);
    json->has_items[json->depth] = false;
    json->inline_[json->depth] = one_line || inside_line;
    json->bracket[json->depth] = bracket == '{' ? '}' : ']';
}

void json_open_object(struct json *json, const char *key)
{
    open_bracket(json, key, '{', false);
}

void json_open_object_inline(struct json *json, const char *key)
{
    open_bracket(json, key, '{', true);
}

void json_open_list(struct json *json, const char *key)
{
    open_bracket(json, key, '[', false);
}

void json_open_list_inline(struct json *json, const char *key)
{
    open_bracket(json, key, '[', true);
}

void json_close(struct json *json)
{
    assert(json->depth > 0);
    bool items = json->has_items[json->depth], one_line = json->inline_[json->depth];
    char bracket = json->bracket[json->depth];
    json->depth--;
    if (items && !one_line) json_new_line(json);
    text_add_char(json->out, bracket);
    if (!json->depth) text_add_char(json->out, '\n');
}

void json_string(struct json *json, const char *key, const char *value)
{
    if (!value) {
        json_null(json, key);
        return;
    }
    start_value(json, key);
    write_string(json->out, value);
}

void json_number(struct json *json, const char *key, double value, int decimals)
{
    start_value(json, key);
    text_add_number(json->out, value, decimals);
}

void json_whole(struct json *json, const char *key, int64_t value)
{
    start_value(json, key);
    text_addf(json->out, "%lld", (long long)value);
}

void json_bool(struct json *json, const char *key, bool value)
{
    start_value(json, key);
    text_add(json->out, value ? "true" : "false");
}

void json_null(struct json *json, const char *key)
{
    start_value(json, key);
    text_add(json->out, "null");
}

void json_raw(struct json *json, const char *key, const char *value)
{
    start_value(json, key);
    text_add(json->out, value);
}

void json_numbers(struct json *json, const char *key, const double *values, size_t count, int decimals)
{
    json_open_list_inline(json, key);
    for (size_t i = 0; i < count; i++) json_number(json, NULL, values[i], decimals);
    json_close(json);
}
