/* Private to run: the two files of run/reprint.h. */
#ifndef RUN_REPRINT_INNER_H
#define RUN_REPRINT_INNER_H

#include "make/make.h"
#include "run/reprint.h"

/* What the panel was printed from, into `was`; leaves its piece alone in run->pieces, to be compared. */
bool reprint_read(struct run *run, struct panel_print *was, struct error *error);
/* Adds findings where the plan's panel is not what was printed. */
bool reprint_judge(struct run *run, struct reprint *reprint, struct error *error);
/* How the panel's file is made below OUT/reprint; fills `work`, which it borrows. */
struct make_order reprint_order(struct run *run, const struct reprint *reprint, struct art_work *work);
/* What the sheet of repair pieces is called: "left-3-patches". */
static inline const char *reprint_patches_id(struct arena *arena, const struct reprint *reprint)
{
    return arena_format(arena, "%s-patches", reprint->was.panel);
}

#endif
