/* What every reader of a value says: where it stands, and that it has the wrong shape. */
#include "read.h"
#include "base/text.h"
#include <string.h>

struct place place_of(const struct reading *reading, const struct node *node)
{
    return (struct place){reading->file, node->line, node->column};
}

struct place key_place(const struct reading *reading, const struct node *node)
{
    if (!node->key_line) return place_of(reading, node);
    return (struct place){reading->file, node->key_line, node->key_column};
}

const char *source_of(struct reading *reading, const struct group *group, const struct node *node)
{
    return arena_format(reading->arena, "%s:%d, %s.%s", reading->file, node->line, group->name, node->key);
}

void *append(struct reading *reading, void *items, size_t *count, size_t size)
{
    char *array = pointer_load(items);
    bool full = (*count & (*count - 1)) == 0; /* also at 0 */
    if (full) {
        char *larger = arena_take_array(reading->arena, *count ? *count * 2 : 1, size);
        if (*count) memcpy(larger, array, *count * size);
        pointer_store(items, array = larger);
    }
    return array + (*count)++ * size;
}

const char *suggestion(struct reading *reading, const char *word, const char *const *names)
{
    const char *nearest = str_nearest(word, names);
    return nearest && *nearest ? sentence_words(reading->arena, "did-you-mean-nearest",
                                                ARGUMENTS(arg_words("nearest", nearest)))
                               : "";
}

bool wrong_shape(struct reading *reading, const struct node *node, const char *words)
{
    static const char *const shapes[] = {"has no value", "is a plain value", "is a list", "is a group", ""};
    if (node->kind == NODE_REFUSED) return false;
    struct place place = node->kind == NODE_NOTHING ? key_place(reading, node) : place_of(reading, node);
    if (node->kind == NODE_NOTHING)
        report_add(reading->report, place, "has-no-value-write-or-take",
                   ARGUMENTS(arg_words("key", node->key), arg_words("words", words)));
    else
        report_add(reading->report, place, "key-right-key-shapes-write-words",
                   ARGUMENTS(arg_words("right", *node->key ? node->key : "this"),
                             arg_words("shapes", shapes[node->kind]), arg_words("words", words),
                             arg_flag("key", *node->key)));
    return false;
}

bool is_list(struct reading *reading, const struct node *node, const char *words)
{
    return node->kind == NODE_LIST || wrong_shape(reading, node, words);
}
