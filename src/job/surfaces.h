/* Between the files that read surfaces; private to the room. */
#ifndef JOB_SURFACES_H
#define JOB_SURFACES_H

#include "read.h"

key_reader read_features, read_keep_whole, read_artwork, read_fixed_seams;

/* The surface of that name, spaces and `-` being alike; NULL when there is none. */
struct surface_spec *surface_find(const struct job *job, const char *name);
/* One artwork or a list of them, each a path or a group, onto a surface. A path alone is fitted to the bleed.
 */
void add_artworks(struct reading *reading, const struct node *node, struct surface_spec *surface);

#endif
