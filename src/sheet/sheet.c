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

bool sheet_finish(const struct sheet *sheet, const char *title, struct machine *machine, const char *path,
                  struct error *error)
{
    const struct sheet_options *o = sheet->options;
    struct binding binding = {
        .number = sheet->job->number,
        .title = sheet->job->title,
        .made = arena_format(sheet->arena, "made %s by lapstrake %s", date_words(sheet, o->date),
                             o->version ? o->version : ""),
        .foot = "Local codes and the makers' bulletins come before this sheet.",
        .stamp = o->stamp,
    };
    return book_finish(&sheet->book, &binding, title, o->date, machine, path, error);
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
    part_strip_down(&sheet);
    part_material(&sheet);
    part_findings(&sheet);
    part_installing(&sheet);
    return sheet_finish(&sheet, arena_format(arena, "%s job sheet", sheet.job->number), machine, path, error);
}
