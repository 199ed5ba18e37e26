/* Takes a table of comma-separated values apart. Called by the reader of a fleet. */
#include "csv.h"
#include "base/arena.h"
#include "base/text.h"
#include <string.h>

struct csv_reader {
    struct reading *reading;
    struct csv_limits limits;
    struct csv *csv;
    const char *at, *end;
    int line, column;
    char separator;
};

static struct place csv_place(const struct csv_reader *r, int line, int column)
{
    return (struct place){r->reading->file, line, column};
}

static struct place csv_here(const struct csv_reader *r)
{
    return csv_place(r, r->line, r->column);
}

static bool csv_stop(struct csv_reader *r)
{
    r->at = r->end;
    return false;
}

/* ---- letters ---- */

/* ISO 8859-1 has the code points below 256 as its bytes. */
static struct str csv_from_latin(struct str bytes, struct arena *arena)
{
    struct text text = text_new(arena);
    for (size_t i = 0; i < bytes.length; i++) {
        unsigned char c = (unsigned char)bytes.bytes[i];
        if (c >= 0x80) text_add_char(&text, (char)(0xC0 | c >> 6));
        text_add_char(&text, (char)(c >= 0x80 ? 0x80 | (c & 0x3F) : c));
    }
    return (struct str){text_string(&text), text.length};
}

/* The bytes as UTF-8 without their mark. False: they are no text. */
static bool csv_decode(struct reading *reading, struct str *bytes)
{
    struct place place = {reading->file, 1, 1};
    if (str_starts(*bytes, "\xEF\xBB\xBF")) *bytes = str_slice(*bytes, 3, bytes->length);
    bool wide = str_starts(*bytes, "\xFF\xFE") || str_starts(*bytes, "\xFE\xFF");
    if (wide || memchr(bytes->bytes, 0, bytes->length)) {
        report_add(reading->report, place, "csv-is-no-text", ARGUMENTS(arg_flag("wide", wide)));
        return false;
    }
    if (str_is_utf8(*bytes)) return true;
    *bytes = csv_from_latin(*bytes, reading->arena);
    report_remark(reading->report, place, "csv-read-as-latin", NULL);
    return true;
}

static bool csv_ends_line(char c)
{
    return c == '\n' || c == '\r';
}

/* One letter on; a line's end counts once. */
static void csv_step(struct csv_reader *r)
{
    bool pair = r->end - r->at > 1 && r->at[0] == '\r' && r->at[1] == '\n';
    if (csv_ends_line(*r->at)) {
        r->at += pair ? 2 : 1;
        r->line++, r->column = 1;
        return;
    }
    do r->at++;
    while (r->at < r->end && ((unsigned char)*r->at & 0xC0) == 0x80);
    r->column++;
}

/* What the first line with anything in it has most of, outside quotes; a comma when it has none. */
static char csv_separator(const char *at, const char *end)
{
    static const char signs[] = ",;\t";
    size_t counts[3] = {0}, best = 0;
    bool quoted = false;
    while (at < end && csv_ends_line(*at)) at++;
    for (; at < end && (quoted || !csv_ends_line(*at)); at++) {
        const char *sign = *at ? strchr(signs, *at) : NULL;
        if (*at == '"') quoted = !quoted;
        if (sign && !quoted) counts[sign - signs]++;
    }
    for (size_t i = 1; i < 3; i++)
        if (counts[i] > counts[best]) best = i;
    return signs[best];
}

/* ---- cells ---- */

static bool csv_ends_cell(const struct csv_reader *r)
{
    return r->at == r->end || *r->at == r->separator || csv_ends_line(*r->at);
}

/* Between quotes everything is itself, and a quote stands twice. */
static bool csv_read_quoted(struct csv_reader *r, struct text *words)
{
    int line = r->line, column = r->column;
    for (r->at++, r->column++; r->at < r->end;) {
        bool quote = *r->at == '"';
        if (quote && (r->end - r->at < 2 || r->at[1] != '"')) break;
        if (quote) csv_step(r);
        const char *from = r->at;
        csv_step(r);
        text_add_bytes(words, from, (size_t)(r->at - from));
    }
    if (r->at == r->end) {
        report_add(r->reading->report, csv_place(r, line, column), "csv-quote-is-not-closed", NULL);
        return false;
    }
    csv_step(r);
    while (r->at < r->end && *r->at == ' ') csv_step(r);
    if (csv_ends_cell(r)) return true;
    report_add(r->reading->report, csv_here(r), "csv-letters-behind-closing-quote", NULL);
    return csv_stop(r);
}

static bool csv_read_plain(struct csv_reader *r, struct text *words)
{
    const char *from = r->at;
    for (; !csv_ends_cell(r); csv_step(r)) {
        if (*r->at != '"') continue;
        report_add(r->reading->report, csv_here(r), "csv-quote-inside-cell", NULL);
        return csv_stop(r);
    }
    struct str plain = str_trim((struct str){from, (size_t)(r->at - from)});
    text_add_bytes(words, plain.bytes, plain.length);
    return true;
}

