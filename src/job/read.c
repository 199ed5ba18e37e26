/* Reads each form of value from a tree node into a struct: numbers with units, choices, prices, measures,
 * whole groups by their table. Called by every file of the room that reads a part of job or shop. */
#include "read.h"
#include "base/path.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
#include <stdlib.h>
#include <string.h>

enum { NAMES_MOST = 256, KEYS_TOLD = 16, TEXT_MOST = 200, PATH_MOST = 1000 };

static bool has_control(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < 0x20 || *text == 0x7f) return true;
    return false;
}

static bool job_read_line(struct reading *reading, const struct node *node, const char *words, size_t most,
                          const char **text)
{
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    bool too_long = strlen(node->text) > most;
    if (!too_long && !has_control(node->text)) {
        *text = node->text;
        return true;
    }
    if (too_long)
        report_add(reading->report, place_of(reading, node), "is-longer-than-bytes-make-it",
                   ARGUMENTS(arg_words("key", node->key), arg_count("most", (int64_t)most)));
    else
        report_add(reading->report, place_of(reading, node), "holds-line-break-or-control-character",
                   ARGUMENTS(arg_words("key", node->key), arg_count("most", (int64_t)most)));
    return false;
}

bool read_text(struct reading *reading, const struct node *node, const char *words, const char **text)
{
    return job_read_line(reading, node, words, TEXT_MOST, text);
}

bool read_path(struct reading *reading, const struct node *node, const char **path)
{
    return job_read_line(reading, node, "the path of a file", PATH_MOST, path) &&
           reading_may_reach(reading, *path, place_of(reading, node));
}

bool reading_may_reach(struct reading *reading, const char *name, struct place asked)
{
    const char *within = reading->machine->within;
    if (!within || reading->in_shop) return true;
    if (path_is_below(reading->arena, within, path_join(reading->arena, reading->folder, name))) return true;
    report_add(reading->report, asked, "lies-outside-of-folder-that-page",
               ARGUMENTS(arg_words("name", name)));
    return false;
}

/* ---- numbers ---- */

static bool plain_number(struct str text, double *value)
{
    text = str_trim(text);
    return text.length && str_number(text, value) == text.length;
}

/* A number followed by one of `units`, or by nothing. */
static bool number_with(struct str text, const char *const *units, double *value)
{
    text = str_trim(text);
    size_t used = str_number(text, value);
    struct str unit = str_trim(str_slice(text, used, text.length));
    if (!used) return false;
    if (!unit.length) return true;
    for (; *units; units++)
        if (str_equal(unit, *units)) return true;
    return false;
}

/* What stands between the two numbers of a scale; its length, 0 when it is nothing of the kind. */
static size_t scale_sign(struct str text)
{
    if (text.length && (text.bytes[0] == ':' || text.bytes[0] == '/')) return 1;
    return text.length > 2 && !memcmp(text.bytes, "to ", 3) ? 2 : 0;
}

/* 10, or as drawings write it: 1:10, 1 : 10, 1/10, 1 to 10, 10 %. */
static bool drawing_scale(struct str text, double *value)
{
    double drawn, real;
    if (plain_number(text, value)) return true;
    text = str_trim(text);
    size_t used = str_number(text, &drawn);
    struct str rest = str_trim(str_slice(text, used, text.length));
    if (!used || !(drawn > 0)) return false;
    if (str_equal(rest, "%")) {
        *value = 100 / drawn;
        return true;
    }
    size_t sign = scale_sign(rest);
    if (!sign || !plain_number(str_slice(rest, sign, rest.length), &real)) return false;
    *value = real / drawn;
    return true;
}

static bool area_speed(struct str text, double *value)
{
    static const char *const units[] = {"m2/h", "m2 per h", "m\xC2\xB2/h", NULL};
    return number_with(text, units, value);
}

static bool length_speed(struct str text, double *value)
{
    static const char *const units[] = {"m/min", "m per min", NULL};
    return number_with(text, units, value);
}

