/* Reads `vehicles`: how many, or a fleet's file with a row for each vehicle. Called for the key of the job. */
#include "texts.h"
#include "csv.h"
#include "base/latin.h"
#include "base/path.h"
#include "base/text.h"
#include <string.h>
#include <strings.h>

enum { FLEET_BYTES_MOST = 8 << 20, FLEET_NAME_MOST = 60 };

static struct place fleet_place(const struct reading *reading, const struct csv_cell *cell)
{
    return (struct place){reading->file, cell->line, cell->column};
}

/* ---- the header ---- */

static void fleet_check_column(struct reading *reading, const struct csv_row *header, size_t i)
{
    const struct csv_cell *cell = &header->cells[i];
    struct place place = fleet_place(reading, cell);
    if (!*cell->words)
        report_add(reading->report, place, "fleet-column-has-no-name",
                   ARGUMENTS(arg_count("column", (int64_t)i + 1)));
    if (strpbrk(cell->words, "{}"))
        report_add(reading->report, place, "fleet-column-has-brace",
                   ARGUMENTS(arg_words("name", cell->words)));
    for (size_t k = 0; k < i; k++)
        if (*cell->words && !strcmp(header->cells[k].words, cell->words))
            report_add(reading->report, place, "fleet-column-stands-twice",
                       ARGUMENTS(arg_words("name", cell->words), arg_count("first", (int64_t)k + 1)));
}

/* Cells at a row's end that a spreadsheet wrote and nobody filled. */
static size_t fleet_filled(const struct csv_row *row)
{
    size_t count = row->count;
    while (count && !row->cells[count - 1].words[0]) count--;
    return count;
}

static void fleet_take_header(struct reading *reading, const struct csv_row *header, struct fleet *fleet)
{
    fleet->column_count = fleet_filled(header);
    fleet->columns = arena_take_array(reading->arena, fleet->column_count, sizeof *fleet->columns);
    for (size_t i = 0; i < fleet->column_count; i++) {
        fleet->columns[i] = header->cells[i].words;
        fleet_check_column(reading, header, i);
    }
}

/* ---- vehicles ---- */

/* Blanks that do not break look like others: names that differ in them alone look the same. */
static const char *fleet_plain_blanks(struct arena *arena, const char *name)
{
    static const char *const blanks[] = {"\xC2\xA0", "\xE2\x80\x87",
                                         "\xE2\x80\xAF"}; /* U+00A0, U+2007, U+202F */
    struct text plain = text_new(arena);
    while (*name) {
        size_t skip = 0;
        for (size_t i = 0; i < sizeof blanks / sizeof *blanks; i++)
            if (!strncmp(name, blanks[i], strlen(blanks[i]))) skip = strlen(blanks[i]);
        text_add_char(&plain, skip ? ' ' : *name);
        name += skip ? skip : 1;
    }
    return text_string(&plain);
}

/* A name without letters that a file may have is told by its line. */
static const char *fleet_id(struct arena *arena, const struct fleet_row *row)
{
    struct text id = text_new(arena);
    bool whole = latin_name(fleet_plain_blanks(arena, row->name), FLEET_NAME_MOST, &id);
    return whole && id.length ? text_string(&id) : arena_format(arena, "line-%d", row->line);
}

static bool fleet_check_name(struct reading *reading, const struct csv_cell *cell, const char *column)
{
    size_t length = strlen(cell->words);
    if (!length)
        report_add(reading->report, fleet_place(reading, cell), "fleet-name-is-missing",
                   ARGUMENTS(arg_words("column", column)));
    if (length > FLEET_NAME_MOST)
        report_add(reading->report, fleet_place(reading, cell), "fleet-name-is-too-long",
                   ARGUMENTS(arg_count("bytes", (int64_t)length), arg_count("most", FLEET_NAME_MOST)));
    return length && length <= FLEET_NAME_MOST;
}

