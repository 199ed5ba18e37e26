/* Private to make: all panels of a surface, fed from one pass over its pixels, and read again in part. */
#ifndef MAKE_CUTTER_H
#define MAKE_CUTTER_H

#include "cut.h"
#include "layback.h"

/* A panel in the making: its file, and what the lay-back check remembers of the source. */
struct making {
    struct print_frame frame;
    struct panel_cut cut;
    struct lay_back laid;
};

struct panels_cutter {
    struct making *panels;
    size_t count;
    struct pool *pool;
    struct tiff_packers *packers; /* one for each thread */
};

/* Where the surface's pixels go. Its end leaves the files to cutter_close. */
struct strip_sink cutter_sink(struct panels_cutter *cutter);
/* Ends every file, reads it again in part (layback.h) and gives it its name; the first that fails is told. */
bool cutter_close(struct machine *machine, struct panels_cutter *cutter, struct error *error);

#endif