static const struct {
    const char *words, *unit;
    bool (*parse)(struct str text, double *value);
} number_forms[FORM_NUMBERS] = {
    [FORM_LENGTH] = {"a length such as 12 mm, 0.5 in, 5.4 m or 2 ft 3 in", "mm", units_length_mm},
    [FORM_TEMPERATURE] = {"a temperature such as 21, 21 C or 73 F", "degrees C", units_temperature_c},
    [FORM_DURATION] = {"a duration with its unit such as 48 h, 90 min or 3 d", "h", units_duration_s},
    [FORM_PERCENT] = {"a percentage such as 15 %", "%", units_percent},
    [FORM_ANGLE] = {"an angle such as 60 deg", "deg", units_angle_deg},
    [FORM_YEARS] = {"a number of years such as 5 y, or months such as 18 months", "y", units_years},
    [FORM_NUMBER] = {"a plain number", "", plain_number},
    [FORM_SCALE] = {"a scale such as 10, 1:10 or 10 %", "", drawing_scale},
    [FORM_AREA_SPEED] = {"an area in an hour such as 12 m2/h", "m2/h", area_speed},
    [FORM_LENGTH_SPEED] = {"a speed such as 2 m/min", "m/min", length_speed},
};

const char *form_value(struct arena *arena, enum form form, double value)
{
    bool number = form < FORM_NUMBERS;
    if (form == FORM_DURATION) value /= 3600;
    const char *unit = number ? number_forms[form].unit : "";
    return arena_format(arena, "%g%s%s", value, *unit ? " " : "", unit);
}

static bool in_range(struct reading *reading, const struct node *node, enum form form, double least,
                     double most, double value)
{
    if (value >= least && value <= most) return true;
    report_add(reading->report, place_of(reading, node), "is-out-of-range-it-can",
               ARGUMENTS(arg_words("key", node->key), arg_words("written", node->text),
                         arg_words("least", form_value(reading->arena, form, least)),
                         arg_words("most", form_value(reading->arena, form, most))));
    return false;
}

/* 0.15 is 0.15 % as it stands, and 15 % as many people mean it. */
static bool is_sure_share(struct reading *reading, const struct node *node, double percent)
{
    if (!(percent > 0 && percent < 1) || strchr(node->text, '%')) return true;
    report_add(reading->report, place_of(reading, node), "may-be-or-write-one-that",
               ARGUMENTS(arg_words("key", node->key), arg_words("written", node->text),
                         arg_number("percent", percent), arg_number("other_percent", percent * 100)));
    return false;
}

static bool not_a(struct reading *reading, const struct node *node, const char *words)
{
    report_add(reading->report, place_of(reading, node), "key-written-is-not-day-words",
               ARGUMENTS(arg_words("key", node->key), arg_part("written", node->text, 80),
                         arg_words("day_words", words)));
    return false;
}

/* The figure with a point for its decimal comma. */
static bool with_point(struct reading *reading, const struct node *node, const char **written)
{
    const char *trouble;
    *written = units_with_point(node->text, reading->arena, &trouble);
    if (!*written)
        report_add(reading->report, place_of(reading, node), "key-trouble",
                   ARGUMENTS(arg_words("key", node->key), arg_words("trouble", trouble)));
    return *written != NULL;
}

bool read_number(struct reading *reading, const struct node *node, enum form form, double least, double most,
                 double *value)
{
    const char *words = number_forms[form].words, *written;
    double number;
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    if (strlen(node->text) > TEXT_MOST) return not_a(reading, node, words);
    if (!with_point(reading, node, &written)) return false;
    if (!number_forms[form].parse(str_from(written), &number)) return not_a(reading, node, words);
    if (!in_range(reading, node, form, least, most, number)) return false;
    if (form == FORM_PERCENT && !is_sure_share(reading, node, number)) return false;
    *value = number;
    return true;
}

/* `[5400,5, 1900]` has three values: what to write for 5400.5. "" where no comma stands between two digits.
 */
static const char *comma_hint(struct reading *reading, const struct node *list)
{
    for (const struct node *one = list->first; list->flow && one && one->next; one = one->next) {
        const struct node *next = one->next;
        bool figures = one->kind == NODE_TEXT && next->kind == NODE_TEXT &&
                       !one->text[strspn(one->text, "0123456789")] && next->text[0] >= '0' &&
                       next->text[0] <= '9';
        if (figures && one->to + 1 == next->from)
            return sentence_words(reading->arena, "inside-brackets-comma-parts-values-write",
                                  ARGUMENTS(arg_words("one", one->text), arg_words("next", next->text)));
    }
    return "";
}

