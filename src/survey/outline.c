/* What becomes of the shapes of a drawing: one outline, and features in its coordinates. */
#include "base/arena.h"
#include "survey/survey.h"
#include "walk.h"
#include "plane.h"
#include <assert.h>
#include <math.h>

/* ---- features ---- */

static struct feature *new_feature(struct drawing_walk *walk, const struct scope *scope,
                                   enum feature_kind kind)
{
    struct drawing_file *drawing = walk->drawing;
    struct place place = xml_place(scope->node, walk->file);
    if (drawing->feature_count == SURVEY_FEATURES_MOST) {
        if (!walk->stopped)
            report_add(walk->report, place, "drawing-has-more-than-features-draw",
                       ARGUMENTS(arg_count("most", SURVEY_FEATURES_MOST)));
        walk->stopped = true;
        return NULL;
    }
    struct feature *feature = arena_append(walk->arena, &drawing->features, &drawing->feature_count,
                                           &drawing->feature_capacity, sizeof *feature);
    *feature = (struct feature){.kind = kind, .place = place, .margin_mm = -1};
    return feature;
}

/* A gap is a line: a drawn line itself, or the middle of a long thin shape. */
static void set_gap(struct feature *feature, const struct polygon *part)
{
    struct rect box = feature->box;
    struct point middle = {(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2};
    if (part->count == 2) {
        feature->from = part->points[0], feature->to = part->points[1];
    } else if (rect_height(box) > rect_width(box)) {
        feature->from = (struct point){middle.x, box.y0}, feature->to = (struct point){middle.x, box.y1};
    } else {
        feature->from = (struct point){box.x0, middle.y}, feature->to = (struct point){box.x1, middle.y};
    }
    feature->box = rect_normal(feature->from, feature->to);
}

static void take_feature(struct drawing_walk *walk, const struct scope *scope, enum feature_kind kind,
                         const struct polygon *part)
{
    struct place place = xml_place(scope->node, walk->file);
    assert(part->count >= 2); /* what has no length was not put away */
    struct rect box = polygon_bounds(part);
    if (!feature_types[kind].is_line && (part->count < 3 || rect_is_empty(box))) {
        report_add(walk->report, place, "this-has-no-area-draw-closed",
                   ARGUMENTS(arg_words("written", (const char *)scope->node->name),
                             arg_words("feature_kind", feature_kind_name(kind))));
        return;
    }
    struct feature *feature = new_feature(walk, scope, kind);
    if (!feature) return;
    feature->box = box;
    if (feature_types[kind].is_line)
        set_gap(feature, part);
    else
        feature->shape = *part;
    read_feature_data(scope, place, walk->arena, walk->report, feature);
}

/* ---- the outline ---- */

/* The largest part is the outline, what lies in it is cut out of it. */
static void take_outline(struct drawing_walk *walk, const struct scope *scope, const struct trace *trace)
{
    struct place place = xml_place(scope->node, walk->file);
    size_t outer = 0, inside = 0;
    if (walk->outline) {
        report_add(walk->report, place, "second-outline-first-is-on-line",
                   ARGUMENTS(arg_count("line", walk->outline_place.line)));
        return;
    }
    for (size_t i = 1; i < trace->part_count; i++)
        if (fabs(polygon_area(&trace->parts[i])) > fabs(polygon_area(&trace->parts[outer]))) outer = i;
    walk->outline = &trace->parts[outer];
    walk->outline_place = place;
    struct rect box = polygon_bounds(walk->outline);
    for (size_t i = 0; i < trace->part_count; i++) {
        if (i == outer) continue;
        struct rect part = polygon_bounds(&trace->parts[i]);
        if (!rect_contains(box, part, 0)) {
            report_add(walk->report, place, "outline-has-parts-side-by-side", NULL);
            return;
        }
        inside++;
        take_feature(walk, scope, FEATURE_OPENING, &trace->parts[i]);
    }
    if (inside)
        report_remark(walk->report, place, "outline-has-part-inside-its-edge",
                      ARGUMENTS(arg_count("inside", (int64_t)inside)));
}

void take_traced(struct drawing_walk *walk, const struct scope *scope, int kind, const struct trace *trace)
{
    struct place place = xml_place(scope->node, walk->file);
    const char *name = kind == KIND_OUTLINE ? "outline" : feature_kind_name((enum feature_kind)kind);
    if (!trace->part_count) {
        report_add(walk->report, place, "this-has-no-extent-give-it",
                   ARGUMENTS(arg_words("written", (const char *)scope->node->name), arg_words("name", name)));
        return;
    }
    if (kind == KIND_OUTLINE) {
        take_outline(walk, scope, trace);
        return;
    }
    for (size_t i = 0; i < trace->part_count && !walk->stopped; i++)
        take_feature(walk, scope, (enum feature_kind)kind, &trace->parts[i]);
}

/* ---- turning y up ---- */

static double outline_snapped(double value)
{
    return round(value * 1e6) / 1e6 + 0.0; /* no minus zero */
}

struct outline_turn {
    double left, bottom; /* of the outline, y down */
};

static struct point outline_turned(struct outline_turn turn, struct point p)
{
    return (struct point){outline_snapped(p.x - turn.left), outline_snapped(turn.bottom - p.y)};
}

/* Turned, without doubled points, counter-clockwise. */
static void turn_polygon(struct outline_turn turn, struct polygon *polygon)
{
    size_t kept = 0;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = outline_turned(turn, polygon->points[i]);
        if (!kept || p.x != polygon->points[kept - 1].x || p.y != polygon->points[kept - 1].y)
            polygon->points[kept++] = p;
    }
    while (kept > 1 && polygon->points[kept - 1].x == polygon->points[0].x &&
           polygon->points[kept - 1].y == polygon->points[0].y)
        kept--;
    polygon->count = kept;
    if (polygon_area(polygon) >= 0) return;
    for (size_t i = 0, j = kept; i + 1 < j; i++) {
        struct point swap = polygon->points[i];
        polygon->points[i] = polygon->points[--j];
        polygon->points[j] = swap;
    }
}

