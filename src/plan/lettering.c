#include "lettering.h"

static struct rect placed_box(const struct placed_art *art, const struct text_line *line,
                              const struct surface *surface)
{
    struct rect box = rect_intersect(affine_apply_rect(art->to_surface, line->box), art->clip);
    return rect_intersect(box, (struct rect){0, 0, surface->width_mm, surface->height_mm});
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
            struct rect box = placed_box(art, &art->facts->lines[k], input->surface);
            if (rect_is_empty(box)) continue;
            found.items[found.count++] = (struct lettering){.box = box, .words = art->facts->lines[k].words};
        }
    }
    return found;
}

const char *lettering_name(const struct lettering *lettering, struct arena *arena)
{
    const char *words = lettering->words;
    return words && *words ? arena_format(arena, "lettering \"%s\"", words) : "lettering";
}
