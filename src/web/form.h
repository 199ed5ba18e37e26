/* Names and values as browsers send them: application/x-www-form-urlencoded (WHATWG URL standard). */
#ifndef WEB_FORM_H
#define WEB_FORM_H

#include "base/arena.h"
#include "base/str.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { FORM_PAIRS_MOST = 500 };

struct form_pair {
    const char *name, *value; /* decoded, UTF-8, without NUL */
};
struct form {
    struct form_pair *pairs;
    size_t count;
};

/* false: a broken %-escape, NUL, not UTF-8, too many pairs. */
bool form_read(struct str bytes, struct arena *arena, struct form *form);
/* The first value of that name; NULL when there is none or it is empty. */
const char *form_get(const struct form *form, const char *name);
/* Decimal number in its range. An absent one is NAN and true; nonsense is false. */
bool form_number(const struct form *form, const char *name, double least, double most, double *value);
/* Whole number, for offsets and sizes. Absent: -1 and true. */
bool form_whole(const struct form *form, const char *name, int64_t most, int64_t *value);
/* Values parted by commas, blanks around them cut off; empty ones left out. */
const char **form_list(const char *value, struct arena *arena, size_t *count);

/* One segment of a path: %XX decoded; NULL for NUL, a slash, broken escapes, not UTF-8. */
const char *segment_decode(struct str segment, struct arena *arena);

#endif
