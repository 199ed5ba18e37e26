/* Memory that lives as long as one job or one request and is freed at once.
 *
 * An allocation never returns NULL. When the machine has no memory left, its `no_memory` is
 * called, which does not return: it says so and ends the program with status 3. Output files
 * appear by rename only, so nothing half-written is left (see doc/decisions/memory.md). */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>
#include <string.h>

struct machine;
struct arena;

/* A new, empty arena on `machine`; yours to free with arena_free. */
struct arena *arena_new(struct machine *machine);
/* Frees everything that was taken from the arena. NULL is allowed. */
void arena_free(struct arena *arena);

/* `size` zeroed bytes, aligned for any type. size 0 gives a valid pointer. */
void *arena_take(struct arena *arena, size_t size);
/* `count` zeroed elements of `size` bytes; the product is checked. */
void *arena_take_array(struct arena *arena, size_t count, size_t size);
/* A copy of `length` bytes with a NUL behind them. */
char *arena_copy(struct arena *arena, const char *bytes, size_t length);
char *arena_copy_string(struct arena *arena, const char *string);
/* A formatted string (text.c; formats as text_addf does). */
char *arena_format(struct arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A pointer of a type not known here, read from and written to the place `at` where it is kept (&items): a
 * `int *` must not be reached through a `void **`, so its bytes are copied. */
static inline void *pointer_load(const void *at)
{
    void *pointer;
    memcpy(&pointer, at, sizeof pointer);
    return pointer;
}
static inline void pointer_store(void *at, void *pointer)
{
    memcpy(at, &pointer, sizeof pointer);
}

/* Room for one more element at the end of a growing array: returns where it goes (zeroed) and
 * raises *count. `items` is the address of the array's pointer; the pointer, *count and *capacity start as
 * NULL, 0, 0; the array moves as it grows. */
void *arena_append(struct arena *arena, void *items, size_t *count, size_t *capacity, size_t size);

struct machine *arena_machine(const struct arena *arena);

#endif
