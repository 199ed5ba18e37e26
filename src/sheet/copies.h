/* Private: how often each print is made, for all vehicles of the job and all copies of a piece. */
#ifndef SHEET_COPIES_H
#define SHEET_COPIES_H

#include "model/plan.h"

struct arena;

/* Of a panel or inlay, those that differ by vehicle counted together; from 1. */
size_t panel_copies(const struct plan *plan, const struct panel *panel);
/* Whether anything is printed more than once. */
bool plan_has_copies(const struct plan *plan);
/* "6"; "6, own words" of a panel that differs by vehicle. */
const char *copies_words(const struct plan *plan, const struct panel *panel, struct arena *arena);

/* A page of a file and how often it is printed. */
struct print_lot {
    size_t surface;
    const struct panel *panel;
    const char *file_name;
    int page; /* from 1 */
    size_t copies;
    const char **vehicles; /* names, of a page with words of their own; NULL: alike on all */
    size_t vehicle_count;
};

/* In the arena: surface by surface; of a panel that differs, a lot for each page. */
struct print_lot *plan_lots(const struct plan *plan, struct arena *arena, size_t *count);

#endif
