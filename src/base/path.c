/* Joins and takes apart paths as text, and tells whether one lies below another. Used by every room that
 * names files. */
#include "base/path.h"
#include "base/arena.h"
#include <stdlib.h>
#include <string.h>

char *path_join(struct arena *arena, const char *folder, const char *name)
{
    if (name[0] == '/' || !folder[0] || !strcmp(folder, ".")) return arena_copy_string(arena, name);
    size_t length = strlen(folder);
    return arena_format(arena, "%s%s%s", folder, folder[length - 1] == '/' ? "" : "/", name);
}

char *path_folder(struct arena *arena, const char *path)
{
    const char *slash = strrchr(path, '/');
    if (!slash) return arena_copy_string(arena, ".");
    if (slash == path) return arena_copy_string(arena, "/");
    return arena_copy(arena, path, (size_t)(slash - path));
}

const char *path_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

char *path_ending(struct arena *arena, const char *path)
{
    const char *name = path_name(path), *point = strrchr(name, '.');
    char *ending = arena_copy_string(arena, point && point != name ? point + 1 : "");
    for (char *at = ending; *at; at++)
        if (*at >= 'A' && *at <= 'Z') *at = (char)(*at - 'A' + 'a');
    return ending;
}

char *path_full(struct arena *arena, const char *path)
{
    char *full = realpath(path, NULL);
    char *copy = arena_copy_string(arena, full ? full : path);
    free(full);
    return copy;
}

bool path_is_below(struct arena *arena, const char *folder, const char *path)
{
    size_t length = strlen(folder);
    const char *at = path;
    char *full;
    /* What is not there lies where the nearest folder above it does; a way back up from there is not known.
     */
    while (!(full = realpath(at, NULL)) && strcmp(at, "/") && strcmp(at, ".")) {
        if (!strcmp(path_name(at), "..")) return false;
        at = path_folder(arena, at);
    }
    bool root = length == 1;
    bool below = full && !strncmp(full, folder, length) && (root || full[length] == '/' || !full[length]);
    free(full);
    return below;
}