static void turn_feature(struct outline_turn turn, struct feature *feature)
{
    struct point low = {feature->box.x0, feature->box.y0}, high = {feature->box.x1, feature->box.y1};
    feature->box = rect_normal(outline_turned(turn, low), outline_turned(turn, high));
    feature->from = outline_turned(turn, feature->from);
    feature->to = outline_turned(turn, feature->to);
    turn_polygon(turn, &feature->shape);
}

static bool size_is_right(struct drawing_walk *walk, struct rect box)
{
    double w = rect_width(box), h = rect_height(box);
    if (w >= 1 && h >= 1 && w <= SURVEY_LENGTH_MOST_MM && h <= SURVEY_LENGTH_MOST_MM) return true;
    report_add(walk->report, walk->outline_place, "outline-is-by-on-vehicle-surface",
               ARGUMENTS(arg_fixed("width", w, 1), arg_fixed("height", h, 1)));
    return false;
}

void drawing_finish(struct drawing_walk *walk, struct place root)
{
    struct drawing_file *drawing = walk->drawing;
    if (!walk->outline) {
        if (!walk->outline_met) report_add(walk->report, root, "drawing-has-no-outline-give-shape", NULL);
        return;
    }
    struct rect box = polygon_bounds(walk->outline);
    if (!size_is_right(walk, box)) return;
    struct outline_turn turn = {box.x0, box.y1};
    drawing->outline = *walk->outline;
    turn_polygon(turn, &drawing->outline);
    for (size_t i = 0; i < drawing->feature_count; i++) turn_feature(turn, &drawing->features[i]);
    struct point where;
    if (polygon_crosses_itself(&drawing->outline, walk->arena, &where))
        report_add(walk->report, walk->outline_place, "outline-crosses-itself-from-its-left",
                   ARGUMENTS(arg_fixed("where_x", where.x, 0), arg_fixed("where_y", where.y, 0)));
    else if (drawing->outline.count < 3 || polygon_area(&drawing->outline) < 1)
        report_add(walk->report, walk->outline_place, "outline-has-no-area-draw-it", NULL);
}

/* ---- shapes that are looked for ---- */

void pick_traced(struct drawing_walk *walk, const struct scope *scope, const struct trace *trace)
{
    struct drawing_pick *pick = walk->pick;
    bool is_outline = kind_of(scope) == KIND_OUTLINE;
    struct drawing_shapes *into = is_outline ? &pick->outlines : pick->found;
    struct drawn_outline outline = {arena_take_array(walk->arena, trace->part_count, sizeof *outline.parts),
                                    0};
    if (!is_outline && pick->name && !scope_is_called(scope, pick->name)) return;
    for (size_t i = 0; i < trace->part_count; i++)
        if (trace->parts[i].count >= 3) outline.parts[outline.count++] = trace->parts[i];
    if (!outline.count) return;
    *(struct drawn_outline *)arena_append(walk->arena, &into->items, &into->count, &into->capacity,
                                          sizeof outline) = outline;
}

static struct rect shapes_bounds(const struct drawing_shapes *shapes)
{
    struct rect box = polygon_bounds(&shapes->items[0].parts[0]);
    for (size_t i = 0; i < shapes->count; i++)
        for (size_t k = 0; k < shapes->items[i].count; k++)
            box = rect_union(box, polygon_bounds(&shapes->items[i].parts[k]));
    return box;
}

/* An outline beside other shapes is the surface's; alone in a file it is what was looked for. */
void pick_finish(struct drawing_walk *walk)
{
    struct drawing_pick *pick = walk->pick;
    struct outline_turn turn = {0, pick->paper_mm};
    if (pick->outlines.count && (pick->found->count || pick->name)) {
        struct rect box = shapes_bounds(&pick->outlines);
        turn = (struct outline_turn){box.x0, box.y1};
    } else if (!pick->found->count) {
        *pick->found = pick->outlines;
    }
    for (size_t i = 0; i < pick->found->count; i++)
        for (size_t k = 0; k < pick->found->items[i].count; k++)
            turn_polygon(turn, &pick->found->items[i].parts[k]);
}
