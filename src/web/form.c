/* Decodes a form or query into names and values, and reads numbers and lists from it. Called by exchange.c
 * and the views. */
#include "form.h"
#include <math.h>
#include <stdint.h>
#include <string.h>

static int hex_digit(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

/* Decodes %XX, and + when `plus`. NULL when an escape is broken, a NUL comes out, or it is not UTF-8. */
static char *form_decode(struct str in, bool plus, struct arena *arena)
{
    char *out = arena_take(arena, in.length + 1);
    size_t n = 0;
    for (size_t i = 0; i < in.length; i++) {
        char c = in.bytes[i];
        if (c == '%') {
            int high = i + 2 < in.length ? hex_digit(in.bytes[i + 1]) : -1;
            int low = high >= 0 ? hex_digit(in.bytes[i + 2]) : -1;
            if (low < 0) return NULL;
            c = (char)(high * 16 + low);
            i += 2;
        } else if (c == '+' && plus) {
            c = ' ';
        }
        if (!c) return NULL;
        out[n++] = c;
    }
    return str_is_utf8((struct str){out, n}) ? out : NULL;
}

const char *segment_decode(struct str segment, struct arena *arena)
{
    const char *words = form_decode(segment, false, arena);
    return words && !strchr(words, '/') ? words : NULL;
}

static size_t find_byte(struct str text, size_t from, char byte)
{
    const char *found = from < text.length ? memchr(text.bytes + from, byte, text.length - from) : NULL;
    return found ? (size_t)(found - text.bytes) : text.length;
}

static bool form_read_pair(struct str pair, struct arena *arena, struct form_pair *out)
{
    size_t equals = find_byte(pair, 0, '=');
    out->name = form_decode(str_slice(pair, 0, equals), true, arena);
    out->value =
        equals < pair.length ? form_decode(str_slice(pair, equals + 1, pair.length), true, arena) : "";
    return out->name && out->value;
}

bool form_read(struct str bytes, struct arena *arena, struct form *form)
{
    *form = (struct form){0};
    size_t pairs = 1;
    for (size_t i = 0; i < bytes.length; i++) pairs += bytes.bytes[i] == '&';
    if (pairs > FORM_PAIRS_MOST) return false;
    form->pairs = arena_take_array(arena, pairs, sizeof *form->pairs);
    for (size_t at = 0; at < bytes.length;) {
        size_t end = find_byte(bytes, at, '&');
        if (end > at) {
            if (!form_read_pair(str_slice(bytes, at, end), arena, &form->pairs[form->count])) return false;
            form->count++;
        }
        at = end + 1;
    }
    return true;
}

const char *form_get(const struct form *form, const char *name)
{
    for (size_t i = 0; i < form->count; i++)
        if (!strcmp(form->pairs[i].name, name)) return *form->pairs[i].value ? form->pairs[i].value : NULL;
    return NULL;
}

bool form_number(const struct form *form, const char *name, double least, double most, double *value)
{
    const char *text = form_get(form, name);
    *value = NAN;
    if (!text) return true;
    struct str trimmed = str_trim(str_from(text));
    return trimmed.length && str_number(trimmed, value) == trimmed.length && *value >= least &&
           *value <= most;
}

bool form_whole(const struct form *form, const char *name, int64_t most, int64_t *value)
{
    const char *text = form_get(form, name);
    *value = -1;
    if (!text) return true;
    int64_t sum = 0;
    for (const char *at = text; *at; at++) {
        if (*at < '0' || *at > '9' || sum > (most - (*at - '0')) / 10) return false;
        sum = sum * 10 + (*at - '0');
    }
    *value = sum;
    return true;
}

const char **form_list(const char *value, struct arena *arena, size_t *count)
{
    struct str text = str_from(value);
    size_t most = 1;
    for (size_t i = 0; i < text.length; i++) most += text.bytes[i] == ',';
    const char **items = arena_take_array(arena, most, sizeof *items);
    *count = 0;
    for (size_t at = 0; at <= text.length;) {
        size_t end = find_byte(text, at, ',');
        struct str item = str_trim(str_slice(text, at, end));
        if (item.length) items[(*count)++] = arena_copy(arena, item.bytes, item.length);
        at = end + 1;
    }
    return items;
}
