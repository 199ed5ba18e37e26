/* Private to quote: a quote on its way. */
#ifndef QUOTE_INNER_H
#define QUOTE_INNER_H

#include "base/sentence.h"
#include "model/difficulty.h"
#include "model/practice.h"
#include "quote/quote.h"

struct draft {
    struct quote *quote;
    const struct quote_input *input;
    const struct plan *plan;
    const struct job *job;
    const struct shop *shop;
    struct arena *arena;
    size_t lines, missing, assumed, excluded; /* capacities */
    const char *too_large;                    /* the first line that is */
    bool from_cost;                           /* some rate is cost with mark-up or margin */
};

/* Something that may become a line. */
struct quote_item {
    const char *id, *what;
    enum quote_kind kind;
    const struct charge *charge;
    double amounts[QUOTE_UNIT_COUNT]; /* what there is of it, by each unit it may be charged by */
    double difficulty_percent;        /* of the charge for a m2; hours have it in them. 0: 100 */
    enum quote_unit cost_unit;
    double cost_amount;    /* by which it costs the shop: may be more than what is charged by area */
    money_micro cost_rate; /* PRICE_UNSAID: not written */
    const char *cost_key;  /* where its price would be written: "rates: install" */
    const char *basis;
    bool estimated;
};

/* lines.c */
void draft_add(struct draft *draft, const struct quote_item *item);
/* A line whose amount is known. */
void draft_put(struct draft *draft, const struct quote_line *line);
void draft_lacks(struct draft *draft, const char *what, const char *remedy);
void draft_assumes(struct draft *draft, const char *sentence);
void draft_excludes(struct draft *draft, const char *phrase);

/* areas.c: surfaces that are quoted, and how much of them is covered */
/* Whether it is planned, and so quoted. */
bool area_counts(const struct surface_plan *surface);
bool area_is_estimated(const struct draft *draft, const struct surface_plan *surface);
/* Share of the surface that is covered: 1 with artwork. */
double area_share(const struct draft *draft, const struct surface_plan *surface);
/* m2 covered, of all surfaces that are quoted, of one vehicle. */
double areas_covered_m2(const struct draft *draft);
bool areas_are_estimated(const struct draft *draft);
/* "24.30 m2 covered of 30.00 m2; 3 vehicles" */
const char *areas_words(const struct draft *draft);
/* ", 3 vehicles" after words; "" for one. */
const char *vehicles_words(const struct draft *draft);

/* prepare.c, material.c: the lines in the order of enum quote_kind; make.c has the rest */
void lines_before(struct draft *draft);   /* design to parts */
void lines_material(struct draft *draft); /* film to prints */

/* sums.c; false: too large */
bool sums_make(struct draft *draft);

#endif
