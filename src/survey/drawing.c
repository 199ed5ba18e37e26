/* The way through a drawing, from the outside in: what is read, what is not and said so, and where the limits
 * are. What becomes of the shapes is in outline.c. */
#include "drawing.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/units.h"
#include "survey/survey.h"
#include "walk.h"
#include <assert.h>
#include <math.h>

static void drawing_stop(struct drawing_walk *walk, const xmlNode *node, const char *what, int most)
{
    if (!walk->stopped)
        report_add(walk->report, xml_place(node, walk->file), "drawing-has-more-than-draw-surface",
                   ARGUMENTS(arg_count("most", most), arg_words("what", what)));
    walk->stopped = true;
}

/* Counts what was not read, one entry for each sort. */
static void not_read(struct drawing_walk *walk, const xmlNode *node, const char *why)
{
    enum { SORTS_MOST = 40 };
    const char *name = (const char *)node->name;
    for (size_t i = 0; i < walk->unread_count; i++) {
        struct unread *unread = &walk->unread[i];
        if (unread->why != why || !string_equal(unread->name, name)) continue;
        unread->count++;
        return;
    }
    if (walk->unread_count == SORTS_MOST) return;
    struct unread *unread =
        arena_append(walk->arena, &walk->unread, &walk->unread_count, &walk->unread_capacity, sizeof *unread);
    *unread = (struct unread){quoted(walk->arena, str_from(name)), why, xml_place(node, walk->file), 1};
}

static void tell_unread(const struct drawing_walk *walk)
{
    for (size_t i = 0; i < walk->unread_count; i++) {
        const struct unread *u = &walk->unread[i];
        if (u->count == 1)
            report_remark(walk->report, u->place, "this-was-not-read",
                          ARGUMENTS(arg_words("element", u->name), arg_words("why", u->why)));
        else
            report_remark(walk->report, u->place, "elements-first-on-this-line-were",
                          ARGUMENTS(arg_count("count", (int64_t)u->count), arg_words("element", u->name),
                                    arg_words("why", u->why)));
    }
}

static void walk_element(struct drawing_walk *walk, const struct scope *outer, xmlNode *node);

static void walk_children(struct drawing_walk *walk, const struct scope *scope)
{
    for (xmlNode *child = scope->node->children; child && !walk->stopped; child = child->next)
        if (child->type == XML_ELEMENT_NODE) walk_element(walk, scope, child);
}

/* ---- shapes ---- */

static const char *shape_kind_name(int kind)
{
    return kind == KIND_OUTLINE ? "outline"
           : kind == KIND_NONE  ? "shape"
                                : feature_kind_name((enum feature_kind)kind);
}

/* False: there is nothing to do with it. */
static bool shape_is_wanted(struct drawing_walk *walk, const struct scope *scope, int kind)
{
    const char *cover = walk->pick ? NULL : walk->drawing->cover_name;
    if (walk->pick)
        return kind == KIND_OUTLINE || !walk->pick->name || scope_is_called(scope, walk->pick->name);
    if (kind != KIND_NONE) return true;
    if (!cover || !scope_is_called(scope, cover))
        not_read(walk, scope->node, sentence_plain("unread-no-kind"));
    return false;
}

static void drawing_take_shape(struct drawing_walk *walk, const struct scope *scope)
{
    int kind = kind_of(scope);
    if (!shape_is_wanted(walk, scope, kind)) return;
    assert(kind <= KIND_OUTLINE && (walk->pick || kind >= 0));
    if (kind == KIND_OUTLINE) walk->outline_met = true;
    struct place place = xml_place(scope->node, walk->file);
    const char *name = shape_kind_name(kind), *fault;
    struct trace trace = trace_new(walk->arena, scope->to_vehicle, flatten_mm, SURVEY_OUTLINE_POINTS_MOST);
    if (!shape_trace(scope, &trace, walk->arena, &fault)) {
        report_add(walk->report, place, "this-written-name-fault",
                   ARGUMENTS(arg_words("written", (const char *)scope->node->name), arg_words("name", name),
                             arg_words("fault", fault)));
        return;
    }
    if (trace.not_finite) {
        report_add(walk->report, place, "this-reaches-farther-than-1-km",
                   ARGUMENTS(arg_words("written", (const char *)scope->node->name), arg_words("name", name)));
        return;
    }
    if (trace.too_many) {
        report_add(walk->report, place, "this-has-more-than-points-simplify",
                   ARGUMENTS(arg_words("written", (const char *)scope->node->name), arg_words("name", name),
                             arg_count("most", SURVEY_OUTLINE_POINTS_MOST)));
        return;
    }
    walk->points += trace.point_count;
    if (walk->points > SURVEY_POINTS_MOST) drawing_stop(walk, scope->node, "points", SURVEY_POINTS_MOST);
    if (walk->pick)
        pick_traced(walk, scope, &trace);
    else
        take_traced(walk, scope, kind, &trace);
}

/* ---- viewports and `use` ---- */

