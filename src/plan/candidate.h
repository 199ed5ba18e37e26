/* Candidates: each a direction, a roll and seams for a surface; and the best of them for a goal. */
#ifndef PLAN_CANDIDATE_H
#define PLAN_CANDIDATE_H

#include "align.h"
#include "cuts.h"

/* What a plan is to be best in. GOAL_COST: the least money, the handling of each panel and what shows of
 * seams counted, however many panels. GOAL_FEWEST: the fewest panels, and of these the least money.
 * GOAL_MATERIAL: film and laminate, GOAL_HIDDEN: what shows, with up to PANELS_MORE more panels than the
 * fewest. */
enum goal { GOAL_COST, GOAL_FEWEST, GOAL_MATERIAL, GOAL_HIDDEN, GOAL_COUNT };
enum { PANELS_MORE = 2 };

/* Of a film with more widths than this, the widest are mixed. */
enum { WIDTHS_MOST = 4 };

struct plan_cache;

struct candidate {
    bool possible;
    const struct field *field;
    double widths_mm[WIDTHS_MOST]; /* rolls that strips may come from, rising; one unless widths may mix */
    size_t width_count;
    struct cuts cuts;
    struct cut_crossing *crossings; /* for each strip; NULL: no strip is cut again */
    size_t panels;
    bool too_long;       /* a panel is longer than the printer prints */
    size_t wide_inlays;  /* inlays that the widest roll does not hold */
    bool uncovered;      /* the laminate is narrower than the print */
    int64_t seams, film; /* film and laminate; millionths of the currency */
    int64_t handling;    /* of the panels */
    int64_t changes;     /* of rolls within the surface: setting up and threading again */
    int64_t shown;       /* of the seams: what shows */
    int64_t apart;       /* of the seams: what surfaces that meet this one mind */
};

struct candidate_search {
    const struct surface_input *input;
    const struct job *job;
    enum goal goal;
    struct neighbourhood neighbours;
    struct plan_cache *cache; /* NULL: nothing is used again */
    struct arena *arena;
    struct field fields[2]; /* upright, lying */
    int64_t *extra[2];      /* what neighbours mind at each position, or NULL */
    bool tried[2];
    bool ignore_fixed;                       /* as if no seam were fixed by hand */
    bool slivers_may_be, letters_may_be_cut; /* no candidate without */
};

/* The best candidate; not possible when there is none. */
struct candidate candidate_find(struct candidate_search *search);
/* Seams outside the surface, and one place named twice, are left out. */
struct cuts candidate_fixed_cuts(const struct candidate_search *search, const struct field *field);
double candidate_widest(const struct candidate *candidate);
double candidate_roll_mm(const struct candidate *candidate); /* the widest roll that is used */
int64_t candidate_money(const struct candidate *candidate);

/* What every candidate keeps to (candidate_limits.c): the least panel, the width of a roll that is printed,
 * and what panels may take of it. */
double candidate_least_panel(const struct candidate_search *search);
double candidate_usable_mm(const struct condition *condition, double roll_mm);
/* Film that register marks take beside a print that is cut to its shape, at each side; 0: it is not. */
double candidate_register_mm(const struct surface *surface, const struct job *job);
double candidate_planned_mm(const struct candidate_search *search, double roll_mm);

#endif
