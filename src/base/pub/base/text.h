/* Text that grows in an arena, and numbers written without a locale. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;

struct text {
    struct arena *arena;
    char *bytes; /* always NUL-ended once anything was added; "" before through text_string */
    size_t length, capacity;
};

/* An empty text, growing in the arena and freed with it. Adding never fails (base/arena.h). */
struct text text_new(struct arena *arena);
void text_add(struct text *text, const char *string);
void text_add_bytes(struct text *text, const void *bytes, size_t length); /* any bytes, also NUL */
void text_add_char(struct text *text, char c);
/* Words as text or an attribute of XML and HTML: & < > " ' as references. */
void text_add_markup(struct text *text, const char *words);

/* Formats: %s %.*s %c %d %u %ld %lu %lld %llu %zu %zd %x %02x (width and zero padding for whole
 * numbers), %f with a precision (%.1f), %g (shortest of up to 6 decimals, no exponent), %%.
 * The decimal sign is always a point; NaN and infinities abort: they are bugs here. */
void text_addf(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void text_addv(struct text *text, const char *format, va_list arguments);

/* `value` with exactly `decimals` (0..9) digits behind the point, rounded half away from zero. */
void text_add_fixed(struct text *text, double value, int decimals);
/* The same without zeros at the end: 12, 12.5, 0.031. */
void text_add_number(struct text *text, double value, int decimals);

const char *text_string(const struct text *text); /* borrowed, NUL-ended, never NULL */

/* The same into a fixed buffer, cut at its end; for errors. Returns the length written. */
size_t format_into(char *buffer, size_t size, const char *format, ...) __attribute__((format(printf, 3, 4)));

#endif
