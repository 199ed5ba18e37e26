/* Lists the artwork's lettering as boxes on the surface, and judges where it runs over openings or the
 * edge. Called by seam_cost.c and choose.c. */
#include "lettering.h"
#include "base/text.h"
#include "model/finding.h"
#include <math.h>

static struct lettering lettering_of(const struct placed_art *art, const struct text_line *line,
                                     const struct surface *surface)
{
    struct rect whole = affine_apply_rect(art->to_surface, line->box);
    struct rect face = surface_covered_box(surface);
    return (struct lettering){.box = rect_intersect(rect_intersect(whole, art->clip), face),
                              .whole = whole,
                              .words = line->words,
                              .outlined = line->outlined};
}

struct letterings letterings_of(const struct surface_input *input, struct arena *arena)
{
    struct letterings found = {0};
    size_t most = 0;
    for (size_t i = 0; input->art && i < input->art->count; i++)
        most += input->art->placed[i].facts->line_count;
    found.items = arena_take_array(arena, most, sizeof *found.items);
    for (size_t i = 0; input->art && i < input->art->count; i++) {
        const struct placed_art *art = &input->art->placed[i];
        if (art->facts->state != ARTWORK_FINE) continue;
        for (size_t k = 0; k < art->facts->line_count; k++) {
            struct lettering one = lettering_of(art, &art->facts->lines[k], input->surface);
            if (!rect_is_empty(one.box)) found.items[found.count++] = one;
        }
    }
    return found;
}

const char *lettering_name(const struct lettering *lettering, struct arena *arena)
{
    const char *words = lettering->words;
    if (words && *words) return arena_format(arena, "lettering \"%s\"", words);
    return lettering->outlined ? sentence_words(arena, "outlined-lettering-at-y",
                                                ARGUMENTS(arg_fixed("box_x0", lettering->box.x0, 0),
                                                          arg_fixed("box_y0", lettering->box.y0, 0)))
                               : "lettering";
}

/* ---- what it runs over ---- */

/* So much of its height counts for nothing at the sides of a line's box, which is larger than its letters. */
static const double box_slack = 0.1;

static struct rect letters_box(const struct lettering *lettering)
{
    return rect_grow(lettering->whole,
                     -box_slack * fmin(rect_width(lettering->whole), rect_height(lettering->whole)));
}

static bool parts_letters(const struct feature *f, struct rect box)
{
    const struct feature_type *type = &feature_types[f->kind];
    if (type->is_line) /* its box has no width */
        return f->box.x0 < box.x1 && f->box.x1 > box.x0 && f->box.y0 < box.y1 && f->box.y1 > box.y0;
    if (f->on_glass.count && rect_contains(polygon_bounds(&f->on_glass), box, 0)) return false;
    bool parts = feature_cut_short_mm(f) > 0 || type->is_hardware || feature_is_bare(f->kind) ||
                 type->relief == RELIEF_RECESS;
    return parts && rect_overlaps(f->box, box);
}

static bool leaves_outline(const struct surface *s, struct rect box)
{
    if (s->piece) return false; /* its outline follows its letters */
    if (box.x0 < 0 || box.x1 > s->width_mm) return true;
    for (size_t x = (size_t)floor(box.x0); x < s->up_count && (double)x < box.x1; x++)
        if ((double)s->up[x].low_mm > box.y0 || (double)s->up[x].high_mm < box.y1) return true;
    return false;
}

static const char *lettering_over_words(const struct surface *s, const struct lettering *lettering,
                                        struct arena *arena)
{
    struct text over = text_new(arena);
    struct rect box = letters_box(lettering);
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        if (!parts_letters(f, box)) continue;
        const char *kind = f->kind == FEATURE_GAP ? "door gap" : feature_kind_name(f->kind);
        text_addf(&over, "%s%s", over.length ? ", " : "", f->name ? f->name : kind);
    }
    if (leaves_outline(s, box)) text_say(&over, "bytes-off-edge", ARGUMENTS(arg_flag("bytes", over.length)));
    return text_string(&over);
}

void lettering_judge(const struct surface *surface, const struct letterings *letterings,
                     struct findings *findings)
{
    enum { NAMED_MOST = 6 };
    struct text words = text_new(findings->arena);
    struct rect box = {0};
    size_t count = 0;
    for (size_t i = 0; i < letterings->count; i++) {
        const char *over = lettering_over_words(surface, &letterings->items[i], findings->arena);
        if (!*over) continue;
        if (!count++) box = letterings->items[i].box;
        if (count <= NAMED_MOST)
            text_addf(&words, "%s%s: %s", count > 1 ? "; " : "",
                      lettering_name(&letterings->items[i], findings->arena), over);
    }
    if (count > NAMED_MOST) text_addf(&words, "; and %zu more", count - NAMED_MOST);
    if (!count) return;
    struct finding *finding = finding_add(findings, "lettering-over", surface->name, "lettering-over",
                                          ARGUMENTS(arg_words("words", text_string(&words))));
    finding->has_box = true, finding->box = box;
    finding->on_artwork = true;
}
