/* A job file as it is written, for a form. */
#include "base/json.h"
#include "base/sentence.h"
#include "job/edit.h"
#include "tree.h"

static void node_json(struct json *json, const char *key, const struct node *node)
{
    bool group = node->kind == NODE_GROUP, list = node->kind == NODE_LIST;
    if (!group && !list) {
        json_string(json, key, node->kind == NODE_TEXT ? node->text : NULL);
        return;
    }
    if (group)
        json_open_object(json, key);
    else
        json_open_list(json, key);
    for (const struct node *entry = node->first; entry; entry = entry->next)
        node_json(json, group ? entry->key : NULL, entry);
    json_close(json);
}

/* One less than the JSON writer's depth: the tree stands inside an object. */
static size_t depth_of(const struct node *node)
{
    size_t deepest = 0;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        size_t depth = depth_of(entry);
        if (depth > deepest) deepest = depth;
    }
    return deepest + 1;
}

bool job_written_json(struct str text, struct arena *arena, struct json *json, const char *key,
                      struct error *error)
{
    struct report report = report_new(arena);
    struct tree tree = {arena, &report, "job.yaml", 0};
    const struct node *root = tree_from_yaml(&tree, text);
    if (!root || depth_of(root) > JSON_DEPTH - 4)
        return error_words(error, FAILURE_INPUT,
                           report.count ? report.mistakes[0].text : sentence_plain("form-too-deep"));
    node_json(json, key, root);
    return true;
}