bool read_numbers(struct reading *reading, const struct node *node, const struct number_list *list,
                  double *values)
{
    if (!is_list(reading, node, list->words)) return false;
    if (node->count != list->count) {
        report_add(reading->report, place_of(reading, node), "key-has-node-count-values-write",
                   ARGUMENTS(arg_words("key", node->key), arg_count("node_count", (int64_t)node->count),
                             arg_words("list", list->words),
                             arg_words("comma_hint", comma_hint(reading, node))));
        return false;
    }
    bool ok = true;
    for (const struct node *entry = node->first; entry; entry = entry->next)
        ok = read_number(reading, entry, list->form, list->least, list->most, values++) && ok;
    return ok;
}

static bool job_read_whole(struct reading *reading, const struct node *node, double least, double most,
                           int *value)
{
    double number;
    if (!read_number(reading, node, FORM_NUMBER, least, most, &number)) return false;
    if (number != (double)(int)number) return not_a(reading, node, "a whole number");
    *value = (int)number;
    return true;
}

/* An amount in the shop's currency, plain or followed by one of `units`; per litre is a thousandth. */
static bool parse_price(struct str text, const char *const *units, int64_t *micro)
{
    text = str_trim(text);
    size_t digits = 0;
    while (digits < text.length && strchr("0123456789.", text.bytes[digits])) digits++;
    if (!units_money_micro(str_slice(text, 0, digits), micro)) return false;
    struct str unit = str_trim(str_slice(text, digits, text.length));
    if (!unit.length) return true;
    for (; *units; units++) {
        if (!str_equal(unit, *units)) continue;
        if (str_equal(unit, "per l")) *micro = (*micro + 500) / 1000;
        return true;
    }
    return false;
}

static const struct {
    const char *words;
    const char *const *units;
} price_forms[] = {
    {"an amount with at most 6 decimals such as 9.80 per m2", (const char *const[]){"per m2", "/m2", NULL}},
    {"an amount with at most 6 decimals such as 0.16 per ml or 160 per l",
     (const char *const[]){"per ml", "/ml", "per l", NULL}},
    {"an amount with at most 6 decimals such as 48 per h", (const char *const[]){"per h", "/h", NULL}},
};

static bool is_price_in_range(struct reading *reading, const struct node *node, int64_t price)
{
    if (price <= INT64_C(1000000) * 1000000) return true;
    report_add(reading->report, place_of(reading, node), "is-out-of-range-it-can-be",
               ARGUMENTS(arg_words("key", node->key), arg_words("written", node->text)));
    return false;
}

static bool read_price(struct reading *reading, const struct node *node, enum form form, int64_t *micro)
{
    const char *words = price_forms[form - FORM_PRICE_M2].words;
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    int64_t price;
    const char *written;
    if (strlen(node->text) > TEXT_MOST) return not_a(reading, node, words);
    if (!with_point(reading, node, &written)) return false;
    if (!parse_price(str_from(written), price_forms[form - FORM_PRICE_M2].units, &price))
        return not_a(reading, node, words);
    if (!is_price_in_range(reading, node, price)) return false;
    *micro = price;
    return true;
}

/* "48/h", "48 per h", or plain: *unit counts along `units`, -1: none was written. */
static bool parse_charge(struct str text, const char *const *units, int64_t *micro, int *unit)
{
    text = str_trim(text);
    size_t digits = 0;
    while (digits < text.length && strchr("0123456789.", text.bytes[digits])) digits++;
    if (!units_money_micro(str_slice(text, 0, digits), micro)) return false;
    struct str rest = str_trim(str_slice(text, digits, text.length));
    *unit = -1;
    if (!rest.length) return true;
    size_t per = str_starts(rest, "/") ? 1 : str_starts(rest, "per ") ? 4 : 0;
    struct str name = str_trim(str_slice(rest, per, rest.length));
    for (int i = 0; per && units[i]; i++)
        if (str_equal(name, units[i])) *unit = i;
    return *unit >= 0;
}

bool read_charge_of(struct reading *reading, const struct node *node, const char *words,
                    const char *const *units, int64_t *micro, int *unit)
{
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    int64_t price;
    const char *written;
    if (strlen(node->text) > TEXT_MOST) return not_a(reading, node, words);
    if (!with_point(reading, node, &written)) return false;
    if (!parse_charge(str_from(written), units, &price, unit)) return not_a(reading, node, words);
    if (!is_price_in_range(reading, node, price)) return false;
    *micro = price;
    return true;
}

