/* Puts a vehicle's cells into words, and names the vehicle of a print. Called by job, which checks the fields, by
 * whoever sets text, and by what shows rolls. */
#include "model/fleet.h"
#include "model/roll_layout.h"
#include "base/arena.h"
#include "base/text.h"
#include <string.h>

/* The field of a { that something closes; its end is behind the }. NULL: it is a brace, or not closed. */
static const char *fleet_field_at(const char *brace, struct str *field)
{
    const char *end = strpbrk(brace + 1, "{}");
    if (!end || *end == '{') return NULL;
    *field = str_trim((struct str){brace + 1, (size_t)(end - brace - 1)});
    return end + 1;
}

bool fleet_next_field(const char **words, struct str *field)
{
    const char *at = *words;
    while ((at = strchr(at, '{'))) {
        if (at[1] == '{') {
            at += 2;
            continue;
        }
        const char *behind = fleet_field_at(at, field);
        *words = behind ? behind : at;
        return behind;
    }
    *words += strlen(*words);
    return false;
}

size_t fleet_column(const struct fleet *fleet, struct str name)
{
    for (size_t i = 0; fleet && i < fleet->column_count; i++)
        if (str_equal(name, fleet->columns[i])) return i;
    return SIZE_MAX;
}

bool fleet_words_differ(const char *words)
{
    struct str field;
    return fleet_next_field(&words, &field);
}

const char *fleet_words(const struct fleet *fleet, const struct fleet_row *row, const char *words,
                        struct arena *arena)
{
    struct text text = text_new(arena);
    while (*words) {
        struct str field;
        bool twice = (*words == '{' || *words == '}') && words[1] == *words;
        const char *behind = !twice && *words == '{' ? fleet_field_at(words, &field) : NULL;
        size_t column = behind && row ? fleet_column(fleet, field) : SIZE_MAX;
        if (column != SIZE_MAX) {
            text_add(&text, row->cells[column]);
            words = behind;
            continue;
        }
        text_add_char(&text, *words);
        words += twice ? 2 : 1;
    }
    return text_string(&text);
}

const char *roll_vehicle_name(const struct plan *plan, size_t surface, size_t panel, size_t vehicle)
{
    bool own = plan->surfaces[surface].panels[panel].varies;
    return own && vehicle && vehicle <= plan->vehicle_count ? plan->vehicles[vehicle - 1].row->name : NULL;
}
