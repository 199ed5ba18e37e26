/* Traces SVG path data and shapes into polygons in vehicle millimetres, within limits. Called by shapes.c
 * and drawing.c; curves are flattened by geom. */
#include "svg.h"
#include "base/arena.h"
#include <math.h>

/* Nothing on a vehicle is a kilometre away; beyond it numbers are mistakes and sums lose their digits. */
static const double farthest_mm = 1e6;

struct trace trace_new(struct arena *arena, struct affine to_vehicle, double tolerance, size_t points_most)
{
    return (struct trace){
        .arena = arena, .to_vehicle = to_vehicle, .tolerance = tolerance, .points_most = points_most};
}

/* Puts the open part away; what has no length is dropped. */
static void put_away(struct trace *trace)
{
    struct outline_builder *open = &trace->open;
    size_t count = open->count;
    while (count > 1 && open->points[count - 1].x == open->points[0].x &&
           open->points[count - 1].y == open->points[0].y)
        count--;
    if (count > 1) {
        struct polygon *part = arena_append(trace->arena, &trace->parts, &trace->part_count,
                                            &trace->part_capacity, sizeof *part);
        *part = (struct polygon){open->points, count};
        trace->point_count += count;
    }
    *open = (struct outline_builder){.arena = trace->arena};
}

static void path_check(struct trace *trace, size_t from)
{
    for (size_t i = from; i < trace->open.count; i++) {
        struct point p = trace->open.points[i];
        if (!(fabs(p.x) <= farthest_mm && fabs(p.y) <= farthest_mm)) trace->not_finite = true;
    }
    if (trace->point_count + trace->open.count > trace->points_most) trace->too_many = true;
}

static bool usable(const struct trace *trace)
{
    return !trace->too_many && !trace->not_finite;
}

/* A part drawn on after a close begins where that one began. */
static void begin_if_needed(struct trace *trace)
{
    if (trace->open.count) return;
    trace->open.arena = trace->arena;
    outline_add(&trace->open, affine_apply(trace->to_vehicle, trace->at));
    trace->start = trace->at;
    path_check(trace, 0);
}

void trace_move(struct trace *trace, struct point to)
{
    put_away(trace);
    trace->at = trace->start = to;
}

void trace_line(struct trace *trace, struct point to)
{
    begin_if_needed(trace);
    size_t from = trace->open.count;
    if (usable(trace)) outline_add(&trace->open, affine_apply(trace->to_vehicle, to));
    path_check(trace, from);
    trace->at = to;
}

static void trace_cubic(struct trace *trace, struct point c1, struct point c2, struct point to)
{
    begin_if_needed(trace);
    struct affine m = trace->to_vehicle;
    size_t from = trace->open.count;
    if (usable(trace))
        outline_cubic(&trace->open, affine_apply(m, c1), affine_apply(m, c2), affine_apply(m, to),
                      trace->tolerance);
    path_check(trace, from);
    trace->at = to;
}

static void trace_quadratic(struct trace *trace, struct point control, struct point to)
{
    begin_if_needed(trace);
    struct affine m = trace->to_vehicle;
    size_t from = trace->open.count;
    if (usable(trace))
        outline_quadratic(&trace->open, affine_apply(m, control), affine_apply(m, to), trace->tolerance);
    path_check(trace, from);
    trace->at = to;
}

/* The most by which the transform lengthens anything: its larger singular value. */
static double lengthening(struct affine m)
{
    double sum = m.a * m.a + m.b * m.b + m.c * m.c + m.d * m.d, det = m.a * m.d - m.b * m.c;
    return sqrt((sum + sqrt(fmax(0, sum * sum - 4 * det * det))) / 2);
}

/* An arc stays an ellipse under the transform, but not one of the same axes: flattened before it. */
void trace_arc(struct trace *trace, const struct arc *arc)
{
    begin_if_needed(trace);
    double scale = lengthening(trace->to_vehicle);
    size_t from = trace->open.count;
    if (usable(trace) && scale > 0 && isfinite(scale)) {
        struct outline_builder flat = {.arena = trace->arena};
        outline_add(&flat, trace->at);
        outline_arc(&flat, arc, trace->tolerance / scale);
        for (size_t i = 1; i < flat.count; i++)
            outline_add(&trace->open, affine_apply(trace->to_vehicle, flat.points[i]));
    }
    path_check(trace, from);
    trace->at = arc->end;
}

