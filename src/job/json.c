/* JSON through jansson, which refuses what is not JSON, duplicate keys and numbers out of range. It keeps no
 * places, so a walk over the text, now known to be well-formed, goes along with its values and notes them. */
#include "tree.h"
#include "base/machine.h"
#include "job/job.h"
#include <jansson.h>
#include <string.h>

struct json_walk {
    struct tree *tree;
    struct str text;
    size_t at;
    int line, column;
};

static char json_here(const struct json_walk *walk)
{
    return walk->at < walk->text.length ? walk->text.bytes[walk->at] : 0;
}

static void step(struct json_walk *walk)
{
    char c = json_here(walk);
    walk->at++;
    if (c == '\n') {
        walk->line++;
        walk->column = 1;
    } else if (((unsigned char)c & 0xC0) != 0x80) {
        walk->column++; /* columns count characters, not bytes */
    }
}

/* Blanks, and the one punctuation mark that may stand between values. */
static void skip_to_value(struct json_walk *walk)
{
    while (json_here(walk) && strchr(" \t\r\n,:", json_here(walk))) step(walk);
}

static void skip_string(struct json_walk *walk)
{
    step(walk);
    while (json_here(walk) && json_here(walk) != '"') {
        if (json_here(walk) == '\\') step(walk);
        step(walk);
    }
    step(walk);
}

static struct str skip_word(struct json_walk *walk)
{
    size_t from = walk->at;
    while (json_here(walk) && !strchr(" \t\r\n,:]}", json_here(walk))) step(walk);
    return str_slice(walk->text, from, walk->at);
}

static struct node *walk_value(struct json_walk *walk, const char *key, json_t *value, int depth);

static bool walk_list(struct json_walk *walk, json_t *list, struct node *node, int depth)
{
    step(walk);
    for (size_t i = 0; i < json_array_size(list); i++) {
        struct node *entry = walk_value(walk, node->key, json_array_get(list, i), depth + 1);
        if (!entry || !tree_add(walk->tree, node, entry)) return false;
    }
    skip_to_value(walk);
    step(walk);
    return true;
}

/* jansson gives the keys in the order of the text. */
static bool walk_group(struct json_walk *walk, json_t *group, struct node *node, int depth)
{
    step(walk);
    const char *key;
    json_t *value;
    json_object_foreach(group, key, value)
    {
        skip_to_value(walk);
        int line = walk->line, column = walk->column;
        skip_string(walk);
        struct node *entry = walk_value(walk, arena_copy_string(walk->tree->arena, key), value, depth + 1);
        if (!entry) return false;
        entry->key_line = line, entry->key_column = column;
        if (!tree_add(walk->tree, node, entry)) return false;
    }
    skip_to_value(walk);
    step(walk);
    return true;
}

static struct node *walk_group_or_list(struct json_walk *walk, const char *key, json_t *value, int depth)
{
    bool list = json_is_array(value);
    if (depth == JOB_DEPTH_MOST) {
        report_add(walk->tree->report, tree_place(walk->tree, walk->line, walk->column),
                   "more-than-groups-or-lists-within", ARGUMENTS(arg_count("most", JOB_DEPTH_MOST)));
        return NULL;
    }
    struct node *node = tree_node(walk->tree, list ? NODE_LIST : NODE_GROUP, walk->line, walk->column);
    if (!node) return NULL;
    node->key = key;
    bool ok = list ? walk_list(walk, value, node, depth) : walk_group(walk, value, node, depth);
    return ok ? node : NULL;
}

static struct str walk_text(struct json_walk *walk, json_t *value)
{
    if (json_is_string(value)) {
        skip_string(walk);
        return (struct str){json_string_value(value), json_string_length(value)};
    }
    struct str word = skip_word(walk); /* as written: 9.80 stays 9.80 */
    return json_is_null(value) ? str_from("") : word;
}

static struct node *walk_value(struct json_walk *walk, const char *key, json_t *value, int depth)
{
    skip_to_value(walk);
    if (json_is_object(value) || json_is_array(value)) return walk_group_or_list(walk, key, value, depth);
    int line = walk->line, column = walk->column;
    struct node *node = tree_text(walk->tree, walk_text(walk, value), line, column);
    if (node) node->key = key;
    return node;
}

struct node *tree_from_json(struct tree *tree, struct str bytes)
{
    json_error_t error;
    json_t *value = json_loadb(bytes.bytes, bytes.length, JSON_REJECT_DUPLICATES, &error);
    if (!value) {
        struct machine *machine = arena_machine(tree->arena);
        if (json_error_code(&error) == json_error_out_of_memory) machine->no_memory(machine);
        int line = error.line > 0 ? error.line : 1, column = error.column > 0 ? error.column : 1;
        report_add(tree->report, tree_place(tree, line, column), "not-readable-as-json",
                   ARGUMENTS(arg_words("why", error.text)));
        return NULL;
    }
    struct json_walk walk = {tree, bytes, 0, 1, 1};
    struct node *root = walk_value(&walk, "", value, 0);
    json_decref(value);
    return root;
}
