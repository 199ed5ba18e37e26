/* What the raster tests share: a sink that keeps a whole (small) picture, the machine with this test as its
 * own reader, and pictures from an independent reader. */
#ifndef COLLECT_H
#define COLLECT_H

#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/reader.h"
#include "model/pixels.h"
#include "raster/facts.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct collected {
    struct arena *arena;
    struct strip_shape shape;
    uint8_t *pixels;
    size_t bytes;
    int rows;
    bool ended;
};

static inline bool collect_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)error;
    struct collected *all = self;
    all->shape = *shape;
    all->bytes = (size_t)shape->width * (size_t)shape->height * pixel_bytes(shape->format);
    all->pixels = arena_take(all->arena, all->bytes);
    all->rows = 0;
    return true;
}

static inline bool collect_strip(void *self, const struct strip *strip, struct error *error)
{
    struct collected *all = self;
    size_t stride = (size_t)strip->width * pixel_bytes(strip->format);
    if (strip->y != all->rows || strip->width != all->shape.width || strip->format != all->shape.format ||
        strip->y + strip->rows > all->shape.height)
        return error_words(error, FAILURE_INPUT, "strips out of order");
    for (int i = 0; i < strip->rows; i++)
        memcpy(all->pixels + (size_t)(strip->y + i) * stride, strip->pixels + (size_t)i * strip->stride,
               stride);
    all->rows += strip->rows;
    return true;
}

static inline bool collect_end(void *self, struct error *error)
{
    (void)error;
    struct collected *all = self;
    all->ended = all->rows == all->shape.height;
    return true;
}

static inline struct strip_sink collect_sink(struct collected *all)
{
    return (struct strip_sink){all, collect_begin, collect_strip, collect_end};
}

/* Everything that a command writes to its standard output; length 0 when it fails. */
static inline struct str command_output(struct arena *arena, const char *command)
{
    struct text out = text_new(arena);
    FILE *pipe = popen(command, "r");
    char block[65536];
    for (size_t got; pipe && (got = fread(block, 1, sizeof block, pipe)) > 0;)
        text_add_bytes(&out, block, got);
    bool ok = pipe && pclose(pipe) == 0;
    return (struct str){text_string(&out), ok ? out.length : 0};
}

static inline bool command_there(const char *name)
{
    char command[200];
    snprintf(command, sizeof command, "command -v %s >/dev/null 2>&1", name);
    bool there = system(command) == 0;
    if (!there) print_message("# %s is not installed\n", name);
    return there;
}

/* A file of the shared inputs; NULL when the folder is not there. */
static inline char *shared_input(struct arena *arena, const char *name)
{
    const char *shared = getenv("LAPSTRAKE_SHARED");
    char *path = shared ? arena_format(arena, "%s/inputs/%s", shared, name) : NULL;
    FILE *file = path ? fopen(path, "rb") : NULL;
    if (file) fclose(file);
    if (!file) print_message("# %s of the shared inputs is not here\n", name);
    return file ? path : NULL;
}

/* The program starts itself again as the reader: call first in main. */
static inline bool is_reader(int argc, char **argv, int *status)
{
    static const struct reader_entry *const tables[] = {raster_reader_verbs, NULL};
    if (argc < 2 || strcmp(argv[1], "reader") != 0) return false;
    struct machine machine = machine_real("/proc/self/exe");
    *status = reader_main(argc - 2, argv + 2, tables, &machine);
    return true;
}

#endif
