/* Reads the content stream of a panel page. It may say only what a panel says: q, Q, cm, a rectangle to clip
 * to, an artwork to draw (ISO 32000-1, 8.4.4, 8.5, 8.8), and the order's marks byte for byte at its end.
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
};

static bool content_is_white(char c)
{
    return c && strchr("\t\n\f\r ", c);
}

static struct str content_next_word(struct content_words *words)
{
    struct str left = words->left;
    size_t from = 0;
    while (from < left.length && content_is_white(left.bytes[from])) from++;
    size_t to = from;
    while (to < left.length && !content_is_white(left.bytes[to])) to++;
    words->left = str_slice(left, to, left.length);
    return str_slice(left, from, to);
}

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
    bool first = !words->has_path;
    words->has_path = true;
    return takes(words, 4) && upright && first;
}

static bool end_path(struct content_words *words)
{
    if (!takes(words, 0) || !words->has_path || !words->clips) return false;
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

static bool content_draw(struct layback *lay, struct content_words *words, struct layback_draws *found)
{
    size_t layer;
    struct str name = words->name;
    words->name = (struct str){0};
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

static bool content_follow(struct layback *lay, struct content_words *words, struct layback_draws *found)
{
    for (struct str word; (word = content_next_word(words)).length;) {
        bool right = str_equal(word, "q")    ? save(words)
                     : str_equal(word, "Q")  ? restore(words)
                     : str_equal(word, "cm") ? content_transform(words)
                     : str_equal(word, "re") ? content_rectangle(words)
                     : str_equal(word, "W")  ? takes(words, 0) && words->has_path && (words->clips = true)
                     : str_equal(word, "n")  ? end_path(words)
                     : str_equal(word, "Do") ? content_draw(lay, words, found)
                                             : operand(words, word);
        if (!right) return false;
    }
    return !words->number_count && !words->name.length && !words->has_path;
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
    for (struct layback_draw *draw = found->items; draw < found->items + found->count; draw++) {
        draw->clip = affine_apply_rect(m, draw->clip);
        draw->to_print = affine_then(draw->to_print, m);
    }
}

bool layback_content(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page,
                     struct layback_draws *found)
{
    const struct pdf_panel_page *panel = &lay->read.order.pages[index];
    pdf_obj *contents = pdf_dict_get(mu->ctx, page->object, PDF_NAME(Contents));
    if (!pdf_is_stream(mu->ctx, contents))
        return layback_differs(lay, "panel-its-page-says-nothing", ARGUMENTS(arg_words("panel", panel->id)));
    fz_buffer *bytes = pdf_load_stream(mu->ctx, contents);
    struct content_words words = {.now = {affine_identity, {-endless, -endless, endless, endless}}};
    struct str content = {(const char *)bytes->data, bytes->len};
    if (!before_marks(content, panel->marks, &words.left))
        layback_differs(lay, "panel-its-marks-are-not-as", ARGUMENTS(arg_words("panel", panel->id)));
    else if (!content_follow(lay, &words, found) || !ends_right(&words, panel, page))
        layback_differs(lay, "panel-its-page-says-other-things", ARGUMENTS(arg_words("panel", panel->id)));
    fz_drop_buffer(mu->ctx, bytes);
    content_to_print(panel, page, found);
    return !lay->trouble[0];
}
