/* Building the command list. */
#include "list.h"
#include "base/arena.h"
#include <assert.h>

struct paint paint_grey(double grey)
{
    return (struct paint){PAINT_GREY, grey, grey, grey, 1};
}

struct paint paint_rgb(unsigned rgb)
{
    return (struct paint){PAINT_RGB, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0,
                          1};
}

struct paint paint_faint(struct paint paint, double alpha)
{
    paint.alpha *= alpha;
    return paint;
}

struct drawing *drawing_new(struct arena *arena, double width_mm, double height_mm, const char *title)
{
    struct drawing *drawing = arena_take(arena, sizeof *drawing);
    *drawing = (struct drawing){.arena = arena,
                                .width = width_mm,
                                .height = height_mm,
                                .title = arena_copy_string(arena, title ? title : "")};
    return drawing;
}

double drawing_height(const struct drawing *drawing)
{
    return drawing->height;
}

struct arena *drawing_arena(const struct drawing *drawing)
{
    return drawing->arena;
}

void drawing_set_height(struct drawing *drawing, double height_mm)
{
    drawing->height = height_mm;
}

struct command *drawing_add(struct drawing *drawing, enum command_kind kind)
{
    struct command *command = arena_append(drawing->arena, &drawing->commands, &drawing->count,
                                           &drawing->capacity, sizeof *command);
    command->kind = kind;
    return command;
}

void draw_path(struct drawing *drawing, struct path path, struct look look)
{
    if (!path.count || (!paint_shows(look.fill) && !look_strokes(look))) return;
    struct command *command = drawing_add(drawing, COMMAND_PATH);
    command->path = path;
    command->look = look;
}

void draw_picture(struct drawing *drawing, struct rect into, int width, int height, const uint8_t *rgb,
                  double alpha)
{
    assert(width > 0 && height > 0);
    drawing_add(drawing, COMMAND_PICTURE)->picture =
        (struct command_picture){into, width, height, rgb, alpha};
}

void draw_begin_clip(struct drawing *drawing, struct path path, bool even_odd)
{
    struct command *command = drawing_add(drawing, COMMAND_CLIP);
    command->path = path;
    command->look.even_odd = even_odd;
    assert(drawing->open < DRAWING_DEPTH);
    drawing->open++;
}

void draw_begin_group(struct drawing *drawing, struct affine transform)
{
    drawing_add(drawing, COMMAND_GROUP)->transform = transform;
    assert(drawing->open < DRAWING_DEPTH);
    drawing->open++;
}

void draw_end(struct drawing *drawing)
{
    assert(drawing->open > 0);
    drawing_add(drawing, COMMAND_END);
    drawing->open--;
}

void draw_drawing(struct drawing *drawing, const struct drawing *what, struct affine transform)
{
    assert(what != drawing && !what->open);
    struct command *command = drawing_add(drawing, COMMAND_DRAWING);
    command->transform = transform;
    command->drawing = what;
}

struct affine drawing_surface_transform(struct point origin, double scale)
{
    return (struct affine){scale, 0, 0, -scale, origin.x, origin.y};
}

static bool paint_is_black(struct paint paint, bool faint)
{
    return !paint_shows(paint) || (paint.kind == PAINT_GREY && (faint || paint.alpha >= 1));
}

bool drawing_is_black(const struct drawing *drawing, bool faint)
{
    for (size_t i = 0; i < drawing->count; i++) {
        const struct command *c = &drawing->commands[i];
        if (c->kind == COMMAND_PICTURE) return false;
        if (!paint_is_black(c->look.fill, faint) || !paint_is_black(c->look.line, faint) ||
            !paint_is_black(c->words.paint, faint))
            return false;
        if (c->kind == COMMAND_DRAWING && !drawing_is_black(c->drawing, faint)) return false;
    }
    return true;
}
