/* Sizes by checked arithmetic. */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

static inline bool size_times(size_t a, size_t b, size_t *product)
{
    return !__builtin_mul_overflow(a, b, product);
}
static inline bool size_plus(size_t a, size_t b, size_t *sum)
{
    return !__builtin_add_overflow(a, b, sum);
}
static inline double clamp_double(double value, double least, double most)
{
    return value < least ? least : value > most ? most : value;
}

#endif
