/* Collects mistakes and remarks with their places, and writes them sorted, one to a line. Filled by the
 * rooms that read what people wrote. */
#include "base/report.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include <string.h>

struct report report_new(struct arena *arena)
{
    return (struct report){.arena = arena};
}

static void base_report_add(struct report *report, struct place place, bool remark, const char *id,
                            const struct argument *arguments)
{
    if (!remark) report->errors++;
    if (report->count == REPORT_MOST) {
        report->cut = true;
        return;
    }
    struct mistake *mistake =
        arena_append(report->arena, &report->mistakes, &report->count, &report->capacity, sizeof *mistake);
    *mistake = (struct mistake){
        .place = place,
        .text = sentence_words(report->arena, id, arguments),
        .remark = remark,
        .id = sentence_id(id),
        .arguments = arguments_copy(report->arena, arguments),
    };
}

void report_add(struct report *report, struct place place, const char *id, const struct argument *arguments)
{
    base_report_add(report, place, false, id, arguments);
}

void report_remark(struct report *report, struct place place, const char *id,
                   const struct argument *arguments)
{
    base_report_add(report, place, true, id, arguments);
}

static size_t first_of_file(const struct report *report, const char *file)
{
    for (size_t i = 0; i < report->count; i++)
        if (string_equal(report->mistakes[i].place.file, file)) return i;
    return report->count;
}

static bool comes_before(const struct report *report, size_t a, size_t b)
{
    const struct place *one = &report->mistakes[a].place, *other = &report->mistakes[b].place;
    size_t file_one = first_of_file(report, one->file), file_other = first_of_file(report, other->file);
    if (file_one != file_other) return file_one < file_other;
    if (one->line != other->line) return one->line < other->line;
    if (one->column != other->column) return one->column < other->column;
    return a < b;
}

static void report_write_one(const struct mistake *mistake, struct text *out)
{
    if (mistake->place.file) text_addf(out, "%s:", mistake->place.file);
    if (mistake->place.line) text_addf(out, "%d:", mistake->place.line);
    if (mistake->place.column) text_addf(out, "%d:", mistake->place.column);
    if (mistake->place.file) text_add(out, " ");
    if (mistake->remark) text_add(out, "note: ");
    text_addf(out, "%s\n", mistake->text);
}

void report_write(const struct report *report, struct text *out)
{
    size_t *order = arena_take_array(report->arena, report->count, sizeof *order);
    for (size_t i = 0; i < report->count; i++) {
        size_t at = i;
        for (; at > 0 && comes_before(report, i, order[at - 1]); at--) order[at] = order[at - 1];
        order[at] = i;
    }
    for (size_t i = 0; i < report->count; i++) report_write_one(&report->mistakes[order[i]], out);
    if (report->cut) text_say(out, "report-cut", ARGUMENTS(arg_count("shown", REPORT_MOST)));
}
