/* Any file of a job as a tree: checks that it is text, and has it parsed as its name says. */
#include "tree.h"
#include "base/path.h"
#include <string.h>

/* The first line with bytes that are not UTF-8 text. */
static int bad_line(struct str bytes)
{
    int line = 1;
    for (size_t from = 0; from < bytes.length; line++) {
        const char *end = memchr(bytes.bytes + from, '\n', bytes.length - from);
        size_t to = end ? (size_t)(end - bytes.bytes) : bytes.length;
        if (!str_is_utf8(str_slice(bytes, from, to))) break;
        from = to + 1;
    }
    return line;
}

struct node *tree_from_bytes(struct tree *tree, const char *path, struct str bytes)
{
    if (!str_is_utf8(bytes)) {
        report_add(tree->report, tree_place(tree, bad_line(bytes), 1), "this-line-holds-bytes-that-are",
                   NULL);
        return NULL;
    }
    if (str_starts(bytes, "\xEF\xBB\xBF")) bytes = str_slice(bytes, 3, bytes.length);
    bool json = string_equal(path_ending(tree->arena, path), "json");
    return json ? tree_from_json(tree, bytes) : tree_from_yaml(tree, bytes);
}
