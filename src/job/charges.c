/* The key `quote` of shop and job: what is charged for each kind of work and material, and what stands in quotes. */
#include "read.h"
#include <string.h>

#define AT(field)  offsetof(struct shop, quote.field)
#define JOB(field) offsetof(struct job, quote.field)

static key_reader read_charge, read_install, read_minimum, read_discounts, read_taxes, read_texts,
    read_extras, read_rate_of_extra;

/* ---- charges ---- */

#define AS_COST "what it costs the shop, with its mark-up or margin"
#define CHARGE(name, kind, help, right)                                                                      \
    {                                                                                                        \
        name, FORM_SPECIAL, AT(charges[kind]), 0, 0, NULL, help, .read = read_charge, .words = right,        \
                                                                 .otherwise = AS_COST                        \
    }
#define OR_INCLUDED ", or `included` in what else is charged"
#define HOUR_OR_M2  "a price such as 48/h or 25/m2" OR_INCLUDED
#define INSTALL_WORDS                                                                                        \
    "a price such as 48/h or 25/m2" OR_INCLUDED                                                              \
    ", or a group by what the film goes on such as {flat: 22/m2, "                                           \
    "shaped: 34/m2, lying: 26/m2, glass: 30/m2}"
#define TEXTS_WORDS "a list of at most 12 texts of one line"

static const struct key quote_keys[] = {
    CHARGE("design", QUOTE_DESIGN, "Design, for the job's `design` hours.",
           "a price such as 60/h or 250/job" OR_INCLUDED),
    CHARGE("measuring", QUOTE_MEASURING, "Measuring a vehicle; identical ones are measured once.",
           "a price such as 48/h or 90/job" OR_INCLUDED),
    CHARGE("removal", QUOTE_REMOVAL, "Removal of old film and its glue; more for older film.", HOUR_OR_M2),
    CHARGE("cleaning", QUOTE_CLEANING, "Washing and degreasing.",
           "a price such as 48/h, 3/m2 or 60/vehicle" OR_INCLUDED),
    CHARGE("parts", QUOTE_PARTS, "Taking parts off and refitting them.",
           "a price such as 48/h or 15/part" OR_INCLUDED),
    CHARGE("film", QUOTE_FILM, "Film, for the area that it covers.", "a price such as 18/m2" OR_INCLUDED),
    CHARGE("laminate", QUOTE_LAMINATE, "Laminate, likewise.", "a price such as 9/m2" OR_INCLUDED),
    CHARGE("ink", QUOTE_INK, "Ink.", "a price such as 4/m2 or 0.20/ml" OR_INCLUDED),
    CHARGE("prints", QUOTE_PRINTS, "Prints that are bought in, in place of film, ink and printing.",
           "a price such as 40/m2" OR_INCLUDED),
    CHARGE("print", QUOTE_PRINT, "Printing.", HOUR_OR_M2),
    CHARGE("laminating", QUOTE_LAMINATING, "Laminating.", HOUR_OR_M2),
    CHARGE("trim", QUOTE_TRIM, "Trimming panels.", HOUR_OR_M2),
    {"install", FORM_SPECIAL, AT(install), 0, 0, .help = "Applying the film; more where it is difficult.",
     .read = read_install, .words = INSTALL_WORDS, .otherwise = AS_COST},
    CHARGE("finish", QUOTE_FINISH, "Heating stretched places, sealing edges, the next day's check.",
           "a price such as 48/h, 2/m2 or 40/vehicle" OR_INCLUDED),
    CHARGE("travel", QUOTE_TRAVEL, "Travel, for the kilometres of the job's quote.",
           "a price such as 0.85/km, 40/vehicle or 90/job" OR_INCLUDED),
    {"minimum", FORM_SPECIAL, AT(minimum), 0, 0, .help = "The least that a job comes to before tax.",
     .read = read_minimum, .words = "an amount of money such as 250.00", .otherwise = "none"},
    {"discounts", FORM_SPECIAL, AT(discounts), 0, 0, .help = "Less for several vehicles: see discounts.",
     .read = read_discounts, .words = "a list such as [{from: 3, percent: 5 %}, {from: 10, percent: 8 %}]",
     .otherwise = "none"},
    {"tax", FORM_SPECIAL, AT(taxes), 0, 0, .help = "Tax on the net sum; 0 % where there is none: see tax.",
     .read = read_taxes,
     .words = "a percentage such as 19 %, or a list such as [{name: state, percent: 5 %}, {percent: 2.5 %}]",
     .otherwise = "not known: quotes name it as missing"},
    {"valid", FORM_DURATION, AT(valid_s), 86400, 366.0 * 86400, .help = "How long a quote holds.",
     .measured = true, .practice = "quote-valid"},
    {"deposit", FORM_PERCENT, AT(deposit_percent), 0, 100, .usual = "0",
     .help = "Of the whole sum, due with the order."},
    {"ink-coverage", FORM_PERCENT, AT(ink_percent), 0, 400,
     .help = "Ink of all channels together, while artwork follows.", .measured = true,
     .practice = "quote-ink"},
    {"removal-year", FORM_PERCENT, AT(removal_year_percent), 0, 100,
     .help = "Removal takes so much longer for each year of age beyond common practice removal-fresh.",
     .measured = true, .practice = "removal-year"},
    {"measuring-time", FORM_DURATION, AT(measuring_s), 0, 360000,
     .help = "What measuring a vehicle takes, where the job does not say.", .measured = true,
     .practice = "quote-measuring"},
    {"letterhead", FORM_SPECIAL, AT(letterhead), 0, 0, .help = "The shop's name and address, line by line.",
     .read = read_texts, .words = TEXTS_WORDS, .otherwise = "none"},
    {"not-included", FORM_SPECIAL, AT(not_included), 0, 0, .help = "What no quote includes.",
     .read = read_texts, .words = TEXTS_WORDS, .otherwise = "repairs of paint, rust and dents"},
    {"care", FORM_SPECIAL, AT(care), 0, 0, .help = "How the customer looks after the film.",
     .read = read_texts, .words = TEXTS_WORDS, .otherwise = "common practice, see quote.md"},
    {"terms", FORM_SPECIAL, AT(terms), 0, 0, .help = "What else holds: payment, warranty.",
     .read = read_texts, .words = TEXTS_WORDS, .otherwise = "none"},
    {0},
};
const struct group shop_quote_group = {"shop.quote", quote_keys};

