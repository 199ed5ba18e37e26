/* A YAML or JSON file as a tree that remembers where everything stands. Private to the room. */
#ifndef JOB_TREE_H
#define JOB_TREE_H

#include "base/arena.h"
#include "base/report.h"
#include "base/str.h"
#include <stdbool.h>
#include <stddef.h>

enum node_kind {
    NODE_NOTHING, /* written without a value, or as null */
    NODE_TEXT,    /* a number, a word, a text: told apart by whoever reads it */
    NODE_LIST,
    NODE_GROUP,
    NODE_REFUSED, /* already reported; readers pass over it in silence */
};

struct node {
    enum node_kind kind;
    int line, column; /* of the value, from 1 */
    const char *key;  /* in a group; entries of a list carry the key of their list; "" at the top */
    int key_line, key_column;
    size_t from, to;           /* bytes of the value; a block ends with its last entry. YAML only, like */
    size_t key_from, key_to;   /* those of the key, */
    bool flow;                 /* and whether a list or group stands in brackets */
    const char *text;          /* NODE_TEXT; not empty */
    struct node *first, *last; /* entries */
    struct node *next;
    size_t count;
};

struct tree {
    struct arena *arena;
    struct report *report;
    const char *file; /* as a person names it */
    size_t nodes;
};

/* The tree of a file's bytes, or NULL when there is nothing to read on with; then the report says why. */
struct node *tree_from_yaml(struct tree *tree, struct str bytes);
struct node *tree_from_json(struct tree *tree, struct str bytes);
/* Which of the two `path` names; also checks UTF-8 and skips a byte order mark. */
struct node *tree_from_bytes(struct tree *tree, const char *path, struct str bytes);

/* For the two builders. NULL when the file has more values than JOB_NODES_MOST (reported). */
struct node *tree_node(struct tree *tree, enum node_kind kind, int line, int column);
/* Text; the empty text is NODE_NOTHING. */
struct node *tree_text(struct tree *tree, struct str text, int line, int column);
/* Put `child` into a list or, under child->key, into a group. A key that is there already is reported and
 * left out. False (reported) when there are too many. */
bool tree_add(struct tree *tree, struct node *parent, struct node *child);
struct place tree_place(const struct tree *tree, int line, int column);

const struct node *node_find(const struct node *group, const char *key); /* NULL: not there, or no group */

#endif