/* ---- words ---- */

bool read_yes_no(struct reading *reading, const struct node *node, bool *value)
{
    static const char *const words[] = {"false", "true", "no", "yes", NULL};
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, "true or false");
    for (int i = 0; words[i]; i++) {
        if (strcmp(node->text, words[i])) continue;
        *value = i % 2;
        return true;
    }
    return not_a(reading, node, "true or false");
}

static const char *read_list_words(struct arena *arena, const char *const *names)
{
    struct text text = text_new(arena);
    for (; *names; names++)
        if (**names) text_addf(&text, "%s%s", text.length ? ", " : "", *names);
    return text_string(&text);
}

bool read_choice(struct reading *reading, const struct node *node, const char *const *choices, int *value)
{
    const char *words = arena_format(reading->arena, "one of %s", read_list_words(reading->arena, choices));
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    for (int i = 0; choices[i]; i++) {
        if (!choices[i][0] || strcmp(node->text, choices[i])) continue;
        *value = i;
        return true;
    }
    return not_a(reading, node,
                 arena_format(reading->arena, "%s%s", words, suggestion(reading, node->text, choices)));
}

bool has_only(const char *text, const char *letters)
{
    return strspn(text, letters) == strlen(text);
}

void keep_text(struct reading *reading, const struct key *key, const struct node *node, bool fits,
               void *target)
{
    if (fits)
        *(const char **)(void *)((char *)target + key->at) = node->text;
    else
        report_add(reading->report, place_of(reading, node), "key-written-is-not-day-words",
                   ARGUMENTS(arg_words("key", node->key), arg_words("written", node->text),
                             arg_words("day_words", key->words)));
}

/* ---- measures ---- */

/* A number that decides: plain, or {value, source} with the maker's document named. */
static bool read_measure(struct reading *reading, const struct group *group, const struct node *node,
                         const struct key *key, struct measure *measure)
{
    double number = 0;
    if (node->kind != NODE_GROUP) {
        if (!read_number(reading, node, key->form, key->least, key->most, &number)) return false;
        *measure = measure_written(number, source_of(reading, group, node));
        return true;
    }
    const struct node *value = node_find(node, "value"), *source = node_find(node, "source");
    if (!value || !source || node->count != 2) {
        report_add(reading->report, place_of(reading, node), "as-group-has-two-keys-value",
                   ARGUMENTS(arg_words("key", node->key)));
        return false;
    }
    const char *name;
    if (!read_number(reading, value, key->form, key->least, key->most, &number) ||
        !read_text(reading, source, "the name of the maker's document", &name))
        return false;
    *measure = (struct measure){number, ORIGIN_MAKER, name};
    return true;
}

/* ---- groups ---- */

static void store_number(const struct key *key, void *field, struct measure value)
{
    if (key->measured)
        *(struct measure *)field = value;
    else
        *(double *)field = value.value;
}

static void read_number_key(struct reading *reading, const struct group *group, const struct key *key,
                            const struct node *node, void *field)
{
    struct measure value;
    bool ok = key->measured ? read_measure(reading, group, node, key, &value)
                            : read_number(reading, node, key->form, key->least, key->most, &value.value);
    if (ok) store_number(key, field, value);
}

static void read_key_value(struct reading *reading, const struct group *group, const struct key *key,
                           const struct node *node, void *target)
{
    void *field = (char *)target + key->at;
    switch (key->form) {
    case FORM_WHOLE:
        job_read_whole(reading, node, key->least, key->most, field);
        break;
    case FORM_PRICE_M2:
    case FORM_PRICE_ML:
    case FORM_PRICE_HOUR:
        read_price(reading, node, key->form, field);
        break;
    case FORM_YES_NO:
        read_yes_no(reading, node, field);
        break;
    case FORM_CHOICE:
        read_choice(reading, node, key->choices, field);
        break;
    case FORM_TEXT:
        read_text(reading, node, "a text of one line", field);
        break;
    case FORM_PATH:
        read_path(reading, node, field);
        break;
    case FORM_TIME:
        read_time(reading, node, field);
        break;
    case FORM_GROUP:
        read_group(reading, key->group, node, target);
        break;
    case FORM_SPECIAL:
        key->read(reading, key, node, target);
        break;
    default:
        read_number_key(reading, group, key, node, field);
    }
}

