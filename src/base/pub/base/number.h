/* Sizes by checked arithmetic, and a value kept in a range.
 *
 * A size that comes from a file must not wrap round and make a small allocation. What is read from outside is
 * multiplied and added here, or taken by arena_take_array, which does so. False: the result does not fit into
 * size_t; what stands at its place has wrapped and is not to be used. (The builtins are those of gcc and clang;
 * C23 has them in stdckdint.h.) */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* a * b */
static inline bool size_times(size_t a, size_t b, size_t *product)
{
    return !__builtin_mul_overflow(a, b, product);
}
/* a + b */
static inline bool size_plus(size_t a, size_t b, size_t *sum)
{
    return !__builtin_add_overflow(a, b, sum);
}
/* The nearest value from `least` to `most`, which must not be less than `least`. NaN stays NaN, where fmin and
 * fmax would make it an end of the range. */
static inline double clamp_double(double value, double least, double most)
{
    return value < least ? least : value > most ? most : value;
}

#endif
