/* Where places of the view lie on the print of a surface whose print is longer than the view. Called by planning,
 * making and whoever asks how long a print is. */
#include "model/surface.h"
#include "base/arena.h"

/* Beyond the stations the print is as long as the view. */
static double stationed(const struct surface *surface, double view)
{
    const struct station *s = surface->stations;
    size_t n = surface->station_count;
    if (!n) return view;
    if (view <= s[0].view_mm) return s[0].print_mm + (view - s[0].view_mm);
    if (view >= s[n - 1].view_mm) return s[n - 1].print_mm + (view - s[n - 1].view_mm);
    size_t low = 0, high = n - 1;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (s[middle].view_mm <= view)
            low = middle;
        else
            high = middle;
    }
    double share = (view - s[low].view_mm) / (s[high].view_mm - s[low].view_mm);
    return s[low].print_mm + share * (s[high].print_mm - s[low].print_mm);
}

bool surface_is_lengthened(const struct surface *surface, bool along_x)
{
    return surface->station_count && surface->stations_along_x == along_x;
}

double surface_print_at(const struct surface *surface, bool along_x, double view)
{
    return surface->stations_along_x == along_x ? stationed(surface, view) : view;
}

double surface_print_length(const struct surface *surface, bool along_x, double from, double to)
{
    return surface_print_at(surface, along_x, to) - surface_print_at(surface, along_x, from);
}

static void add_slice(struct print_slice *slices, size_t *count, struct station low, struct station high)
{
    if (high.view_mm > low.view_mm)
        slices[(*count)++] = (struct print_slice){low.view_mm, high.view_mm, low.print_mm, high.print_mm};
}

struct print_slice *surface_print_slices(const struct surface *surface, double from, double to,
                                         struct arena *arena, size_t *count)
{
    const struct station *s = surface->stations;
    size_t n = surface->station_count;
    *count = 0;
    if (!n) return NULL;
    struct print_slice *slices = arena_take_array(arena, n + 1, sizeof *slices);
    add_slice(slices, count, (struct station){from, stationed(surface, from)}, s[0]);
    for (size_t i = 0; i + 1 < n; i++)
        if (s[i + 1].view_mm > from && s[i].view_mm < to) add_slice(slices, count, s[i], s[i + 1]);
    add_slice(slices, count, s[n - 1], (struct station){to, stationed(surface, to)});
    return slices;
}
