/* Cuts a value, entry or key out of a YAML text or puts one in, leaving every other byte. Called by edit.c,
 * which finds the spot and checks the result. */
#include "splice.h"
#include "base/arena.h"
#include "job/edit.h"
#include <string.h>

static bool is_break(char c)
{
    return c == '\n' || c == '\r';
}

static bool splice_is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static char at_or_nul(struct str text, size_t at)
{
    return at < text.length ? text.bytes[at] : 0;
}

static size_t skip_blanks(struct str text, size_t at)
{
    while (splice_is_blank(at_or_nul(text, at))) at++;
    return at;
}

static size_t line_start(struct str text, size_t at)
{
    while (at && !is_break(text.bytes[at - 1])) at--;
    return at;
}

static size_t line_end(struct str text, size_t at)
{
    while (at < text.length && !is_break(text.bytes[at])) at++;
    return at;
}

static size_t line_next(struct str text, size_t at)
{
    at = line_end(text, at);
    bool two = at_or_nul(text, at) == '\r' && at_or_nul(text, at + 1) == '\n';
    return at + two + (at < text.length);
}

/* Behind blanks, line breaks and comments. */
static size_t gap_end(struct str text, size_t at)
{
    for (;; at++) {
        if (at_or_nul(text, at) == '#') at = line_end(text, at);
        char c = at_or_nul(text, at);
        if (!splice_is_blank(c) && !is_break(c)) return at;
    }
}

static bool begins_line(struct str text, size_t at)
{
    size_t start = line_start(text, at);
    return skip_blanks(text, start) == at;
}

static bool ends_line(struct str text, size_t at)
{
    size_t end = skip_blanks(text, at);
    return end == text.length || is_break(text.bytes[end]) || text.bytes[end] == '#';
}

/* As the file ends its lines. */
static const char *line_break(struct str text)
{
    size_t end = line_end(text, 0);
    if (at_or_nul(text, end) != '\r') return "\n";
    return at_or_nul(text, end + 1) == '\n' ? "\r\n" : "\r";
}

static void splice_cut(struct splice *s, size_t from, size_t to, const char *put)
{
    size_t at = s->count++;
    for (; at && s->cuts[at - 1].from > from; at--) s->cuts[at] = s->cuts[at - 1];
    s->cuts[at] = (struct splice_cut){from, to, put};
}

/* ---- where things begin and end ---- */

/* Without the empty lines that a text of several lines takes along. */
static size_t value_end(struct str text, const struct node *node)
{
    size_t end = node->to;
    while (end > node->from && (splice_is_blank(text.bytes[end - 1]) || is_break(text.bytes[end - 1]))) end--;
    return end;
}

static bool is_block(const struct node *node)
{
    return (node->kind == NODE_LIST || node->kind == NODE_GROUP) && !node->flow;
}

/* Of the key, of the value in a list in brackets, of the dash. */
static size_t entry_start(struct str text, const struct spot *spot)
{
    if (spot->outer->kind == NODE_GROUP) return spot->node->key_from;
    if (spot->outer->flow) return spot->node->from;
    return spot->before ? gap_end(text, spot->before->to) : spot->outer->from;
}

/* Behind the colon or the dash that leads to the value; behind the key where there is no colon. */
static size_t lead_end(struct str text, const struct spot *spot)
{
    if (spot->outer->kind == NODE_LIST) return entry_start(text, spot) + !spot->outer->flow;
    size_t colon = gap_end(text, spot->node->key_to);
    return at_or_nul(text, colon) == ':' ? colon + 1 : spot->node->key_to;
}

static size_t entry_end(struct str text, const struct spot *spot)
{
    bool nothing = spot->node->from == spot->node->to;
    return nothing ? lead_end(text, spot) : value_end(text, spot->node);
}

/* ---- another value ---- */

void splice_set(struct splice *s, const struct spot *spot, const char *value)
{
    struct str text = s->text;
    const struct node *node = spot->node;
    size_t end = value_end(text, node);
    if (!spot->outer) {
        splice_cut(s, node->from, end, value);
        return;
    }
    size_t lead = lead_end(text, spot);
    const char *behind = arena_format(s->arena, " %s", value);
    if (is_block(node) && line_start(text, node->from) >= lead) {
        splice_cut(s, lead, lead, behind);
        splice_cut(s, line_start(text, node->from), line_next(text, end), "");
    } else if (node->from < end) {
        splice_cut(s, node->from, end, value);
    } else {
        bool colon = spot->outer->kind == NODE_LIST || text.bytes[lead - 1] == ':';
        splice_cut(s, lead, lead, colon ? behind : arena_format(s->arena, ": %s", value));
    }
}

/* ---- taking out ---- */

/* Of an entry in brackets that has others behind it, its comma goes too, and a comment on its line. */
static void take_out_with_comma(struct splice *s, size_t start, size_t comma)
{
    struct str text = s->text;
    size_t end = skip_blanks(text, comma + 1);
    bool rest = ends_line(text, end);
    if (rest && begins_line(text, start))
        splice_cut(s, line_start(text, start), line_next(text, end), "");
    else
        splice_cut(s, start, rest ? line_end(text, end) : end, "");
}

