/* How prints dry, as a picture: how much has left over time, with the established time marked. */
#ifndef SHEET_DRYING_H
#define SHEET_DRYING_H

#include "sheet/pictures.h"

struct drying_line {
    const char *name;   /* "left: left-3" */
    double dry_h;       /* the established time for this ink; < 0: does not dry this way */
    const double *gone; /* share 0..1 that has left, every quarter of an hour from 0 */
    size_t count;       /* of gone */
};

/* One curve for each surface's heaviest panel; a line that does not dry is named beneath. */
struct drawing *sheet_drying_picture(const struct drying_line *lines, size_t count,
                                     struct picture_options options, struct arena *arena);

#endif
