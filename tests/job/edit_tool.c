/* For judges outside: changes a YAML file as job_edit does, or quotes words, and writes the result.
 *     edit-tool change FILE PATH VALUE PATH VALUE ...    a VALUE of "" takes out
 *     edit-tool quote                                    standard input, up to a NUL or its end
 * Exit status 1: refused, with the reason on standard error. */
#include "base/arena.h"
#include "base/machine.h"
#include "job/edit.h"
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { BYTES_MOST = 1 << 20 };

static int change(struct machine *machine, struct arena *arena, int count, char **arguments)
{
    struct job_change changes[JOB_CHANGES_MOST];
    struct error error = {0};
    struct str text;
    struct text out;
    size_t used = 0;
    for (int i = 3; i + 1 < count && used < JOB_CHANGES_MOST; i += 2)
        changes[used++] = (struct job_change){arguments[i], *arguments[i + 1] ? arguments[i + 1] : NULL};
    bool ok = machine_read(machine, arguments[2], BYTES_MOST, arena, &text, &error) &&
              job_edit(text, changes, used, arena, &out, &error);
    if (!ok) {
        fputs(error.text, stderr);
        return 1;
    }
    fwrite(out.bytes, 1, out.length, stdout);
    return 0;
}

int main(int count, char **arguments)
{
    struct machine machine = machine_real(arguments[0]);
    struct arena *arena = arena_new(&machine);
    int status = 2;
    if (count > 2 && !strcmp(arguments[1], "change")) {
        status = change(&machine, arena, count, arguments);
    } else if (count == 2 && !strcmp(arguments[1], "quote")) {
        static char words[BYTES_MOST + 1];
        words[fread(words, 1, BYTES_MOST, stdin)] = 0;
        fputs(job_quote(words, arena), stdout);
        status = 0;
    }
    arena_free(arena);
    return status;
}