void read_usual(struct reading *reading, const struct group *group, void *target)
{
    for (const struct key *key = group->keys; key->name; key++) {
        if (key->form == FORM_GROUP) read_usual(reading, key->group, target);
        if (key->practice && !key->measured) /* a measure is settled when all is read */
            store_number(key, (char *)target + key->at, practice_value(key->practice));
        bool price = key->form == FORM_PRICE_M2 || key->form == FORM_PRICE_ML || key->form == FORM_PRICE_HOUR;
        if (price) *(money_micro *)(void *)((char *)target + key->at) = PRICE_UNSAID;
        if (!key->usual) continue;
        struct node node = {.kind = NODE_TEXT, .key = key->name, .text = key->usual};
        read_key_value(reading, group, key, &node, target);
    }
}

static bool read_is_known(const struct group *group, const char *name)
{
    for (const struct key *key = group->keys; key->name; key++)
        if (!strcmp(key->name, name)) return true;
    return false;
}

/* Name of the first group that has such a key, NULL when none has. */
static const char *group_with_key(const struct group *const *groups, const char *name)
{
    for (; *groups; groups++)
        for (const struct key *key = (*groups)->keys; key->name; key++)
            if (!strcmp(key->name, name)) return (*groups)->name;
    return NULL;
}

/* What helps with an unknown key: the nearest known one, the group it belongs to, or the known ones. */
static const char *key_help(struct reading *reading, const struct group *group, const char *name)
{
    const char *names[NAMES_MOST + 1] = {NULL};
    size_t count = 0;
    for (const struct key *key = group->keys; key->name && count < NAMES_MOST; key++)
        names[count++] = key->name;
    const char *nearest = suggestion(reading, name, names), *home = group_with_key(reading->groups, name);
    if (*nearest) return nearest;
    if (home) return sentence_words(reading->arena, "it-is-one-of", ARGUMENTS(arg_words("home", home)));
    if (count > KEYS_TOLD) return "; doc/job-file.md lists them";
    return arena_format(reading->arena, "; known are %s", read_list_words(reading->arena, names));
}

static void read_refuse_unknown(struct reading *reading, const struct group *group, const struct node *node)
{
    report_add(reading->report, key_place(reading, node), "is-not-key-of",
               ARGUMENTS(arg_part("key", node->key, 80), arg_words("group", group->name),
                         arg_words("key_help", key_help(reading, group, node->key))));
}

void read_group(struct reading *reading, const struct group *group, const struct node *node, void *target)
{
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node,
                    sentence_words(reading->arena, "group-of-keys-keys",
                                   ARGUMENTS(arg_words("keys", group->keys[0].name))));
        return;
    }
    for (const struct key *key = group->keys; key->name; key++) {
        const struct node *value = node_find(node, key->name);
        if (value)
            read_key_value(reading, group, key, value, target);
        else if (key->required)
            report_add(reading->report, place_of(reading, node), "right-is-missing-in-group-help",
                       ARGUMENTS(arg_words("right", key->name), arg_words("group", group->name),
                                 arg_words("help", key->help)));
    }
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (!read_is_known(group, entry->key)) read_refuse_unknown(reading, group, entry);
}

const char *form_words(const struct key *key, struct arena *arena)
{
    switch (key->form) {
    case FORM_WHOLE:
        return "a whole number";
    case FORM_PRICE_M2:
    case FORM_PRICE_ML:
    case FORM_PRICE_HOUR:
        return price_forms[key->form - FORM_PRICE_M2].words;
    case FORM_YES_NO:
        return "true or false";
    case FORM_CHOICE:
        return arena_format(arena, "one of %s", read_list_words(arena, key->choices));
    case FORM_TEXT:
        return "a text of one line";
    case FORM_PATH:
        return "the path of a file";
    case FORM_TIME:
        return "a date and time such as 2027-03-12T17:00, with or without +01:00 or Z, or a date alone";
    case FORM_GROUP:
        return arena_format(arena, "a group: see %s", key->group->name);
    case FORM_SPECIAL:
        return key->words;
    default:
        return number_forms[key->form].words;
    }
}
