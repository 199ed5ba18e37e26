/* The job sheet as a whole: its parts in order, then what stands on every page. */
#include "pages.h"
#include "base/arena.h"
#include "base/text.h"

/* Stops first, then warnings, then notes; the given order is kept within each. */
static void sort_findings(struct sheet *sheet, const struct finding *all, size_t count)
{
    sheet->findings = arena_take_array(sheet->arena, count, sizeof(struct finding *));
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--)
        for (size_t i = 0; i < count; i++)
            if ((int)all[i].severity == severity) {
                sheet->findings[sheet->finding_count++] = &all[i];
                sheet->severities[severity]++;
            }
}

static void put_stamp(struct drawing *page, const char *stamp)
{
    struct letters letters = words_bold(4.2, ALIGN_CENTRE);
    letters.most_mm = PAGE_INNER - 6;
    letters.paint = ink_white();
    draw_rect(page, rect_of(PAGE_MARGIN, 15.5, PAGE_INNER, 8), filled(paint_rgb(0xa3201d)));
    draw_text(page, (struct point){PAGE_WIDTH / 2.0, 21}, letters, stamp);
}

static void put_frame(const struct sheet *sheet, struct drawing *page, size_t number)
{
    struct letters job = words_bold(2.8, ALIGN_LEFT), small = words_grey(2.4, ALIGN_LEFT);
    double width = draw_text(page, (struct point){PAGE_MARGIN, 12}, job, sheet->job->number);
    small.most_mm = PAGE_INNER - width - 40;
    draw_text(page, (struct point){PAGE_MARGIN + width + 3, 12}, small,
              sheet->job->title ? sheet->job->title : "");
    small.most_mm = 0;
    small.align = ALIGN_RIGHT;
    double right = PAGE_WIDTH - PAGE_MARGIN;
    draw_text(page, (struct point){right, 12}, small,
              arena_format(sheet->arena, "page %zu of %zu", number, sheet->book.count));
    draw_line(page, (struct point){PAGE_MARGIN, 14}, (struct point){right, 14}, line_of(ink_black(), 0.3));
    draw_line(page, (struct point){PAGE_MARGIN, 283}, (struct point){right, 283}, line_of(ink_pale(), 0.2));
    draw_text(page, (struct point){right, 287}, small,
              arena_format(sheet->arena, "made %s by lapstrake %s", date_words(sheet, sheet->options->date),
                           sheet->options->version ? sheet->options->version : ""));
    small.align = ALIGN_LEFT;
    draw_text(page, (struct point){PAGE_MARGIN, 287}, small,
              "Local codes and the makers' bulletins come before this sheet.");
    if (sheet->options->stamp) put_stamp(page, sheet->options->stamp);
}

bool sheet_finish(const struct sheet *sheet, const char *title, struct machine *machine, const char *path,
                  struct error *error)
{
    for (size_t i = 0; i < sheet->book.count; i++) put_frame(sheet, sheet->book.pages[i], i + 1);
    return drawings_pdf((const struct drawing *const *)sheet->book.pages, sheet->book.count, title,
                        sheet->options->date, machine, path, error);
}

bool sheet_write(const struct plan *plan, const struct finding *all, size_t finding_count,
                 const struct picture *const *previews, const struct sheet_options *options,
                 struct machine *machine, const char *path, struct arena *arena, struct error *error)
{
    struct sheet sheet = {.book = {.arena = arena},
                          .plan = plan,
                          .job = plan->input->job,
                          .previews = previews,
                          .options = options,
                          .arena = arena};
    sort_findings(&sheet, all, finding_count);
    part_front(&sheet);
    for (size_t i = 0; i < plan->surface_count; i++) part_surface(&sheet, i);
    part_times(&sheet);
    part_material(&sheet);
    part_findings(&sheet);
    part_installing(&sheet);
    return sheet_finish(&sheet, arena_format(arena, "%s job sheet", sheet.job->number), machine, path, error);
}
