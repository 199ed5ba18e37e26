/* Paths as text: joining, and what a person would call a file. */
#ifndef BASE_PATH_H
#define BASE_PATH_H

#include <stdbool.h>

struct arena;

/* `name` below `folder`; an absolute `name` stays as it is. */
char *path_join(struct arena *arena, const char *folder, const char *name);
/* The folder part ("." when there is none). */
char *path_folder(struct arena *arena, const char *path);
/* The last part. Borrowed from `path`. */
const char *path_name(const char *path);
/* The ending in lower case without its point ("pdf"), "" when there is none. */
char *path_ending(struct arena *arena, const char *path);
/* The path from the root, without "." and "..", where the file exists; else a copy of `path`. For its name
 * only. */
char *path_full(struct arena *arena, const char *path);
/* Whether `path` leads, all links followed, to something below `folder` (itself a path_full) or to nothing
 * that is there yet in a folder below it. */
bool path_is_below(struct arena *arena, const char *folder, const char *path);

#endif
