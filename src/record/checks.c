#include "checks.h"
#include "base/str.h"
#include "model/entry.h"
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

static bool check_figure(const struct fact_field *field, double value, struct error *error)
{
    if (isnan(value) || (value >= field->least && value <= field->most)) return true;
    if (isinf(value)) return error_set(error, FAILURE_INPUT, "%s is not a valid number", field->name);
    return error_set(error, FAILURE_INPUT, "%s: %g; it must be from %g to %g", field->name, value,
                     field->least, field->most);
}

static bool check_text(const struct fact_field *field, const char *text, struct error *error)
{
    if (!text) return true;
    return field->form == FACT_FORM_NAME ? check_name(field->name, text, error)
                                         : check_words(field->name, text, error);
}

static bool may_carry(const struct fact *f, const struct fact_field *field, struct error *error)
{
    return !field->kinds || (field->kinds & (1u << f->kind)) || !fact_field_given(f, field) ||
           error_set(error, FAILURE_INPUT, "%s does not take %s", fact_kind_name(f->kind), field->name);
}

static bool check_fields(const struct fact *f, struct error *error)
{
    for (size_t i = 0; i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        if (fact_form_is_text(field->form) && !check_text(field, fact_text(f, field), error)) return false;
        if (fact_form_is_figure(field->form) && !check_figure(field, fact_figure(f, field), error))
            return false;
        if (field->since > 1 && !may_carry(f, field, error)) return false;
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
    if (fact_kind_on_job(f->kind) && !f->job)
        return error_set(error, FAILURE_INPUT, "%s is said of a job; name it", name);
    if (f->kind == FACT_MEASURED && (isnan(f->planned_mm) || isnan(f->measured_mm)))
        return error_set(error, FAILURE_INPUT, "measured needs the length measured and what it should be");
    if (f->kind == FACT_ROLL_IN && (!is_stock(f->what) || !f->of))
        return error_set(error, FAILURE_INPUT,
                         "roll-in needs what came (film, laminate or ink) and its name");
    if (f->kind == FACT_PRINTS_IN && (!f->quantity || f->faulty > f->quantity))
        return error_set(error, FAILURE_INPUT,
                         "prints-in needs how many prints came, and no more faulty ones than these");
    if (f->kind == FACT_ROLL_OUT && !f->roll)
        return error_set(error, FAILURE_INPUT, "roll-out needs the roll's name");
    if ((f->kind == FACT_WITHDRAWN) != (f->withdraws > 0))
        return error_set(error, FAILURE_INPUT, "withdrawn, and nothing else, names the fact that was not so");
    if ((f->kind == FACT_ACCEPTED || f->kind == FACT_NOTE) && !f->words)
        return error_set(error, FAILURE_INPUT, "%s needs words", name);
    if (f->kind == FACT_PHOTO && !f->photo) return error_set(error, FAILURE_INPUT, "photo needs a picture");
    if (f->photo && !is_photo_name(f->photo))
        return error_set(error, FAILURE_INPUT, "a photograph is named by 64 hex digits");
    return true;
}

bool check_fact(const struct fact *f, struct error *error)
{
    if ((unsigned)f->kind >= FACT_KIND_COUNT) return error_set(error, FAILURE_INPUT, "no such kind of fact");
    if (f->at && (f->at < at_least || f->at > at_most))
        return error_set(error, FAILURE_INPUT, "the time of a fact must be between the years 2000 and 2200");
    return check_key(f->key, error) && check_needs(f, error) && check_fields(f, error);
}