static const struct key discount_keys[] = {
    {"from", FORM_WHOLE, offsetof(struct discount_step, from), 2, 500, .help = "From so many vehicles on.",
     .required = true},
    {"percent", FORM_PERCENT, offsetof(struct discount_step, percent), 0, 90, .help = "Off all lines.",
     .required = true},
    {0},
};
const struct group discount_group = {"discounts", discount_keys};

static const struct key tax_keys[] = {
    {"name", FORM_TEXT, offsetof(struct tax_rate, name), 0, 0, .help = "What it is called."},
    {"percent", FORM_PERCENT, offsetof(struct tax_rate, percent), 0, 100, .help = "Of the net sum.",
     .required = true},
    {0},
};
const struct group tax_group = {"tax", tax_keys};

static const struct key job_quote_keys[] = {
    {"travel", FORM_NUMBER, JOB(travel_km), 0, 100000, .help = "Kilometres driven, all ways together.",
     .otherwise = "none; the quote says that travel is not included"},
    {"measuring", FORM_DURATION, JOB(measuring_s), 0, 3600000, .help = "Hours of measuring.",
     .otherwise = "the shop's `measuring-time`, where it charges for measuring; else none"},
    {"lines", FORM_SPECIAL, JOB(extras), 0, 0, .help = "Lines of your own: see lines.", .read = read_extras,
     .words = "a list such as [{what: Crane, quantity: 2, unit: h, rate: 120}]", .otherwise = "none"},
    {"not-included", FORM_SPECIAL, JOB(not_included), 0, 0,
     .help = "What this quote does not include either.", .read = read_texts, .words = TEXTS_WORDS,
     .otherwise = "as the shop"},
    {"terms", FORM_SPECIAL, JOB(terms), 0, 0, .help = "What else holds for this job.", .read = read_texts,
     .words = TEXTS_WORDS, .otherwise = "as the shop"},
    {0},
};
const struct group job_quote_group = {"job.quote", job_quote_keys};

static const struct key extra_keys[] = {
    {"what", FORM_TEXT, offsetof(struct extra_line, what), 0, 0, .help = "What it is.", .required = true},
    {"quantity", FORM_NUMBER, offsetof(struct extra_line, quantity), 0, 1e6, .usual = "1",
     .help = "How much of it, to a hundredth; for the whole job."},
    {"unit", FORM_TEXT, offsetof(struct extra_line, unit), 0, 0, .usual = "job",
     .help = "What the rate is for."},
    {"rate", FORM_SPECIAL, offsetof(struct extra_line, rate), 0, 0, .help = "Price of one.",
     .read = read_rate_of_extra, .words = "an amount of money such as 120.00", .required = true},
    {0},
};
const struct group extra_group = {"lines", extra_keys};

/* ---- reading ---- */

static void *charges_field(const struct key *key, void *target)
{
    return (char *)target + key->at;
}

/* Its unit is one that the kind may be charged by; the only one need not be written. */
static void take_charge(struct reading *reading, const struct key *key, const struct node *node,
                        enum quote_kind kind, struct charge *charge)
{
    const char *names[QUOTE_UNIT_COUNT + 1] = {NULL};
    enum quote_unit units[QUOTE_UNIT_COUNT];
    int count = 0, unit;
    for (enum quote_unit i = 0; i < QUOTE_UNIT_COUNT; i++)
        if (quote_units_of(kind) >> i & 1) units[count] = i, names[count++] = quote_unit_names[i];
    struct charge read = {.written = true, .source = source_of(reading, &shop_quote_group, node)};
    if (node->kind == NODE_TEXT && !strcmp(node->text, "included"))
        read.included = true;
    else if (!read_charge_of(reading, node, key->words, names, &read.price, &unit))
        return;
    else if (unit < 0 && count > 1) {
        report_add(reading->report, place_of(reading, node), "key-written-is-not-day-words",
                   ARGUMENTS(arg_words("key", node->key), arg_part("written", node->text, 80),
                             arg_words("day_words", key->words)));
        return;
    } else
        read.unit = units[unit < 0 ? 0 : unit];
    *charge = read;
}

