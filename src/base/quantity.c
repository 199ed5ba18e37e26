/* Quantities in words, for pages and the API. */
#include "base/quantity.h"
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define THIN     "\u202f"
#define NO_BREAK "\u00a0"

static const double MM_PER_FOOT = 304.8; /* 1 ft is 0.3048 m exactly */

/* The digits that text_add_fixed writes, in threes. */
static const char *in_threes(const char *plain, struct arena *arena)
{
    struct text text = text_new(arena);
    size_t sign = *plain == '-', whole = strcspn(plain + sign, ".");
    text_add_bytes(&text, plain, sign);
    for (size_t i = 0; i < whole; i++) {
        if (i && (whole - i) % 3 == 0) text_add(&text, THIN);
        text_add_char(&text, plain[sign + i]);
    }
    text_add(&text, plain + sign + whole);
    return text_string(&text);
}

const char *quantity_figure(double value, int decimals, struct arena *arena)
{
    struct text plain = text_new(arena);
    text_add_fixed(&plain, value, decimals);
    return in_threes(text_string(&plain), arena);
}

const char *quantity_length_figure(double mm, int decimals, bool inches, struct arena *arena)
{
    return inches ? in_threes(units_figure(mm / MM_PER_INCH, arena), arena)
                  : quantity_figure(mm, decimals, arena);
}

const char *quantity_length(double mm, int decimals, bool inches, struct arena *arena)
{
    return arena_format(arena, "%s" NO_BREAK "%s", quantity_length_figure(mm, decimals, inches, arena),
                        inches ? "in" : "mm");
}

const char *quantity_run(double mm, bool inches, struct arena *arena)
{
    return arena_format(arena, "%s" NO_BREAK "%s",
                        quantity_figure(mm / (inches ? MM_PER_FOOT : 1000), 1, arena), inches ? "ft" : "m");
}

const char *quantity_money(int64_t minor, const char *currency, struct arena *arena)
{
    long long size = llabs((long long)minor);
    const char *plain = arena_format(arena, "%s%lld.%02lld", minor < 0 ? "-" : "", size / 100, size % 100);
    return arena_format(arena, "%s" NO_BREAK "%s", in_threes(plain, arena), currency);
}

const char *quantity_span(int64_t seconds, struct arena *arena)
{
    enum { HOUR = 60, DAY = 24 * HOUR }; /* in minutes */
    long long minutes = seconds > 0 ? (seconds + 59) / 60 : 1;
    if (minutes < HOUR) return arena_format(arena, "%lld" NO_BREAK "min", minutes);
    if (minutes >= 2 * DAY)
        return arena_format(arena, "%lld" NO_BREAK "d" NO_BREAK "%lld" NO_BREAK "h", minutes / DAY,
                            minutes % DAY / HOUR);
    if (minutes % HOUR == 0) return arena_format(arena, "%lld" NO_BREAK "h", minutes / HOUR);
    return arena_format(arena, "%lld" NO_BREAK "h" NO_BREAK "%lld" NO_BREAK "min", minutes / HOUR,
                        minutes % HOUR);
}
