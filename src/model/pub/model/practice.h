/* Common practice of the trade, in one table: every value that nobody wrote and that yet decides
 * something. The table makes doc/practice.md; each use says "common practice, no source". */
#ifndef MODEL_PRACTICE_H
#define MODEL_PRACTICE_H

#include "model/measure.h"
#include <stddef.h>

struct practice {
    const char *name; /* "seam-trim", as a person could look it up in doc/practice.md */
    double value;
    const char *unit;   /* "mm", "h", "percent", "degrees C" */
    const char *means;  /* one sentence */
    const char *used;   /* where: job-file key, finding codes */
    const char *source; /* "common practice, no source", "published: ...", "from memory, unchecked", "our own
                          judgement" */
};

extern const struct practice practice_table[];
extern const size_t practice_count;

/* The value of that name as a measure; the name must be in the table (a wrong one aborts). */
struct measure practice_value(const char *name);
/* One in hours or minutes, as seconds. */
struct measure practice_seconds(const char *name);
/* A value in percent as a share. */
double practice_share(const char *name);

#endif
