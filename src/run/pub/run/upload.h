/* What a file that came in says of itself, before it is on a surface: kind, sizes, colours, and what of it
 * will give trouble. answer/answer.h says how a program reads it. */
#ifndef RUN_UPLOAD_H
#define RUN_UPLOAD_H

#include "base/error.h"
#include "model/artwork.h"
#include "model/finding.h"

struct arena;
struct machine;

struct upload_facts {
    const char *file;             /* its name, without folders */
    struct artwork_facts artwork; /* only kind, state and trouble of a file that cannot be used */
    struct findings findings;     /* `where` is the file */
};

/* Reads the file in a child, as every foreign file; what is found lives in the arena and borrows from `path`.
 * Fails when it cannot be opened or the machine fails; a file that cannot be used is no failure. */
bool upload_read(struct machine *machine, const char *path, struct arena *arena, struct upload_facts *upload,
                 struct error *error);

#endif
