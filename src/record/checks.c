#include "checks.h"
#include "base/str.h"
#include <math.h>
#include <string.h>

/* From 2000 to 2200: what is outside was a slip of the keyboard. */
static const int64_t at_least = 946684800, at_most = 7258118400;

static bool one_line(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < ' ' || *text == 127) return false;
    return true;
}

bool check_name(const char *what, const char *name, struct error *error)
{
    if (!name[0] || strlen(name) > FACT_NAME_MOST)
        return error_set(error, FAILURE_INPUT, "%s has %zu bytes; 1 to %d are right", what, strlen(name),
                         FACT_NAME_MOST);
    if (!str_is_utf8(str_from(name)) || !one_line(name))
        return error_set(error, FAILURE_INPUT, "%s must be one line of UTF-8 text", what);
    return true;
}

static bool check_words(const char *what, const char *words, struct error *error)
{
    if (strlen(words) > FACT_WORDS_MOST)
        return error_set(error, FAILURE_INPUT, "%s: %zu bytes; at most %d are kept in one fact", what,
                         strlen(words), FACT_WORDS_MOST);
    if (!str_is_utf8(str_from(words))) return error_set(error, FAILURE_INPUT, "%s must be UTF-8 text", what);
    return true;
}

static bool check_key(const char *key, struct error *error)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-";
    size_t length = key ? strlen(key) : 0;
    if (length >= KEY_LEAST && length <= KEY_MOST && strspn(key, letters) == length) return true;
    return error_set(error, FAILURE_INPUT,
                     "the key of a fact has %zu bytes; %d to %d of letters, digits and - are right", length,
                     KEY_LEAST, KEY_MOST);
}

static bool check_names(const struct fact *f, struct error *error)
{
    const char *const names[][2] = {{"job", f->job},       {"panel", f->panel}, {"who", f->who},
                                    {"device", f->device}, {"roll", f->roll},   {"batch", f->batch},
                                    {"of", f->of}};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (names[i][1] && !check_name(names[i][0], names[i][1], error)) return false;
    const char *const words[][2] = {{"words", f->words}, {"override", f->override}, {"gate", f->gate}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i][1] && !check_words(words[i][0], words[i][1], error)) return false;
    return true;
}

static bool check_numbers(const struct fact *f, struct error *error)
{
    const struct {
        const char *what, *unit;
        double value, least, most;
    } rows[] = {
        {"air_c", "degrees C", f->air_c, -50, 80},
        {"surface_c", "degrees C", f->surface_c, -50, 200},
        {"humidity_percent", "%", f->humidity_percent, 0, 100},
        {"planned_mm", "mm", f->planned_mm, 1, 100000},
        {"measured_mm", "mm", f->measured_mm, 1, 100000},
        {"width_mm", "mm", f->width_mm, 1, 10000},
        {"length_mm", "mm", f->length_mm, 1, 1000000},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (isnan(rows[i].value) || (rows[i].value >= rows[i].least && rows[i].value <= rows[i].most))
            continue;
        if (isinf(rows[i].value)) return error_set(error, FAILURE_INPUT, "%s is no number", rows[i].what);
        return error_set(error, FAILURE_INPUT, "%s: %g %s; from %g to %g is right", rows[i].what,
                         rows[i].value, rows[i].unit, rows[i].least, rows[i].most);
    }
    return true;
}

static bool is_photo_name(const char *name)
{
    return strlen(name) == 64 && strspn(name, "0123456789abcdef") == 64;
}

static bool is_stock(const char *what)
{
    return string_equal(what, "film") || string_equal(what, "laminate") || string_equal(what, "ink");
}

/* What a kind cannot do without. */
static bool check_needs(const struct fact *f, struct error *error)
{
    const char *name = fact_kind_name(f->kind);
    if (fact_kind_on_panel(f->kind) && (!f->job || !f->panel))
        return error_set(error, FAILURE_INPUT, "%s is said of a panel; name job and panel", name);
    if (f->kind >= FACT_NOTE && f->kind <= FACT_HANDED_OVER && !f->job)
        return error_set(error, FAILURE_INPUT, "%s is said of a job; name it", name);
    if (f->kind == FACT_MEASURED && (isnan(f->planned_mm) || isnan(f->measured_mm)))
        return error_set(error, FAILURE_INPUT, "measured needs the length measured and what it should be");
    if (f->kind == FACT_ROLL_IN && (!is_stock(f->what) || !f->of))
        return error_set(error, FAILURE_INPUT,
                         "roll-in needs what came (film, laminate or ink) and its name");
    if (f->kind == FACT_ROLL_OUT && !f->roll)
        return error_set(error, FAILURE_INPUT, "roll-out needs the roll's name");
    if ((f->kind == FACT_WITHDRAWN) != (f->withdraws > 0))
        return error_set(error, FAILURE_INPUT, "withdrawn, and nothing else, names the fact that was not so");
    if ((f->kind == FACT_WITHDRAWN || f->kind == FACT_ACCEPTED || f->kind == FACT_NOTE) && !f->words)
        return error_set(error, FAILURE_INPUT, "%s needs words", name);
    if (f->kind == FACT_PHOTO && !f->photo) return error_set(error, FAILURE_INPUT, "photo needs a picture");
    if (f->photo && !is_photo_name(f->photo))
        return error_set(error, FAILURE_INPUT, "a photograph is named by 64 hex digits");
    return true;
}

bool check_fact(const struct fact *f, struct error *error)
{
    if ((unsigned)f->kind >= FACT_KIND_COUNT) return error_set(error, FAILURE_INPUT, "no such kind of fact");
    if (f->at < at_least || f->at > at_most)
        return error_set(error, FAILURE_INPUT, "the time of a fact must be between the years 2000 and 2200");
    return check_key(f->key, error) && check_needs(f, error) && check_names(f, error) &&
           check_numbers(f, error);
}