/* Letters that do not show, or that turn the letters after them round, have no place in words that are printed:
 * Unicode's controls (C0, C1), line separators, marks of direction and width, soft hyphens, interlinear marks, tags. */
static bool csv_is_control(unsigned rune)
{
    bool unseen = rune == 0xAD || rune == 0x61C || rune == 0x180E || (rune >= 0xFFF9 && rune <= 0xFFFB) ||
                  (rune >= 0xE0000 && rune <= 0xE007F);
    if (unseen) return true;
    return rune < 0x20 || (rune >= 0x7F && rune < 0xA0) || (rune >= 0x200B && rune <= 0x200F) ||
           (rune >= 0x2028 && rune <= 0x202E) || (rune >= 0x2060 && rune <= 0x206F) || rune == 0xFEFF;
}

static unsigned csv_rune(const char *at)
{
    unsigned char lead = (unsigned char)*at++;
    int more = lead < 0xC0 ? 0 : lead < 0xE0 ? 1 : lead < 0xF0 ? 2 : 3;
    unsigned rune = more ? lead & (0x3FU >> more) : lead;
    for (; more && *at; more--) rune = rune << 6 | ((unsigned char)*at++ & 0x3F);
    return rune;
}

/* "U+202e" */
static const char *csv_code(struct arena *arena, unsigned rune)
{
    return arena_format(arena, "U+%02x%02x", rune >> 8, rune & 0xFF);
}

static void csv_check_cell(struct csv_reader *r, const struct csv_cell *cell)
{
    struct report *report = r->reading->report;
    struct place place = csv_place(r, cell->line, cell->column);
    if (strlen(cell->words) > r->limits.cell_bytes)
        report_add(report, place, "csv-cell-is-longer",
                   ARGUMENTS(arg_count("bytes", (int64_t)strlen(cell->words)),
                             arg_count("most", (int64_t)r->limits.cell_bytes)));
    for (const char *c = cell->words; *c; c++) {
        bool inside = ((unsigned char)*c & 0xC0) == 0x80;
        if (inside || !csv_is_control(csv_rune(c))) continue;
        report_add(report, place, "csv-cell-has-control-character",
                   ARGUMENTS(arg_words("code", csv_code(r->reading->arena, csv_rune(c)))));
        return;
    }
}

/* A cell and the sign behind it; *last: it ends its row. */
static bool csv_read_cell(struct csv_reader *r, struct csv_row *row, bool *last)
{
    while (r->at < r->end && *r->at == ' ') csv_step(r);
    struct csv_cell cell = {.line = r->line, .column = r->column};
    struct text words = text_new(r->reading->arena);
    if (row->count == r->limits.columns) {
        report_add(r->reading->report, csv_here(r), "csv-row-has-too-many-cells",
                   ARGUMENTS(arg_count("most", (int64_t)r->limits.columns)));
        return csv_stop(r);
    }
    bool quoted = r->at < r->end && *r->at == '"';
    if (!(quoted ? csv_read_quoted(r, &words) : csv_read_plain(r, &words))) return false;
    cell.words = text_string(&words);
    csv_check_cell(r, &cell);
    *(struct csv_cell *)arena_append(r->reading->arena, &row->cells, &row->count, &row->capacity,
                                     sizeof cell) = cell;
    *last = r->at == r->end || *r->at != r->separator;
    if (r->at < r->end) csv_step(r);
    return true;
}

/* ---- rows ---- */

static bool csv_row_is_empty(const struct csv_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (row->cells[i].words[0]) return false;
    return true;
}

static bool csv_read_row(struct csv_reader *r)
{
    struct csv_row row = {.line = r->line};
    struct csv *csv = r->csv;
    for (bool last = false; !last;)
        if (!csv_read_cell(r, &row, &last)) return false;
    if (csv_row_is_empty(&row)) return true;
    if (csv->count == r->limits.rows) {
        report_add(r->reading->report, csv_place(r, row.line, 1), "csv-has-too-many-rows",
                   ARGUMENTS(arg_count("most", (int64_t)r->limits.rows - 1)));
        return csv_stop(r);
    }
    *(struct csv_row *)arena_append(r->reading->arena, &csv->rows, &csv->count, &csv->capacity, sizeof row) =
        row;
    return true;
}

bool csv_read(struct reading *reading, struct str bytes, struct csv_limits limits, struct csv *csv)
{
    *csv = (struct csv){0};
    size_t errors = reading->report->errors;
    if (!csv_decode(reading, &bytes)) return false;
    struct csv_reader r = {.reading = reading,
                           .limits = limits,
                           .csv = csv,
                           .at = bytes.bytes,
                           .end = bytes.bytes + bytes.length,
                           .line = 1,
                           .column = 1};
    r.separator = csv_separator(r.at, r.end);
    while (r.at < r.end && csv_read_row(&r)) continue;
    return reading->report->errors == errors;
}
