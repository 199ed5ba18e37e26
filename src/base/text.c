/* Grows text in an arena or fills a fixed buffer, and formats numbers without a locale. Used by everything
 * that writes. */
#include "base/text.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/number.h"
#include "target.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct text text_new(struct arena *arena)
{
    return (struct text){.arena = arena};
}

static void text_reserve(struct text *text, size_t more)
{
    size_t need;
    if (!size_plus(text->length, more, &need) || !size_plus(need, 1, &need)) abort();
    if (need <= text->capacity) return;
    size_t larger = text->capacity < 128 ? 128 : text->capacity * 2;
    if (larger < need) larger = need;
    char *moved = arena_take_array(text->arena, larger, 1);
    if (text->length) memcpy(moved, text->bytes, text->length);
    text->bytes = moved;
    text->capacity = larger;
}

void text_add_bytes(struct text *text, const void *bytes, size_t length)
{
    text_reserve(text, length);
    assert(text->bytes);
    if (length) memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    text->bytes[text->length] = 0;
}

void text_add(struct text *text, const char *string)
{
    text_add_bytes(text, string, strlen(string));
}

void text_add_char(struct text *text, char c)
{
    text_add_bytes(text, &c, 1);
}

void text_add_markup(struct text *text, const char *words)
{
    static const char marks[] = "&<>\"'";
    static const char *const references[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    while (*words) {
        size_t plain = strcspn(words, marks);
        text_add_bytes(text, words, plain);
        words += plain;
        if (*words) text_add(text, references[strchr(marks, *words++) - marks]);
    }
}

const char *text_string(const struct text *text)
{
    return text->bytes ? text->bytes : "";
}

void target_put(struct target *target, const char *bytes, size_t length)
{
    if (target->text) {
        text_add_bytes(target->text, bytes, length);
        return;
    }
    for (size_t i = 0; i < length && target->length + 1 < target->size; i++)
        target->buffer[target->length++] = bytes[i];
}

static void put_padded(struct target *target, const char *digits, size_t length, size_t width, char fill)
{
    if (fill == '0' && length && digits[0] == '-') {
        target_put(target, "-", 1);
        digits++, length--;
        if (width) width--;
    }
    for (size_t i = length; i < width; i++) target_put(target, &fill, 1);
    target_put(target, digits, length);
}

/* Digits of `value` at the end of `buffer`; returns where they start. */
static char *digits_of(uint64_t value, unsigned radix, char *end)
{
    do {
        *--end = "0123456789abcdef"[value % radix];
        value /= radix;
    } while (value);
    return end;
}

static void put_whole(struct target *target, uint64_t size, bool minus, unsigned radix, size_t width,
                      char fill)
{
    char buffer[24], *end = buffer + sizeof buffer, *at = digits_of(size, radix, end);
    if (minus) *--at = '-';
    put_padded(target, at, (size_t)(end - at), width, fill);
}

void target_put_fixed(struct target *target, double value, int decimals, bool trim)
{
    if (!isfinite(value)) abort();
    static const double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
    if (decimals < 0 || decimals > 9) abort();
    double scaled = floor(fabs(value) * tens[decimals] + 0.5);
    if (scaled >= 1e18) { /* beyond any quantity of ours: whole part only */
        if (scaled / tens[decimals] >= 1.8e19) abort();
        put_whole(target, (uint64_t)fabs(value), value < 0, 10, 0, ' ');
        return;
    }
    uint64_t all = (uint64_t)scaled, unit = (uint64_t)tens[decimals];
    put_whole(target, all / unit, value < 0 && all, 10, 0, ' ');
    char behind[12];
    uint64_t rest = all % unit;
    for (int i = decimals; i > 0; i--, rest /= 10) behind[i] = (char)('0' + rest % 10);
    behind[0] = '.';
    size_t length = decimals ? (size_t)decimals + 1 : 0;
    while (trim && length > 1 && behind[length - 1] == '0') length--;
    if (length == 1) length = 0;
    target_put(target, behind, length);
}

static uint64_t size_of_signed(long long value)
{
    return value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
}

void target_put_whole(struct target *target, long long value)
{
    put_whole(target, size_of_signed(value), value < 0, 10, 0, ' ');
}

/* What stands between % and the letter. */
struct directive {
    char fill;
    size_t width;
    int precision, longs;
    bool size;
};

static const char *read_directive(const char *at, struct directive *directive, va_list *arguments)
{
    *directive = (struct directive){.fill = ' ', .precision = -1};
    if (*at == '0') directive->fill = '0', at++;
    for (; *at >= '0' && *at <= '9'; at++) directive->width = directive->width * 10 + (size_t)(*at - '0');
    if (*at == '.') {
        at++;
        directive->precision = 0;
        if (*at == '*') {
            directive->precision = va_arg(*arguments, int);
            at++;
        }
        for (; *at >= '0' && *at <= '9'; at++) directive->precision = directive->precision * 10 + (*at - '0');
    }
    for (; *at == 'l'; at++) directive->longs++;
    if (*at == 'z') directive->size = true, at++;
    return at;
}

static void text_put_string(struct target *target, const char *string, int precision)
{
    if (!string) string = "(none)";
    size_t length = precision < 0 ? strlen(string) : strnlen(string, (size_t)precision);
    target_put(target, string, length);
}

static void put_signed(struct target *target, const struct directive *d, va_list *arguments)
{
    long long value = d->size         ? (long long)va_arg(*arguments, ptrdiff_t)
                      : d->longs > 1  ? va_arg(*arguments, long long)
                      : d->longs == 1 ? va_arg(*arguments, long)
                                      : va_arg(*arguments, int);
    put_whole(target, size_of_signed(value), value < 0, 10, d->width, d->fill);
}

static void put_unsigned(struct target *target, const struct directive *d, unsigned radix, va_list *arguments)
{
    unsigned long long value = d->size         ? va_arg(*arguments, size_t)
                               : d->longs > 1  ? va_arg(*arguments, unsigned long long)
                               : d->longs == 1 ? va_arg(*arguments, unsigned long)
                                               : va_arg(*arguments, unsigned);
    put_whole(target, value, false, radix, d->width, d->fill);
}

static void put_format(struct target *target, const char *format, va_list *arguments)
{
    for (const char *at = format; *at; at++) {
        if (*at != '%') {
            size_t plain = strcspn(at, "%");
            target_put(target, at, plain);
            at += plain - 1;
            continue;
        }
        struct directive d;
        at = read_directive(at + 1, &d, arguments);
        char c;
        switch (*at) {
        case '%':
            target_put(target, "%", 1);
            break;
        case 'c':
            c = (char)va_arg(*arguments, int), target_put(target, &c, 1);
            break;
        case 's':
            text_put_string(target, va_arg(*arguments, const char *), d.precision);
            break;
        case 'd':
            put_signed(target, &d, arguments);
            break;
        case 'u':
            put_unsigned(target, &d, 10, arguments);
            break;
        case 'x':
            put_unsigned(target, &d, 16, arguments);
            break;
        case 'f':
            target_put_fixed(target, va_arg(*arguments, double), d.precision < 0 ? 6 : d.precision, false);
            break;
        case 'g':
            target_put_fixed(target, va_arg(*arguments, double), d.precision < 0 ? 6 : d.precision, true);
            break;
        default:
            abort();
        }
    }
}

void text_addv(struct text *text, const char *format, va_list arguments)
{
    struct target target = {.text = text};
    va_list copy;
    va_copy(copy, arguments);
    put_format(&target, format, &copy);
    va_end(copy);
}

void text_addf(struct text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_addv(text, format, arguments);
    va_end(arguments);
}

void text_add_fixed(struct text *text, double value, int decimals)
{
    struct target target = {.text = text};
    target_put_fixed(&target, value, decimals, false);
}

void text_add_number(struct text *text, double value, int decimals)
{
    struct target target = {.text = text};
    target_put_fixed(&target, value, decimals, true);
}

static size_t format_into_v(char *buffer, size_t size, const char *format, va_list arguments)
{
    struct target target = {.buffer = buffer, .size = size};
    va_list copy;
    va_copy(copy, arguments);
    put_format(&target, format, &copy);
    va_end(copy);
    if (size) buffer[target.length] = 0;
    return target.length;
}

size_t format_into(char *buffer, size_t size, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    size_t length = format_into_v(buffer, size, format, arguments);
    va_end(arguments);
    return length;
}

char *arena_format(struct arena *arena, const char *format, ...)
{
    struct text text = text_new(arena);
    va_list arguments;
    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    text_add(&text, "");
    return text.bytes;
}
