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

/* Bytes of the name before the whole number it ends with; the number, -1: it ends with none. */
static size_t numbered(const char *name, long *number)
{
    size_t stem = strlen(name);
    while (stem && name[stem - 1] >= '0' && name[stem - 1] <= '9') stem--;
    *number = name[stem] && strlen(name + stem) < 7 ? strtol(name + stem, NULL, 10) : -1;
    return stem;
}

/* How many names from this one on count up, or down: "pane 1", "pane 2", "pane 3". */
static size_t run_length(const char *const *names, size_t count)
{
    long first, next;
    size_t stem = numbered(names[0], &first), length = 1;
    long step = 0;
    for (; first >= 0 && length < count; length++) {
        size_t other = numbered(names[length], &next);
        if (length == 1) step = next - first;
        if (other != stem || strncmp(names[0], names[length], stem) || labs(step) != 1 ||
            next != first + step * (long)length)
            break;
    }
    return length;
}

const char *list_words(struct arena *arena, const char *const *names, size_t count)
{
    enum { MOST = 16, RUN_LEAST = 3 };
    struct text text = text_new(arena);
    size_t shown = 0;
    for (size_t i = 0; i < count;) {
        size_t run = run_length(names + i, count - i);
        if (shown++ == MOST) {
            text_addf(&text, " and %zu more", count - i);
            break;
        }
        text_addf(&text, "%s%s", i ? ", " : "", names[i]);
        if (run >= RUN_LEAST) text_addf(&text, " to %s", names[i + run - 1]);
        i += run >= RUN_LEAST ? run : 1;
    }
    return text_string(&text);
}
