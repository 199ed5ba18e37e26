/* One file on its way from a tree to structs, and what every reader of a value says of it. Private to the
 * room. */
#ifndef JOB_READING_H
#define JOB_READING_H

#include "tree.h"
#include "job/job.h"

struct group;

/* A fleet's file as it would be. */
struct job_table {
    const char *name;
    struct str bytes;
};

/* One reading of one file. */
struct reading {
    struct machine *machine;
    struct arena *arena;
    struct report *report;
    const char *file;   /* as a person names it */
    const char *folder; /* paths in the file start here */
    struct shop *shop;
    struct job *job;
    bool in_vehicle; /* this is the vehicle's file */
    bool in_shop;    /* this is the shop's file, which no page can write: its files may lie anywhere */
    const struct group *const *groups; /* all there are, ended by NULL: an unknown key may be of another */
    const struct job_table *table;     /* read in place of the file of that name; NULL: none */
    bool mixed_widths;                 /* the job's word for all its surfaces */
};

/* True for a list; anything else is reported. */
bool is_list(struct reading *reading, const struct node *node, const char *words);
/* "`overlap` is a list, but <words> is right here", for a value of the wrong shape. Returns false. */
bool wrong_shape(struct reading *reading, const struct node *node, const char *words);

struct place place_of(const struct reading *reading, const struct node *node);
/* Of its key; of the value where it has none. */
struct place key_place(const struct reading *reading, const struct node *node);
/* "shop.yaml:14, films.stretch-limit" */
const char *source_of(struct reading *reading, const struct group *group, const struct node *node);
/* Room for one more entry of an array whose capacity is the power of two that its count reached. */
void *append(struct reading *reading, void *items, size_t *count, size_t size);
/* "; did you mean `x`?" or "". */
const char *suggestion(struct reading *reading, const char *word, const char *const *names);

#endif
