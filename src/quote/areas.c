/* Which surfaces are quoted, and how much of each is covered. */
#include "base/arena.h"
#include "inner.h"

bool area_counts(const struct surface_plan *surface)
{
    return surface->panel_count > 0;
}

bool area_is_estimated(const struct draft *draft, const struct surface_plan *surface)
{
    (void)draft;
    return surface->surface->spec && !surface->surface->spec->artwork_count &&
           !surface->surface->spec->text_count;
}

double area_share(const struct draft *draft, const struct surface_plan *surface)
{
    double covered = surface->surface->spec ? surface->surface->spec->covered_percent : 0;
    return covered > 0 && area_is_estimated(draft, surface) ? covered / 100 : 1;
}

double areas_covered_m2(const struct draft *draft)
{
    double area = 0;
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        if (area_counts(surface)) area += surface->surface->area_m2 * area_share(draft, surface);
    }
    return area;
}

bool areas_are_estimated(const struct draft *draft)
{
    for (size_t i = 0; i < draft->plan->surface_count; i++)
        if (area_counts(&draft->plan->surfaces[i]) && area_is_estimated(draft, &draft->plan->surfaces[i]))
            return true;
    return false;
}

static double areas_whole_m2(const struct draft *draft)
{
    double area = 0;
    for (size_t i = 0; i < draft->plan->surface_count; i++)
        if (area_counts(&draft->plan->surfaces[i])) area += draft->plan->surfaces[i].surface->area_m2;
    return area;
}

const char *vehicles_words(const struct draft *draft)
{
    if (draft->input->vehicles == 1) return "";
    return sentence_words(draft->arena, "quote-vehicles",
                          ARGUMENTS(arg_count("vehicles", draft->input->vehicles)));
}

const char *areas_words(const struct draft *draft)
{
    double covered = areas_covered_m2(draft), whole = areas_whole_m2(draft);
    if (covered >= whole - 0.005)
        return sentence_words(
            draft->arena, "quote-basis-areas-whole",
            ARGUMENTS(arg_fixed("covered_m2", covered, 2), arg_words("vehicles", vehicles_words(draft))));
    return sentence_words(draft->arena, "quote-basis-areas",
                          ARGUMENTS(arg_fixed("covered_m2", covered, 2), arg_fixed("whole_m2", whole, 2),
                                    arg_words("vehicles", vehicles_words(draft))));
}
