/* The tree that yaml.c and json.c build of a file: nodes with their places, within limits. */
#include "tree.h"
#include "job/job.h"
#include <string.h>

struct place tree_place(const struct tree *tree, int line, int column)
{
    return (struct place){tree->file, line, column};
}

struct node *tree_node(struct tree *tree, enum node_kind kind, int line, int column)
{
    if (tree->nodes == JOB_NODES_MOST) {
        report_add(tree->report, tree_place(tree, line, column), "file-has-more-than-values-job",
                   ARGUMENTS(arg_count("most", JOB_NODES_MOST)));
        return NULL;
    }
    tree->nodes++;
    struct node *node = arena_take(tree->arena, sizeof *node);
    *node = (struct node){.kind = kind, .line = line, .column = column, .key = ""};
    return node;
}

struct node *tree_text(struct tree *tree, struct str text, int line, int column)
{
    struct node *node = tree_node(tree, text.length ? NODE_TEXT : NODE_NOTHING, line, column);
    if (node && text.length) node->text = arena_copy(tree->arena, text.bytes, text.length);
    return node;
}

const struct node *node_find(const struct node *group, const char *key)
{
    if (!group || group->kind != NODE_GROUP) return NULL;
    for (const struct node *node = group->first; node; node = node->next)
        if (!strcmp(node->key, key)) return node;
    return NULL;
}

static bool is_full(struct tree *tree, const struct node *parent, const struct node *child)
{
    bool group = parent->kind == NODE_GROUP;
    int most = group ? JOB_KEYS_MOST : JOB_ITEMS_MOST;
    if (parent->count < (size_t)most) return false;
    report_add(tree->report, tree_place(tree, child->line, child->column), "more-than-in-one",
               ARGUMENTS(arg_count("most", most), arg_flag("group", group)));
    return true;
}

bool tree_add(struct tree *tree, struct node *parent, struct node *child)
{
    const struct node *twin = node_find(parent, child->key);
    if (twin) {
        report_add(tree->report, tree_place(tree, child->key_line, child->key_column),
                   "stands-here-for-second-time-first",
                   ARGUMENTS(arg_words("key", child->key), arg_count("key_line", twin->key_line)));
        return true;
    }
    if (is_full(tree, parent, child)) return false;
    if (parent->last)
        parent->last->next = child;
    else
        parent->first = child;
    parent->last = child;
    parent->count++;
    return true;
}