/* A length of a viewport: on the `use` if it is written there, else on the element, else all there is. */
static double viewport_length(struct drawing_walk *walk, const xmlNode *use, const xmlNode *node,
                              const char *name, double whole)
{
    double value;
    struct str written = use ? element_attribute(use, name) : (struct str){"", 0};
    if (!written.length) written = element_attribute(node, name);
    if (!written.length) return whole;
    if (svg_length(written, whole, &value)) return value;
    report_add(walk->report, xml_place(node, walk->file), "cannot-be-read-write-number-or",
               ARGUMENTS(arg_words("name", name), arg_words("written", quoted(walk->arena, written))));
    return whole;
}

/* Fits `scope` to its viewport, which is given in the units around it. False when nothing can be seen. */
static bool fit_viewport(struct drawing_walk *walk, struct scope *scope, const struct view_box *viewport)
{
    struct place place = xml_place(scope->node, walk->file);
    struct str written = element_attribute(scope->node, "viewBox");
    struct view_box box = {0, 0, viewport->width, viewport->height};
    struct str aspect = element_attribute(scope->node, "preserveAspectRatio");
    struct affine fit;
    bool uneven;
    if (!(viewport->width > 0 && viewport->height > 0)) return false;
    if (written.length && !svg_view_box(written, &box)) {
        report_add(walk->report, place, "viewbox-cannot-be-used-write-four",
                   ARGUMENTS(arg_words("written", quoted(walk->arena, written))));
        return false;
    }
    if (!svg_fit(&box, viewport, aspect, &fit, &uneven)) {
        report_add(walk->report, place, "preserveaspectratio-cannot-be-read-write-xmidymid",
                   ARGUMENTS(arg_words("written", quoted(walk->arena, aspect))));
        return false;
    }
    if (uneven)
        report_remark(walk->report, place, "preserveaspectratio-none-stretches-drawing-1-unit",
                      ARGUMENTS(arg_fixed("a", fit.a * scope->to_vehicle.a, 4),
                                arg_fixed("d", fit.d * scope->to_vehicle.d, 4)));
    scope->to_vehicle = affine_then(fit, scope->to_vehicle);
    scope->view_width = box.width, scope->view_height = box.height;
    return true;
}

/* A nested svg, or a symbol that a `use` stands for. */
static void walk_viewport(struct drawing_walk *walk, struct scope *scope, const xmlNode *use)
{
    struct view_box viewport = {0, 0, scope->view_width, scope->view_height};
    double across = scope->view_width, down = scope->view_height;
    if (element_is(scope->node, "svg") && element_attribute(scope->node, "x").length)
        viewport.x = viewport_length(walk, NULL, scope->node, "x", across);
    if (element_is(scope->node, "svg") && element_attribute(scope->node, "y").length)
        viewport.y = viewport_length(walk, NULL, scope->node, "y", down);
    viewport.width = viewport_length(walk, use, scope->node, "width", across);
    viewport.height = viewport_length(walk, use, scope->node, "height", down);
    if (fit_viewport(walk, scope, &viewport)) walk_children(walk, scope);
}

static bool is_round_trip(const struct scope *scope, const xmlNode *target)
{
    for (const struct scope *s = scope; s; s = s->outer)
        if (s->node == target || s->used == target) return true;
    return false;
}

static void walk_use(struct drawing_walk *walk, struct scope *scope)
{
    xmlNode *target = id_index_find(&walk->ids, element_reference(scope->node));
    struct place place = xml_place(scope->node, walk->file);
    if (!target) {
        not_read(walk, scope->node, sentence_plain("unread-elsewhere"));
        return;
    }
    if (is_round_trip(scope, target)) {
        report_add(walk->report, place, "this-use-leads-back-to-itself", NULL);
        return;
    }
    double x = 0, y = 0;
    if (element_attribute(scope->node, "x").length)
        x = viewport_length(walk, NULL, scope->node, "x", scope->view_width);
    if (element_attribute(scope->node, "y").length)
        y = viewport_length(walk, NULL, scope->node, "y", scope->view_height);
    scope->to_vehicle = affine_then(affine_shift(x, y), scope->to_vehicle);
    scope->used = target;
    walk_element(walk, scope, target);
}

/* ---- one element ---- */

static bool is_container(const xmlNode *node)
{
    return element_is(node, "g") || element_is(node, "a");
}

/* Elements that hold what is not drawn as it stands, or say something about the file. */
static bool is_apart(const xmlNode *node)
{
    static const char *const names[] = {"defs", "title", "desc", "metadata", NULL};
    for (size_t i = 0; names[i]; i++)
        if (element_is(node, names[i])) return true;
    return !element_is_svg(node);
}

