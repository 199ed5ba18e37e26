/* What a seam costs, in the shop's currency, so that trade-offs are plain. One table; doc/seams.md explains
 * it. All values are common practice or judgement, no source. */
#ifndef PLAN_WEIGHTS_H
#define PLAN_WEIGHTS_H

#include <stddef.h>

enum seam_weight {
    WEIGHT_LAP_MINUTES,  /* of an installer, for each metre of lap */
    WEIGHT_GAP_MINUTES,  /* the same in a door gap */
    WEIGHT_VISIBLE,      /* for each metre and each CIELAB unit per mm of detail in the overlap band */
    WEIGHT_LAP,          /* for each metre of lap, however plain: a seam that is seen */
    WEIGHT_SHAPED,       /* for each metre in a recess or dome, or near its edge */
    WEIGHT_SHAPED_REACH, /* how near, mm */
    WEIGHT_ACROSS_RIBS,  /* for each metre across the ribs of a corrugation */
    WEIGHT_LETTERING,    /* for each metre through lettering too long for one panel */
    WEIGHT_COUNT
};

struct seam_weight_row {
    const char *name, *unit, *means;
    double value;
};
extern const struct seam_weight_row seam_weight_table[WEIGHT_COUNT];

#endif
