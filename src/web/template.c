/* Fills the holes and sections of an HTML template, with everything escaped. Called by the views that send
 * pages. */
#include "template.h"
#include "base/arena.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum { SCOPES_MOST = 4 };

struct scopes {
    const struct template_values *stack[SCOPES_MOST]; /* the innermost last */
    size_t count;
};

void template_set(struct arena *arena, struct template_values *values, const char *name, const char *text)
{
    struct template_value *value =
        arena_append(arena, &values->items, &values->count, &values->capacity, sizeof *value);
    *value = (struct template_value){.name = name, .text = text};
}

void template_set_list(struct arena *arena, struct template_values *values, const char *name,
                       const struct template_values *entries, size_t count)
{
    template_set(arena, values, name, NULL);
    struct template_value *value = &values->items[values->count - 1];
    value->list = entries;
    value->count = count;
}

static const struct template_value *look_up(const struct scopes *scopes, struct str name)
{
    for (size_t s = scopes->count; s-- > 0;)
        for (size_t i = 0; i < scopes->stack[s]->count; i++)
            if (str_equal(name, scopes->stack[s]->items[i].name)) return &scopes->stack[s]->items[i];
    return NULL;
}

static size_t template_find(struct str text, size_t from, const char *what)
{
    size_t length = strlen(what);
    for (size_t i = from; i + length <= text.length; i++)
        if (!memcmp(text.bytes + i, what, length)) return i;
    return SIZE_MAX;
}

/* Where the section's {{/name}} begins, sections of the same name inside it skipped. */
static size_t section_end(struct str page, size_t from, struct str name)
{
    size_t depth = 1;
    for (size_t at = from; (at = template_find(page, at, "{{")) != SIZE_MAX; at += 2) {
        struct str rest = str_slice(page, at + 3, page.length);
        if (rest.length < name.length || memcmp(rest.bytes, name.bytes, name.length) ||
            !str_starts(str_slice(rest, name.length, rest.length), "}}"))
            continue;
        char mark = page.bytes[at + 2];
        if (mark == '#' || mark == '^') depth++;
        if (mark == '/' && !--depth) return at;
    }
    abort();
}

static void web_template_fill(struct str page, struct scopes *scopes, struct text *out);

static void section(struct str inside, char mark, const struct template_value *value, struct scopes *scopes,
                    struct text *out)
{
    bool set = value && (value->count || value->text);
    if (mark == '^') {
        if (!set) web_template_fill(inside, scopes, out);
        return;
    }
    if (!set) return;
    if (!value->list) {
        web_template_fill(inside, scopes, out);
        return;
    }
    assert(scopes->count < SCOPES_MOST);
    for (size_t i = 0; i < value->count; i++) {
        scopes->stack[scopes->count++] = &value->list[i];
        web_template_fill(inside, scopes, out);
        scopes->count--;
    }
}

static void hole(const struct template_value *value, bool raw, struct text *out)
{
    if (!value || !value->text) return;
    if (raw)
        text_add(out, value->text);
    else
        text_add_markup(out, value->text);
}

static void web_template_fill(struct str page, struct scopes *scopes, struct text *out)
{
    size_t at = 0;
    for (size_t open; (open = template_find(page, at, "{{")) != SIZE_MAX;) {
        text_add_bytes(out, page.bytes + at, open - at);
        bool raw = str_starts(str_slice(page, open, page.length), "{{{");
        size_t from = open + (raw ? 3 : 2), end = template_find(page, from, raw ? "}}}" : "}}");
        if (end == SIZE_MAX) abort();
        char mark = page.bytes[from];
        at = end + (raw ? 3 : 2);
        if (mark == '!') continue;
        if (mark == '#' || mark == '^') {
            struct str name = str_slice(page, from + 1, end);
            size_t close = section_end(page, at, name);
            section(str_slice(page, at, close), mark, look_up(scopes, name), scopes, out);
            at = close + name.length + 5;
        } else {
            hole(look_up(scopes, str_slice(page, from, end)), raw, out);
        }
    }
    text_add_bytes(out, page.bytes + at, page.length - at);
}

void template_fill(struct str page, const struct template_values *values, struct text *out)
{
    struct scopes scopes = {.stack = {values}, .count = 1};
    web_template_fill(page, &scopes, out);
}