static void fleet_check_twice(struct reading *reading, const struct fleet *fleet, const struct csv_cell *cell)
{
    const struct fleet_row *row = &fleet->rows[fleet->row_count - 1], *other = fleet->rows;
    while (other < row && strcasecmp(other->id, row->id)) other++;
    if (other == row) return;
    if (!strcmp(row->name, other->name))
        report_add(reading->report, fleet_place(reading, cell), "fleet-name-stands-twice",
                   ARGUMENTS(arg_words("name", row->name), arg_count("line", other->line)));
    else
        report_add(reading->report, fleet_place(reading, cell), "fleet-name-is-alike",
                   ARGUMENTS(arg_words("name", row->name), arg_words("other", other->name),
                             arg_count("line", other->line)));
}

static void fleet_take_row(struct reading *reading, const struct csv_row *from, struct fleet *fleet)
{
    size_t filled = fleet_filled(from);
    if (from->count < fleet->column_count || filled > fleet->column_count) {
        report_add(
            reading->report, (struct place){reading->file, from->line, 1}, "fleet-row-has-cells",
            ARGUMENTS(arg_count("cells", (int64_t)(filled > fleet->column_count ? filled : from->count)),
                      arg_count("columns", (int64_t)fleet->column_count)));
        return;
    }
    struct fleet_row *row = append(reading, &fleet->rows, &fleet->row_count, sizeof *row);
    *row = (struct fleet_row){.name = from->cells[0].words, .line = from->line};
    row->cells = arena_take_array(reading->arena, fleet->column_count, sizeof *row->cells);
    for (size_t i = 0; i < fleet->column_count; i++) row->cells[i] = from->cells[i].words;
    row->id = fleet_id(reading->arena, row);
    if (fleet_check_name(reading, &from->cells[0], fleet->columns[0]))
        fleet_check_twice(reading, fleet, &from->cells[0]);
}

/* ---- the file ---- */

static void fleet_take(struct reading *reading, const struct csv *csv, struct fleet *fleet)
{
    if (csv->count) fleet_take_header(reading, &csv->rows[0], fleet);
    for (size_t i = 1; i < csv->count; i++) fleet_take_row(reading, &csv->rows[i], fleet);
    if (csv->count < 2)
        report_add(reading->report, (struct place){reading->file, 1, 1}, "fleet-has-no-vehicles",
                   ARGUMENTS(arg_flag("empty", !csv->count)));
}

static void fleet_load(struct reading *reading, const char *name, struct place asked)
{
    struct reading other = *reading;
    struct fleet *fleet = arena_take(reading->arena, sizeof *fleet);
    struct error error = {0};
    struct str bytes;
    struct csv csv;
    struct csv_limits limits = {VEHICLES_MOST + 1, FLEET_COLUMNS_MOST, FLEET_CELL_BYTES_MOST};
    fleet->file = other.file = name;
    fleet->path = path_join(reading->arena, reading->folder, name);
    if (reading->table && !strcmp(name, reading->table->name))
        bytes = reading->table->bytes;
    else if (!machine_read(reading->machine, fleet->path, FLEET_BYTES_MOST, reading->arena, &bytes, &error)) {
        report_add(reading->report, asked, "as-said", ARGUMENTS(arg_words("words", error.text)));
        return;
    }
    size_t errors = reading->report->errors;
    if (csv_read(&other, bytes, limits, &csv)) fleet_take(&other, &csv, fleet);
    if (reading->report->errors > errors) return;
    reading->job->fleet = fleet;
    reading->job->vehicles = (int)fleet->row_count;
}

void read_vehicles(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct job *job = target;
    const char *name;
    double count;
    if (node->kind == NODE_TEXT && !strcmp(path_ending(reading->arena, node->text), "csv")) {
        if (read_path(reading, node, &name)) fleet_load(reading, name, place_of(reading, node));
        return;
    }
    bool number = node->kind == NODE_TEXT && str_number(str_from(node->text), &count);
    if (!number) {
        if (node->kind == NODE_TEXT)
            keep_text(reading, key, node, false, NULL);
        else
            wrong_shape(reading, node, key->words);
        return;
    }
    if (!read_number(reading, node, FORM_NUMBER, key->least, key->most, &count)) return;
    if (count == (double)(int)count)
        job->vehicles = (int)count;
    else
        keep_text(reading, key, node, false, NULL);
}
