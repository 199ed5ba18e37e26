/* The demo's artworks, each written to one file. */
#ifndef DEMO_ARTWORKS_H
#define DEMO_ARTWORKS_H

#include "base/arena.h"
#include "base/error.h"
#include "base/str.h"
#include <stdbool.h>
#include <stddef.h>

/* Pixels of the photograph: 100 to the inch where it stands largest, 1340 mm wide in the left side's book. */
enum { LIBRARY_PHOTO_WIDTH = 5280, LIBRARY_PHOTO_HEIGHT = 3168 };

/* `photo` is the photograph as JPEG. */
bool library_van_left(struct arena *arena, const char *path, struct str photo, struct error *error);
bool library_van_right(struct arena *arena, const char *path, struct str photo, struct error *error);
bool library_van_rear(struct arena *arena, const char *path, struct error *error);

/* The smaller jobs: "box-truck", "bus-with-windows", "bonnet", "trailer", "pattern", "hopeless", "fleet-vans". */
struct small_artwork {
    const char *job, *file; /* of demo/more: the folder and the file in its art/ */
    bool (*write)(struct arena *arena, const char *path, struct error *error);
};
extern const struct small_artwork small_artworks[];
extern const size_t small_artwork_count;

#endif
