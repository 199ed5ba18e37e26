/* The job sheet as a whole: its parts in order, then what stands on every page. */
#include "pages.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"

bool sheet_finish(const struct sheet *sheet, const char *title, struct machine *machine, const char *path,
                  struct error *error)
{
    const struct sheet_options *o = sheet->options;
    struct binding binding = {
        .number = sheet->job->number,
        .title = sheet->job->title,
        .made = sentence_words(sheet->arena, "made-moment-by-lapstrake-version",
                               ARGUMENTS(arg_words("moment", date_words(sheet, o->date)),
                                         arg_words("version", o->version ? o->version : ""))),
        .foot = sentence_plain("local-codes-and-makers-bulletins-come"),
        .stamp = o->stamp,
    };
    return book_finish(&sheet->book, &binding, title, o->date, machine, path, error);
}

/* Wider than high by this, a picture wants the paper's long side (our own judgement). */
static bool sheet_is_wide(const struct plan *plan)
{
    const double ratio = 1.4;
    for (size_t i = 0; i < plan->surface_count; i++)
        if (plan->surfaces[i].surface->width_mm > ratio * plan->surfaces[i].surface->height_mm) return true;
    return false;
}

/* What the work needs first; the costs last, on a page that can be taken off. */
static void put_parts(struct sheet *sheet)
{
    sheet->heat_said = false;
    part_front(sheet);
    part_surfaces(sheet);
    part_times(sheet);
    part_copies(sheet);
    part_work_card(sheet);
    part_cutting(sheet);
    part_vehicle_work(sheet);
    part_installing(sheet);
    part_handing_over(sheet);
    part_material(sheet);
    part_findings(sheet);
}

/* Again with higher rows to write in as long as a page would be left nearly empty, and they take no more pages. */
static void fill_sheet(struct sheet *sheet)
{
    static const double fill_least = 0.25, spreads_mm[] = {0, 0.7, 1.4, 2.1, 2.8};
    const struct book empty = sheet->book;
    double best = -1, spread = 0;
    size_t fewest = 0;
    for (size_t i = 0; i < sizeof spreads_mm / sizeof *spreads_mm && best < fill_least; i++) {
        sheet->book = empty;
        sheet->spread_mm = spreads_mm[i];
        put_parts(sheet);
        if (!i) fewest = sheet->book.count;
        double least = book_emptiest(&sheet->book);
        if (least > best && sheet->book.count <= fewest) best = least, spread = spreads_mm[i];
    }
    sheet->book = empty;
    sheet->spread_mm = spread;
    put_parts(sheet);
    part_fleet(sheet);
    part_costs(sheet);
}

bool sheet_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                 const char *path, struct arena *arena, struct error *error)
{
    struct sheet sheet = {.book = {.arena = arena, .wide = sheet_is_wide(plan), .stamped = options->stamp},
                          .plan = plan,
                          .job = plan->input->job,
                          .groups = group_surfaces(plan, arena),
                          .previews = options->previews,
                          .options = options,
                          .arena = arena};
    group_findings(&sheet, options->findings, options->finding_count);
    fill_sheet(&sheet);
    return sheet_finish(&sheet, arena_format(arena, "%s job sheet", sheet.job->number), machine, path, error);
}
