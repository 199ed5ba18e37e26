/* Reads quantities with their units (lengths, temperatures, durations, shares, money) as people write them.
 * Used by the job room and the entries' fields; inches for people are written in inches.c. */
#include "base/sentence.h"
#include "base/units.h"
#include "base/arena.h"
#include <math.h>
#include <string.h>

bool units_number(struct str text, double *value)
{
    text = str_trim(text);
    return text.length && str_number(text, value) == text.length;
}

/* ---- decimal commas ---- */

enum { DIGITS = 10 };
static const char all_digits[] = "0123456789";

/* The one comma between two digits; NULL: there is none, or more than one, or a point is there too. */
static const char *decimal_comma(const char *written)
{
    const char *comma = strchr(written, ',');
    if (!comma || comma == written || strchr(comma + 1, ',') || strchr(written, '.')) return NULL;
    return memchr(all_digits, comma[-1], DIGITS) && comma[1] && memchr(all_digits, comma[1], DIGITS) ? comma
                                                                                                     : NULL;
}

const char *units_with_point(const char *written, struct arena *arena, const char **trouble)
{
    const char *comma = decimal_comma(written);
    if (!comma) return written;
    int before = (int)(comma - written);
    const char *with_point = arena_format(arena, "%.*s.%s", before, written, comma + 1);
    if (strspn(comma + 1, all_digits) != 3) return with_point;
    const char *without = arena_format(arena, "%.*s%s", before, written, comma + 1);
    *trouble = sentence_words(arena, "can-be-or-write-one-you",
                              ARGUMENTS(arg_words("written", written), arg_words("without", without),
                                        arg_words("with_point", with_point)));
    return NULL;
}

/* ---- quantities ---- */

struct unit {
    const char *name;
    double factor;
};

/* Reads "number [unit]" at the start of *text and moves on. A missing unit is the one named "". */
static bool take_quantity(struct str *text, const struct unit *units, double *value, size_t *which)
{
    double number;
    *text = str_trim(*text);
    size_t used = str_number(*text, &number);
    if (!used) return false;
    struct str rest = str_trim(str_slice(*text, used, text->length));
    size_t letters = 0;
    while (letters < rest.length && rest.bytes[letters] != ' ' && rest.bytes[letters] != '\t' &&
           !(rest.bytes[letters] >= '0' && rest.bytes[letters] <= '9') && rest.bytes[letters] != '-')
        letters++;
    struct str name = str_slice(rest, 0, letters);
    for (size_t i = 0; units[i].name; i++) {
        if (!str_equal(name, units[i].name)) continue;
        *value = number * units[i].factor;
        *which = i;
        *text = str_trim(str_slice(rest, letters, rest.length));
        return isfinite(*value);
    }
    return false;
}

/* One quantity, or several with falling units (2 ft 3 in): a later part must have a later unit and no sign.
 */
static bool quantity(struct str text, const struct unit *units, double *value)
{
    double sum = 0, part;
    size_t which, last = 0;
    bool minus = false;
    for (int parts = 0; parts == 0 || text.length; parts++) {
        bool signed_part = text.length && (text.bytes[0] == '-' || text.bytes[0] == '+');
        if (!take_quantity(&text, units, &part, &which)) return false;
        if (parts && (signed_part || which <= last || !units[which].name[0] || !units[last].name[0]))
            return false;
        if (!parts) minus = part < 0;
        sum += parts && minus ? -part : part;
        last = which;
    }
    *value = sum;
    return true;
}

bool units_length_mm(struct str text, double *mm)
{
    static const struct unit units[] = {{"", 1},
                                        {"m", 1000},
                                        {"cm", 10},
                                        {"mm", 1},
                                        {"ft", 12 * MM_PER_INCH},
                                        {"'", 12 * MM_PER_INCH},
                                        {"in", MM_PER_INCH},
                                        {"\"", MM_PER_INCH},
                                        {NULL, 0}};
    return quantity(text, units, mm);
}

bool units_temperature_c(struct str text, double *c)
{
    static const struct unit units[] = {{"", 1},
                                        {"C", 1},
                                        {"\xC2\xB0"
                                         "C",
                                         1},
                                        {"F", 1},
                                        {"\xC2\xB0"
                                         "F",
                                         1},
                                        {NULL, 0}};
    double value;
    size_t which;
    if (!take_quantity(&text, units, &value, &which) || text.length) return false;
    *c = which >= 3 ? (value - 32) / 1.8 : value;
    return true;
}

bool units_duration_s(struct str text, double *seconds)
{
    static const struct unit units[] = {{"weeks", 604800}, {"week", 604800}, {"days", 86400}, {"day", 86400},
                                        {"d", 86400},      {"hours", 3600},  {"hour", 3600},  {"h", 3600},
                                        {"minutes", 60},   {"min", 60},      {"s", 1},        {NULL, 0}};
    return quantity(text, units, seconds) && *seconds >= 0;
}

bool units_volume_ml(struct str text, double *ml)
{
    static const struct unit units[] = {{"", 1}, {"ml", 1}, {"l", 1000}, {NULL, 0}};
    size_t which;
    return take_quantity(&text, units, ml, &which) && !text.length && *ml >= 0;
}

bool units_percent(struct str text, double *percent)
{
    static const struct unit units[] = {{"", 1}, {"%", 1}, {NULL, 0}};
    size_t which;
    return take_quantity(&text, units, percent, &which) && !text.length;
}

bool units_angle_deg(struct str text, double *degrees)
{
    static const struct unit units[] = {{"", 1}, {"deg", 1}, {"\xC2\xB0", 1}, {NULL, 0}};
    size_t which;
    return take_quantity(&text, units, degrees, &which) && !text.length;
}

bool units_years(struct str text, double *years)
{
    static const struct unit units[] = {{"", 1},  {"years", 1},         {"year", 1},
                                        {"y", 1}, {"months", 1.0 / 12}, {NULL, 0}};
    size_t which;
    return take_quantity(&text, units, years, &which) && !text.length && *years >= 0;
}

bool units_money_micro(struct str text, int64_t *micro)
{
    text = str_trim(text);
    int64_t value = 0;
    int behind = -1, digits = 0;
    for (size_t i = 0; i < text.length; i++) {
        char c = text.bytes[i];
        if (c == '.' && behind < 0) {
            behind = 0;
            continue;
        }
        if (c < '0' || c > '9' || behind == 6 || digits == 15) return false;
        value = value * 10 + (c - '0');
        digits++;
        if (behind >= 0) behind++;
    }
    if (!digits) return false;
    for (int i = behind < 0 ? 0 : behind; i < 6; i++)
        if (__builtin_mul_overflow(value, 10, &value)) return false;
    *micro = value;
    return true;
}
