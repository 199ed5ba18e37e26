/* What an entry of the record is made of: kinds and fields, each in one table. Columns of the file, the chain
 * of digests, exports, the page's forms and JSON, the options of `record add` and limits come from here, so
 * that a new field is one row of this table, a member of struct fact, and its words in doc/record.md. */
#ifndef MODEL_ENTRY_H
#define MODEL_ENTRY_H

#include "base/error.h"
#include "model/record.h"

/* What a field holds, and how it is written. */
enum fact_form {
    FACT_FORM_WHOLE,       /* int64_t; 0: not given */
    FACT_FORM_TIME,        /* int64_t, UTC seconds; 0: not given */
    FACT_FORM_KIND,        /* enum fact_kind */
    FACT_FORM_NAME,        /* one line of UTF-8, 1 to FACT_NAME_MOST bytes */
    FACT_FORM_WORDS,       /* UTF-8, at most FACT_WORDS_MOST bytes */
    FACT_FORM_DIGEST,      /* 64 hex digits: SHA-256 */
    FACT_FORM_LENGTH,      /* double; NAN: not given */
    FACT_FORM_TEMPERATURE, /* the same */
    FACT_FORM_PERCENT,     /* the same */
    FACT_FORM_NUMBER,      /* the same */
    FACT_FORM_AMOUNT,      /* the same; mm, ml or hours, as `what` has it (model/used.h) */
};

/* Who fills a field. */
enum fact_origin {
    FACT_FROM_RECORD, /* the record itself */
    FACT_FROM_GATE,   /* whoever asks the gate: form and command line have no field for it */
    FACT_GIVEN,       /* the person, and nobody else */
    FACT_SETTLED,     /* the person, or worked out when left out: the batch from the roll, now, ... */
    FACT_IF_NEEDED,   /* the person, and kept only when a gate asked for it */
};

/* What the form of a panel's step calls a field that it asks for. */
struct fact_ask {
    unsigned kinds;    /* bit for each kind whose form asks */
    const char *words; /* "roller", before its value in a list */
    const char *label; /* "Roller", without a unit */
};
enum { FACT_ASKS_MOST = 2 };

struct fact_field {
    const char *name; /* of column, JSON member, form field: "air_c" */
    enum fact_form form;
    enum fact_origin origin;
    int since;          /* form of the record file (PRAGMA user_version) that has it first */
    size_t offset;      /* in struct fact */
    const char *what;   /* "air", for messages */
    double least, most; /* of figures, in the unit that the name ends in */
    const char *option; /* of `record add`: "--air"; NULL: none, or read in another way */
    const char *takes;  /* "21" */
    const char *help;
    unsigned kinds; /* bit for each kind that may carry it; 0: all */
    bool listed;    /* fact_details says it; the rest has a place of its own in every view, or none */
    struct fact_ask asks[FACT_ASKS_MOST];
};

extern const struct fact_field fact_fields[];
extern const size_t fact_field_count;
enum { FACT_FIELDS_MOST = 48 };
int fact_fields_form(void); /* the form of a record file that has all of them: the newest `since` */

bool fact_form_is_text(enum fact_form form);     /* name, words, digest */
bool fact_form_is_figure(enum fact_form form);   /* length, temperature, percent, number */
const char *fact_form_unit(enum fact_form form); /* "°C"; "": none, or its words say it */
const char *fact_text(const struct fact *fact, const struct fact_field *field); /* of a text field */
double fact_figure(const struct fact *fact, const struct fact_field *field);    /* of a figure */
int64_t fact_whole(const struct fact *fact, const struct fact_field *field);    /* whole, time, kind */
void fact_set_text(struct fact *fact, const struct fact_field *field, const char *text);
void fact_set_figure(struct fact *fact, const struct fact_field *field, double value);
void fact_set_whole(struct fact *fact, const struct fact_field *field, int64_t value);
bool fact_field_given(const struct fact *fact, const struct fact_field *field);

/* How the form of that kind asks for it on a panel's page; NULL: it does not. */
const struct fact_ask *fact_field_ask(const struct fact_field *field, enum fact_kind kind);
/* "roller 20 °C, batch L-17": the listed fields that the entry has, lengths in inches or mm; NULL: none. */
const char *fact_details(const struct fact *fact, bool inches, struct arena *arena);

/* Whether `kept`, on record, is what `sent` became: fields that `sent` left out and that are worked out then
 * may be whatever they were. */
bool fact_same_content(const struct fact *sent, const struct fact *kept);

/* Leaves out what was undone, and what undid it, for views that show what happened; how many stay. */
size_t facts_without_undone(struct fact *facts, size_t count);

/* Reads what a person wrote ("21,5", "70 F", "1,48 m") into a field that is not a time or a kind.
 * FAILURE_INPUT with field, value and what would be right. */
bool fact_field_read(struct fact *fact, const struct fact_field *field, const char *written,
                     struct arena *arena, struct error *error);

#endif