static void take_out_of_brackets(struct splice *s, const struct spot *spot)
{
    struct str text = s->text;
    size_t start = entry_start(text, spot), end = entry_end(text, spot);
    size_t comma = gap_end(text, end);
    if (at_or_nul(text, comma) == ',') {
        take_out_with_comma(s, start, comma);
        return;
    }
    if (spot->before) {
        struct spot before = {spot->outer, NULL, spot->before};
        bool nothing = spot->before->from == spot->before->to;
        comma = gap_end(text, nothing ? lead_end(text, &before) : value_end(text, spot->before));
        if (line_start(text, start) <= comma)
            start = comma;
        else
            splice_cut(s, comma, comma + 1, "");
    }
    bool whole = begins_line(text, start) && ends_line(text, end);
    splice_cut(s, whole ? line_start(text, start) : start, whole ? line_next(text, end) : end, "");
}

static void take_out_lines(struct splice *s, const struct spot *spot)
{
    struct str text = s->text;
    size_t start = entry_start(text, spot), end = entry_end(text, spot);
    if (begins_line(text, start)) {
        splice_cut(s, line_start(text, start), line_next(text, end), "");
        return;
    }
    while (start && splice_is_blank(text.bytes[start - 1]))
        start--; /* the first of an entry, beside its dash */
    splice_cut(s, start, line_end(text, end), "");
}

void splice_take_out(struct splice *s, const struct spot *spot)
{
    if (spot->outer->flow)
        take_out_of_brackets(s, spot);
    else
        take_out_lines(s, spot);
}

/* ---- putting in ---- */

const char *splice_in_brackets(const struct splice_part *parts, size_t count, const char *value,
                               struct arena *arena)
{
    for (size_t i = count; i--;) {
        const char *word = parts[i].kind == PART_NEW ? "" : job_quote(parts[i].word, arena);
        if (parts[i].kind == PART_KEY)
            value = arena_format(arena, "{%s: %s}", word, value);
        else if (parts[i].kind == PART_NAME) /* the value is what the surface has besides its name: {...} */
            value = arena_format(arena, "[{name: %s, %s]", word, value + 1);
        else
            value = arena_format(arena, "[%s]", value);
    }
    return value;
}

static void splice_new_line(struct text *out, const char *line_break, size_t indent)
{
    text_add(out, line_break);
    while (indent--) text_add_char(out, ' ');
}

/* The same over lines. The first stands at `indent`. */
static const char *over_lines(const struct splice *s, const struct splice_part *parts, size_t count,
                              const char *value, size_t indent)
{
    struct text out = text_new(s->arena);
    const char *end = line_break(s->text);
    for (size_t i = 0; i < count; i++) {
        bool last = i + 1 == count;
        indent += 2;
        if (parts[i].kind == PART_NEW) {
            text_add(&out, "- ");
            continue;
        }
        bool name = parts[i].kind == PART_NAME;
        text_addf(&out, name ? "- name: %s" : last ? "%s: " : "%s:", job_quote(parts[i].word, s->arena));
        if (!last) splice_new_line(&out, end, indent);
    }
    text_add(&out, value);
    return text_string(&out);
}

/* A line of its own behind the line that `at` ends in, or ends. */
static void splice_put_line(struct splice *s, size_t at, size_t indent, const char *line)
{
    struct text out = text_new(s->arena);
    const char *end = line_break(s->text);
    bool at_start = at && is_break(s->text.bytes[at - 1]); /* behind a text of several lines */
    if (!at_start) at = line_end(s->text, at);
    splice_new_line(&out, at_start ? "" : end, indent);
    text_addf(&out, "%s%s", line, at_start ? end : "");
    splice_cut(s, at, at, text_string(&out));
}

static void append_in_brackets(struct splice *s, const struct node *list, const char *in_brackets)
{
    struct spot last = {(struct node *)list, NULL, list->last};
    size_t at = list->last ? entry_end(s->text, &last) : list->from + 1;
    const char *bare = arena_copy(s->arena, in_brackets + 1, strlen(in_brackets) - 2);
    splice_cut(s, at, at, list->last ? arena_format(s->arena, ", %s", bare) : bare);
}

/* `features:` alone, or with a null. */
static void splice_fill(struct splice *s, const struct spot *spot, const struct splice_part *parts,
                        size_t count, const char *value)
{
    const struct node *node = spot->node;
    if (!spot->outer || spot->outer->flow) {
        splice_set(s, spot, splice_in_brackets(parts, count, value, s->arena));
        return;
    }
    if (node->from < node->to) splice_cut(s, node->from, node->to, "");
    size_t indent = (size_t)spot->outer->column + 1;
    splice_put_line(s, lead_end(s->text, spot), indent, over_lines(s, parts, count, value, indent));
}

void splice_append(struct splice *s, const struct spot *spot, const struct splice_part *parts, size_t count,
                   const char *value)
{
    const struct node *node = spot->node;
    if (node->kind == NODE_NOTHING) {
        splice_fill(s, spot, parts, count, value);
    } else if (node->flow) {
        append_in_brackets(s, node, splice_in_brackets(parts, count, value, s->arena));
    } else {
        size_t indent = (size_t)node->column - 1;
        splice_put_line(s, node->to, indent, over_lines(s, parts, count, value, indent));
    }
}

struct str splice_result(const struct splice *s)
{
    struct text out = text_new(s->arena);
    size_t at = 0;
    for (size_t i = 0; i < s->count; i++) {
        if (s->cuts[i].from < at || s->cuts[i].to < s->cuts[i].from) return s->text; /* not foreseen */
        text_add_bytes(&out, s->text.bytes + at, s->cuts[i].from - at);
        text_add(&out, s->cuts[i].put);
        at = s->cuts[i].to;
    }
    text_add_bytes(&out, s->text.bytes + at, s->text.length - at);
    return (struct str){text_string(&out), out.length};
}
