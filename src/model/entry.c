/* The tables of kinds and fields of an entry, and reading and setting a field by its row. */
#include "model/entry.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "base/units.h"
#include "model/used.h"
#include <math.h>
#include <string.h>

/* ---- kinds ---- */

enum said_of { OF_PANEL, OF_JOB, OF_STOCK, OF_ENTRY };

struct kind_row {
    const char *name, *words;
    enum said_of of;
};

static const struct kind_row kinds[FACT_KIND_COUNT] = {
    [FACT_PRINTED] = {"printed", "printed", OF_PANEL},
    [FACT_HUNG] = {"hung", "cut and hung", OF_PANEL},
    [FACT_DRY_CHECKED] = {"dry-checked", "dry check", OF_PANEL},
    [FACT_MEASURED] = {"measured", "length measured", OF_PANEL},
    [FACT_LAMINATED] = {"laminated", "laminated", OF_PANEL},
    [FACT_TRIMMED] = {"trimmed", "trimmed", OF_PANEL},
    [FACT_INSTALLED] = {"installed", "installed", OF_PANEL},
    [FACT_DAMAGED] = {"damaged", "damaged", OF_PANEL},
    [FACT_REPRINT] = {"reprint", "to be printed again", OF_PANEL},
    [FACT_NOTE] = {"note", "note", OF_JOB},
    [FACT_PHOTO] = {"photo", "photograph", OF_JOB},
    [FACT_TAKEN_IN] = {"taken-in", "vehicle taken in", OF_JOB},
    [FACT_ACCEPTED] = {"accepted", "finding accepted", OF_JOB},
    [FACT_PLANNED] = {"planned", "plan version", OF_JOB},
    [FACT_HANDED_OVER] = {"handed-over", "vehicle handed over", OF_JOB},
    [FACT_ROLL_IN] = {"roll-in", "roll into stock", OF_STOCK},
    [FACT_ROLL_OUT] = {"roll-out", "roll out of stock", OF_STOCK},
    [FACT_WITHDRAWN] = {"withdrawn", "withdrawn", OF_ENTRY},
    [FACT_PRINTS_IN] = {"prints-in", "bought-in prints taken in", OF_JOB},
    [FACT_USED] = {"used", "used", OF_JOB},
    [FACT_APPROVED] = {"approved", "proof approved", OF_JOB},
};

const char *fact_kind_name(enum fact_kind kind)
{
    return kinds[kind].name;
}

const char *fact_kind_words(enum fact_kind kind)
{
    return kinds[kind].words;
}

bool fact_kind_from(const char *name, enum fact_kind *kind)
{
    for (int i = 0; i < FACT_KIND_COUNT; i++)
        if (string_equal(name, kinds[i].name)) {
            *kind = (enum fact_kind)i;
            return true;
        }
    return false;
}

bool fact_kind_on_panel(enum fact_kind kind)
{
    return kinds[kind].of == OF_PANEL;
}

bool fact_kind_on_job(enum fact_kind kind)
{
    return kinds[kind].of == OF_JOB;
}

/* ---- fields ---- */

#define IN_FACT(member) offsetof(struct fact, member)
#define KIND(kind)      (1u << (kind))

enum { FORM_1 = 1, FORM_2, FORM_3, FORM_4, FORM_5, FORM_6 };

