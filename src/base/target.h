/* Where characters go as they are made: an arena text, or a fixed buffer that is cut at its end. */
#ifndef BASE_TARGET_H
#define BASE_TARGET_H

#include <stdbool.h>
#include <stddef.h>

struct text;

struct target {
    struct text *text; /* NULL: the buffer */
    char *buffer;
    size_t size, length; /* of the buffer; room for a NUL stays */
};

void target_put(struct target *target, const char *bytes, size_t length);
void target_put_whole(struct target *target, long long value);
/* With `decimals` (0..9) behind the point, rounded half away from zero; `trim`: no zeros at the end. */
void target_put_fixed(struct target *target, double value, int decimals, bool trim);

#endif
