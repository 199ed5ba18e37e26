/* For judges outside: what a file that came in says of itself.
 *     facts-tool LAPSTRAKE FILE
 * Exit status 1: it could not be read, with the reason on standard error. */
#include "answer/answer.h"
#include "run/upload.h"
#include "base/arena.h"
#include "base/machine.h"
#include <stdio.h>

int main(int count, char **arguments)
{
    if (count != 3) return 2;
    struct machine machine = machine_real(arguments[1]);
    struct arena *arena = arena_new(&machine);
    struct text json = text_new(arena);
    struct error error = {0};
    struct upload_facts facts;
    bool ok = upload_read(&machine, arguments[2], arena, &facts, &error);
    if (ok) answer_upload(&facts, &json);
    if (ok)
        fwrite(json.bytes, 1, json.length, stdout);
    else
        fputs(error.text, stderr);
    arena_free(arena);
    return !ok;
}
