/* Memory that is freed as one: chunks, growing arrays and copies. Every room uses it;
 * the bytes come from the machine's port. */
#include "base/arena.h"
#include "base/machine.h"
#include "base/number.h"
#include <assert.h>
#include <stdalign.h>
#include <string.h>

enum { CHUNK_LEAST = 64 * 1024, ALIGNMENT = alignof(max_align_t) };

struct arena_chunk {
    struct arena_chunk *before;
    size_t size, used;
    alignas(max_align_t) unsigned char bytes[];
};

struct arena {
    struct machine *machine;
    struct arena_chunk *chunk;
    size_t total;
};

struct arena *arena_new(struct machine *machine)
{
    struct arena *arena = machine->allocate(machine, sizeof *arena);
    if (!arena) machine->no_memory(machine);
    arena->machine = machine;
    return arena;
}

void arena_free(struct arena *arena)
{
    if (!arena) return;
    struct machine *machine = arena->machine;
    for (struct arena_chunk *chunk = arena->chunk; chunk;) {
        struct arena_chunk *before = chunk->before;
        machine->release(machine, chunk);
        chunk = before;
    }
    machine->release(machine, arena);
}

static struct arena_chunk *chunk_add(struct arena *arena, size_t least)
{
    size_t size = least > CHUNK_LEAST ? least : CHUNK_LEAST, whole;
    if (!size_plus(size, sizeof(struct arena_chunk), &whole)) arena->machine->no_memory(arena->machine);
    struct arena_chunk *chunk = arena->machine->allocate(arena->machine, whole);
    if (!chunk) arena->machine->no_memory(arena->machine);
    chunk->size = size;
    /* A big piece goes below the current chunk, whose rest stays in use. */
    if (arena->chunk && size > CHUNK_LEAST) {
        chunk->before = arena->chunk->before;
        arena->chunk->before = chunk;
    } else {
        chunk->before = arena->chunk;
        arena->chunk = chunk;
    }
    return chunk;
}

void *arena_take(struct arena *arena, size_t size)
{
    size_t padded;
    if (!size_plus(size, ALIGNMENT - 1, &padded)) arena->machine->no_memory(arena->machine);
    padded &= ~(size_t)(ALIGNMENT - 1);
    struct arena_chunk *chunk = arena->chunk;
    if (!chunk || chunk->size - chunk->used < padded) chunk = chunk_add(arena, padded);
    void *memory = chunk->bytes + chunk->used;
    chunk->used += padded;
    arena->total += padded;
    return memory;
}

void *arena_take_array(struct arena *arena, size_t count, size_t size)
{
    size_t bytes;
    if (!size_times(count, size, &bytes)) arena->machine->no_memory(arena->machine);
    return arena_take(arena, bytes);
}

char *arena_copy(struct arena *arena, const char *bytes, size_t length)
{
    char *copy = arena_take_array(arena, length + 1, 1);
    if (length) memcpy(copy, bytes, length);
    return copy;
}

char *arena_copy_string(struct arena *arena, const char *string)
{
    return string ? arena_copy(arena, string, strlen(string)) : NULL;
}

void *arena_append(struct arena *arena, void *items, size_t *count, size_t *capacity, size_t size)
{
    void *array = pointer_load(items);
    if (*count == *capacity) {
        size_t larger;
        if (!size_times(*capacity, 2, &larger)) arena->machine->no_memory(arena->machine);
        if (larger < 8) larger = 8;
        void *moved = arena_take_array(arena, larger, size);
        if (*count) memcpy(moved, array, *count * size);
        pointer_store(items, array = moved);
        *capacity = larger;
    }
    return (char *)array + (*count)++ * size;
}

struct machine *arena_machine(const struct arena *arena)
{
    return arena->machine;
}