static void read_charge(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct charge *charges = ((struct shop *)target)->quote.charges, *charge = charges_field(key, target);
    take_charge(reading, key, node, (enum quote_kind)(charge - charges), charge);
}

static void take_install(struct reading *reading, const struct key *key, const struct node *entry,
                         struct charge *charge)
{
    take_charge(reading, key, entry, QUOTE_INSTALL, charge);
    if (charge->written)
        charge->source = arena_format(reading->arena, "%s:%d, shop.quote.install.%s", reading->file,
                                      entry->line, entry->key);
}

static void read_install(struct reading *reading, const struct key *key, const struct node *node,
                         void *target)
{
    struct charge *charges = charges_field(key, target), all = {0};
    if (node->kind != NODE_GROUP) {
        take_charge(reading, key, node, QUOTE_INSTALL, &all);
        for (int sort = 0; sort < SURFACE_SORT_COUNT; sort++) charges[sort] = all;
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        int sort = 0;
        while (sort < SURFACE_SORT_COUNT && strcmp(entry->key, surface_sort_names[sort])) sort++;
        if (sort < SURFACE_SORT_COUNT)
            take_install(reading, key, entry, &charges[sort]);
        else
            report_add(
                reading->report, key_place(reading, entry), "install-has-no-such-sort",
                ARGUMENTS(arg_part("key", entry->key, 80),
                          arg_words("suggestion", suggestion(reading, entry->key, surface_sort_names))));
    }
}

static void take_amount(struct reading *reading, const struct key *key, const struct node *node,
                        money_micro *amount)
{
    static const char *const none[] = {NULL};
    int unit;
    read_charge_of(reading, node, key->words, none, amount, &unit);
}

static void read_minimum(struct reading *reading, const struct key *key, const struct node *node,
                         void *target)
{
    take_amount(reading, key, node, charges_field(key, target));
}

static void read_rate_of_extra(struct reading *reading, const struct key *key, const struct node *node,
                               void *target)
{
    take_amount(reading, key, node, charges_field(key, target));
}

/* Whether one more fits; else that is reported. */
static bool is_within(struct reading *reading, const struct node *node, size_t most)
{
    if (node->count <= most) return true;
    report_add(reading->report, place_of(reading, node), "quote-list-too-long",
               ARGUMENTS(arg_words("key", node->key), arg_count("count", (int64_t)node->count),
                         arg_count("most", (int64_t)most)));
    return false;
}

static void read_discounts(struct reading *reading, const struct key *key, const struct node *node,
                           void *target)
{
    struct shop_quote *quote = &((struct shop *)target)->quote;
    if (!is_list(reading, node, key->words) || !is_within(reading, node, DISCOUNTS_MOST)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        size_t errors = reading->report->errors;
        struct discount_step step = {.place = place_of(reading, entry)};
        read_group(reading, &discount_group, entry, &step);
        if (reading->report->errors > errors) continue;
        const struct discount_step *last =
            quote->discount_count ? &quote->discounts[quote->discount_count - 1] : NULL;
        if (last && (step.from <= last->from || step.percent <= last->percent))
            report_add(reading->report, step.place, "discounts-do-not-rise",
                       ARGUMENTS(arg_count("from", step.from), arg_number("percent", step.percent),
                                 arg_count("last_from", last->from),
                                 arg_number("last_percent", last->percent)));
        else
            quote->discounts[quote->discount_count++] = step;
    }
}

static void read_taxes(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop_quote *quote = &((struct shop *)target)->quote;
    quote->taxed = true;
    if (node->kind == NODE_TEXT) {
        if (read_number(reading, node, FORM_PERCENT, 0, 100, &quote->taxes[0].percent)) quote->tax_count = 1;
        return;
    }
    if (!is_list(reading, node, key->words) || !is_within(reading, node, TAXES_MOST)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next)
        read_group(reading, &tax_group, entry, &quote->taxes[quote->tax_count++]);
}

static void read_texts(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct quote_texts *texts = charges_field(key, target);
    if (!is_list(reading, node, key->words) || !is_within(reading, node, QUOTE_TEXTS_MOST)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (read_text(reading, entry, "a text of one line", &texts->items[texts->count])) texts->count++;
}

static void read_extras(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct job_quote *quote = &((struct job *)target)->quote;
    if (!is_list(reading, node, key->words) || !is_within(reading, node, EXTRAS_MOST)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        size_t errors = reading->report->errors;
        struct extra_line extra = {.place = place_of(reading, entry)};
        read_usual(reading, &extra_group, &extra);
        read_group(reading, &extra_group, entry, &extra);
        if (reading->report->errors > errors) continue;
        *(struct extra_line *)append(reading, &quote->extras, &quote->extra_count, sizeof extra) = extra;
    }
}

void charges_start_job(struct job_quote *quote)
{
    quote->travel_km = quote->measuring_s = -1;
}