/* The order is that of the columns and of the digest: a new field goes to the end. */
const struct fact_field fact_fields[] = {
    {"number", FACT_FORM_WHOLE, FACT_FROM_RECORD, FORM_1, IN_FACT(number), "number", .takes = NULL},
    {"key", FACT_FORM_NAME, FACT_FROM_RECORD, FORM_1, IN_FACT(key), "key", .option = "--key", .takes = "KEY",
     .help = "the same key twice records once (usual: a new one)"},
    {"kind", FACT_FORM_KIND, FACT_FROM_RECORD, FORM_1, IN_FACT(kind), "kind", .takes = NULL},
    {"at", FACT_FORM_TIME, FACT_SETTLED, FORM_1, IN_FACT(at), "time", .option = "--at",
     .takes = "2027-03-04T10:40", .help = "when it was done, the shop's time (usual: now)"},
    {"recorded", FACT_FORM_TIME, FACT_FROM_RECORD, FORM_1, IN_FACT(recorded), "time of recording",
     .takes = NULL},
    {"job", FACT_FORM_NAME, FACT_FROM_RECORD, FORM_1, IN_FACT(job), "job", .takes = NULL},
    {"panel", FACT_FORM_NAME, FACT_FROM_RECORD, FORM_1, IN_FACT(panel), "panel", .takes = NULL},
    {"who", FACT_FORM_NAME, FACT_SETTLED, FORM_1, IN_FACT(who), "who", .option = "--who", .takes = "NAME",
     .help = "who did it"},
    {"device", FACT_FORM_NAME, FACT_SETTLED, FORM_1, IN_FACT(device), "device", .option = "--device",
     .takes = "NAME", .help = "what it is entered on (usual: command line)"},
    {"air_c", FACT_FORM_TEMPERATURE, FACT_GIVEN, FORM_1, IN_FACT(air_c), "air", -50, 80, "--air", "21",
     "room or air, degrees C (70 F is taken too)", .listed = true,
     .asks = {{KIND(FACT_HUNG) | KIND(FACT_LAMINATED), "room", "Room"},
              {KIND(FACT_INSTALLED), "air", "Air"}}},
    {"surface_c", FACT_FORM_TEMPERATURE, FACT_GIVEN, FORM_1, IN_FACT(surface_c), "surface", -50, 200,
     "--surface", "20", "roller of the laminator, or the vehicle's surface", .listed = true,
     .asks = {{KIND(FACT_LAMINATED), "roller", "Roller"},
              {KIND(FACT_INSTALLED), "surface", "Vehicle's surface"}}},
    {"humidity_percent", FACT_FORM_PERCENT, FACT_GIVEN, FORM_1, IN_FACT(humidity_percent), "humidity", 0, 100,
     "--humidity", "50", "of the room, percent", .listed = true,
     .asks = {{KIND(FACT_HUNG), "humidity", "Humidity"}}},
    {"planned_mm", FACT_FORM_LENGTH, FACT_SETTLED, FORM_1, IN_FACT(planned_mm), "planned length", 1, 100000,
     "--planned", "2000", "what it should be (usual: the whole print)", .listed = true},
    {"measured_mm", FACT_FORM_LENGTH, FACT_GIVEN, FORM_1, IN_FACT(measured_mm), "measured length", 1, 100000,
     "--measured", "2001.2", "length between the marks, mm", .listed = true},
    {"roll", FACT_FORM_NAME, FACT_SETTLED, FORM_1, IN_FACT(roll), "roll", .option = "--roll", .takes = "R12",
     .help = "the roll of film or laminate it is on", .listed = true,
     .asks = {{KIND(FACT_PRINTED) | KIND(FACT_LAMINATED), "roll", "Roll"}}},
    {"batch", FACT_FORM_NAME, FACT_SETTLED, FORM_1, IN_FACT(batch), "batch", .option = "--batch",
     .takes = "WORDS", .help = "what stands on the roll (usual: that of --roll)", .listed = true,
     .asks = {{KIND(FACT_PRINTED) | KIND(FACT_LAMINATED), "batch",
               "Batch, when the roll is not in the list"}}},
    {"words", FACT_FORM_WORDS, FACT_GIVEN, FORM_1, IN_FACT(words), "words", .option = "--words",
     .takes = "WORDS", .help = "a note, a condition, why a finding is accepted"},
    {"override", FACT_FORM_WORDS, FACT_IF_NEEDED, FORM_1, IN_FACT(override), "reason", .option = "--reason",
     .takes = "WORDS", .help = "override a gate, with a reason; stays on record"},
    {"gate", FACT_FORM_WORDS, FACT_FROM_GATE, FORM_1, IN_FACT(gate), "gate", .takes = NULL},
    {"photo", FACT_FORM_DIGEST, FACT_GIVEN, FORM_1, IN_FACT(photo), "photograph", .option = "--photo",
     .takes = "FILE", .help = "a JPEG or PNG, kept in the record"},
    {"what", FACT_FORM_NAME, FACT_SETTLED, FORM_1, IN_FACT(what), "what", .option = "--what",
     .takes = "film|laminate|ink", .help = "what came or was used; work too (kinds: roll-in, used)",
     .kinds = KIND(FACT_ROLL_IN) | KIND(FACT_USED)},
    {"of", FACT_FORM_NAME, FACT_SETTLED, FORM_1, IN_FACT(of), "name in the shop", .option = "--of",
     .takes = "NAME", .help = "its name in the shop (kinds: roll-in, used)",
     .kinds = KIND(FACT_ROLL_IN) | KIND(FACT_USED)},
    {"width_mm", FACT_FORM_LENGTH, FACT_GIVEN, FORM_1, IN_FACT(width_mm), "width", 1, 10000, "--width",
     "1370", "of a roll, mm", .kinds = KIND(FACT_ROLL_IN)},
    {"length_mm", FACT_FORM_LENGTH, FACT_GIVEN, FORM_1, IN_FACT(length_mm), "length", 1, 1000000, "--length",
     "50 m", "of a roll", .kinds = KIND(FACT_ROLL_IN)},
    {"withdraws", FACT_FORM_WHOLE, FACT_GIVEN, FORM_1, IN_FACT(withdraws), "number of the entry", 1, 1e15,
     "--withdraws", "NUMBER", "the entry to withdraw (kind: withdrawn)", .kinds = KIND(FACT_WITHDRAWN)},
    {"sent_as", FACT_FORM_NAME, FACT_FROM_RECORD, FORM_2, IN_FACT(sent_as), "key as it was sent",
     .takes = NULL},
    {"entered_by", FACT_FORM_NAME, FACT_FROM_GATE, FORM_2, IN_FACT(entered_by), "who entered it",
     .takes = NULL},
    {"code", FACT_FORM_NAME, FACT_SETTLED, FORM_2, IN_FACT(code), "code", .option = "--code", .takes = "CODE",
     .help = "of the finding (kind: accepted)", .kinds = KIND(FACT_ACCEPTED)},
    {"place", FACT_FORM_WORDS, FACT_SETTLED, FORM_2, IN_FACT(place), "place", .option = "--place",
     .takes = "left/left-2",
     .help = "where the finding is (kind: accepted; usual: the only one of that code)",
     .kinds = KIND(FACT_ACCEPTED)},
    {"figure", FACT_FORM_NUMBER, FACT_FROM_GATE, FORM_2, IN_FACT(figure), "figure", -1e12, 1e12,
     .kinds = KIND(FACT_ACCEPTED)},
    {"artwork", FACT_FORM_NAME, FACT_FROM_GATE, FORM_3, IN_FACT(artwork), "artwork",
     .kinds = KIND(FACT_PRINTED)},
    {"quantity", FACT_FORM_WHOLE, FACT_GIVEN, FORM_4, IN_FACT(quantity), "number of prints", 1, 100000,
     "--quantity", "12", "prints that came (kind: prints-in)", .kinds = KIND(FACT_PRINTS_IN), .listed = true},
    {"faulty", FACT_FORM_WHOLE, FACT_GIVEN, FORM_4, IN_FACT(faulty), "number of faulty prints", 1, 100000,
     "--faulty", "1", "of these damaged, short or wrong (kind: prints-in; usual: none)",
     .kinds = KIND(FACT_PRINTS_IN), .listed = true},
    {"printed_with", FACT_FORM_WORDS, FACT_FROM_GATE, FORM_5, IN_FACT(printed_with), "printer, film and mode",
     .kinds = KIND(FACT_PRINTED) | KIND(FACT_MEASURED)},
    {"feed_percent", FACT_FORM_NUMBER, FACT_FROM_GATE, FORM_5, IN_FACT(feed_percent), "feed", FEED_LEAST,
     FEED_MOST, .kinds = KIND(FACT_PRINTED) | KIND(FACT_MEASURED)},
    {"amount", FACT_FORM_AMOUNT, FACT_GIVEN, FORM_6, IN_FACT(amount), "amount", 0, 1e7, "--amount", "8.2 m",
     "how much: mm of film or laminate, ml of ink, hours of work (kind: used)", .kinds = KIND(FACT_USED)},
    {"letters", FACT_FORM_NAME, FACT_GIVEN, FORM_6, IN_FACT(letters), "letters of the proof",
     .option = "--letters", .takes = "ABCDEFGH", .help = "the proof's eight letters (kind: approved)",
     .kinds = KIND(FACT_APPROVED), .listed = true},
    {"how", FACT_FORM_NAME, FACT_GIVEN, FORM_6, IN_FACT(how), "by", .option = "--how",
     .takes = "mail|signature|counter", .help = "how it was approved (kind: approved)",
     .kinds = KIND(FACT_APPROVED), .listed = true},
    {"cut_from", FACT_FORM_NAME, FACT_GIVEN, FORM_6, IN_FACT(cut_from), "cut from", .option = "--cut-from",
     .takes = "R12", .help = "an off-cut of that roll: what, name and batch follow from it (kind: roll-in)",
     .kinds = KIND(FACT_ROLL_IN), .listed = true},
};
const size_t fact_field_count = sizeof fact_fields / sizeof *fact_fields;
_Static_assert(sizeof fact_fields / sizeof *fact_fields <= FACT_FIELDS_MOST, "raise FACT_FIELDS_MOST");

