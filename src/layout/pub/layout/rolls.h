/* On which roll does each panel lie, and where, so that least film is used?
 *
 * As in strip.h: `across` is along a roll's width, `along` along its length, whole numbers of one unit, the
 * caller's. Pure and deterministic, effort as there.
 *
 * A group is the panels of one surface. What stands here of a group holds in every result:
 *   - all lie on rolls of one batch, and the same way up: all turned or none;
 *   - on a roll they come one after the other in their order: none begins before the one that comes before it in the
 *     group, and each begins at the latest where one before it ends (and the gap), or at the beginning of the print
 *     that follows: no length of the roll passes between them on which the group has nothing;
 *   - a roll of the batch is left for the next one only once: those on one roll follow each other in the group.
 * Beside them, where the width leaves room, others may lie.
 *
 * What is printed on a roll at once is a run: leader, panels, tail. A run is cut into prints no longer than the
 * printer takes; no panel lies in two. Panels keep their gaps from each other, not from the roll's sides.
 *
 * What is made least is film: the sum over the rolls used of width x (opening + used).
 *
 * How it is found: a greedy packing as in strip.h, in which of a group only the next panel can be chosen, and only
 * where the next ones of all groups begun still find a place in time; simulated annealing over the order of
 * groups and panels and the roll on which each begins; then a roll after the other is shortened. What no group can
 * change (the lower bound) is layout_strip's of all panels on the widest roll. */
#ifndef LAYOUT_ROLLS_H
#define LAYOUT_ROLLS_H

#include "layout/strip.h"

/* Limits: 500 rolls; pieces and sides as in strip.h. */
enum { LAYOUT_ROLLS_MOST = 500 };

struct layout_roll {
    int64_t width;   /* of it that can be printed on */
    int64_t length;  /* that is there, leader and tail too; 0: without end */
    int64_t opening; /* length that it must save to be begun at all; 0 for one in stock */
    int32_t batch;   /* rolls of one number are alike to a group */
};

struct layout_panel {
    struct layout_piece size;
    size_t
        group; /* from 1; 0: lies for itself. The panels of a group stand in its order, and turn if all may. */
};

struct layout_rolls_order {
    const struct layout_roll *rolls;
    size_t roll_count;
    const struct layout_panel *panels;
    size_t panel_count;
    int64_t gap_across, gap_along; /* between panels */
    int64_t leader, tail;          /* of every roll that is used */
    int64_t longest_print;         /* 0: no limit */
};

#define LAYOUT_NOWHERE SIZE_MAX

struct layout_roll_place {
    size_t roll; /* from 0; LAYOUT_NOWHERE: no roll had room */
    int64_t across,
        along;    /* of the corner nearest to the roll's beginning and left side; the leader comes before */
    bool turned;  /* by 90 degrees */
    size_t print; /* of the roll, from 0 */
};

struct layout_rolls {
    struct layout_roll_place *places; /* one for each panel, in their order */
    int64_t *used;                    /* of each roll, leader and tail too; 0: not used */
    size_t *prints;                   /* of each roll */
    size_t left;                      /* panels that lie nowhere */
    int64_t length;                   /* of all rolls together */
    int64_t lower;                    /* no layout of all panels is shorter; equal to `length`: proven best */
    int64_t ungrouped; /* a length without groups, turned or not as before; never above `length` */
    int64_t free;      /* and with every panel free to turn; never above `ungrouped` */
    int64_t tries;     /* packings, and steps of exact searches */
};

/* False with FAILURE_INPUT when no roll is wide and long enough for a panel (its number, from 1, is named), a panel
 * is longer than the longest print, or a limit is passed. The arrays are the arena's. When not all panels could be
 * laid, `length`, `ungrouped` and `free` are of what was, and cannot be compared. At least one layout is made however
 * short the effort; a third of it goes into `lower`, `ungrouped` and `free`. */
bool layout_rolls(const struct layout_rolls_order *order, const struct layout_effort *effort,
                  struct arena *arena, struct layout_rolls *rolls, struct error *error);

#endif
