/* Sets words as outlines where a text says. Called by run for each text and vehicle. */
#include "typeface.h"
#include "base/arena.h"
#include "base/text.h"
#include <math.h>
#include <string.h>

/* ---- letters that the font does not have ---- */

static void typeset_add_missing(struct text *missing, const char *at)
{
    char letter[8] = {0};
    size_t bytes = (size_t)(g_utf8_next_char(at) - at);
    memcpy(letter, at, bytes < sizeof letter ? bytes : sizeof letter - 1);
    if (!strstr(text_string(missing), letter)) text_add(missing, letter);
}

static void typeset_run_missing(struct text *missing, const PangoLayoutRun *run, const char *words)
{
    for (int i = 0; i < run->glyphs->num_glyphs; i++)
        if (run->glyphs->glyphs[i].glyph & PANGO_GLYPH_UNKNOWN_FLAG)
            typeset_add_missing(missing, words + run->item->offset + run->glyphs->log_clusters[i]);
}

static const char *typeset_missing(PangoLayout *layout, struct arena *arena)
{
    struct text missing = text_new(arena);
    PangoLayoutIter *iter = pango_layout_get_iter(layout);
    do {
        const PangoLayoutRun *run = pango_layout_iter_get_run_readonly(iter);
        if (run) typeset_run_missing(&missing, run, pango_layout_get_text(layout));
    } while (pango_layout_iter_next_run(iter));
    pango_layout_iter_free(iter);
    return text_string(&missing);
}

/* ---- length and place ---- */

static double typeset_advance(PangoLayout *layout)
{
    PangoRectangle logical;
    pango_layout_line_get_extents(pango_layout_get_line_readonly(layout, 0), NULL, &logical);
    return (double)logical.width / PANGO_SCALE;
}

/* How much narrower it becomes, and by how much it is too long all the same. */
static double typeset_fit(const struct text_spec *text, struct typeset *out)
{
    double narrow = 1, least = text->narrowest_percent / 100;
    if (text->width_mm > 0 && out->own_mm > text->width_mm)
        narrow = fmax(text->width_mm / out->own_mm, least);
    out->set_mm = out->own_mm * narrow;
    out->narrowed_percent = narrow * 100;
    out->over_mm = text->width_mm > 0 ? fmax(out->set_mm - text->width_mm, 0) : 0;
    if (out->over_mm < 1e-6) out->over_mm = 0;
    return narrow;
}

void typeset_words(struct typeface *typeface, const struct text_spec *text, const char *words,
                   struct arena *arena, struct typeset *out)
{
    double scale = text->height_mm / typeface->capital;
    PangoLayout *layout = typeface_layout(typeface, words);
    *out = (struct typeset){.outline = path_new(arena), .own_mm = typeset_advance(layout) * scale};
    out->missing = typeset_missing(layout, arena);
    double narrow = typeset_fit(text, out);
    double left = text->align == TEXT_LEFT ? 0 : text->align == TEXT_CENTRE ? out->set_mm / 2 : out->set_mm;
    struct affine place = {scale * narrow, 0, 0, scale, text->at_mm.x - left, text->at_mm.y};
    if (!*out->missing) typeface_add_outline(layout, &out->outline, place);
    out->box = path_box(&out->outline);
    g_object_unref(layout);
}
