/* What the tests of draw share: a machine, an arena, a folder. */
#ifndef DRAW_COMMON_H
#define DRAW_COMMON_H

#include "../test.h"
#include "../support/outside.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/text.h"
#include "draw/draw.h"
#include <math.h>
#include <string.h>

static struct machine machine;
static struct arena *arena;
static const char *folder;

static int set_up(void **state)
{
    (void)state;
    machine = machine_real("");
    arena = arena_new(&machine);
    folder = outside_folder(arena);
    return folder ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    outside_remove(folder);
    arena_free(arena);
    return 0;
}

static inline const char *in_folder(const char *name)
{
    return path_join(arena, folder, name);
}

static inline void need(const char *program, const char *package)
{
    if (outside_has(program)) return;
    print_message("# skipped: %s is not here (Debian package %s)\n", program, package);
    skip();
}

static inline void write_png(const struct drawing *drawing, double ppi, const char *path)
{
    struct error error = {0};
    if (!drawing_png(drawing, ppi, &machine, path, &error)) fail_msg("%s", error.text);
}

static inline void write_svg(const struct drawing *drawing, const char *path)
{
    struct error error = {0};
    struct text svg = text_new(arena);
    assert_true(drawing_svg(drawing, &svg));
    assert_true(machine_write(&machine, path, (struct str){svg.bytes, svg.length}, false, &error));
}

static inline struct str read_whole(const char *path)
{
    struct error error = {0};
    struct str bytes = {0};
    if (!machine_read(&machine, path, (size_t)64 << 20, arena, &bytes, &error)) fail_msg("%s", error.text);
    return bytes;
}

static inline void add_shapes(struct drawing *d, struct paint strong)
{
    draw_rect(d, rect_of(5, 5, 40, 20), (struct look){.fill = strong, .line = paint_grey(0), .line_mm = 0.7});
    draw_rounded(d, rect_of(52, 5, 30, 20), 5,
                 (struct look){.line = paint_grey(0.3), .line_mm = 1, .dash_mm = 3, .gap_mm = 1});
    draw_circle(d, (struct point){25, 45}, 14, (struct look){.fill = paint_grey(0.5)});
    struct path star = path_new(arena);
    for (int i = 0; i < 5; i++) {
        double a = -M_PI / 2 + i * 4 * M_PI / 5;
        (i ? path_line : path_move)(&star, 67 + 14 * cos(a), 45 + 14 * sin(a));
    }
    path_close(&star);
    draw_path(d, star, (struct look){.fill = strong, .even_odd = true});
    struct path window = path_new(arena);
    path_rect(&window, rect_of(5, 65, 40, 20));
    draw_begin_clip(d, window, false);
    draw_circle(d, (struct point){5, 85}, 25, (struct look){.fill = paint_grey(0.2)});
    draw_end(d);
    draw_begin_group(d, (struct affine){0.8, 0.6, -0.6, 0.8, 70, 62});
    draw_rect(d, rect_of(0, 0, 16, 12), (struct look){.fill = strong});
    draw_rect(d, rect_of(4, 4, 8, 4), (struct look){.fill = paint_grey(1)});
    draw_end(d);
}

#endif