/* The scope inside `node`; false when its transform cannot be read. */
static bool drawing_enter(struct drawing_walk *walk, const struct scope *outer, xmlNode *node,
                          struct scope *scope)
{
    struct str written = element_attribute(node, "transform");
    struct affine transform;
    *scope = *outer;
    scope->outer = outer, scope->node = node, scope->used = NULL, scope->depth = outer->depth + 1;
    assert(scope->depth <= SURVEY_DEPTH_MOST); /* walk_element went no further */
    if (svg_transform(written, &transform)) {
        scope->to_vehicle = affine_then(transform, outer->to_vehicle);
        return true;
    }
    report_add(walk->report, xml_place(node, walk->file), "transform-cannot-be-read-write-list",
               ARGUMENTS(arg_words("written", quoted(walk->arena, written))));
    return false;
}

static void walk_element(struct drawing_walk *walk, const struct scope *outer, xmlNode *node)
{
    struct scope scope;
    const xmlNode *use = outer->used == node ? outer->node : NULL;
    bool viewport = element_is(node, "svg") || (use && element_is(node, "symbol"));
    bool known = viewport || is_container(node) || element_is(node, "use") || element_is_shape(node);
    if (++walk->elements > SURVEY_ELEMENTS_MOST) drawing_stop(walk, node, "elements", SURVEY_ELEMENTS_MOST);
    if (outer->depth >= SURVEY_DEPTH_MOST)
        drawing_stop(walk, node, sentence_plain("groups-one-in-another"), SURVEY_DEPTH_MOST);
    if (walk->stopped || is_apart(node) || element_hidden(node)) return;
    if (!use && element_is(node, "symbol")) return;
    if (!known) {
        not_read(walk, node,
                 element_is(node, "style") ? sentence_plain("unread-styles")
                                           : sentence_plain("unread-not-drawn"));
        return;
    }
    if (!drawing_enter(walk, outer, node, &scope)) return;
    if (viewport)
        walk_viewport(walk, &scope, use);
    else if (is_container(node))
        walk_children(walk, &scope);
    else if (element_is(node, "use"))
        walk_use(walk, &scope);
    else
        drawing_take_shape(walk, &scope);
}

/* ---- the root ---- */

/* Width or height of the whole drawing in user units of 1/96 in. */
static bool real_size(struct drawing_walk *walk, const xmlNode *root, const char *name, double *size)
{
    struct str written = element_attribute(root, name);
    if (svg_length(written, -1, size) && *size > 0) return true;
    const char *right = sentence_plain("write-papers-true-size-such-as");
    if (written.length)
        report_add(walk->report, xml_place(root, walk->file), "drawings-is-not-real-size",
                   ARGUMENTS(arg_words("name", name), arg_words("written", quoted(walk->arena, written)),
                             arg_words("right", right)));
    else
        report_add(walk->report, xml_place(root, walk->file), "drawing-has-no",
                   ARGUMENTS(arg_words("name", name), arg_words("right", right)));
    return false;
}

static bool walk_root(struct drawing_walk *walk, xmlNode *root, double scale)
{
    double mm = MM_PER_INCH / SVG_UNITS_PER_INCH * scale;
    struct scope scope = {.node = root, .to_vehicle = affine_scale(mm, mm)};
    struct view_box paper = {0, 0, 0, 0};
    if (!element_is(root, "svg")) {
        report_add(walk->report, xml_place(root, walk->file), "files-outermost-element-is-not-svg",
                   ARGUMENTS(arg_words("written", quoted(walk->arena, str_from((const char *)root->name)))));
        return false;
    }
    bool wide = real_size(walk, root, "width", &paper.width),
         high = real_size(walk, root, "height", &paper.height);
    if (!wide || !high) return false;
    scope.view_width = paper.width, scope.view_height = paper.height;
    if (!fit_viewport(walk, &scope, &paper)) return false;
    if (walk->pick) walk->pick->paper_mm = paper.height * mm;
    walk_children(walk, &scope);
    if (!walk->pick) tell_unread(walk);
    return true;
}

bool drawing_read(struct str bytes, const char *file, double scale, struct arena *arena,
                  struct report *report, struct drawing_file *drawing)
{
    size_t before = report->errors;
    xmlDoc *document = xml_parse(bytes, file, report);
    if (!document) return false;
    xmlNode *root = xmlDocGetRootElement(document);
    struct drawing_walk walk = {.arena = arena, .report = report, .file = file, .drawing = drawing};
    walk.ids = id_index_of(root, arena);
    if (walk_root(&walk, root, scale)) drawing_finish(&walk, xml_place(root, file));
    xmlFreeDoc(document);
    return report->errors == before;
}

bool drawing_read_shapes(const struct drawing_source *source, const char *name, struct report *report,
                         struct drawing_shapes *shapes)
{
    size_t before = report->errors;
    xmlDoc *document = xml_parse(source->bytes, source->file, report);
    if (!document) return false;
    xmlNode *root = xmlDocGetRootElement(document);
    struct drawing_pick pick = {.name = name, .found = shapes};
    struct drawing_walk walk = {
        .arena = source->arena, .report = report, .file = source->file, .pick = &pick};
    walk.ids = id_index_of(root, source->arena);
    if (walk_root(&walk, root, source->scale)) pick_finish(&walk);
    xmlFreeDoc(document);
    return report->errors == before;
}
