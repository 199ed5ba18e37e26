/* Facts on the way from a reader process to its parent: a flat run of bytes, the same machine on both
 * ends. The parent trusts nothing in it: every get checks what is left and a bad message turns the
 * reader into a failed one. */
#ifndef BASE_WIRE_H
#define BASE_WIRE_H

#include "base/error.h"
#include "base/text.h"
#include "base/str.h"
#include <stdbool.h>
#include <stdint.h>

struct wire_in {
    struct str bytes; /* borrowed: the message */
    size_t at;        /* bytes read so far */
    bool bad;         /* something did not fit; every later get gives zero, NULL or "" */
};

/* Numbers in the machine's byte order, without padding. Strings and bytes have their length before them, in 4
 * bytes. What is put is got in the same order by the same types. */
void wire_put_u32(struct text *out, uint32_t value);
void wire_put_i64(struct text *out, int64_t value);
void wire_put_f64(struct text *out, double value);
void wire_put_string(struct text *out, const char *string); /* NULL stays NULL */
void wire_put_bytes(struct text *out, const void *bytes, size_t length);

uint32_t wire_get_u32(struct wire_in *in);
int64_t wire_get_i64(struct wire_in *in);
double wire_get_f64(struct wire_in *in); /* finite, or bad */
/* A copy in the arena, UTF-8 or bad; NULL when NULL was put. */
const char *wire_get_string(struct wire_in *in, struct arena *arena);
/* Borrowed from the message. */
struct str wire_get_bytes(struct wire_in *in);
/* A count of things that each take at least `least` bytes: bad when more than could be there. */
size_t wire_get_count(struct wire_in *in, size_t least);

/* An error with its sentence's id and arguments. An id that is not in the table of sentences is left out. */
void wire_put_error(struct text *out, const struct error *error);
bool wire_get_error(struct wire_in *in, struct arena *arena, struct error *error); /* false: bad */

#endif
