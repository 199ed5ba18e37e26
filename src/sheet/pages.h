/* Private: the parts of the job sheet, each begins a page. */
#ifndef SHEET_PAGES_H
#define SHEET_PAGES_H

#include "sheet/sheet.h"
#include "table.h"

struct sheet {
    struct book book;
    const struct plan *plan;
    const struct job *job;
    const struct finding **findings; /* stops first, then warnings, then notes */
    size_t finding_count;
    size_t severities[3]; /* how many of each */
    const struct picture *const *previews;
    const struct sheet_options *options;
    struct arena *arena;
};

void part_front(struct sheet *sheet);
void part_surface(struct sheet *sheet, size_t surface);
void part_times(struct sheet *sheet);
void part_strip_down(struct sheet *sheet);
void part_material(struct sheet *sheet);
void part_findings(struct sheet *sheet);
void part_installing(struct sheet *sheet);

/* A point of a list, with its text hanging. */
void put_point(struct sheet *sheet, const char *words);
/* What stands on every page, then the file. */
bool sheet_finish(const struct sheet *sheet, const char *title, struct machine *machine, const char *path,
                  struct error *error);

/* "Mon 1 Mar 2027, 08:00" */
const char *date_words(const struct sheet *sheet, int64_t at);
const char *severity_word(enum severity severity); /* "Stop" */
const char *count_words(struct arena *arena, size_t count, const char *one, const char *many);

#endif
