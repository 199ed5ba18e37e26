/* Artwork as it is against what printed panels were made from. */
#include "printed_inner.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- pixels ---- */

static const uint8_t *pixel_at(const struct printed_picture *picture, int x, int y)
{
    return picture->pixels + ((size_t)y * (size_t)picture->width + (size_t)x) * 4;
}

/* Whether a sample is not among those within a pixel of that place in the other picture. */
static bool stands_out(const uint8_t *pixel, const struct printed_picture *other, int x, int y, int slack)
{
    int low[4] = {255, 255, 255, 255}, high[4] = {0, 0, 0, 0};
    for (int v = y > 0 ? y - 1 : 0; v <= y + 1 && v < other->height; v++)
        for (int u = x > 0 ? x - 1 : 0; u <= x + 1 && u < other->width; u++)
            for (int c = 0; c < 4; c++) {
                int sample = pixel_at(other, u, v)[c];
                if (sample < low[c]) low[c] = sample;
                if (sample > high[c]) high[c] = sample;
            }
    for (int c = 0; c < 4; c++)
        if (pixel[c] < low[c] - slack || pixel[c] > high[c] + slack) return true;
    return false;
}

static bool is_near(const uint8_t *a, const uint8_t *b, int slack)
{
    for (int c = 0; c < 4; c++)
        if (abs(a[c] - b[c]) > slack) return false;
    return true;
}

static bool pixel_differs(const struct printed_picture *was, const struct printed_picture *is, int x, int y,
                          int slack)
{
    double mm_x = is->box.x0 + (x + 0.5) * is->pixel_mm, mm_y = is->box.y1 - (y + 0.5) * is->pixel_mm;
    int u = (int)floor((mm_x - was->box.x0) / was->pixel_mm);
    int v = (int)floor((was->box.y1 - mm_y) / was->pixel_mm);
    if (u < 0 || v < 0 || u >= was->width || v >= was->height) return false;
    const uint8_t *a = pixel_at(was, u, v), *b = pixel_at(is, x, y);
    return !is_near(a, b, slack) && (stands_out(a, is, x, y, slack) || stands_out(b, was, u, v, slack));
}

static int whole_within(double value, int most)
{
    return value < 0 ? 0 : value > most ? most : (int)value;
}

/* Pixels of `was` and `is` that differ inside `visible`: marks them in `marks` (a byte for each pixel of
 * `is`), grows `box` by them (empty at first), and says whether there are enough. */
static bool printed_differ(const struct printed_picture *was, const struct printed_picture *is,
                           struct rect visible, uint8_t *marks, struct rect *box)
{
    double p = is->pixel_mm;
    int x0 = whole_within(ceil((visible.x0 - is->box.x0) / p), is->width);
    int x1 = whole_within(floor((visible.x1 - is->box.x0) / p), is->width);
    int y0 = whole_within(ceil((is->box.y1 - visible.y1) / p), is->height);
    int y1 = whole_within(floor((is->box.y1 - visible.y0) / p), is->height);
    int slack = (int)practice_value("printed-apart").value;
    size_t count = 0;
    struct rect all = {0, 0, 0, 0};
    for (int y = y0; y < y1; y++)
        for (int x = x0; x < x1; x++) {
            if (!pixel_differs(was, is, x, y, slack)) continue;
            struct rect one = rect_of(is->box.x0 + x * p, is->box.y1 - (y + 1) * p, p, p);
            marks[(size_t)y * (size_t)is->width + (size_t)x] = 1;
            all = count++ ? rect_union(all, one) : one;
        }
    if ((double)count < practice_value("printed-pixels").value) return false;
    *box = rect_is_empty(*box) ? all : rect_union(*box, all);
    return true;
}

/* ---- one surface ---- */

struct comparing {
    struct run *run;
    struct run_surface *surface;
    struct printed_art now;
    struct changed_art changed; /* what is said of it */
    struct text panels, files;
    struct arena *arena; /* for pictures */
    struct printed_picture is, was;
    const char *was_state; /* of the picture in `was`, NULL: none is loaded */
    bool has_is, any;      /* any: a panel's state is not the present one */
    uint8_t *marks;
};

static bool is_of_surface(const struct printed_piece *piece, const struct surface *surface)
{
    return string_equal(piece->surface, surface->name);
}

/* Files whose bytes are not among those that were printed. */
static void name_files(struct comparing *c, const struct printed_art *kept)
{
    for (const char *line = c->now.lines; *line;) {
        size_t length = strcspn(line, "\n");
        const char *whole = arena_copy(c->run->arena, line, length), *name = strstr(whole, " file ");
        const char *sha = strstr(whole, "sha256 ");
        const char *hex = sha ? arena_copy(c->run->arena, sha, 7 + 64) : "";
        if (name && !strstr(kept->lines, hex) && !strstr(text_string(&c->files), name + 6))
            text_addf(&c->files, "%s%s", c->files.length ? ", " : "", name + 6);
        line += length + (line[length] == '\n');
    }
}

static bool take_is(struct comparing *c, struct error *error)
{
    if (c->has_is) return true;
    if (!printed_has_picture(c->run, c->now.state) && c->run->lock >= 0 &&
        !printed_write(c->run, c->surface, &c->now, error))
        return false;
    c->has_is = printed_load(c->run, &c->now, c->arena, &c->is);
    if (c->has_is) c->marks = arena_take_array(c->arena, (size_t)c->is.width * (size_t)c->is.height, 1);
    return true;
}

static bool take_was(struct comparing *c, const char *state, const struct printed_art *kept)
{
    if (c->was_state && string_equal(c->was_state, state)) return true;
    if (!printed_load(c->run, kept, c->arena, &c->was)) return false;
    c->was_state = state;
    return true;
}

