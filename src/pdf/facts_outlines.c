/* Lettering that was made into outlines: rows of shapes as large as letters.
 *
 * Contours of one paint whose boxes overlap are one letter. A row is letters side by side, of about one
 * height, on one baseline, that are not all the same shape and are not plain boxes and circles: windows,
 * dots and fences are none. Rows that run up the page are looked for likewise. What passes: model/practice.h;
 * joined-up script is one shape and is not found. */
#include "facts_build.h"
#include "pdf/facts.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "model/practice.h"
#include <math.h>
#include <stdlib.h>

enum { CONTOURS_MOST = 8000, LETTERS_LEAST = 3 };

/* What passes for lettering: the rows `letters-...` of model/practice.h, read once. */
struct letter_rules {
    double least_mm, largest, level, heights, space, baseline_near, baseline_share, complex, alike;
};

static struct letter_rules letter_rules_get(void)
{
    return (struct letter_rules){
        .least_mm = practice_value("letters-least").value,
        .largest = practice_share("letters-largest"),
        .level = practice_share("letters-beside"),
        .heights = practice_value("letters-heights").value,
        .space = practice_share("letters-space"),
        .baseline_near = practice_share("letters-baseline"),
        .baseline_share = practice_share("letters-on-baseline"),
        .complex = practice_share("letters-shaped"),
        .alike = practice_share("letters-alike"),
    };
}

struct letter_shape {
    struct rect box;
    uint32_t paint;
    int contours, lines, curves;
    bool used;
};

struct collector {
    fz_device super;
    struct arena *arena;
    struct letter_rules rules;
    struct letter_shape *shapes;
    size_t count, capacity;
    fz_matrix ctm; /* of the path under way */
    struct letter_shape now;
    bool open, too_many;
};

/* ---- contours ---- */

static void end_contour(struct collector *c)
{
    bool whole = c->open && c->now.lines + c->now.curves > 1 && rect_width(c->now.box) > 0 &&
                 rect_height(c->now.box) > 0;
    c->open = false;
    if (!whole) return;
    c->too_many |= c->count == CONTOURS_MOST;
    if (c->too_many) return;
    *(struct letter_shape *)arena_append(c->arena, &c->shapes, &c->count, &c->capacity, sizeof c->now) =
        c->now;
}

/* The device works with y down; boxes are turned back. */
static void reach(struct collector *c, float x, float y)
{
    fz_point p = fz_transform_point_xy(x, y, c->ctm);
    struct rect *box = &c->now.box;
    box->x0 = fmin(box->x0, p.x), box->x1 = fmax(box->x1, p.x);
    box->y0 = fmin(box->y0, -p.y), box->y1 = fmax(box->y1, -p.y);
}

static void move_to(fz_context *ctx, void *self, float x, float y)
{
    struct collector *c = self;
    (void)ctx;
    end_contour(c);
    c->open = true;
    c->now.box = (struct rect){INFINITY, INFINITY, -INFINITY, -INFINITY};
    c->now.lines = c->now.curves = 0, c->now.contours = 1;
    reach(c, x, y);
}

static void line_to(fz_context *ctx, void *self, float x, float y)
{
    struct collector *c = self;
    (void)ctx;
    c->now.lines++;
    reach(c, x, y);
}

static void curve_to(fz_context *ctx, void *self, float x1, float y1, float x2, float y2, float x3, float y3)
{
    struct collector *c = self;
    (void)ctx;
    c->now.curves++;
    reach(c, x1, y1), reach(c, x2, y2), reach(c, x3, y3);
}

static void close_path(fz_context *ctx, void *self)
{
    (void)ctx, (void)self; /* the next contour begins with a move */
}

static void take_path(fz_context *ctx, struct collector *c, const fz_path *path, fz_matrix ctm,
                      uint32_t paint)
{
    static const fz_path_walker walker = {
        .moveto = move_to, .lineto = line_to, .curveto = curve_to, .closepath = close_path};
    c->ctm = ctm, c->now.paint = paint, c->open = false;
    if (!c->too_many) fz_walk_path(ctx, path, &walker, c);
    end_contour(c);
}

static uint32_t paint_of(fz_context *ctx, fz_colorspace *space, const float *colour)
{
    int n = space ? fz_colorspace_n(ctx, space) : 0;
    uint32_t hash = (uint32_t)n + 1;
    for (int i = 0; i < n; i++) hash = hash * 16777619u ^ (uint32_t)lround((double)colour[i] * 1000);
    return hash;
}

