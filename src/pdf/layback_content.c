/* Reads the content stream of a panel page. It may say only what a panel says: q, Q, cm, a rectangle or the panel's
 * shape to clip to, an artwork to draw (ISO 32000-1, 8.4.4, 8.5, 8.8), cut lines (layback_cuts.c), and the order's
 * marks byte for byte at its end.
 * Anything else is a difference, so nothing can be drawn over or left out unseen. */
#include "layback.h"
#include "base/arena.h"
#include <math.h>
#include <string.h>

enum { NUMBERS_MOST = 6, NESTED_MOST = 4, NAME_MOST = 16 };

static const double endless = 1e9; /* units: no clip */

struct content_state {
    struct affine ctm;
    struct rect clip; /* page units */
    bool shaped;      /* to the shape too */
};

struct content_words {
    struct str left;
    struct content_state now, kept[NESTED_MOST];
    int depth;
    double numbers[NUMBERS_MOST];
    int number_count;
    struct str name;   /* of the next Do */
    struct rect drawn; /* of re, until n */
    bool has_path, clips;
    struct arena *arena;
    struct polygon *rings; /* of m and l, until n: page units */
    size_t ring_count, ring_capacity, point_capacity;
    bool open;           /* the last of them lacks its h */
    struct region shape; /* what was clipped to */
    bool past_artworks;  /* cut lines came */
};

/* Takes the operands that the operator must have. */
static bool takes(struct content_words *words, int numbers)
{
    bool right = words->number_count == numbers && !words->name.length;
    words->number_count = 0;
    return right;
}

static bool save(struct content_words *words)
{
    if (!takes(words, 0) || words->depth == NESTED_MOST) return false;
    words->kept[words->depth++] = words->now;
    return true;
}

static bool restore(struct content_words *words)
{
    if (!takes(words, 0) || !words->depth) return false;
    words->now = words->kept[--words->depth];
    return true;
}

static bool content_transform(struct content_words *words)
{
    const double *v = words->numbers;
    words->now.ctm = affine_then((struct affine){v[0], v[1], v[2], v[3], v[4], v[5]}, words->now.ctm);
    return takes(words, 6);
}

static bool content_rectangle(struct content_words *words)
{
    const double *v = words->numbers;
    struct affine m = words->now.ctm;
    bool upright = m.b == 0 && m.c == 0 && v[2] > 0 && v[3] > 0;
    words->drawn = affine_apply_rect(m, rect_of(v[0], v[1], v[2], v[3]));
    bool first = !words->has_path && !words->ring_count;
    words->has_path = true;
    return takes(words, 4) && upright && first;
}

/* The first point of a ring, or the next. */
static bool content_point(struct content_words *words, bool first)
{
    if (words->has_path || words->open == first) return false;
    if (first) {
        arena_append(words->arena, &words->rings, &words->ring_count, &words->ring_capacity,
                     sizeof *words->rings);
        words->point_capacity = 0;
        words->open = true;
    }
    struct polygon *ring = &words->rings[words->ring_count - 1];
    struct point *point =
        arena_append(words->arena, &ring->points, &ring->count, &words->point_capacity, sizeof *point);
    *point = affine_apply(words->now.ctm, (struct point){words->numbers[0], words->numbers[1]});
    return takes(words, 2);
}

static bool content_close(struct content_words *words)
{
    bool right = words->open;
    words->open = false;
    return takes(words, 0) && right;
}

static bool content_clips(struct content_words *words)
{
    words->clips = true;
    return takes(words, 0) && (words->has_path || words->ring_count) && !words->open;
}

/* A page has one shape at most. */
static bool end_shape(struct content_words *words)
{
    bool first = !words->shape.count;
    words->shape = (struct region){words->rings, words->ring_count};
    words->rings = NULL;
    words->ring_count = words->ring_capacity = 0;
    words->now.shaped = true;
    words->clips = false;
    return first;
}

static bool end_path(struct content_words *words)
{
    if (!takes(words, 0) || !words->clips) return false;
    if (words->ring_count) return end_shape(words);
    if (!words->has_path) return false;
    words->now.clip = rect_intersect(words->now.clip, words->drawn);
    words->has_path = words->clips = false;
    return true;
}

/* "/L3" is layer 3. */
static bool content_layer_of(const struct layback *lay, struct str name, size_t *layer)
{
    double number = -1;
    if (!str_starts(name, "/L") || str_number(str_slice(name, 2, name.length), &number) + 2 != name.length)
        return false;
    *layer = number >= 0 ? (size_t)number : SIZE_MAX;
    return number == floor(number) && *layer < lay->read.order.layer_count;
}

/* Before the cut lines, and within the shape where there is one: it was set first. */
static bool content_draw(struct layback *lay, struct content_words *words, struct layback_draws *found)
{
    size_t layer;
    struct str name = words->name;
    words->name = (struct str){0};
    if (words->past_artworks || words->now.shaped != (words->shape.count > 0)) return false;
    if (!takes(words, 0) || !content_layer_of(lay, name, &layer)) return false;
    struct layback_draw *draw =
        arena_append(lay->arena, &found->items, &found->count, &found->capacity, sizeof *draw);
    *draw = (struct layback_draw){.layer = layer, .clip = words->now.clip, .to_print = words->now.ctm};
    return true;
}

static bool operand(struct content_words *words, struct str word)
{
    double number;
    if (word.bytes[0] == '/') {
        bool first = !words->name.length && word.length < NAME_MOST;
        words->name = word;
        return first;
    }
    if (str_number(word, &number) != word.length || words->number_count == NUMBERS_MOST) return false;
    words->numbers[words->number_count++] = number;
    return true;
}

