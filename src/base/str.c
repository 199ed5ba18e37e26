/* Looks into text without copying it: slices, comparison, UTF-8, numbers, the nearest word for a typing
 * slip. Used by everything that reads. */
#include "base/str.h"
#include <math.h>
#include <stdint.h>
#include <string.h>

enum { WORD_MOST = 64 };

struct str str_from(const char *string)
{
    return (struct str){string ? string : "", string ? strlen(string) : 0};
}

struct str str_slice(struct str text, size_t from, size_t to)
{
    if (to > text.length) to = text.length;
    if (from > to) from = to;
    return (struct str){text.bytes + from, to - from};
}

static bool str_is_blank(char c)
{
    return c == ' ' || c == '\t';
}

struct str str_trim(struct str text)
{
    while (text.length && str_is_blank(text.bytes[0])) text = str_slice(text, 1, text.length);
    while (text.length && str_is_blank(text.bytes[text.length - 1])) text.length--;
    return text;
}

bool str_equal(struct str text, const char *other)
{
    return text.length == strlen(other) && (!text.length || !memcmp(text.bytes, other, text.length));
}

bool str_starts(struct str text, const char *prefix)
{
    size_t length = strlen(prefix);
    return text.length >= length && (!length || !memcmp(text.bytes, prefix, length));
}

bool str_ends(struct str text, const char *suffix)
{
    size_t length = strlen(suffix);
    return text.length >= length && (!length || !memcmp(text.bytes + text.length - length, suffix, length));
}

bool string_equal(const char *one, const char *other)
{
    if (!one || !other) return one == other;
    return !strcmp(one, other);
}

/* Length of the UTF-8 sequence at `at`, 0 when it is not one (RFC 3629, section 4). */
static size_t utf8_step(const unsigned char *at, size_t left)
{
    unsigned char c = at[0];
    if (c == 0) return 0;
    if (c < 0x80) return 1;
    size_t length = c >= 0xC2 && c <= 0xDF ? 2 : (c & 0xF0) == 0xE0 ? 3 : c >= 0xF0 && c <= 0xF4 ? 4 : 0;
    if (!length || left < length) return 0;
    for (size_t i = 1; i < length; i++)
        if ((at[i] & 0xC0) != 0x80) return 0;
    if (c == 0xE0 && at[1] < 0xA0) return 0;
    if (c == 0xED && at[1] > 0x9F) return 0;
    if (c == 0xF0 && at[1] < 0x90) return 0;
    if (c == 0xF4 && at[1] > 0x8F) return 0;
    return length;
}

bool str_is_utf8(struct str text)
{
    for (size_t i = 0; i < text.length;) {
        size_t step = utf8_step((const unsigned char *)text.bytes + i, text.length - i);
        if (!step) return false;
        i += step;
    }
    return true;
}

static size_t str_smaller(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Optimal string alignment over three rows. */
size_t str_distance(const char *one, const char *other)
{
    size_t n = strlen(one), m = strlen(other);
    if (n > WORD_MOST || m > WORD_MOST) return n > m ? n : m;
    size_t rows[3][WORD_MOST + 1];
    for (size_t j = 0; j <= m; j++) rows[0][j] = j;
    for (size_t i = 1; i <= n; i++) {
        size_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *two_above = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= m; j++) {
            size_t best = above[j - 1] + (one[i - 1] != other[j - 1]);
            best = str_smaller(best, str_smaller(above[j], row[j - 1]) + 1);
            if (i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1])
                best = str_smaller(best, two_above[j - 2] + 1);
            row[j] = best;
        }
    }
    return rows[n % 3][m];
}

const char *str_nearest(const char *word, const char *const *names)
{
    const char *nearest = NULL;
    size_t best = strlen(word) / 3;
    if (best < 1) best = 1;
    for (; *names; names++) {
        size_t distance = str_distance(word, *names);
        if (distance <= best && (!nearest || distance < best)) {
            nearest = *names;
            best = distance;
        }
    }
    return nearest;
}

static bool str_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The exponent at `at` ("e-3"), added to *power; returns the bytes used. */
static size_t exponent(struct str text, size_t at, int *power)
{
    if (at >= text.length || (text.bytes[at] != 'e' && text.bytes[at] != 'E')) return 0;
    size_t i = at + 1;
    bool minus = false;
    if (i < text.length && (text.bytes[i] == '+' || text.bytes[i] == '-')) minus = text.bytes[i++] == '-';
    if (i >= text.length || !str_is_digit(text.bytes[i])) return 0;
    int value = 0;
    for (; i < text.length && str_is_digit(text.bytes[i]); i++)
        if (value < 10000) value = value * 10 + (text.bytes[i] - '0');
    *power += minus ? -value : value;
    return i - at;
}

size_t str_number(struct str text, double *value)
{
    size_t i = 0;
    bool minus = false, point = false;
    if (i < text.length && (text.bytes[i] == '-' || text.bytes[i] == '+')) minus = text.bytes[i++] == '-';
    uint64_t digits = 0;
    int power = 0;
    size_t seen = 0;
    for (; i < text.length; i++) {
        char c = text.bytes[i];
        if (c == '.' && !point) {
            point = true;
        } else if (str_is_digit(c)) {
            seen++;
            if (digits < UINT64_C(100000000000000000)) {
                digits = digits * 10 + (uint64_t)(c - '0');
                power -= point;
            } else {
                power += !point;
            }
        } else {
            break;
        }
    }
    if (!seen) return 0;
    i += exponent(text, i, &power);
    /* Up to 17 digits and powers within +-22 are exact in one step; pow is right to the last bit or so
     * beyond. */
    double size = (double)digits;
    if (digits) size = power < 0 ? (power < -300 ? 0 : size / pow(10, -power)) : size * pow(10, power);
    if (!isfinite(size)) return 0;
    *value = minus ? -size : size;
    return i;
}
