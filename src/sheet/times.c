/* When: the picture of the times, and the steps. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "pages.h"
#include "sheet/pictures.h"

/* A row of the table: a step, or steps of one kind on surfaces that are shown together. */
struct step_row {
    enum step_kind kind;
    int64_t start, end;
    bool decides;
    const char **panels;
    size_t panel_count, steps;
    const char *why;
};

/* The group of several surfaces that the step belongs to with all its panels, or NULL. */
static const struct surface_group *shared_group(const struct sheet *sheet, const struct step *step)
{
    const struct surface_group *found = NULL;
    for (size_t i = 0; i < sheet->groups.count; i++) {
        const struct surface_group *group = &sheet->groups.items[i];
        if (!group_has_step(group, sheet->plan, step)) continue;
        if (found) return NULL;
        found = group;
    }
    return found && found->count > 1 ? found : NULL;
}

static void add_panels(struct sheet *sheet, struct step_row *row, const struct step *step)
{
    const char **panels =
        arena_take_array(sheet->arena, row->panel_count + step->panel_count + 1, sizeof *panels);
    for (size_t i = 0; i < row->panel_count; i++) panels[i] = row->panels[i];
    for (size_t i = 0; i < step->panel_count; i++) panels[row->panel_count + i] = step->panels[i];
    row->panels = panels;
    row->panel_count += step->panel_count;
}

/* Steps of one kind in one group come together when they are done on end: one has begun before the other
 * ends, or within the hour (our own judgement). */
static struct step_row *row_for(struct step_row *rows, size_t count,
                                const struct surface_group *const *groups, const struct surface_group *group,
                                const struct step *step)
{
    const int64_t pause_s = 3600;
    for (size_t i = count; group && i-- > 0;)
        if (groups[i] == group && rows[i].kind == step->kind && step->start <= rows[i].end + pause_s &&
            step->end >= rows[i].start - pause_s)
            return &rows[i];
    return NULL;
}

static size_t gather_rows(struct sheet *sheet, struct step_row *rows)
{
    const struct plan *plan = sheet->plan;
    const struct surface_group **groups =
        arena_take_array(sheet->arena, plan->step_count + 1, sizeof *groups);
    size_t count = 0;
    for (size_t i = 0; i < plan->step_count; i++) {
        const struct step *s = &plan->steps[i];
        const struct surface_group *group = shared_group(sheet, s);
        struct step_row *row = row_for(rows, count, groups, group, s);
        if (!row) {
            groups[count] = group;
            row = &rows[count++];
            *row = (struct step_row){.kind = s->kind, .start = s->start, .end = s->end, .why = s->why.words};
        }
        if (!string_equal(row->why, s->why.words)) row->why = sentence_plain("one-after-other-each-as-long");
        row->start = s->start < row->start ? s->start : row->start;
        row->end = s->end > row->end ? s->end : row->end;
        row->decides |= s->decides;
        row->steps++;
        add_panels(sheet, row, s);
    }
    return count;
}

static bool row_has(const struct step_row *row, const char *panel)
{
    for (size_t i = 0; i < row->panel_count; i++)
        if (string_equal(row->panels[i], panel)) return true;
    return false;
}

/* A surface by its name when all its panels are there, else the panels. */
static const char *row_panels(const struct sheet *sheet, const struct step_row *row)
{
    const struct plan *plan = sheet->plan;
    const char **names =
        arena_take_array(sheet->arena, plan->surface_count + row->panel_count + 1, sizeof *names);
    size_t count = 0;
    for (size_t s = 0; s < plan->surface_count; s++) {
        const struct surface_plan *sp = &plan->surfaces[s];
        size_t here = 0;
        for (size_t i = 0; i < sp->panel_count; i++) here += row_has(row, sp->panels[i].id);
        if (here && here == sp->panel_count)
            names[count++] = here == 1
                                 ? sp->surface->name
                                 : arena_format(sheet->arena, "%s (%zu panels)", sp->surface->name, here);
        else
            for (size_t i = 0; i < sp->panel_count; i++)
                if (row_has(row, sp->panels[i].id)) names[count++] = sp->panels[i].id;
    }
    return list_words(sheet->arena, names, count);
}

static void put_steps(struct sheet *sheet)
{
    static const struct column columns[] = {{"Step", 16, ALIGN_LEFT},
                                            {"Panels", 34, ALIGN_LEFT},
                                            {"From", 30, ALIGN_LEFT},
                                            {"To", 30, ALIGN_LEFT},
                                            {"Why", 126, ALIGN_LEFT}};
    const struct plan *plan = sheet->plan;
    const struct zone *zone = plan->input->zone;
    struct step_row *rows = arena_take_array(sheet->arena, plan->step_count + 1, sizeof *rows);
    size_t count = gather_rows(sheet, rows);
    book_title(&sheet->book,
               arena_format(sheet->arena, "Steps (%s)", zone->name ? zone->name : "local time"));
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < count; i++) {
        const struct step_row *r = &rows[i];
        const char *bold = r->decides ? "*" : "";
        const char *cells[] = {
            arena_format(sheet->arena, "%s%s", bold, step_kind_name(r->kind)),
            row_panels(sheet, r),
            arena_format(sheet->arena, "%s%s", bold, zone_words(zone, r->start, sheet->arena)),
            arena_format(sheet->arena, "%s%s", bold, zone_words(zone, r->end, sheet->arena)),
            said(sheet, r->why),
        };
        table_row(&table, cells);
    }
    table_end(&table);
}

static void times_put_picture(struct sheet *sheet, const struct drawing *picture)
{
    book_drawing(&sheet->book, picture);
    book_gap(&sheet->book, 2);
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_plain("white-open-grey-closed-blue-with"));
}

void part_times(struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    if (!plan->step_count) {
        book_part(&sheet->book, "Times", 10);
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("there-are-no-steps-to-plan"));
        return;
    }
    double most = book_room(&sheet->book) - 18;
    const struct drawing *picture = sheet_timeline(plan, picture_options(sheet, most), sheet->arena);
    const double heading_mm = 13.5, words_mm = 6,
                 rows_mm = 60; /* the heading; the words; some of the steps */
    double left = book_bottom(&sheet->book) - sheet->book.y - heading_mm;
    bool steps_first = left < drawing_height(picture) + words_mm && left > rows_mm;
    book_part(&sheet->book, "Times", steps_first ? rows_mm : drawing_height(picture) + words_mm);
    if (steps_first) put_steps(sheet);
    times_put_picture(sheet, picture);
    if (!steps_first) put_steps(sheet);
}