int fact_fields_form(void)
{
    int form = 0;
    for (size_t i = 0; i < fact_field_count; i++)
        if (fact_fields[i].since > form) form = fact_fields[i].since;
    return form;
}

bool fact_form_is_text(enum fact_form form)
{
    return form == FACT_FORM_NAME || form == FACT_FORM_WORDS || form == FACT_FORM_DIGEST;
}

bool fact_form_is_figure(enum fact_form form)
{
    return form >= FACT_FORM_LENGTH;
}

/* ---- values ---- */

static const void *member_of(const struct fact *fact, const struct fact_field *field)
{
    return (const char *)fact + field->offset;
}

static void *member_to_set(struct fact *fact, const struct fact_field *field)
{
    return (char *)fact + field->offset;
}

const char *fact_text(const struct fact *fact, const struct fact_field *field)
{
    return *(const char *const *)member_of(fact, field);
}

double fact_figure(const struct fact *fact, const struct fact_field *field)
{
    return *(const double *)member_of(fact, field);
}

int64_t fact_whole(const struct fact *fact, const struct fact_field *field)
{
    return field->form == FACT_FORM_KIND ? (int64_t)fact->kind : *(const int64_t *)member_of(fact, field);
}

void fact_set_text(struct fact *fact, const struct fact_field *field, const char *text)
{
    *(const char **)member_to_set(fact, field) = text;
}