void trace_close(struct trace *trace)
{
    put_away(trace);
    trace->at = trace->start;
}

void trace_end(struct trace *trace)
{
    put_away(trace);
}

/* ---- path data ---- */

struct survey_path {
    struct svg_scan scan;
    struct trace *trace;
    char command;      /* as written; small letters are relative */
    char last;         /* the one before, in capitals */
    struct point bend; /* control point that S and T mirror */
    double numbers[7];
};

static char capital(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

/* How many numbers a command takes; -1 for no command. */
static int path_numbers_of(char command)
{
    switch (capital(command)) {
    case 'Z':
        return 0;
    case 'H':
    case 'V':
        return 1;
    case 'M':
    case 'L':
    case 'T':
        return 2;
    case 'S':
    case 'Q':
        return 4;
    case 'C':
        return 6;
    case 'A':
        return 7;
    default:
        return -1;
    }
}

static bool path_read_numbers(struct survey_path *path, int count)
{
    for (int i = 0; i < count; i++) {
        bool flag, is_flag = count == 7 && (i == 3 || i == 4);
        if (i) scan_separator(&path->scan);
        if (is_flag ? !scan_flag(&path->scan, &flag) : !scan_number(&path->scan, &path->numbers[i]))
            return false;
        if (is_flag) path->numbers[i] = flag;
    }
    return true;
}

static struct point point_at(const struct survey_path *path, int i)
{
    struct point p = {path->numbers[i], path->numbers[i + 1]};
    if (path->command >= 'a') p.x += path->trace->at.x, p.y += path->trace->at.y;
    return p;
}

/* The control point that goes on smoothly from the curve before. */
static struct point mirrored(const struct survey_path *path, const char *after)
{
    struct point at = path->trace->at;
    if (path->last != after[0] && path->last != after[1]) return at;
    return (struct point){2 * at.x - path->bend.x, 2 * at.y - path->bend.y};
}

static void draw_curve(struct survey_path *path, char command)
{
    struct point control;
    switch (command) {
    case 'C':
    case 'S':
        control = command == 'C' ? point_at(path, 0) : mirrored(path, "CS");
        path->bend = point_at(path, command == 'C' ? 2 : 0);
        trace_cubic(path->trace, control, path->bend, point_at(path, command == 'C' ? 4 : 2));
        return;
    default:
        path->bend = command == 'Q' ? point_at(path, 0) : mirrored(path, "QT");
        trace_quadratic(path->trace, path->bend, point_at(path, command == 'Q' ? 2 : 0));
    }
}

static void path_draw(struct survey_path *path)
{
    struct trace *trace = path->trace;
    const double *n = path->numbers;
    bool relative = path->command >= 'a';
    char command = capital(path->command);
    switch (command) {
    case 'M':
        trace_move(trace, point_at(path, 0));
        break;
    case 'L':
        trace_line(trace, point_at(path, 0));
        break;
    case 'H':
        trace_line(trace, (struct point){n[0] + (relative ? trace->at.x : 0), trace->at.y});
        break;
    case 'V':
        trace_line(trace, (struct point){trace->at.x, n[0] + (relative ? trace->at.y : 0)});
        break;
    case 'A':
        trace_arc(trace, &(struct arc){n[0], n[1], n[2], n[3] != 0, n[4] != 0, point_at(path, 5)});
        break;
    case 'Z':
        trace_close(trace);
        break;
    default:
        draw_curve(path, command);
    }
    path->last = command;
}

/* The next command letter, or the one before going on with more numbers. */
static bool next_command(struct survey_path *path)
{
    struct svg_scan *scan = &path->scan;
    char c = scan->text.bytes[scan->at];
    if (path_numbers_of(c) >= 0) {
        scan->at++;
        scan_blanks(scan);
        path->command = c;
        return path->last || capital(c) == 'M';
    }
    if (!path->last || path->last == 'Z') return false;
    if (path->command == 'M') path->command = 'L';
    if (path->command == 'm') path->command = 'l';
    return true;
}

bool path_trace(struct str data, struct trace *trace, size_t *bad_at)
{
    struct survey_path path = {.scan = {data, 0}, .trace = trace};
    while (!scan_end(&path.scan)) {
        if (!next_command(&path) || !path_read_numbers(&path, path_numbers_of(path.command))) {
            *bad_at = path.scan.at + 1;
            return false;
        }
        path_draw(&path);
        scan_separator(&path.scan);
    }
    trace_end(trace);
    return true;
}