static void fill_path(fz_context *ctx, fz_device *device, const fz_path *path, int even_odd, fz_matrix ctm,
                      fz_colorspace *space, const float *colour, float alpha, fz_color_params params)
{
    (void)even_odd, (void)params;
    if (alpha > 0) take_path(ctx, (struct collector *)device, path, ctm, paint_of(ctx, space, colour));
}

/* Letters through which a picture or a gradient is seen. */
static void clip_path(fz_context *ctx, fz_device *device, const fz_path *path, int even_odd, fz_matrix ctm,
                      fz_rect scissor)
{
    (void)even_odd, (void)scissor;
    take_path(ctx, (struct collector *)device, path, ctm, 0);
}

/* ---- letters ---- */

static int by_left(const void *one, const void *other)
{
    double a = ((const struct letter_shape *)one)->box.x0, b = ((const struct letter_shape *)other)->box.x0;
    return (a > b) - (a < b);
}

static void keep_letter_sized(struct collector *c, double page_mm)
{
    size_t kept = 0;
    for (size_t i = 0; i < c->count; i++) {
        double wide = rect_width(c->shapes[i].box), high = rect_height(c->shapes[i].box);
        bool fits = fmax(wide, high) >= c->rules.least_mm && fmax(wide, high) <= c->rules.largest * page_mm;
        if (fits && isfinite(wide + high)) c->shapes[kept++] = c->shapes[i];
    }
    c->count = kept;
}

static void add_to(struct letter_shape *letter, const struct letter_shape *part)
{
    letter->box = rect_union(letter->box, part->box);
    letter->contours += part->contours, letter->lines += part->lines, letter->curves += part->curves;
}

/* Contours of one paint whose boxes overlap become one letter; the shapes are sorted from the left. */
static void join_letters(struct collector *c)
{
    qsort(c->shapes, c->count, sizeof *c->shapes, by_left);
    for (size_t i = 0; i < c->count; i++) {
        struct letter_shape *letter = &c->shapes[i];
        for (size_t k = i + 1; k < c->count && c->shapes[k].box.x0 < letter->box.x1; k++) {
            struct letter_shape *part = &c->shapes[k];
            if (part->used || letter->used || part->paint != letter->paint) continue;
            if (!rect_overlaps(part->box, letter->box)) continue;
            add_to(letter, part);
            part->used = true;
        }
    }
    size_t kept = 0;
    for (size_t i = 0; i < c->count; i++)
        if (!c->shapes[i].used) c->shapes[kept++] = c->shapes[i];
    c->count = kept;
    qsort(c->shapes, c->count, sizeof *c->shapes, by_left);
}

/* No box, triangle or circle. */
static bool is_complex(const struct letter_shape *shape)
{
    return shape->contours > 1 || shape->lines + shape->curves > 5;
}

/* ---- rows ---- */

struct letter_row {
    size_t *letters, count; /* indices of shapes, from the left */
    struct rect box;
};

static bool outlines_goes_on(const struct letter_rules *rules, const struct letter_row *row,
                             const struct letter_shape *last, const struct letter_shape *next)
{
    double high = rect_height(row->box), one = rect_height(last->box), other = rect_height(next->box);
    double level = fmin(row->box.y1, next->box.y1) - fmax(row->box.y0, next->box.y0);
    double space = next->box.x0 - row->box.x1;
    return next->paint == last->paint && level >= rules->level * fmin(one, other) &&
           other <= rules->heights * high && other >= high / (2 * rules->heights) &&
           space <= rules->space * high;
}

static struct letter_row row_from(const struct collector *c, size_t first, size_t *room)
{
    struct letter_row row = {room, 1, c->shapes[first].box};
    const struct letter_shape *last = &c->shapes[first];
    room[0] = first;
    for (size_t k = first + 1; k < c->count; k++) {
        const struct letter_shape *next = &c->shapes[k];
        if (next->box.x0 > row.box.x1 + c->rules.space * rect_height(row.box)) break;
        if (next->used || !outlines_goes_on(&c->rules, &row, last, next)) continue;
        row.letters[row.count++] = k, row.box = rect_union(row.box, next->box), last = next;
    }
    return row;
}

static bool outlines_alike(const struct letter_rules *rules, const struct letter_shape *one,
                           const struct letter_shape *other)
{
    double near = rules->alike * fmax(rect_height(one->box), rect_height(other->box));
    return fabs(rect_width(one->box) - rect_width(other->box)) < near &&
           fabs(rect_height(one->box) - rect_height(other->box)) < near && one->lines == other->lines &&
           one->curves == other->curves;
}

