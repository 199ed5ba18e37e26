/* Sets of names that a PDF's facts list: inks, fonts, layers, remarks. */
#include "names.h"
#include "base/arena.h"
#include "pdf/facts.h"
#include <string.h>

void names_add(struct arena *arena, struct names *names, const char *name)
{
    for (size_t i = 0; i < names->count; i++)
        if (!strcmp(names->items[i], name)) return;
    if (names->count < PDF_NAMES_MOST)
        *(const char **)arena_append(arena, &names->items, &names->count, &names->capacity,
                                     sizeof *names->items) = arena_copy_string(arena, name);
}
