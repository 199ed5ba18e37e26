/* Sentences with metric lengths and areas, said in inches and feet. */
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>
#include <string.h>

struct imperial {
    const char *metric, *name;
    double factor;
};

/* Longest first: "m2/h" begins with "m2", that with "m". A square foot is 0.3048^2 m2 exactly. */
static const struct imperial imperials[] = {
    {"mm", "in", 1 / MM_PER_INCH},
    {"m2/h", "ft2/h", 1 / (0.3048 * 0.3048)},
    {"m2", "ft2", 1 / (0.3048 * 0.3048)},
    {"m per min", "ft per min", 1 / 0.3048},
    {"m", "ft", 1 / 0.3048},
};

static bool inches_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

/* Bytes of the blank that ends before `end`: plain, no-break or thin no-break; 0: none. */
static size_t blank_before(const char *words, size_t end)
{
    if (end && words[end - 1] == ' ') return 1;
    if (end >= 2 && !memcmp(words + end - 2, "\xc2\xa0", 2)) return 2;
    if (end >= 3 && !memcmp(words + end - 3, "\xe2\x80\xaf", 3)) return 3;
    return 0;
}

/* Where the number that ends before `end` begins; `end` when there is none, or it belongs to a word
 * ("left-2", "M8"). */
static size_t number_before(const char *words, size_t end)
{
    size_t at = end;
    while (at && (inches_is_digit(words[at - 1]) ||
                  (words[at - 1] == '.' && at < end && inches_is_digit(words[at]))))
        at--;
    if (at == end || words[at] == '.') return end;
    if (at && (words[at - 1] == '-' || words[at - 1] == '+') && (at == 1 || words[at - 2] == ' ')) at--;
    bool apart = !at || words[at - 1] == '(' || words[at - 1] == '[' || words[at - 1] == '\n' ||
                 words[at - 1] == ':' || blank_before(words, at);
    return apart ? at : end;
}

/* What joins figures that share the unit behind the last of them. */
static const char *const joins[] = {" to ", " x ", " by ", ", ", ", y ", ", x ", " and ", " or ", " .. "};

/* The end of the figure that shares the unit with the one at `start`; 0: there is none. */
static size_t joined_before(const char *words, size_t start)
{
    for (size_t i = 0; i < sizeof joins / sizeof *joins; i++) {
        size_t length = strlen(joins[i]);
        if (start <= length || memcmp(words + start - length, joins[i], length)) continue;
        size_t end = start - length;
        if (number_before(words, end) != end) return end;
    }
    return 0;
}

static const struct imperial *unit_at(const char *at)
{
    for (size_t i = 0; i < sizeof imperials / sizeof *imperials; i++) {
        size_t length = strlen(imperials[i].metric);
        if (strncmp(at, imperials[i].metric, length)) continue;
        char after = at[length];
        if (!is_letter(after) && !inches_is_digit(after) && after != '/') return &imperials[i];
    }
    return NULL;
}

static void add_figure(struct text *out, const char *words, size_t from, size_t to,
                       const struct imperial *unit)
{
    double metric = 0;
    if (words[from] == '+') {
        text_add(out, "+");
        from++;
    }
    units_number((struct str){words + from, to - from}, &metric);
    text_add(out, units_figure(metric * unit->factor, out->arena));
}

const char *units_figure(double value, struct arena *arena)
{
    static const double fine = 0.1; /* what is thinner keeps its digits */
    struct text text = text_new(arena);
    text_add_number(&text, value, fabs(value) < fine ? 4 : 2);
    return text_string(&text);
}

const char *units_length_words(double mm, bool inches, struct arena *arena)
{
    struct text text = text_new(arena);
    if (inches)
        text_addf(&text, "%s in", units_figure(mm / MM_PER_INCH, arena));
    else
        text_add_number(&text, mm, 1), text_add(&text, " mm");
    return text_string(&text);
}

const char *units_run_words(double mm, bool inches, struct arena *arena)
{
    const double mm_per_m = 1000, mm_per_ft = 304.8; /* 1 ft is 0.3048 m exactly */
    return arena_format(arena, "%.1f %s", mm / (inches ? mm_per_ft : mm_per_m), inches ? "ft" : "m");
}

enum { FIGURES_MOST = 16 };

/* The words from `done` to the unit at `unit_start`, their figures converted; false: no figure stands before
 * it. */
static bool add_converted(struct text *out, const char *words, size_t done, size_t unit_start,
                          const struct imperial *unit)
{
    size_t from[FIGURES_MOST], to[FIGURES_MOST], count = 0;
    size_t end = unit_start - blank_before(words, unit_start);
    while (end > done && count < FIGURES_MOST) {
        size_t start = number_before(words, end);
        if (start == end || start < done) break;
        from[count] = start, to[count++] = end;
        end = joined_before(words, start);
    }
    if (!count) return false;
    size_t at = done;
    while (count--) {
        text_add_bytes(out, words + at, from[count] - at);
        add_figure(out, words, from[count], to[count], unit);
        at = to[count];
    }
    text_add_bytes(out, words + at, unit_start - at);
    text_add(out, unit->name);
    return true;
}

const char *units_in_inches(const char *words, struct arena *arena)
{
    if (!words) return NULL;
    struct text out = text_new(arena);
    size_t done = 0, length = strlen(words);
    for (size_t i = 1; i < length; i++) {
        bool starts = inches_is_digit(words[i - 1]) || blank_before(words, i);
        const struct imperial *unit = starts ? unit_at(words + i) : NULL;
        if (!unit || !add_converted(&out, words, done, i, unit)) continue;
        done = i + strlen(unit->metric);
        i = done;
    }
    if (!done) return words;
    text_add(&out, words + done);
    return text_string(&out);
}
