/* Words and figures that several parts of the sheet say alike. */
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include "pages.h"
#include <stdlib.h>
#include <string.h>

const char *date_words(const struct sheet *sheet, int64_t at)
{
    return moment_words(sheet->arena, sheet->plan->input->zone, at);
}

const char *severity_word(enum severity severity)
{
    static const char *const words[] = {"Note", "Warning", "Stop"};
    return words[severity];
}

const char *count_words(struct arena *arena, size_t count, const char *one, const char *many)
{
    return arena_format(arena, "%zu %s", count, count == 1 ? one : many);
}

struct picture_options picture_options(const struct sheet *sheet, double height_most)
{
    return (struct picture_options){.width_mm = book_inner(&sheet->book),
                                    .height_most_mm = height_most,
                                    .inches = sheet->options->inches,
                                    .no_title = true};
}

const char *usual_length_words(const struct sheet *sheet, const struct measure *length)
{
    return arena_format(sheet->arena, "%s%s",
                        length_words(sheet->arena, length->value, sheet->options->inches, true),
                        measure_is_written(*length) ? "" : " (usual)");
}

const char *size_words(const struct sheet *sheet, double width, double height)
{
    return arena_format(sheet->arena, "%s x %s",
                        length_words(sheet->arena, width, sheet->options->inches, false),
                        length_words(sheet->arena, height, sheet->options->inches, false));
}

const char *said(const struct sheet *sheet, const char *words)
{
    return sheet->options->inches ? units_in_inches(words, sheet->arena) : words;
}

const char *area_words(const struct sheet *sheet, double m2)
{
    return arena_format(sheet->arena, "%.1f", sheet->options->inches ? m2 / M2_PER_FT2 : m2);
}

const char *area_unit(const struct sheet *sheet)
{
    return sheet->options->inches ? "ft2" : "m2";
}

const char *length_unit(const struct sheet *sheet)
{
    return sheet->options->inches ? "in" : "mm";
}

static bool words_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The first number in which two names differ that are else alike: where it begins; -1: they differ in more. */
static long differing_number(const char *one, const char *other)
{
    size_t start = 0;
    while (one[start] && one[start] == other[start]) start++;
    while (start && words_is_digit(one[start - 1])) start--;
    const char *a = one + start, *b = other + start;
    enum { DIGITS_MOST = 6 };
    size_t digits_a = strspn(a, "0123456789"), digits_b = strspn(b, "0123456789");
    bool whole = digits_a && digits_b && digits_a <= DIGITS_MOST && digits_b <= DIGITS_MOST;
    return whole && !strcmp(a + digits_a, b + digits_b) ? (long)start : -1;
}

/* How many names from this one on count up, or down, by one: "pane 1", "pane 2"; "pane-1-1", "pane-2-1". */
static size_t run_length(const char *const *names, size_t count)
{
    if (count < 2) return count;
    long at = differing_number(names[0], names[1]);
    if (at < 0) return 1;
    long first = strtol(names[0] + at, NULL, 10), step = strtol(names[1] + at, NULL, 10) - first;
    size_t length = 1;
    for (; labs(step) == 1 && length < count; length++) {
        bool alike = differing_number(names[0], names[length]) == at;
        if (!alike || strtol(names[length] + at, NULL, 10) != first + step * (long)length) break;
    }
    return length;
}

const char *list_words(struct arena *arena, const char *const *names, size_t count)
{
    enum { MOST = 16, RUN_LEAST = 3 };
    struct text text = text_new(arena);
    size_t shown = 0;
    for (size_t i = 0; i < count;) {
        size_t streak = run_length(names + i, count - i);
        if (shown++ == MOST) {
            text_addf(&text, " and %zu more", count - i);
            break;
        }
        text_addf(&text, "%s%s", i ? ", " : "", names[i]);
        if (streak >= RUN_LEAST) text_addf(&text, " to %s", names[i + streak - 1]);
        i += streak >= RUN_LEAST ? streak : 1;
    }
    return text_string(&text);
}
