/* Fuzz target: a path, a value and a job file, each behind the line before. Nothing may crash or hang, and
 * what was changed must be readable and changeable again. */
#include "base/arena.h"
#include "base/machine.h"
#include "job/edit.h"
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The line at the front, taken off. */
static const char *take_line(struct str *text, struct arena *arena)
{
    const char *end = memchr(text->bytes, '\n', text->length);
    size_t length = end ? (size_t)(end - text->bytes) : text->length;
    const char *line = arena_copy(arena, text->bytes, length);
    *text = str_slice(*text, end ? length + 1 : length, text->length);
    return line;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct str text = {(const char *)data, size};
    const char *path = take_line(&text, arena), *value = take_line(&text, arena);
    struct job_change put = {path, value}, take_out = {path, NULL};
    struct text once, again;
    job_edit(text, &take_out, 1, arena, &once, NULL);
    if (job_edit(text, &put, 1, arena, &once, NULL) &&
        !job_edit((struct str){text_string(&once), once.length}, NULL, 0, arena, &again, NULL))
        abort();
    job_quote(str_is_utf8(str_from(value)) ? value : "", arena);
    arena_free(arena);
    return 0;
}