void fact_set_figure(struct fact *fact, const struct fact_field *field, double value)
{
    *(double *)member_to_set(fact, field) = value;
}

void fact_set_whole(struct fact *fact, const struct fact_field *field, int64_t value)
{
    if (field->form == FACT_FORM_KIND)
        fact->kind = (enum fact_kind)value;
    else
        *(int64_t *)member_to_set(fact, field) = value;
}

bool fact_field_given(const struct fact *fact, const struct fact_field *field)
{
    if (fact_form_is_text(field->form)) return fact_text(fact, field) != NULL;
    if (fact_form_is_figure(field->form)) return !isnan(fact_figure(fact, field));
    return field->form == FACT_FORM_KIND || fact_whole(fact, field) != 0;
}

static bool fact_field_same(const struct fact *one, const struct fact *other, const struct fact_field *field)
{
    if (fact_form_is_text(field->form)) return string_equal(fact_text(one, field), fact_text(other, field));
    if (!fact_form_is_figure(field->form)) return fact_whole(one, field) == fact_whole(other, field);
    double a = fact_figure(one, field), b = fact_figure(other, field);
    return isnan(a) || isnan(b) ? isnan(a) && isnan(b) : a == b;
}

/* A withdrawal takes job and panel of what it withdraws. */
static bool entry_is_settled(const struct fact_field *field, enum fact_kind kind)
{
    bool taken_over = field->offset == IN_FACT(job) || field->offset == IN_FACT(panel);
    return field->origin == FACT_SETTLED || (taken_over && kind == FACT_WITHDRAWN);
}

static bool is_compared(const struct fact *sent, const struct fact *kept, const struct fact_field *field)
{
    if (entry_is_settled(field, kept->kind)) return fact_field_given(sent, field);
    if (field->origin == FACT_IF_NEEDED)
        return fact_field_given(sent, field) && fact_field_given(kept, field);
    return field->origin == FACT_GIVEN || field->offset == IN_FACT(kind) || field->offset == IN_FACT(job) ||
           field->offset == IN_FACT(panel);
}

bool fact_same_content(const struct fact *sent, const struct fact *kept)
{
    for (size_t i = 0; i < fact_field_count; i++)
        if (is_compared(sent, kept, &fact_fields[i]) && !fact_field_same(sent, kept, &fact_fields[i]))
            return false;
    return true;
}

size_t facts_without_undone(struct fact *facts, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++)
        if (!facts[i].undone) facts[kept++] = facts[i];
    return kept;
}

struct fact fact_blank(enum fact_kind kind)
{
    struct fact fact = {.kind = kind};
    for (size_t i = 0; i < fact_field_count; i++)
        if (fact_form_is_figure(fact_fields[i].form)) fact_set_figure(&fact, &fact_fields[i], NAN);
    return fact;
}

/* ---- showing ---- */

const struct fact_ask *fact_field_ask(const struct fact_field *field, enum fact_kind kind)
{
    for (size_t i = 0; i < FACT_ASKS_MOST; i++)
        if (field->asks[i].kinds & KIND(kind)) return &field->asks[i];
    return NULL;
}

