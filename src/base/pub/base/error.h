/* One failure of one operation.
 *
 * Three kinds of failure, three ways to say them:
 *   - a mistake in what people wrote: base/report.h, and reading goes on to the next mistake;
 *   - a job that cannot be made as it stands: a finding (model/finding.h), not an error;
 *   - an operation that could not be done: this struct, filled by whoever detected it and
 *     passed up unchanged;
 *   - a bug: assert or abort.
 *
 * A function that can fail takes `struct error *` last and returns bool: true for success.
 * The one sentence names the subject, the value, the limit and the place in the file, and
 * says what would be right. */
#ifndef BASE_ERROR_H
#define BASE_ERROR_H

#include "base/sentence.h"
#include <stdbool.h>

enum failure {
    FAILURE_NONE = 0,
    FAILURE_INPUT,     /* a file or an argument is not usable: exit status 2 */
    FAILURE_MACHINE,   /* helper program missing, no permission: exit status 3 */
    FAILURE_FULL,      /* the disk, or a file that may not grow: exit status 3 */
    FAILURE_BUSY,      /* another program is at it; the same again later goes: exit status 3 */
    FAILURE_CANCELLED, /* a person stopped the work: exit status 3, nothing half-written */
    FAILURE_CONFLICT,  /* something else is on record already under this key: exit status 1 */
};

/* What a sentence's arguments were, held in the error itself, so that an error can be copied and outlives what
 * it speaks of. */
enum { ERROR_ARGUMENTS_MOST = 12, ERROR_HELD_BYTES = 1000 };
struct error_argument {
    enum argument_kind kind;
    unsigned short name, words; /* where they begin in `held`; words 0: none */
    int decimals;
    double number;
    int64_t count;
};

struct error {
    enum failure kind;
    char text[800]; /* UTF-8, one sentence or two, no newline at the end */
    const char *id; /* of the sentence (base/sentence.h), static; NULL: the words came ready made */
    struct error_argument arguments[ERROR_ARGUMENTS_MOST];
    size_t argument_count, held_bytes;
    char held[ERROR_HELD_BYTES]; /* begins with a NUL; names and words, each ended */
};

/* What its sentence speaks of, into `arguments` (ERROR_ARGUMENTS_MOST + 1 of them), which borrow from the error;
 * words that are long are cut. NULL: it has none. */
const struct argument *error_arguments(const struct error *error, struct argument *arguments);

/* In place of those that it has; for who gets an error from elsewhere. */
void error_keep_arguments(struct error *error, const struct argument *arguments);

void error_fill(struct error *error, enum failure kind, const char *id, const struct argument *arguments);
void error_fill_words(struct error *error, enum failure kind, const char *words);

/* Fills `error` (which may be NULL when the caller does not want the words) with the sentence `id` and returns
 * false, so that `return error_set(...)` reads as one line. */
static inline bool error_set(struct error *error, enum failure kind, const char *id,
                             const struct argument *arguments)
{
    if (error) error_fill(error, kind, id, arguments);
    return false;
}
/* The same with words that were made elsewhere: a library's, a report's, another process's. */
static inline bool error_words(struct error *error, enum failure kind, const char *words)
{
    if (error) error_fill_words(error, kind, words);
    return false;
}

#endif
