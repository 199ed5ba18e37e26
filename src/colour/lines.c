/* Cuts a measurement file into lines, words and quoted words. Called by measurement.c, which knows what
 * they mean. */
#include "lines.h"
#include "base/text.h"

enum { KEPT_MOST = 200 };

bool lines_next(struct lines *lines, struct str *line)
{
    struct str rest = lines->rest;
    if (!rest.length) return false;
    size_t length = 0;
    while (length < rest.length && rest.bytes[length] != '\n' && rest.bytes[length] != '\r') length++;
    *line = str_slice(rest, 0, length);
    bool two = length + 1 < rest.length && rest.bytes[length] == '\r' && rest.bytes[length + 1] == '\n';
    lines->rest = str_slice(rest, length + (two ? 2 : 1), rest.length);
    lines->line++;
    return true;
}

static bool lines_is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\f' || c == '\v';
}

/* From behind the first quote to the last, or to the end when there is none. */
static size_t quoted_length(struct str inside)
{
    for (size_t i = 0; i < inside.length; i++) {
        if (inside.bytes[i] != '"') continue;
        if (i + 1 == inside.length || inside.bytes[i + 1] != '"') return i;
        i++;
    }
    return inside.length;
}

enum word_kind lines_word(struct str *line, struct str *word)
{
    size_t from = 0, to = 0;
    while (from < line->length && lines_is_blank(line->bytes[from])) from++;
    struct str rest = str_slice(*line, from, line->length);
    if (!rest.length || rest.bytes[0] == '#') return WORD_NONE;
    if (rest.bytes[0] == '"') {
        struct str inside = str_slice(rest, 1, rest.length);
        to = quoted_length(inside);
        *word = str_slice(inside, 0, to);
        *line = to < inside.length ? str_slice(inside, to + 1, inside.length) : (struct str){"", 0};
        return to < inside.length ? WORD_QUOTED : WORD_BROKEN;
    }
    while (to < rest.length && !lines_is_blank(rest.bytes[to])) to++;
    *word = str_slice(rest, 0, to);
    *line = str_slice(rest, to, rest.length);
    return WORD_PLAIN;
}

const char *lines_kept(struct str word, struct arena *arena)
{
    struct text kept = text_new(arena);
    bool utf8 = str_is_utf8(word);
    for (size_t i = 0; i < word.length && kept.length < KEPT_MOST; i++) {
        unsigned char c = (unsigned char)word.bytes[i];
        if (c == '"') i++; /* two stand for one */
        text_add_char(&kept, c < ' ' || c == 127 ? ' ' : c >= 128 && !utf8 ? '?' : (char)c);
    }
    while (kept.length && !str_is_utf8((struct str){kept.bytes, kept.length}))
        kept.length--; /* cut letters */
    return kept.length ? arena_copy(arena, kept.bytes, kept.length) : "";
}
