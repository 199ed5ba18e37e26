/* Private to run: the two files of run/reprint.h. */
#ifndef RUN_REPRINT_INNER_H
#define RUN_REPRINT_INNER_H

#include "run/reprint.h"

/* What the panel was printed from, into `was`; leaves its piece alone in run->pieces, to be compared. */
bool reprint_read(struct run *run, struct panel_print *was, struct error *error);
/* Adds findings where the plan's panel is not what was printed. */
bool reprint_judge(struct run *run, struct reprint *reprint, struct error *error);

#endif
