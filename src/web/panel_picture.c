/* Draws where a panel lies among the others of its surface, as SVG. Called by panel_page.c. */
#include "panel_picture.h"
#include "base/text.h"

static bool on_same_surface(const struct floor_panel *one, const struct floor_panel *other)
{
    return one->terms.surface_index == other->terms.surface_index;
}

static void panel_picture_rectangle(struct text *out, const struct rect *r, const struct rect *all,
                                    const char *class)
{
    text_addf(out, "<rect class=\"%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\"/>", class,
              r->x0 - all->x0, all->y1 - r->y1, rect_width(*r), rect_height(*r));
}

static void panel_picture_number(struct text *out, const struct floor_panel *panel, const struct rect *all,
                                 const char *class)
{
    const struct rect *r = &panel->terms.visible;
    double size = 0.35 * (rect_width(*r) < rect_height(*r) ? rect_width(*r) : rect_height(*r));
    text_addf(out,
              "<text class=\"%s\" x=\"%.1f\" y=\"%.1f\" font-size=\"%.1f\" text-anchor=\"middle\">%d</text>",
              class, (r->x0 + r->x1) / 2 - all->x0, all->y1 - (r->y0 + r->y1) / 2 + 0.35 * size, size,
              panel->terms.install_sequence);
}

const char *panel_picture(const struct floor_panel *panels, size_t count, const struct floor_panel *panel,
                          struct arena *arena)
{
    struct rect all = panel->terms.visible;
    struct text out = text_new(arena);
    for (size_t i = 0; i < count; i++)
        if (on_same_surface(&panels[i], panel)) all = rect_union(all, panels[i].terms.visible);
    text_addf(&out, "<svg class=\"where-picture\" viewBox=\"0 0 %.1f %.1f\" role=\"img\"><title>",
              rect_width(all), rect_height(all));
    text_add_markup(&out, sentence_words(arena, "with-panel-filled-numbers-are-order",
                                         ARGUMENTS(arg_words("surface", panel->terms.surface),
                                                   arg_words("panel", panel->terms.panel))));
    text_add(&out, "</title>");
    for (size_t i = 0; i < count; i++)
        if (on_same_surface(&panels[i], panel))
            panel_picture_rectangle(&out, &panels[i].terms.visible, &all,
                                    &panels[i] == panel ? "panel this" : "panel");
    for (size_t i = 0; i < count; i++)
        if (on_same_surface(&panels[i], panel))
            panel_picture_number(&out, &panels[i], &all, &panels[i] == panel ? "number this" : "number");
    text_add(&out, "</svg>");
    return text_string(&out);
}
