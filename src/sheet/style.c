/* Colours, letters, line widths, severity marks and words for lengths and moments, alike on every page.
 * Called by all files of the room. */
#include "style.h"
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>

struct paint ink_black(void)
{
    return paint_grey(0.07);
}

struct paint ink_grey(void)
{
    return paint_grey(0.38);
}

struct paint ink_pale(void)
{
    return paint_grey(0.8);
}

struct paint ink_faint(void)
{
    return paint_grey(0.95);
}

struct paint ink_white(void)
{
    return paint_grey(1);
}

struct paint ink_accent(void)
{
    return paint_rgb(0x1d5c85);
}

struct paint ink_accent_pale(void)
{
    return paint_rgb(0xb9d0e0);
}

struct letters words_of(double size_mm, enum align align)
{
    return (struct letters){.size_mm = size_mm, .align = align, .paint = ink_black()};
}

struct letters words_bold(double size_mm, enum align align)
{
    struct letters letters = words_of(size_mm, align);
    letters.bold = true;
    return letters;
}

struct letters words_grey(double size_mm, enum align align)
{
    struct letters letters = words_of(size_mm, align);
    letters.paint = ink_grey();
    return letters;
}

struct look line_of(struct paint paint, double width_mm)
{
    return (struct look){.line = paint, .line_mm = width_mm};
}

struct look filled(struct paint paint)
{
    return (struct look){.fill = paint};
}

const char *length_words(struct arena *arena, double mm, bool inches, bool with_unit)
{
    if (with_unit) return units_length_words(mm, inches, arena);
    struct text text = text_new(arena);
    if (inches)
        text_add(&text, units_figure(mm / MM_PER_INCH, arena));
    else
        text_add_number(&text, mm, 1);
    return text_string(&text);
}

static void add_regular(struct path *path, struct point centre, double radius, int corners, double turn)
{
    for (int i = 0; i < corners; i++) {
        double angle = turn + 2 * M_PI * i / corners;
        double x = centre.x + radius * cos(angle), y = centre.y + radius * sin(angle);
        if (i)
            path_line(path, x, y);
        else
            path_move(path, x, y);
    }
    path_close(path);
}

void draw_severity(struct drawing *drawing, struct point centre, double size, enum severity severity)
{
    struct path path = path_new(drawing_arena(drawing));
    switch (severity) {
    case SEVERITY_STOP:
        add_regular(&path, centre, size * 0.54, 8, M_PI / 8);
        draw_path(drawing, path, filled(paint_rgb(0xa3201d)));
        draw_rect(drawing, rect_of(centre.x - size * 0.28, centre.y - size * 0.09, size * 0.56, size * 0.18),
                  filled(ink_white()));
        break;
    case SEVERITY_WARN:
        add_regular(&path, (struct point){centre.x, centre.y + size * 0.12}, size * 0.6, 3, -M_PI / 2);
        draw_path(drawing, path,
                  (struct look){.fill = paint_rgb(0xf0b429), .line = ink_black(), .line_mm = size * 0.08});
        break;
    case SEVERITY_NOTE:
        draw_circle(drawing, centre, size * 0.38, line_of(ink_grey(), size * 0.13));
        break;
    }
}

void draw_arrow(struct drawing *drawing, struct point tail, struct point tip, double width,
                struct paint paint)
{
    double length = hypot(tip.x - tail.x, tip.y - tail.y);
    if (length <= 0) return;
    struct point u = {(tip.x - tail.x) / length, (tip.y - tail.y) / length}, n = {-u.y, u.x};
    double head = fmin(length, width * 1.1), half = width / 2, shaft = width * 0.14;
    struct point neck = {tip.x - u.x * head, tip.y - u.y * head};
    struct path path = path_new(drawing_arena(drawing));
    path_move(&path, tail.x + n.x * shaft, tail.y + n.y * shaft);
    path_line(&path, neck.x + n.x * shaft, neck.y + n.y * shaft);
    path_line(&path, neck.x + n.x * half, neck.y + n.y * half);
    path_line(&path, tip.x, tip.y);
    path_line(&path, neck.x - n.x * half, neck.y - n.y * half);
    path_line(&path, neck.x - n.x * shaft, neck.y - n.y * shaft);
    path_line(&path, tail.x - n.x * shaft, tail.y - n.y * shaft);
    path_close(&path);
    draw_path(drawing, path, filled(paint));
}

const char *moment_words(struct arena *arena, const struct zone *zone, int64_t at)
{
    struct civil_time t = zone_local(zone, at);
    return arena_format(arena, "%s, %02d:%02d", zone_day(zone, at, arena), t.hour, t.minute);
}
