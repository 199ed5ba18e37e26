/* The tables, one key after the other, for the reference and for forms. */
#include "read.h"
#include <string.h>

static const struct group *const groups[] = {
    &job_group,       &print_group,   &indoors_group, &vehicle_group,  &surface_group, &drawing_group,
    &bleed_group,     &feature_group, &whole_group,   &artwork_group,  &seam_group,    &shop_group,
    &hours_group,     &printer_group, &film_group,    &laminate_group, &ink_group,     &dry_group,
    &condition_group, &waiver_group,  &rates_group,
};

const char *group_with_key(const char *name)
{
    for (size_t g = 0; g < sizeof groups / sizeof *groups; g++)
        for (const struct key *key = groups[g]->keys; key->name; key++)
            if (!strcmp(key->name, name)) return groups[g]->name;
    return NULL;
}

static void describe(const struct group *group, const struct key *key, struct arena *arena,
                     struct job_key *out)
{
    bool number = key->form <= FORM_WHOLE || key->most > key->least;
    *out = (struct job_key){
        .group = group->name,
        .name = key->name,
        .form = form_words(key, arena),
        .required = key->required,
        .ranged = number && key->most > key->least,
        .least = key->least,
        .most = key->most,
        .usual = key->usual ? key->usual : key->otherwise,
        .help = key->help,
    };
    if (out->ranged)
        out->range = arena_format(arena, "%s to %s", form_value(arena, key->form, key->least),
                                  form_value(arena, key->form, key->most));
    if (key->practice) out->usual = arena_format(arena, "common practice %s", key->practice);
}

bool job_key_at(size_t i, struct arena *arena, struct job_key *out)
{
    for (size_t g = 0; g < sizeof groups / sizeof *groups; g++)
        for (const struct key *key = groups[g]->keys; key->name; key++) {
            if (i--) continue;
            describe(groups[g], key, arena, out);
            return true;
        }
    return false;
}