const char *fact_form_unit(enum fact_form form)
{
    return form == FACT_FORM_TEMPERATURE ? "°C" : form == FACT_FORM_PERCENT ? "%" : "";
}

static void entry_add_value(struct text *out, const struct fact *fact, const struct fact_field *field,
                            bool inches)
{
    if (fact_form_is_text(field->form))
        text_add(out, fact_text(fact, field));
    else if (field->form == FACT_FORM_LENGTH)
        text_add(out, units_length_words(fact_figure(fact, field), inches, out->arena));
    else if (fact_form_is_figure(field->form))
        text_add_number(out, fact_figure(fact, field), field->form >= FACT_FORM_NUMBER ? 3 : 1);
    else
        text_addf(out, "%lld", (long long)fact_whole(fact, field));
    const char *unit = fact_form_unit(field->form);
    text_addf(out, "%s%s", *unit ? "\u00a0" : "", unit);
}

const char *fact_details(const struct fact *fact, bool inches, struct arena *arena)
{
    struct text out = text_new(arena);
    for (size_t i = 0; i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        if (!field->listed || !fact_field_given(fact, field)) continue;
        const struct fact_ask *ask = fact_field_ask(field, fact->kind);
        text_addf(&out, "%s%s ", out.length ? ", " : "", ask ? ask->words : field->what);
        entry_add_value(&out, fact, field, inches);
    }
    return out.length ? text_string(&out) : NULL;
}

/* ---- reading what people write ---- */

static const struct {
    bool (*read)(struct str, double *);
    const char *right; /* what would be right */
} figure_forms[] = {
    [FACT_FORM_LENGTH] = {units_length_mm, "a length such as 2001.2, 50 m or 54 in"},
    [FACT_FORM_TEMPERATURE] = {units_temperature_c, "a temperature such as 21 or 70 F"},
    [FACT_FORM_PERCENT] = {units_percent, "a percentage such as 50"},
    [FACT_FORM_NUMBER] = {units_number, "a number"},
};

/* An amount is in the unit of what it is of, which stands before it in the table. */
static bool figure_is_read(const struct fact *fact, const struct fact_field *field, struct str written,
                           double *value, const char **right)
{
    const struct used_kind *kind = used_kind_find(fact->what);
    if (field->form != FACT_FORM_AMOUNT) {
        *right = figure_forms[field->form].right;
        return figure_forms[field->form].read(written, value);
    }
    *right = !kind                   ? "of something: say what was used first (`what`)"
             : kind->unit == USED_MM ? "a length such as 8200 or 8.2 m"
             : kind->unit == USED_ML ? "a volume such as 120 ml or 1.5 l"
                                     : "hours such as 4.5 or 4 h 30 min";
    return kind && used_read(kind, written, value);
}

static bool read_figure(struct fact *fact, const struct fact_field *field, const char *written,
                        struct arena *arena, struct error *error)
{
    const char *trouble, *right, *with_point = units_with_point(written, arena, &trouble);
    double value;
    if (!with_point)
        return error_set(error, FAILURE_INPUT, "path-trouble",
                         ARGUMENTS(arg_words("path", field->what), arg_words("trouble", trouble)));
    if (!figure_is_read(fact, field, str_from(with_point), &value, &right))
        return error_set(error, FAILURE_INPUT, "must-be-you-wrote",
                         ARGUMENTS(arg_words("what", field->what), arg_words("right", right),
                                   arg_words("written", written)));
    fact_set_figure(fact, field, value);
    return true;
}

static bool read_whole_field(struct fact *fact, const struct fact_field *field, const char *written,
                             struct error *error)
{
    double value = 0;
    bool whole =
        *written && !written[strspn(written, "0123456789")] && units_number(str_from(written), &value);
    if (!whole || value < field->least || value > field->most)
        return error_set(error, FAILURE_INPUT, "must-be-whole-number-from-you",
                         ARGUMENTS(arg_words("what", field->what), arg_number("least", field->least),
                                   arg_words("written", written)));
    fact_set_whole(fact, field, (int64_t)value);
    return true;
}

bool fact_field_read(struct fact *fact, const struct fact_field *field, const char *written,
                     struct arena *arena, struct error *error)
{
    if (fact_form_is_figure(field->form)) return read_figure(fact, field, written, arena, error);
    if (field->form == FACT_FORM_WHOLE) return read_whole_field(fact, field, written, error);
    fact_set_text(fact, field, written);
    return true;
}
