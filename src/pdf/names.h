/* A set of names in the order they were met, PDF_NAMES_MOST at most; what comes after those is left out. Private
 * to the room. */
#ifndef PDF_NAMES_H
#define PDF_NAMES_H

#include <stddef.h>

struct arena;

struct names {
    const char **items;
    size_t count, capacity;
};

/* A copy of the name, unless it is there already. */
void names_add(struct arena *arena, struct names *names, const char *name);

#endif