/* How many letters end at the same height as letter `at`: below, or above. */
static size_t on_line(const struct collector *c, const struct letter_row *row, size_t at, bool below)
{
    size_t count = 0;
    double near = c->rules.baseline_near * rect_height(row->box);
    struct rect one = c->shapes[row->letters[at]].box;
    for (size_t i = 0; i < row->count; i++) {
        struct rect box = c->shapes[row->letters[i]].box;
        count += fabs(below ? box.y0 - one.y0 : box.y1 - one.y1) <= near;
    }
    return count;
}

static bool is_lettering(const struct collector *c, const struct letter_row *row)
{
    size_t complex = 0, same = 0, level = 0;
    if (row->count < LETTERS_LEAST || rect_width(row->box) < rect_height(row->box)) return false;
    for (size_t i = 0; i < row->count; i++) {
        const struct letter_shape *shape = &c->shapes[row->letters[i]];
        complex += is_complex(shape);
        same += i && outlines_alike(&c->rules, shape, &c->shapes[row->letters[i - 1]]);
        for (int below = 0; below < 2; below++) {
            size_t here = on_line(c, row, i, below);
            if (here > level) level = here;
        }
    }
    double count = (double)row->count;
    return (double)complex >= c->rules.complex * count && (double)same < (count - 1) / 2 &&
           (double)level >= c->rules.baseline_share * count;
}

static bool known_line(const struct builder *builder, size_t from, struct rect box)
{
    for (size_t i = from; i < builder->line_count; i++)
        if (rect_contains(rect_grow(builder->lines[i].box, 0.2 * rect_height(box)), box, 0)) return true;
    return false;
}

static void note_row(struct builder *builder, size_t from, const struct letter_row *row, bool up)
{
    struct rect b = row->box, box = up ? (struct rect){b.y0, b.x0, b.y1, b.x1} : b;
    if (known_line(builder, from, box)) return;
    if (builder->line_count == PDF_LINES_MOST) {
        builder->lines_cut = true;
        return;
    }
    *(struct text_line *)arena_append(builder->arena, &builder->lines, &builder->line_count,
                                      &builder->line_capacity, sizeof(struct text_line)) =
        (struct text_line){.box = box, .height_mm = rect_height(b), .words = "", .outlined = true};
}

static void find_rows(struct collector *c, struct builder *builder, size_t from, bool up)
{
    size_t *room = arena_take_array(c->arena, c->count, sizeof *room);
    for (size_t i = 0; i < c->count; i++) {
        if (c->shapes[i].used) continue;
        struct letter_row row = row_from(c, i, room);
        if (!is_lettering(c, &row)) continue;
        for (size_t k = 0; k < row.count; k++) c->shapes[row.letters[k]].used = true;
        note_row(builder, from, &row, up);
    }
}

static void turn_shapes(struct collector *c)
{
    for (size_t i = 0; i < c->count; i++) {
        struct rect b = c->shapes[i].box;
        c->shapes[i].box = (struct rect){b.y0, b.x0, b.y1, b.x1};
    }
    qsort(c->shapes, c->count, sizeof *c->shapes, by_left);
}

static void find_lettering(struct collector *c, const struct mu_page *page, struct builder *builder)
{
    struct rect media = affine_apply_rect(page->to_mm, page->media);
    size_t from = builder->line_count;
    if (c->too_many)
        names_add(builder->arena, &builder->remarks, sentence_plain("page-has-more-shapes-than-are"));
    keep_letter_sized(c, fmax(rect_width(media), rect_height(media)));
    join_letters(c);
    find_rows(c, builder, from, false);
    turn_shapes(c);
    find_rows(c, builder, from, true);
}

void outlines_read(struct mu *mu, pdf_document *doc, int number, const struct mu_page *page,
                   struct builder *builder)
{
    fz_context *ctx = mu->ctx;
    pdf_page *loaded = NULL;
    struct collector *c = NULL;
    fz_var(loaded);
    fz_var(c);
    fz_try(ctx)
    {
        loaded = pdf_load_page(ctx, doc, number - 1);
        c = fz_new_derived_device(ctx, struct collector);
        c->super.fill_path = fill_path, c->super.clip_path = clip_path;
        c->arena = builder->arena, c->rules = letter_rules_get();
        pdf_run_page_contents_with_usage(ctx, loaded, &c->super, text_to_turned_mm(ctx, loaded, page),
                                         "Print", NULL);
        fz_close_device(ctx, &c->super);
        find_lettering(c, page, builder);
    }
    fz_always(ctx)
    {
        if (c) fz_drop_device(ctx, &c->super);
        fz_drop_page(ctx, (fz_page *)loaded);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}
