/* A quote: what a job is offered for, line by line, with where each figure comes from. Made by the quote room
 * from a plan, with or without artwork; doc/quote.md says how. Pure values; everything lives in the arena of who
 * made it.
 *
 * Money here is whole minor units of the currency (`digits` behind the point, model/money.h). Each amount is
 * quantity x rate of exactly the quantity and rate that are shown, rounded once, half up; sums are exact:
 *
 *     net   = sum of amounts - discount
 *     tax   = percent of net, each rate rounded once
 *     gross = net + taxes
 *
 * The discount is its percent of all lines but the minimum's; the line of the minimum is what then lacks to it. */
#ifndef MODEL_QUOTE_H
#define MODEL_QUOTE_H

#include "model/charge.h"
#include "model/plan.h"

struct quote_line {
    const char *id; /* the same for the same thing in another quote of the job: "install/left" */
    enum quote_kind kind;
    const char *what; /* for the customer */
    int64_t quantity; /* hundredths */
    const char *unit; /* quote_unit_names, or as the job's own line has it */
    money_micro rate; /* what is charged for one */
    money_minor amount;
    bool included;          /* charged with other lines: rate 0 on purpose */
    bool estimated;         /* artwork follows: by area and what is usual */
    const char *basis;      /* where the quantity comes from, a phrase */
    const char *rate_basis; /* and the rate */
    money_micro cost_rate;  /* what one of cost_unit costs the shop; PRICE_UNSAID: not known */
    int64_t cost_quantity;  /* hundredths */
    const char *cost_unit;
    money_minor cost; /* < 0: not known */
};

struct quote_missing {  /* what should be charged and is not, for a price that nobody wrote */
    const char *what;   /* "Travel, 84 km" */
    const char *remedy; /* what to write, and where */
};

struct quote_tax {
    const char *name; /* or NULL */
    double percent;
    money_minor amount;
};

struct quote_lasting { /* of the printed, laminated set on one surface */
    const char *surface;
    bool lying;
    struct measure years; /* absent: nothing is written */
    const char *part;     /* the weakest: "film", "laminate", "ink"; NULL likewise */
    const char *name;     /* as the shop calls it */
    const char *unknown;  /* parts that nobody wrote it for: "ink \"eco\""; "": none */
};

/* A line, or a sum, that an earlier quote of the job had otherwise. What is taken off, the discount, is
 * negative: the differences of the lines and the discount add up to that of the net sum. */
struct quote_change {
    const char *what;
    bool was, is;            /* false: not in that quote */
    money_minor before, now; /* 0 where it is not in it */
    const char *why;
};

struct quote {
    const char *job, *title, *customer, *vehicle;
    const char *currency;
    int digits;
    int vehicles;
    struct quote_line *lines;
    size_t line_count;
    double discount_percent;
    money_minor lines_sum, discount, net;
    struct quote_tax taxes[TAXES_MOST];
    size_t tax_count;
    money_minor gross;
    double deposit_percent;
    money_minor deposit; /* 0: none */
    money_minor cost;    /* of lines whose cost is known */
    money_minor costed;  /* what these lines are charged, before discount */
    size_t uncosted;     /* lines whose cost is not known */
    int64_t made;        /* UTC seconds */
    const struct zone *zone;
    struct civil_date valid_until;
    const char *valid_source;
    bool has_date;
    int64_t finished; /* UTC seconds: the last vehicle, when ordered on the day of the quote */
    bool estimated;   /* some line is */
    struct quote_missing *missing;
    size_t missing_count;
    size_t unrated;       /* of these: lines that should stand in it and have no rate */
    const char **assumed; /* sentences: what nobody wrote and was taken as usual */
    size_t assumed_count;
    const char **excluded; /* phrases: what is not included */
    size_t excluded_count;
    const struct quote_lasting *lasting; /* one for each surface that is quoted */
    size_t lasting_count;
    const struct shop_quote *terms;
    const struct job_quote *job_terms;
    /* against the quote before this one */
    const char *earlier; /* its file's name; NULL: there is none */
    money_minor earlier_net, earlier_gross;
    struct quote_change *changes;
    size_t change_count;
};

/* The weakest of all on upright (or lying) surfaces; NULL when there is none, or nothing is written. */
const struct quote_lasting *quote_weakest(const struct quote *quote, bool lying);
/* Its last day: "Sun 14 Feb 2027". */
const char *quote_valid_words(const struct quote *quote, struct arena *arena);
/* "12.40": hundredths, without a locale. */
const char *quote_quantity(int64_t hundredths, struct arena *arena);
/* With its unit, plain digits: "12.40 m2", and what is counted without decimals: "2 parts", "1 vehicle". */
const char *quote_quantity_words(int64_t hundredths, const char *unit, struct arena *arena);

#endif