/* Cut lines are drawn as the page stands: not clipped, not moved. */
static bool content_cuts_may_come(struct content_words *words)
{
    bool first = !words->past_artworks;
    words->past_artworks = true;
    return first && !words->depth && takes(words, 0) && !words->now.shaped && words->now.clip.x1 == endless;
}

/* Up to the cut lines, which begin with this word, or the end. */
static const char cuts_begin[] = "/OC";

static bool content_follow(struct layback *lay, struct content_words *words, struct layback_draws *found)
{
    for (struct str word, rest = words->left; (word = layback_next_word(&rest)).length;) {
        if (str_equal(word, cuts_begin)) break;
        words->left = rest;
        bool right = str_equal(word, "q")    ? save(words)
                     : str_equal(word, "Q")  ? restore(words)
                     : str_equal(word, "cm") ? content_transform(words)
                     : str_equal(word, "re") ? content_rectangle(words)
                     : str_equal(word, "m")  ? content_point(words, true)
                     : str_equal(word, "l")  ? content_point(words, false)
                     : str_equal(word, "h")  ? content_close(words)
                     : str_equal(word, "W")  ? content_clips(words)
                     : str_equal(word, "n")  ? end_path(words)
                     : str_equal(word, "Do") ? content_draw(lay, words, found)
                                             : operand(words, word);
        if (!right) return false;
    }
    return !words->number_count && !words->name.length && !words->has_path && !words->ring_count;
}

/* The content before the marks; false when the order's marks are not what it ends with. */
static bool before_marks(struct str content, struct str marks, struct str *before)
{
    static const char end[] = "\nQ\n";
    *before = content;
    if (!marks.length) return true;
    size_t tail = marks.length + sizeof end - 1;
    if (!str_ends(content, end) || content.length < tail) return false;
    *before = str_slice(content, 0, content.length - tail);
    return !memcmp(content.bytes + before->length, marks.bytes, marks.length);
}

/* Marks stand in millimetres from the file rectangle's corner, not clipped; without marks all is put back. */
static bool ends_right(const struct content_words *words, const struct pdf_panel_page *panel,
                       const struct mu_page *page)
{
    if (!panel->marks.length) return !words->depth;
    struct affine m = affine_then(words->now.ctm, layback_to_print(panel, page));
    m.e -= panel->file.x0, m.f -= panel->file.y0;
    const double most = 1e-6; /* over 20 m: 0.02 mm */
    return words->depth == 1 && words->now.clip.x1 == endless && fabs(m.a - 1) <= most &&
           fabs(m.d - 1) <= most && fabs(m.b) <= most && fabs(m.c) <= most && fabs(m.e) <= 0.01 &&
           fabs(m.f) <= 0.01;
}

/* From page units to print millimetres. */
static void content_to_print(const struct pdf_panel_page *panel, const struct mu_page *page,
                             struct layback_draws *found)
{
    struct affine m = layback_to_print(panel, page);
    for (size_t i = 0; i < found->shape.count; i++)
        for (size_t k = 0; k < found->shape.rings[i].count; k++)
            found->shape.rings[i].points[k] = affine_apply(m, found->shape.rings[i].points[k]);
    for (struct layback_draw *draw = found->items; draw < found->items + found->count; draw++) {
        draw->clip = affine_apply_rect(m, draw->clip);
        draw->to_print = affine_then(draw->to_print, m);
    }
}

static bool shape_right(const struct region *found, const struct region *wanted)
{
    size_t count = wanted ? wanted->count : 0;
    if (found->count != count) return false;
    for (size_t i = 0; i < count; i++)
        if (!layback_points_right(found->rings[i].points, found->rings[i].count, wanted->rings[i].points,
                                  wanted->rings[i].count))
            return false;
    return true;
}

/* The artworks, the cut lines, and what the marks are drawn in. */
static bool content_parts(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page,
                          struct content_words *words, struct layback_draws *found)
{
    const struct pdf_panel_page *panel = &lay->read.order.pages[index];
    if (!content_follow(lay, words, found)) return false;
    if (panel->cut_count &&
        !(content_cuts_may_come(words) && layback_cuts(mu, lay, index, page, &words->left)))
        return false;
    return content_follow(lay, words, found) && !layback_next_word(&words->left).length &&
           ends_right(words, panel, page);
}

bool layback_content(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page,
                     struct layback_draws *found)
{
    const struct pdf_panel_page *panel = &lay->read.order.pages[index];
    pdf_obj *contents = pdf_dict_get(mu->ctx, page->object, PDF_NAME(Contents));
    if (!pdf_is_stream(mu->ctx, contents))
        return layback_differs(lay, "panel-its-page-says-nothing", ARGUMENTS(arg_words("panel", panel->id)));
    fz_buffer *bytes = pdf_load_stream(mu->ctx, contents);
    struct content_words words = {
        .now = {.ctm = affine_identity, .clip = {-endless, -endless, endless, endless}}, .arena = lay->arena};
    struct str content = {(const char *)bytes->data, bytes->len};
    if (!before_marks(content, panel->marks, &words.left))
        layback_differs(lay, "panel-its-marks-are-not-as", ARGUMENTS(arg_words("panel", panel->id)));
    else if (!content_parts(mu, lay, index, page, &words, found) && !lay->trouble[0])
        layback_differs(lay, "panel-its-page-says-other-things", ARGUMENTS(arg_words("panel", panel->id)));
    fz_drop_buffer(mu->ctx, bytes);
    found->shape = words.shape;
    content_to_print(panel, page, found);
    if (!lay->trouble[0] && !shape_right(&found->shape, panel->clip))
        layback_differs(lay, "panel-its-shape-is-not-as", ARGUMENTS(arg_words("panel", panel->id)));
    return !lay->trouble[0];
}
