/* What a shop charges, as it wrote it, and what a job adds to that: the key `quote` of both files. Filled by the
 * job room; part of struct shop and struct job.
 *
 * A kind of work or material that has no charge of its own is charged at what it costs the shop (rates, prices),
 * with the shop's mark-up or margin on it: doc/quote.md. */
#ifndef MODEL_CHARGE_H
#define MODEL_CHARGE_H

#include "base/report.h"
#include "model/measure.h"
#include "model/money.h"
#include <stdbool.h>
#include <stddef.h>

/* Lines of a quote, in the order in which it lists them. */
enum quote_kind {
    QUOTE_DESIGN,
    QUOTE_MEASURING,
    QUOTE_REMOVAL, /* of old film and its glue */
    QUOTE_CLEANING,
    QUOTE_PARTS, /* taken off and refitted */
    QUOTE_FILM,
    QUOTE_LAMINATE,
    QUOTE_INK,
    QUOTE_PRINTS, /* bought in: in place of film, ink and print */
    QUOTE_PRINT,
    QUOTE_LAMINATING,
    QUOTE_TRIM,
    QUOTE_INSTALL,
    QUOTE_FINISH, /* heating of what was stretched, sealing of edges, the next day's check */
    QUOTE_TRAVEL,
    QUOTE_OTHER,   /* the job's own lines */
    QUOTE_MINIMUM, /* what lacks to the shop's minimum charge */
    QUOTE_KIND_COUNT
};
/* As in the shop file and in quote.json: "removal". Ended by NULL. */
extern const char *const quote_kind_names[QUOTE_KIND_COUNT + 1];

/* What a rate is for one of. */
enum quote_unit { UNIT_HOUR, UNIT_M2, UNIT_ML, UNIT_PART, UNIT_KM, UNIT_VEHICLE, UNIT_JOB, QUOTE_UNIT_COUNT };
/* "h", "m2", "ml", "part", "km", "vehicle", "job". Ended by NULL. */
extern const char *const quote_unit_names[QUOTE_UNIT_COUNT + 1];
/* Units that a kind may be charged by, a bit for each; 0: it has no charge of its own. */
unsigned quote_units_of(enum quote_kind kind);

/* What the film goes on; a surface is of the last of these that fits. */
enum surface_sort { SORT_FLAT, SORT_SHAPED, SORT_LYING, SORT_GLASS, SURFACE_SORT_COUNT };
extern const char *const surface_sort_names[SURFACE_SORT_COUNT + 1]; /* "flat", "shaped", ... */

/* All zero: nobody wrote it. */
struct charge {
    bool written;
    bool included; /* in what other kinds are charged: costs nothing by itself */
    money_micro price;
    enum quote_unit unit;
    const char *source; /* "shop.yaml:14, quote.print" */
};

struct discount_step {
    int from; /* vehicles, 2 .. 500; steps rise in both */
    double percent;
    struct place place;
};

struct tax_rate {
    const char *name; /* "VAT", or NULL */
    double percent;   /* of the net sum */
};

/* A line that a person adds to one job's quote. */
struct extra_line {
    const char *what, *unit;
    double quantity; /* rounded to hundredths */
    money_micro rate;
    struct place place;
};

enum { QUOTE_TEXTS_MOST = 12, TAXES_MOST = 5, DISCOUNTS_MOST = 12, EXTRAS_MOST = 50 };
struct quote_texts { /* one line each */
    const char *items[QUOTE_TEXTS_MOST];
    size_t count;
};

struct shop_quote {
    struct charge charges[QUOTE_KIND_COUNT]; /* but QUOTE_INSTALL's */
    struct charge install[SURFACE_SORT_COUNT];
    money_micro minimum; /* 0: none */
    struct discount_step discounts[DISCOUNTS_MOST];
    size_t discount_count;
    bool taxed; /* `tax` was written, 0 % too */
    struct tax_rate taxes[TAXES_MOST];
    size_t tax_count;
    struct measure valid_s;
    double deposit_percent;     /* of the gross sum; 0: none */
    struct measure ink_percent; /* all channels together, while artwork follows */
    struct measure removal_year_percent;
    struct measure measuring_s; /* of a vehicle */
    struct quote_texts letterhead, not_included, care, terms;
};

struct job_quote {
    double travel_km;   /* < 0: not said */
    double measuring_s; /* < 0: not said */
    struct extra_line *extras;
    size_t extra_count;
    struct quote_texts not_included, terms; /* after the shop's */
};

#endif
