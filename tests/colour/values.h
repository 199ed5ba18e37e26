/* Rows of the published tables in the shared handbook, and what a command prints. */
#ifndef VALUES_H
#define VALUES_H

#include "../test.h"
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { VALUES_MOST = 16 };

struct values {
    FILE *file;
    char line[4096];
    char *field[VALUES_MOST];
    int count;
};

/* False when the shared folder is not there: the test skips. */
static inline bool values_open(struct values *values, const char *name)
{
    const char *shared = getenv("LAPSTRAKE_SHARED");
    char path[1024];
    snprintf(path, sizeof path, "%s/handbook/values/%s", shared ? shared : "", name);
    *values = (struct values){.file = fopen(path, "r")};
    if (!values->file) print_message("# %s of the shared values is not here\n", name);
    return values->file;
}

/* The next row that begins with a digit, a sign or any letter but not with a remark; the head line is a row
 * too. */
static inline bool values_row(struct values *values)
{
    do {
        if (!fgets(values->line, sizeof values->line, values->file)) {
            fclose(values->file);
            return false;
        }
    } while (values->line[0] == '#');
    values->line[strcspn(values->line, "\r\n")] = 0;
    values->count = 0;
    for (char *at = values->line; at && values->count < VALUES_MOST;) {
        values->field[values->count++] = at;
        at = strchr(at, ',');
        if (at) *at++ = 0;
    }
    return true;
}

static inline double value(const struct values *values, int field)
{
    return strtod(values->field[field], NULL);
}

#endif
