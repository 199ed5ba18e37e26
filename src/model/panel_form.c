/* The forms of panel files: one row each. */
#include "model/panel_form.h"
#include "base/arena.h"
#include "base/units.h"
#include "model/job.h"
#include <math.h>

#define PAGE_MOST_MM (14400 * MM_PER_INCH / 72)
const double panel_page_most_mm = PAGE_MOST_MM;

const char *const panel_format_names[PANEL_FORMS + 1] = {
    [PANEL_PDF] = "pdf",
    [PANEL_TIFF] = "tiff",
    [PANEL_PDF_TENTH] = "",
};

const char *const panel_large_names[PANEL_FORMS + 1] = {
    [PANEL_PDF] = "userunit",
    [PANEL_TIFF] = "tiff",
    [PANEL_PDF_TENTH] = "scale-10",
};

const struct panel_form_type panel_forms[PANEL_FORMS] = {
    [PANEL_PDF] =
        {.ending = "pdf", .name_tail = "", .largest_mm = PAGE_MOST_MM, .drawn_at = 1, .keeps_spots = true},
    [PANEL_TIFF] = {.ending = "tif",
                    .name_tail = "",
                    .largest_mm = INFINITY,
                    .drawn_at = 1,
                    .own_file = true,
                    .pixels = true},
    [PANEL_PDF_TENTH] = {.ending = "pdf",
                         .name_tail = "_print-at-1000-percent",
                         .largest_mm = 10 * PAGE_MOST_MM,
                         .drawn_at = 10,
                         .keeps_spots = true},
};

const struct panel_form_type *panel_form_of_job(const struct job *job)
{
    return &panel_forms[job->format];
}

bool job_makes_pixels(const struct job *job)
{
    return panel_forms[job->format].pixels || panel_forms[job->large].pixels;
}

const char *panel_file_name(enum panel_form form, const char *job, const char *surface, const char *part,
                            struct arena *arena)
{
    const struct panel_form_type *type = &panel_forms[form];
    return arena_format(arena, "panels/%s_%s%s%s%s.%s", job, surface, part ? "_" : "", part ? part : "",
                        type->name_tail, type->ending);
}
