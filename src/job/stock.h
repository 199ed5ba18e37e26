/* What the shop has in stock: between shop.c, stock.c, stock_keys.c and stock_names.c; private to the room. */
#ifndef JOB_STOCK_H
#define JOB_STOCK_H

#include "read.h"

/* Of a price that nobody wrote, for people. */
#define UNPRICED "not known: sums leave it out, and the finding price-missing says so"

/* stock.c: the lists of a shop, and its cleaner and primer. */
key_reader read_printers, read_films, read_laminates, read_tapes, read_inks, read_fluid, read_conditions;
#define FLUID_WORDS "a group such as {name: degreaser, ml-per-m2: 30, price: 0.02 per ml}"

/* A list of named things of one kind. */
struct collection {
    const struct group *group;
    const char *words;
    size_t size;
    void (*prepare)(void *item);
    void (*finish)(struct reading *reading, const struct node *node, void *item);
};
/* Reads it into an array that grows; each thing begins as struct named. */
void stock_read(struct reading *reading, const struct node *node, const struct collection *kind, void *items,
                size_t *count);

/* stock_names.c: what a condition refers to. */
key_reader read_reference;

/* Printers, films, inks and conditions all begin with a name and a place. */
struct named {
    const char *name;
    struct place place;
};
struct named stock_head(const void *items, size_t size, size_t i);
/* Index of the named one, or `count`. */
size_t stock_find(const void *items, size_t size, size_t count, const char *name);

#endif
