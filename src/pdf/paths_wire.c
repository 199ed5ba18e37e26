/* Paths on the way from the reader to its parent. */
#include "paths_build.h"
#include "base/arena.h"
#include "base/wire.h"
#include <math.h>

enum { SHAPE_MASKED = 1, SHAPE_EVEN_ODD = 2 };

static void paths_put_line(struct text *out, const struct pdf_line *line)
{
    wire_put_u32(out, (uint32_t)line->points.count);
    wire_put_u32(out, line->closed);
    for (size_t i = 0; i < line->points.count; i++)
        wire_put_f64(out, line->points.points[i].x), wire_put_f64(out, line->points.points[i].y);
}

static void paths_put_mask(struct text *out, const struct pdf_mask *mask)
{
    struct affine m = mask->place;
    wire_put_u32(out, (uint32_t)mask->width), wire_put_u32(out, (uint32_t)mask->height);
    wire_put_f64(out, m.a), wire_put_f64(out, m.b), wire_put_f64(out, m.c), wire_put_f64(out, m.d);
    wire_put_f64(out, m.e), wire_put_f64(out, m.f);
    wire_put_bytes(out, mask->values, mask->width * mask->height);
}

static void paths_put_names(struct text *out, const char **names, size_t count)
{
    wire_put_u32(out, (uint32_t)count);
    for (size_t i = 0; i < count; i++) wire_put_string(out, names[i]);
}

void paths_put(struct text *out, const struct pdf_paths *paths)
{
    wire_put_u32(out, paths->state);
    wire_put_string(out, paths->trouble);
    wire_put_u32(out, (uint32_t)paths->clip_count);
    for (size_t i = 0; i < paths->clip_count; i++) wire_put_u32(out, (uint32_t)paths->clips[i]);
    wire_put_u32(out, (uint32_t)paths->count);
    for (const struct pdf_shape *shape = paths->shapes; shape < paths->shapes + paths->count; shape++) {
        wire_put_u32(out, (shape->mask ? SHAPE_MASKED : 0) | (shape->even_odd ? SHAPE_EVEN_ODD : 0));
        wire_put_u32(out, (uint32_t)shape->under), wire_put_u32(out, (uint32_t)shape->into);
        if (shape->mask) {
            paths_put_mask(out, shape->mask);
            continue;
        }
        wire_put_u32(out, (uint32_t)shape->count);
        for (size_t i = 0; i < shape->count; i++) paths_put_line(out, &shape->lines[i]);
    }
    paths_put_names(out, paths->spots, paths->spot_count);
    paths_put_names(out, paths->layers, paths->layer_count);
    paths_put_names(out, paths->steps, paths->step_count);
}

static struct pdf_line paths_get_line(struct wire_in *in, struct arena *arena)
{
    struct pdf_line line = {.points.count = wire_get_u32(in)};
    line.closed = wire_get_u32(in);
    if (line.points.count < 2 || line.points.count > (in->bytes.length - in->at) / (2 * sizeof(double)))
        in->bad = true, line.points.count = 0;
    line.points.points = arena_take_array(arena, line.points.count, sizeof *line.points.points);
    for (size_t i = 0; i < line.points.count; i++) {
        line.points.points[i].x = wire_get_f64(in);
        line.points.points[i].y = wire_get_f64(in);
    }
    return line;
}

static const struct pdf_mask *paths_get_mask(struct wire_in *in, struct arena *arena)
{
    struct pdf_mask *mask = arena_take(arena, sizeof *mask);
    mask->width = wire_get_u32(in), mask->height = wire_get_u32(in);
    mask->place.a = wire_get_f64(in), mask->place.b = wire_get_f64(in);
    mask->place.c = wire_get_f64(in), mask->place.d = wire_get_f64(in);
    mask->place.e = wire_get_f64(in), mask->place.f = wire_get_f64(in);
    struct str values = wire_get_bytes(in);
    if (!mask->width || !mask->height || mask->width > PDF_PATH_MASK_SIDE_MOST ||
        mask->height > PDF_PATH_MASK_SIDE_MOST || values.length != mask->width * mask->height)
        in->bad = true;
    else
        mask->values = (const uint8_t *)arena_copy(arena, values.bytes, values.length);
    return mask;
}

static struct pdf_shape paths_get_shape(struct wire_in *in, struct arena *arena)
{
    uint32_t kind = wire_get_u32(in);
    struct pdf_shape shape = {.even_odd = kind & SHAPE_EVEN_ODD};
    shape.under = wire_get_u32(in), shape.into = wire_get_u32(in);
    if (kind & SHAPE_MASKED) {
        shape.mask = paths_get_mask(in, arena);
        return shape;
    }
    shape.count = wire_get_count(in, 2 * sizeof(uint32_t) + 4 * sizeof(double));
    shape.lines = arena_take_array(arena, shape.count, sizeof *shape.lines);
    for (size_t i = 0; i < shape.count && !in->bad; i++) shape.lines[i] = paths_get_line(in, arena);
    return shape;
}

static const char **paths_get_names(struct wire_in *in, struct arena *arena, size_t *count)
{
    *count = wire_get_count(in, sizeof(uint32_t));
    const char **names = arena_take_array(arena, *count, sizeof *names);
    for (size_t i = 0; i < *count; i++) {
        names[i] = wire_get_string(in, arena);
        if (!names[i]) names[i] = "";
    }
    return names;
}

/* Clips within lower ones only, so that whoever works them out by their numbers comes to an end. */
static bool paths_can_be(const struct pdf_paths *paths)
{
    if (paths->state > ARTWORK_NO_SUCH_PAGE || (paths->state != ARTWORK_FINE && !paths->trouble))
        return false;
    for (size_t i = 0; i < paths->clip_count; i++)
        if (paths->clips[i] > i) return false;
    for (const struct pdf_shape *shape = paths->shapes; shape < paths->shapes + paths->count; shape++)
        if (shape->under > paths->clip_count || shape->into > paths->clip_count ||
            (shape->into && shape->under >= shape->into))
            return false;
    return true;
}

bool paths_get(struct wire_in *in, struct arena *arena, struct pdf_paths *paths)
{
    *paths = (struct pdf_paths){.state = (enum artwork_state)wire_get_u32(in)};
    paths->trouble = wire_get_string(in, arena);
    paths->clip_count = wire_get_count(in, sizeof(uint32_t));
    paths->clips = arena_take_array(arena, paths->clip_count, sizeof *paths->clips);
    for (size_t i = 0; i < paths->clip_count; i++) paths->clips[i] = wire_get_u32(in);
    paths->count = wire_get_count(in, 4 * sizeof(uint32_t));
    paths->shapes = arena_take_array(arena, paths->count, sizeof *paths->shapes);
    for (size_t i = 0; i < paths->count && !in->bad; i++) paths->shapes[i] = paths_get_shape(in, arena);
    paths->spots = paths_get_names(in, arena, &paths->spot_count);
    paths->layers = paths_get_names(in, arena, &paths->layer_count);
    paths->steps = paths_get_names(in, arena, &paths->step_count);
    return !in->bad && paths_can_be(paths);
}
