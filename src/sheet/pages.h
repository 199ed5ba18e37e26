/* Private: the parts of the job sheet. */
#ifndef SHEET_PAGES_H
#define SHEET_PAGES_H

#include "groups.h"
#include "sheet/pictures.h"
#include "sheet/sheet.h"
#include "table.h"

/* Findings that say the same of several places, or ask for the same: one row. */
struct finding_group {
    const struct finding *first;
    const char *where; /* "pane-1, pane-2" */
    const char *text;  /* what is said of them, each sentence once */
    bool on_front;     /* the first page says all of it */
};

struct sheet {
    struct book book;
    const struct plan *plan;
    const struct job *job;
    struct finding_group *findings; /* stops first, then warnings, then notes */
    size_t finding_count;
    size_t severities[3]; /* how many findings of each */
    struct surface_groups groups;
    const struct picture *const *previews;
    const struct sheet_options *options;
    bool heat_said;   /* where figures of ink come from stands on an earlier page */
    double spread_mm; /* by how much rows to write in are higher, so that the last page is not left empty */
    struct arena *arena;
};

void part_front(struct sheet *sheet);
void part_surfaces(struct sheet *sheet);
void part_heat(struct sheet *sheet,
               const struct surface_group *group); /* where there is too much ink, or nothing */
void part_inlays(struct sheet *sheet, const struct surface_plan *sp); /* or nothing */
void part_times(struct sheet *sheet);
void part_work_card(struct sheet *sheet);
void part_vehicle_work(struct sheet *sheet);
void part_material(struct sheet *sheet);
void part_costs(struct sheet *sheet);
void part_copies(struct sheet *sheet); /* or nothing */
void part_fleet(struct sheet *sheet);  /* or nothing */
void part_findings(struct sheet *sheet);
void part_cutting(struct sheet *sheet); /* or nothing */
void part_installing(struct sheet *sheet);
void part_handing_over(struct sheet *sheet);

/* All that is said of a group, with where its limit comes from and who accepted it. */
const char *finding_words(const struct sheet *sheet, const struct finding_group *group);
void group_findings(struct sheet *sheet, const struct finding *all, size_t count);
/* "left, pane 1 to pane 7": names that count up or down as one; "... and 3 more" of very many. */
const char *list_words(struct arena *arena, const char *const *names, size_t count);

/* Where a seam lies from what an installer can see on the vehicle: "1 200 right of the door gap, 350 left of
 * the window". Lengths in the sheet's unit. */
const char *seam_place_words(const struct sheet *sheet, const struct surface *surface,
                             const struct seam *seam);
/* The same of the level line. */
const char *level_place_words(const struct sheet *sheet, const struct surface *surface);

/* Points of a list, with their text hanging; in two columns on a page that lies on its long side. */
void put_points(struct sheet *sheet, const char *const *points, size_t count);
/* What stands on every page, then the file. */
bool sheet_finish(const struct sheet *sheet, const char *title, struct machine *machine, const char *path,
                  struct error *error);

/* "Mon 1 Mar 2027, 08:00" */
const char *date_words(const struct sheet *sheet, int64_t at);
const char *severity_word(enum severity severity); /* "Stop" */
const char *count_words(struct arena *arena, size_t count, const char *one, const char *many);
/* "20 mm", or "20 mm (usual)" where nobody wrote it. */
const char *usual_length_words(const struct sheet *sheet, const struct measure *length);
/* "1250 x 1900" */
const char *size_words(const struct sheet *sheet, double width, double height);
/* Words of the plan, their figures in the sheet's unit. */
const char *said(const struct sheet *sheet, const char *words);
/* "12.4": an area in the sheet's unit; the unit's name. */
const char *area_words(const struct sheet *sheet, double m2);
const char *area_unit(const struct sheet *sheet);
const char *length_unit(const struct sheet *sheet); /* "mm" */
struct picture_options picture_options(const struct sheet *sheet, double height_most);

#endif
