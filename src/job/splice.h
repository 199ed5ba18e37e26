/* Cutting one value, entry or key out of a YAML text, or putting one in, so that every other byte stays.
 * Private to the room: edit.c finds the spot and reads the result again, so that a way of writing that is not
 * foreseen here is refused rather than damaged. */
#ifndef JOB_SPLICE_H
#define JOB_SPLICE_H

#include "base/text.h"
#include "tree.h"

enum part_kind {
    PART_KEY,
    PART_INDEX, /* an entry by its number */
    PART_NAME,  /* a surface by its name, or by its number where none has that name */
    PART_NEW,   /* +: a new entry */
};
struct splice_part {
    enum part_kind kind;
    const char *word;
};

/* How far a path leads into a tree. */
struct spot {
    struct node *outer;  /* holds `node`; NULL: `node` is the root */
    struct node *before; /* the entry before `node` in `outer`, or NULL */
    struct node *node;
};

struct splice_cut {
    size_t from, to;
    const char *put;
};
struct splice {
    struct arena *arena;
    struct str text;
    struct splice_cut cuts[2]; /* by place */
    size_t count;
};

/* Each of these works out the cuts of one change. */
void splice_set(struct splice *splice, const struct spot *spot, const char *value);
void splice_take_out(struct splice *splice, const struct spot *spot);
/* A new entry at the end of spot->node, or the first of one that has no value; the first of `parts` names it.
 */
void splice_append(struct splice *splice, const struct spot *spot, const struct splice_part *parts,
                   size_t count, const char *value);

/* What `parts` and the value are when written in brackets: {print: {overlap: 12}}. */
const char *splice_in_brackets(const struct splice_part *parts, size_t count, const char *value,
                               struct arena *arena);
/* The text with its cuts made, in splice->arena; as it was where the cuts make no sense. */
struct str splice_result(const struct splice *splice);

#endif