static bool compare_piece(struct comparing *c, const struct printed_piece *piece, struct error *error)
{
    struct printed_art kept = {.lines = ""};
    bool known = printed_read_kept(c->run, piece->artwork, &kept);
    c->any = true;
    if (known) name_files(c, &kept);
    if (!take_is(c, error)) return false;
    bool both = known && c->has_is && take_was(c, piece->artwork, &kept);
    if (both && !printed_differ(&c->was, &c->is, piece->visible, c->marks, &c->changed.box)) return true;
    c->changed.compared = c->changed.compared && both;
    c->changed.differs = true;
    text_addf(&c->panels, "%s%s", c->panels.length ? ", " : "", piece->panel);
    return true;
}

static const char *path_of_picture(const struct comparing *c)
{
    return arena_format(c->run->arena, "pictures/artwork-changed-%s.png", c->surface->surface->id);
}

static bool printed_finish(struct comparing *c, struct error *error)
{
    struct run *run = c->run;
    struct changed_art *changed = &c->changed;
    size_t capacity = run->changed_count; /* few: as many as surfaces */
    changed->surface = c->surface->surface;
    changed->state = c->now.state;
    changed->panels = text_string(&c->panels);
    changed->files = c->files.length ? text_string(&c->files) : NULL;
    bool drawn = changed->differs && c->has_is && c->was_state && !rect_is_empty(changed->box);
    if (drawn) changed->picture = path_of_picture(c);
    if (drawn && run->lock >= 0 && !printed_draw(run, changed, &c->was, &c->is, c->marks, error))
        return false;
    *(struct changed_art *)arena_append(run->arena, &run->changed, &run->changed_count, &capacity,
                                        sizeof *changed) = *changed;
    return true;
}

static bool compare_surface(struct run *run, struct run_surface *s, struct error *error)
{
    struct comparing c = {.run = run, .surface = s, .arena = arena_new(run->machine)};
    c.panels = text_new(run->arena), c.files = text_new(run->arena);
    c.changed.compared = true;
    bool ok = printed_read_now(run, s, &c.now, error);
    for (size_t i = 0; ok && i < run->piece_count; i++) {
        const struct printed_piece *piece = &run->pieces[i];
        if (!piece->artwork || !is_of_surface(piece, s->surface) || string_equal(piece->artwork, c.now.state))
            continue;
        ok = !cancel_asked(run->options.cancel) ? compare_piece(&c, piece, error)
                                                : error_set(error, FAILURE_CANCELLED, "stopped", NULL);
    }
    ok = ok && (!c.any || printed_finish(&c, error));
    arena_free(c.arena);
    return ok;
}

static bool has_pieces(const struct run *run, const struct surface *surface)
{
    for (size_t i = 0; i < run->piece_count; i++)
        if (run->pieces[i].artwork && is_of_surface(&run->pieces[i], surface)) return true;
    return false;
}

bool printed_compare(struct run *run, struct error *error)
{
    for (size_t i = 0; i < run->surface_count; i++)
        if (has_pieces(run, run->surfaces[i].surface) && !compare_surface(run, &run->surfaces[i], error))
            return false;
    return true;
}

bool printed_is_ready(struct run *run)
{
    struct printed_art now;
    for (size_t i = 0; i < run->surface_count; i++) {
        struct run_surface *s = &run->surfaces[i];
        if (!has_pieces(run, s->surface)) continue;
        if (!printed_read_now(run, s, &now, NULL)) return false;
        if (s->art.count && step_profile(run, s->surface).length && !printed_has_picture(run, now.state))
            return false;
    }
    return true;
}

/* ---- saying so ---- */

static void say_changed(const struct run *run, const struct changed_art *c, struct findings *findings)
{
    const char *what = c->files ? c->files : sentence_plain("artworks-place-page-or-order");
    const struct rect *b = &c->box;
    struct finding *f = finding_add(findings, "artwork-changed", c->surface->name, "artwork-changed",
                                    ARGUMENTS(arg_words("what", what), arg_words("panels", c->panels),
                                              arg_flag("several", strstr(c->panels, ", "))));
    if (c->picture)
        f->text = sentence_words(findings->arena, "different-from-to-y-to-see",
                                 ARGUMENTS(arg_words("feature", f->text), arg_fixed("b_x0", b->x0, 0),
                                           arg_fixed("b_x1", b->x1, 0), arg_fixed("b_y0", b->y0, 0),
                                           arg_fixed("b_y1", b->y1, 0), arg_words("out", run->out),
                                           arg_words("picture", c->picture)));
    if (!c->compared)
        f->text = sentence_words(findings->arena, "what-was-printed-or-what-is",
                                 ARGUMENTS(arg_words("feature", f->text), arg_words("out", run->out)));
    f->text = arena_format(findings->arena, "%s.", f->text);
    f->has_box = !rect_is_empty(*b), f->box = *b;
    f->about = arena_format(findings->arena, "%s, artwork %.16s", c->panels, c->state);
    f->yields = true;
}

static void say_saved_again(const struct changed_art *c, struct findings *findings)
{
    finding_add(findings, "artwork-saved-again", c->surface->name, "artwork-saved-again",
                ARGUMENTS(arg_words("files", c->files)))
        ->on_artwork = true;
}

void printed_judge(const struct run *run, struct findings *findings)
{
    for (size_t i = 0; i < run->changed_count; i++)
        if (run->changed[i].differs)
            say_changed(run, &run->changed[i], findings);
        else if (run->changed[i].files)
            say_saved_again(&run->changed[i], findings);
}
