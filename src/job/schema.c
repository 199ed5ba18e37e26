/* The tables, one key after the other, for the reference and for forms. */
#include "read.h"
#include "supply.h"
#include "texts.h"
#include <string.h>

const struct group *const job_groups[] = {
    &job_group,
    &print_group,
    &indoors_group,
    &vehicle_group,
    &surface_group,
    &drawing_group,
    &bleed_group,
    &feature_group,
    &whole_group,
    &artwork_group,
    &text_group,
    &seam_group,
    &shop_group,
    &hours_group,
    &printer_group,
    &film_group,
    &laminate_group,
    &ink_group,
    &dry_group,
    &condition_group,
    &waiver_group,
    &rates_group,
    &weight_group,
    &task_group,
    &align_group,
    &corner_group,
    &supply_group,
    &shop_quote_group,
    &discount_group,
    &tax_group,
    &job_quote_group,
    &extra_group,
    &roll_group,
    &tape_group,
    &fluid_group,
    &cover_group,
    &piece_group,
    &cut_group,
    &cutter_group,
    &register_group,
    NULL,
};

/* "a length such as 12 mm" is "a length" where the reference says once how lengths are written. */
static const char *short_words(const struct key *key, struct arena *arena)
{
    const char *words = form_words(key, arena), *examples = strstr(words, " such as");
    bool explained = key->form <= FORM_PRICE_HOUR || key->form == FORM_TIME;
    return explained && examples ? arena_copy(arena, words, (size_t)(examples - words)) : words;
}

static const char *const yes_no[] = {"true", "false", NULL};

static void schema_describe(const struct group *group, const struct key *key, struct arena *arena,
                            struct job_key *out)
{
    *out = (struct job_key){
        .group = group->name,
        .name = key->name,
        .form = short_words(key, arena),
        .required = key->required,
        .ranged = key->most > key->least,
        .least = key->least,
        .most = key->most,
        .usual = key->usual ? key->usual : key->otherwise,
        .choices = key->form == FORM_YES_NO ? yes_no : key->choices,
        .help = key->help,
    };
    enum form unit = key->form == FORM_SPECIAL ? key->of : key->form;
    if (out->ranged)
        out->range = arena_format(arena, "%s to %s", form_value(arena, unit, key->least),
                                  form_value(arena, unit, key->most));
    if (key->practice) out->usual = arena_format(arena, "common practice %s", key->practice);
}

bool job_key_at(size_t i, struct arena *arena, struct job_key *out)
{
    for (size_t g = 0; job_groups[g]; g++)
        for (const struct key *key = job_groups[g]->keys; key->name; key++) {
            if (i--) continue;
            schema_describe(job_groups[g], key, arena, out);
            return true;
        }
    return false;
}
