/* Limits of names, keys, words and figures of an entry, and what each kind needs. Called before anything is
 * put on record; whether it may be done is the gate's question. */
#include "checks.h"
#include "base/str.h"
#include "model/entry.h"
#include "model/used.h"
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
        return error_set(error, FAILURE_INPUT, "has-bytes-it-must-have-1",
                         ARGUMENTS(arg_words("what", what), arg_count("bytes", (int64_t)strlen(name)),
                                   arg_count("most", FACT_NAME_MOST)));
    if (!str_is_utf8(str_from(name)) || !one_line(name))
        return error_set(error, FAILURE_INPUT, "must-be-one-line-of-utf", ARGUMENTS(arg_words("what", what)));
    return true;
}

static bool checks_check_words(const char *what, const char *words, struct error *error)
{
    if (strlen(words) > FACT_WORDS_MOST)
        return error_set(error, FAILURE_INPUT, "bytes-at-most-are-kept-in",
                         ARGUMENTS(arg_words("what", what), arg_count("bytes", (int64_t)strlen(words)),
                                   arg_count("most", FACT_WORDS_MOST)));
    if (!str_is_utf8(str_from(words)))
        return error_set(error, FAILURE_INPUT, "must-be-utf-8-text", ARGUMENTS(arg_words("what", what)));
    return true;
}

static bool check_key(const char *key, struct error *error)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-";
    size_t length = key ? strlen(key) : 0;
    if (length >= KEY_LEAST && length <= KEY_MOST && strspn(key, letters) == length) return true;
    return error_set(error, FAILURE_INPUT, "key-of-fact-has-bytes-to",
                     ARGUMENTS(arg_count("length", (int64_t)length), arg_count("least", KEY_LEAST),
                               arg_count("most", KEY_MOST)));
}

static bool check_figure(const struct fact_field *field, double value, struct error *error)
{
    if (isnan(value) || (value >= field->least && value <= field->most)) return true;
    if (isinf(value))
        return error_set(error, FAILURE_INPUT, "is-not-valid-number",
                         ARGUMENTS(arg_words("field", field->name)));
    return error_set(error, FAILURE_INPUT, "it-must-be-from-to",
                     ARGUMENTS(arg_words("field", field->name), arg_number("value", value),
                               arg_number("least", field->least), arg_number("most", field->most)));
}

static bool check_text(const struct fact_field *field, const char *text, struct error *error)
{
    if (!text) return true;
    return field->form == FACT_FORM_NAME ? check_name(field->name, text, error)
                                         : checks_check_words(field->name, text, error);
}

static bool may_carry(const struct fact *f, const struct fact_field *field, struct error *error)
{
    return !field->kinds || (field->kinds & (1u << f->kind)) || !fact_field_given(f, field) ||
           error_set(error, FAILURE_INPUT, "entry-does-not-take-field",
                     ARGUMENTS(arg_words("entry", fact_kind_name(f->kind)), arg_words("field", field->name)));
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
        return error_set(error, FAILURE_INPUT, "is-said-of-panel-name-job",
                         ARGUMENTS(arg_words("name", name)));
    if (fact_kind_on_job(f->kind) && !f->job)
        return error_set(error, FAILURE_INPUT, "is-said-of-job-name-it", ARGUMENTS(arg_words("name", name)));
    if (f->kind == FACT_MEASURED && (isnan(f->planned_mm) || isnan(f->measured_mm)))
        return error_set(error, FAILURE_INPUT, "measured-needs-length-measured-and-what", NULL);
    if (f->kind == FACT_ROLL_IN && (!is_stock(f->what) || !f->of))
        return error_set(error, FAILURE_INPUT, "roll-in-needs-what-came-film", NULL);
    const struct used_kind *kind = used_kind_find(f->what);
    if (f->kind == FACT_USED && (!kind || isnan(f->amount) || kind->material != (f->of != NULL)))
        return error_set(error, FAILURE_INPUT, "used-needs-what-and-how-much", NULL);
    if (f->kind == FACT_PRINTS_IN && (!f->quantity || f->faulty > f->quantity))
        return error_set(error, FAILURE_INPUT, "prints-in-needs-how-many-prints", NULL);
    if (f->kind == FACT_ROLL_OUT && !f->roll)
        return error_set(error, FAILURE_INPUT, "roll-out-needs-rolls-name", NULL);
    if ((f->kind == FACT_WITHDRAWN) != (f->withdraws > 0))
        return error_set(error, FAILURE_INPUT, "withdrawn-and-nothing-else-names-fact", NULL);
    if ((f->kind == FACT_ACCEPTED || f->kind == FACT_NOTE) && !f->words)
        return error_set(error, FAILURE_INPUT, "name-needs-words", ARGUMENTS(arg_words("name", name)));
    if (f->kind == FACT_PHOTO && !f->photo)
        return error_set(error, FAILURE_INPUT, "photo-needs-picture", NULL);
    if (f->photo && !is_photo_name(f->photo))
        return error_set(error, FAILURE_INPUT, "photograph-is-named-by-64-hex", NULL);
    return true;
}

bool check_fact(const struct fact *f, struct error *error)
{
    if ((unsigned)f->kind >= FACT_KIND_COUNT)
        return error_set(error, FAILURE_INPUT, "no-such-kind-of-fact", NULL);
    if (f->at && (f->at < at_least || f->at > at_most))
        return error_set(error, FAILURE_INPUT, "time-of-fact-must-be-between", NULL);
    return check_key(f->key, error) && check_needs(f, error) && check_fields(f, error);
}
