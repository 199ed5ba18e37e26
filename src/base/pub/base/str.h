/* A view of bytes that belong to someone else; UTF-8 unless said. */
#ifndef BASE_STR_H
#define BASE_STR_H

#include <stdbool.h>
#include <stddef.h>

struct str {
    const char *bytes;
    size_t length;
};

struct str str_from(const char *string); /* NULL gives the empty view */
struct str str_slice(struct str text, size_t from, size_t to);
struct str str_trim(struct str text); /* without blanks and tabs at both ends */
bool str_equal(struct str text, const char *other);
bool str_starts(struct str text, const char *prefix);
bool str_ends(struct str text, const char *suffix);
bool string_equal(const char *one, const char *other); /* NULL equals NULL only */

/* True when the bytes are well-formed UTF-8 without NUL. */
bool str_is_utf8(struct str text);

/* Edits (insert, delete, change one letter, swap two neighbours) that turn one word into the other. */
size_t str_distance(const char *one, const char *other);
/* The nearest of `names` (ended by NULL) to `word`, or NULL when none is near enough to suggest:
 * at most a third of its letters, at least one. */
const char *str_nearest(const char *word, const char *const *names);

/* Parses a plain decimal number (optional sign, digits, at most one point, optional exponent) at the
 * start of `text`, independent of locale. Returns the bytes used; 0 when there is no number there or
 * it is not finite. */
size_t str_number(struct str text, double *value);

#endif
