/* Builds paths and draws plain shapes from them: rectangles, rounded ones, circles, lines. Called by sheet,
 * make and run; the writers of SVG, PNG and PDF only see the commands. */
#include "draw/draw.h"
#include "base/arena.h"
#include <math.h>

/* Controls of a quarter circle as one cubic: 4/3 (sqrt 2 - 1); off the circle by 0.03 % at most. */
#define QUARTER 0.5522847498307936

struct path path_new(struct arena *arena)
{
    return (struct path){.arena = arena};
}

static struct path_step *path_add(struct path *path, enum path_verb verb)
{
    struct path_step *step =
        arena_append(path->arena, &path->steps, &path->count, &path->capacity, sizeof *step);
    step->verb = verb;
    return step;
}

void path_move(struct path *path, double x, double y)
{
    path_add(path, PATH_MOVE)->points[0] = (struct point){x, y};
}

void path_line(struct path *path, double x, double y)
{
    path_add(path, PATH_LINE)->points[0] = (struct point){x, y};
}

void path_curve(struct path *path, struct point c1, struct point c2, struct point end)
{
    struct path_step *step = path_add(path, PATH_CURVE);
    step->points[0] = c1;
    step->points[1] = c2;
    step->points[2] = end;
}

void path_close(struct path *path)
{
    path_add(path, PATH_CLOSE);
}

void path_rect(struct path *path, struct rect rect)
{
    path_move(path, rect.x0, rect.y0);
    path_line(path, rect.x1, rect.y0);
    path_line(path, rect.x1, rect.y1);
    path_line(path, rect.x0, rect.y1);
    path_close(path);
}

void path_polygon(struct path *path, const struct polygon *polygon)
{
    if (!polygon->count) return;
    path_move(path, polygon->points[0].x, polygon->points[0].y);
    for (size_t i = 1; i < polygon->count; i++) path_line(path, polygon->points[i].x, polygon->points[i].y);
    path_close(path);
}

void draw_rect(struct drawing *drawing, struct rect rect, struct look look)
{
    struct path path = path_new(drawing_arena(drawing));
    path_rect(&path, rect);
    draw_path(drawing, path, look);
}

/* A quarter of a circle from the last point to `end`; `corner` is where its two tangents meet. */
static void path_quarter(struct path *path, struct point from, struct point corner, struct point end)
{
    path_curve(
        path, (struct point){from.x + (corner.x - from.x) * QUARTER, from.y + (corner.y - from.y) * QUARTER},
        (struct point){end.x + (corner.x - end.x) * QUARTER, end.y + (corner.y - end.y) * QUARTER}, end);
}

void draw_rounded(struct drawing *drawing, struct rect r, double radius, struct look look)
{
    double most = (rect_width(r) < rect_height(r) ? rect_width(r) : rect_height(r)) / 2;
    double q = radius < most ? radius : most;
    struct path path = path_new(drawing_arena(drawing));
    path_move(&path, r.x0 + q, r.y0);
    path_line(&path, r.x1 - q, r.y0);
    path_quarter(&path, (struct point){r.x1 - q, r.y0}, (struct point){r.x1, r.y0},
                 (struct point){r.x1, r.y0 + q});
    path_line(&path, r.x1, r.y1 - q);
    path_quarter(&path, (struct point){r.x1, r.y1 - q}, (struct point){r.x1, r.y1},
                 (struct point){r.x1 - q, r.y1});
    path_line(&path, r.x0 + q, r.y1);
    path_quarter(&path, (struct point){r.x0 + q, r.y1}, (struct point){r.x0, r.y1},
                 (struct point){r.x0, r.y1 - q});
    path_line(&path, r.x0, r.y0 + q);
    path_quarter(&path, (struct point){r.x0, r.y0 + q}, (struct point){r.x0, r.y0},
                 (struct point){r.x0 + q, r.y0});
    path_close(&path);
    draw_path(drawing, path, look);
}

void draw_circle(struct drawing *drawing, struct point centre, double radius, struct look look)
{
    struct rect box = {centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius};
    draw_rounded(drawing, box, radius, look);
}

void draw_line(struct drawing *drawing, struct point from, struct point to, struct look look)
{
    struct path path = path_new(drawing_arena(drawing));
    path_move(&path, from.x, from.y);
    path_line(&path, to.x, to.y);
    draw_path(drawing, path, look);
}

struct rect path_box(const struct path *path)
{
    struct rect box = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < path->count; i++) {
        const struct path_step *s = &path->steps[i];
        int count = s->verb == PATH_CLOSE ? 0 : s->verb == PATH_CURVE ? 3 : 1;
        for (int j = 0; j < count; j++) {
            box.x0 = fmin(box.x0, s->points[j].x), box.x1 = fmax(box.x1, s->points[j].x);
            box.y0 = fmin(box.y0, s->points[j].y), box.y1 = fmax(box.y1, s->points[j].y);
        }
    }
    return box.x0 < box.x1 ? box : (struct rect){0};
}
