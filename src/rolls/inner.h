/* Private to rolls: what its files share. */
#ifndef ROLLS_INNER_H
#define ROLLS_INNER_H

#include "rolls/rolls.h"

/* A print that is to be laid. */
struct print_wanted {
    const struct plan *plan;
    size_t surface, panel, vehicle;
    double wide_mm, long_mm; /* as its plan lays it */
    size_t group;            /* from 1: one surface of one vehicle */
    bool may_turn;
};

struct prints_wanted {
    struct print_wanted *items; /* those of a group side by side, panels in install sequence, then inlays */
    size_t count, capacity;
};

/* What is left of each roll in stock while others are laid; of the order's stock, in its order. */
struct stock_left {
    double *mm;
};

struct laying {
    const struct roll_order *order;
    struct arena *arena;
    struct roll_layout *layout;
    const struct shop *shop;
    struct stock_left stock;
    int64_t most_tries;
    size_t rolls, laminates, off_cuts, materials, left_out; /* capacities */
    size_t new_films, new_laminates;                        /* so far, for names */
};

const struct condition *print_condition(const struct plan *plan, size_t surface);
static inline const struct panel *print_panel(const struct plan *plan, size_t surface, size_t panel)
{
    return &plan->surfaces[surface].panels[panel];
}
/* Whether a roll in stock is of that kind, is here, and its length is said. */
bool stock_serves(const struct stock_roll *roll, const char *what, const char *of);

void leave_print_out(struct laying *work, const struct print_wanted *print, const char *why);

/* gather.c: what is to be laid, by group; what is not goes to left_out. */
struct prints_wanted gather_prints(struct laying *work);
/* film.c: lays the prints, film by film and printer by printer. */
bool lay_films(struct laying *work, struct prints_wanted *prints, struct error *error);
/* laminate.c, after that. */
void lay_laminates(struct laying *work);
/* off_cuts.c */
void find_off_cuts(struct laying *work);
/* material.c */
void list_materials(struct laying *work);
/* outlines.c */
bool outline_prints(struct laying *work, struct error *error);
/* saving.c */
bool compare_singly(struct laying *work, struct error *error);
/* lay.c: all of it but the comparison. */
bool lay_once(const struct roll_order *order, int64_t most_tries, struct arena *arena,
              struct roll_layout *layout, struct error *error);

#endif
