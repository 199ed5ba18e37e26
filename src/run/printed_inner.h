/* Private to run: the files of run/printed.h. */
#ifndef RUN_PRINTED_INNER_H
#define RUN_PRINTED_INNER_H

#include "run/printed.h"
#include "steps.h"

/* A surface's artwork as it stands, or as it stood. */
struct printed_art {
    const char *state; /* 64 hex digits */
    const char *lines; /* STATE.txt without its first line */
    struct rect box;   /* of the picture, mm on the surface */
    double pixel_mm;
};

/* CMYK, rows from the top. */
struct printed_picture {
    struct rect box;
    double pixel_mm;
    int width, height;
    uint8_t *pixels;
};

/* Digests are kept in OUT/cache by what the disk says of a file, as maps are. */
bool printed_read_now(const struct run *run, const struct run_surface *s, struct printed_art *art,
                      struct error *error);
/* False when OUT/printed has no such state. */
bool printed_read_kept(const struct run *run, const char *state, struct printed_art *art);
bool printed_has_picture(const struct run *run, const char *state);
/* Writes what is not there yet of a state. */
bool printed_write(struct run *run, struct run_surface *s, const struct printed_art *art,
                   struct error *error);
/* False when it is not there or another size. */
bool printed_load(const struct run *run, const struct printed_art *art, struct arena *arena,
                  struct printed_picture *picture);

/* What comparing found on one surface. */
struct changed_art {
    const struct surface *surface;
    const char *state;  /* of the artwork as it is */
    const char *panels; /* "left-1, left-2" */
    const char *files;  /* other ones than were printed, "art/left.pdf"; NULL: the same files lie elsewhere */
    bool compared;      /* false: the picture of what was printed, or of what is, is not there */
    bool differs;       /* false: the same pixels */
    struct rect box;    /* of the pixels that differ, mm on the surface */
    const char *picture;
};

/* OUT/pictures/artwork-changed-SURFACE.png. */
bool printed_draw(struct run *run, const struct changed_art *changed, const struct printed_picture *was,
                  const struct printed_picture *is, const uint8_t *marks, struct error *error);

#endif
