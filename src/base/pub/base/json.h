/* Writing JSON: keys in the order they are added, two-space indent, numbers without a locale,
 * so that the same values give the same bytes. */
#ifndef BASE_JSON_H
#define BASE_JSON_H

#include "base/text.h"
#include <stdbool.h>
#include <stdint.h>

enum { JSON_DEPTH = 32 }; /* groups within groups; more abort */

struct json {
    struct text *out;
    int depth;
    bool has_items[JSON_DEPTH]; /* at this depth something was written before */
    bool inline_[JSON_DEPTH];   /* this group is written on one line */
    char bracket[JSON_DEPTH];   /* that closes this group */
};

/* A writer to `out`, which the caller keeps and which must outlive it; nothing to free. */
struct json json_new(struct text *out);
/* `key` is NULL inside a list and at the top. The _inline forms write the group on one line. */
void json_open_object(struct json *json, const char *key);
void json_open_object_inline(struct json *json, const char *key);
void json_open_list(struct json *json, const char *key);
void json_open_list_inline(struct json *json, const char *key);
/* Closes the group opened last; the outermost ends with a line break. */
void json_close(struct json *json);
void json_string(struct json *json, const char *key, const char *value); /* NULL writes null */
/* Up to `decimals` (0..9) behind the point, without zeros at the end. NaN and infinities abort: write null. */
void json_number(struct json *json, const char *key, double value, int decimals);
/* A list of numbers on one line. */
void json_numbers(struct json *json, const char *key, const double *values, size_t count, int decimals);
void json_whole(struct json *json, const char *key, int64_t value);
void json_bool(struct json *json, const char *key, bool value);
void json_null(struct json *json, const char *key);
/* A value that is JSON already. */
void json_raw(struct json *json, const char *key, const char *value);

#endif
