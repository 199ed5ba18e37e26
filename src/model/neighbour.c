/* Writes and reads the neighbours of a panel as the record keeps them. Called when a plan is put on record, and when
 * it is read. */
#include "model/neighbour.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include <string.h>

/* Frozen: plan versions on record have these. */
static const char *const words[LIES_COUNT] = {
    [LIES_OVER] = "over", [LIES_UNDER] = "under", [LIES_GAP] = "gap"};

const char *neighbours_write(const struct neighbour *neighbours, size_t count, struct arena *arena)
{
    struct text out = text_new(arena);
    for (size_t i = 0; i < count; i++)
        text_addf(&out, "%s%s %s", i ? ";" : "", words[neighbours[i].lies], neighbours[i].panel);
    return count ? text_string(&out) : NULL;
}

/* One of them, "over left-2"; LIES_COUNT where it is none. */
static enum neighbour_lies how_it_lies(struct str one, size_t *panel_at)
{
    for (int how = 0; how < LIES_COUNT; how++) {
        size_t length = strlen(words[how]);
        if (!str_starts(one, words[how]) || one.length < length + 2 || one.bytes[length] != ' ') continue;
        *panel_at = length + 1;
        return (enum neighbour_lies)how;
    }
    return LIES_COUNT;
}

struct neighbour *neighbours_read(const char *text, struct arena *arena, size_t *count)
{
    struct neighbour *neighbours = NULL;
    size_t capacity = 0, length, panel_at;
    *count = 0;
    for (const char *at = text; at && *at; at += length + (at[length] == ';')) {
        length = strcspn(at, ";");
        enum neighbour_lies lies = how_it_lies((struct str){at, length}, &panel_at);
        if (lies == LIES_COUNT) continue;
        struct neighbour *one = arena_append(arena, &neighbours, count, &capacity, sizeof *one);
        *one = (struct neighbour){lies, arena_copy(arena, at + panel_at, length - panel_at)};
    }
    return neighbours;
}
