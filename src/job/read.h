/* From a tree to a struct through a table: each key of a group says its form, its range, what holds when it
 * is left out, where it goes in the struct and what it means. Private to the room. */
#ifndef JOB_READ_H
#define JOB_READ_H

#include "reading.h"
#include "job/job.h"

/* What may be written. The number forms end in a double (or a struct measure), in the program's units. */
enum form {
    FORM_LENGTH,
    FORM_TEMPERATURE,
    FORM_DURATION,
    FORM_PERCENT,
    FORM_ANGLE,
    FORM_YEARS,
    FORM_NUMBER,
    FORM_SCALE,                /* how many times larger the real thing is */
    FORM_AREA_SPEED,           /* m2/h */
    FORM_LENGTH_SPEED,         /* m/min */
    FORM_NUMBERS,              /* how many of the above; the rest is no number */
    FORM_WHOLE = FORM_NUMBERS, /* int */
    FORM_PRICE_M2,             /* money_micro */
    FORM_PRICE_ML,
    FORM_PRICE_HOUR,
    FORM_YES_NO,  /* bool */
    FORM_CHOICE,  /* an enum whose values count from 0 along `choices` */
    FORM_TEXT,    /* const char *: one line, at most 200 letters */
    FORM_PATH,    /* const char *, as written */
    FORM_TIME,    /* struct civil_time */
    FORM_GROUP,   /* keys of `group`, into the same struct */
    FORM_SPECIAL, /* read by `read`; `words` says what may be written */
};

struct key;
typedef void key_reader(struct reading *reading, const struct key *key, const struct node *node,
                        void *target);

struct key {
    const char *name;
    enum form form;
    size_t at;          /* offset in the group's struct */
    double least, most; /* number forms and FORM_WHOLE */
    const char *usual;  /* holds when the key is left out; read as if it were written */
    const char *help;   /* one sentence */
    bool required;
    bool measured;              /* the field is a struct measure */
    const char *practice;       /* in place of `usual`: a name in model/practice.h */
    const char *otherwise;      /* what holds when it is left out, where code decides it; for people */
    const char *const *choices; /* FORM_CHOICE, ended by NULL; "" entries cannot be written */
    const struct group *group;  /* FORM_GROUP */
    key_reader *read;           /* FORM_SPECIAL */
    enum form of;               /* FORM_SPECIAL with a range: what the range counts, lengths unless said */
    const char *words;          /* FORM_SPECIAL: "a list of lengths such as [1370, 1520]" */
};

struct group {
    const char *name;       /* for sources and the reference: "films" */
    const struct key *keys; /* ended by a NULL name */
};

/* Puts what holds when nothing is written into the struct. Once, before read_group. */
void read_usual(struct reading *reading, const struct group *group, void *target);
/* Reads what is written over it. Missing required keys, unknown keys and unfit values are reported. */
void read_group(struct reading *reading, const struct group *group, const struct node *node, void *target);

/* For special readers. Each reports what is wrong and returns false; NODE_REFUSED is false in silence. */
bool read_text(struct reading *reading, const struct node *node, const char *words, const char **text);
bool read_path(struct reading *reading, const struct node *node, const char **path);
/* A file that a job names lies where it may (machine->within); else that is reported at `asked`. */
bool reading_may_reach(struct reading *reading, const char *name, struct place asked);
/* Keeps a text in the key's field when it `fits`; else says that it is not what the key's words ask. */
void keep_text(struct reading *reading, const struct key *key, const struct node *node, bool fits,
               void *target);
bool has_only(const char *text, const char *letters);
bool read_number(struct reading *reading, const struct node *node, enum form form, double least, double most,
                 double *value);
/* A list of exactly `count` numbers, each of the same form and range. */
struct number_list {
    enum form form;
    double least, most;
    const char *words; /* "a box [x, y, width, height]" */
    size_t count;
};
bool read_numbers(struct reading *reading, const struct node *node, const struct number_list *list,
                  double *values);
/* An amount of money, plain (*unit -1) or for one of `units` (its place there): "48/h", "48 per h". */
bool read_charge_of(struct reading *reading, const struct node *node, const char *words,
                    const char *const *units, int64_t *micro, int *unit);
bool read_yes_no(struct reading *reading, const struct node *node, bool *value);
bool read_choice(struct reading *reading, const struct node *node, const char *const *choices, int *value);
bool read_date(struct reading *reading, const struct node *node, struct civil_date *date);
bool read_time(struct reading *reading, const struct node *node, struct civil_time *time);
/* What a form is, in words: "a length such as ...". */
const char *form_words(const struct key *key, struct arena *arena);
/* "12 mm", "36 h": a value of that form. */
const char *form_value(struct arena *arena, enum form form, double value);

/* The groups, each beside the code that reads it. */
extern const struct group job_group, print_group, indoors_group, vehicle_group, surface_group, drawing_group,
    feature_group, whole_group, artwork_group, seam_group, bleed_group, shop_group, hours_group,
    printer_group, film_group, laminate_group, ink_group, dry_group, condition_group, waiver_group,
    rates_group, weight_group, task_group, align_group, corner_group, shop_quote_group, discount_group,
    tax_group, job_quote_group, extra_group, roll_group, tape_group, fluid_group, cover_group, piece_group,
    cut_group, cutter_group, register_group;

/* All of them (schema.c). */
extern const struct group *const job_groups[];

/* job_keys.c */
enum { JOB_NUMBER_MOST = 60 };
extern const char job_number_letters[];
/* job.c */
/* The file that a job's path means: itself, or the job.yaml (else job.json) of a folder. */
const char *job_file_of(struct machine *machine, const char *path, struct arena *arena);
/* What job_load makes of a file with these bytes; NULL when nothing could be understood. */
struct job *job_of_bytes(struct machine *machine, const char *file, struct str bytes, struct arena *arena,
                         struct report *report);
/* The same with a fleet's file as it would be. */
struct job *job_of_table(struct machine *machine, const char *file, struct str bytes,
                         const struct job_table *table, struct arena *arena, struct report *report);

/* surfaces.c */
key_reader read_surfaces, read_bleed, read_quick_artwork;
void finish_surfaces(struct reading *reading, const struct node *root);
/* The hour of a time that was written as a date alone, until hours.c settles it. */
#define HOUR_UNSAID (-1)
/* hours.c */
key_reader read_hours;
/* A date alone: from when the shop opens on that day; on a day it is closed, from its midnight. */
void hours_settle_opening(const struct shop *shop, struct civil_time *time);
/* A date alone: until the shop closes on that day; false: it is closed then, and the open day before it was
 * taken. */
bool hours_settle_closing(const struct shop *shop, struct civil_time *time);
/* charges.c */
/* Before reading: what is unsaid. */
void charges_start_job(struct job_quote *quote);
/* shop.c */
struct shop *shop_read(struct reading *reading, const struct node *root);
/* stock_names.c */
key_reader read_condition_name, read_cutter_name;

#endif
