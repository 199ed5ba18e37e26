/* Turns MuPDF's paths into lines, curves into chords. Called by the device that gathers shapes. */
#include "paths_build.h"
#include "base/arena.h"
#include "base/sentence.h"
#include <math.h>

static const double REACH = 1e7; /* no number in a path is further from 0; what is, is no drawing */

void path_lines_add(fz_context *ctx, struct path_lines *lines, struct pdf_line line)
{
    lines->points += line.points.count;
    if (lines->points > PDF_PATH_POINTS_MOST)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-many-points"));
    *(struct pdf_line *)arena_append(lines->arena, &lines->lines, &lines->count, &lines->capacity,
                                     sizeof line) = line;
}

struct path_walk {
    struct path_lines *lines;
    struct outline_builder now;
    struct point start;
    double tolerance;
};

static void path_walk_end(fz_context *ctx, struct path_walk *walk, bool closed)
{
    struct outline_builder *now = &walk->now;
    if (closed && now->count > 2 && now->points[0].x == now->points[now->count - 1].x &&
        now->points[0].y == now->points[now->count - 1].y)
        now->count--;
    if (now->count > 1)
        path_lines_add(ctx, walk->lines, (struct pdf_line){{now->points, now->count}, closed});
    walk->now = (struct outline_builder){.arena = walk->lines->arena};
}

static struct point path_place(fz_context *ctx, float x, float y)
{
    if (!(fabs((double)x) < REACH && fabs((double)y) < REACH))
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-far-out"));
    return (struct point){x, y};
}

/* After a path was closed it goes on from where it began. */
static struct outline_builder *path_walk_on(fz_context *ctx, struct path_walk *walk)
{
    if (!walk->now.count) outline_add(&walk->now, walk->start);
    if (walk->lines->points + walk->now.count > PDF_PATH_POINTS_MOST)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-many-points"));
    return &walk->now;
}

static void on_path_move(fz_context *ctx, void *self, float x, float y)
{
    struct path_walk *walk = self;
    path_walk_end(ctx, walk, false);
    walk->start = path_place(ctx, x, y);
}

static void on_path_line(fz_context *ctx, void *self, float x, float y)
{
    outline_add(path_walk_on(ctx, self), path_place(ctx, x, y));
}

static void on_path_curve(fz_context *ctx, void *self, float x1, float y1, float x2, float y2, float x3,
                          float y3)
{
    struct path_walk *walk = self;
    outline_cubic(path_walk_on(ctx, walk), path_place(ctx, x1, y1), path_place(ctx, x2, y2),
                  path_place(ctx, x3, y3), walk->tolerance);
}

static void on_path_close(fz_context *ctx, void *self)
{
    path_walk_end(ctx, self, true);
}

void path_flatten(fz_context *ctx, const fz_path *path, double tolerance, struct path_lines *lines)
{
    static const fz_path_walker walker = {
        .moveto = on_path_move, .lineto = on_path_line, .curveto = on_path_curve, .closepath = on_path_close};
    struct path_walk walk = {.lines = lines, .now = {.arena = lines->arena}, .tolerance = tolerance};
    fz_walk_path(ctx, path, &walker, &walk);
    path_walk_end(ctx, &walk, false);
}

void path_lines_move(struct path_lines *lines, size_t from, struct affine ctm)
{
    for (size_t i = from; i < lines->count; i++)
        for (size_t k = 0; k < lines->lines[i].points.count; k++)
            lines->lines[i].points.points[k] = affine_apply(ctm, lines->lines[i].points.points[k]);
}

double matrix_stretch(fz_matrix m)
{
    double a = m.a, b = m.b, c = m.c, d = m.d;
    double sum = a * a + b * b + c * c + d * d, area = a * d - b * c;
    return sqrt((sum + sqrt(fmax(0, sum * sum - 4 * area * area))) / 2);
}
