/* Between the files that read surfaces; private to the room. */
#ifndef JOB_SURFACES_H
#define JOB_SURFACES_H

#include "read.h"

key_reader read_features, read_keep_whole, read_artwork, read_fixed_seams, read_corners, read_cover,
    read_pieces;

/* Letters, digits, - _ and spaces: of what file names are made. */
enum { NAME_MOST = 60 };
#define NAME_WORDS "letters, digits, - _ and spaces, at most 60"
bool read_file_name(struct reading *reading, const struct key *key, const struct node *node,
                    const char **name);
/* One artwork, a path or a group; false when it names no file. */
bool read_one_artwork(struct reading *reading, const struct node *node, struct artwork_spec *artwork);
/* When all surfaces are known: pieces that go by one name, or lie on a surface that is not there. */
void finish_pieces(struct reading *reading);

/* "left-rear": the names of two surfaces of the job; else a mistake is reported and neither is touched. */
void read_surface_pair(struct reading *reading, const struct key *key, const struct node *node,
                       const char **one, const char **other);
/* When all surfaces are known: who lies over at each corner; what cannot meet is reported. */
void finish_corners(struct reading *reading);

/* The surface of that name, spaces and `-` being alike; NULL when there is none. */
struct surface_spec *surface_find(const struct job *job, const char *name);
/* One artwork or a list of them, each a path or a group, onto a surface. A path alone is fitted to the bleed.
 */
void add_artworks(struct reading *reading, const struct node *node, struct surface_spec *surface);

#endif
