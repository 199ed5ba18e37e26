/* Other programs as judges, and pictures to compare: PNG files read by cairo, raw CMYK by Ghostscript. */
#ifndef SUPPORT_OUTSIDE_H
#define SUPPORT_OUTSIDE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

/* True when the program is in PATH. */
bool outside_has(const char *program);
/* Runs a shell command; its standard output and error, NUL-ended, in the arena. -1 when it did not exit. */
int outside_run(struct arena *arena, const char **output, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* A new, empty folder for one test program below TMPDIR. */
const char *outside_folder(struct arena *arena);
void outside_remove(const char *folder);

struct pixels {
    int width, height;
    uint8_t *rgb;
};
struct pixels outside_png(struct arena *arena, const char *path); /* width 0: not readable */

struct difference {
    double mean;      /* of all samples, 0..255 */
    double off_share; /* of pixels with any sample off by more than `limit` */
};
struct difference outside_compare(const struct pixels *one, const struct pixels *other, int limit);

#endif
