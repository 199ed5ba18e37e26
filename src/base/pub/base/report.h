/* Every mistake in what people wrote, each with its place: reading goes on after each one. */
#ifndef BASE_REPORT_H
#define BASE_REPORT_H

#include <stdbool.h>
#include <stddef.h>

struct arena;
struct text;

struct place {
    const char *file; /* as a person would name it: relative to the job folder, or as given */
    int line, column; /* from 1; 0 when not known */
};

struct mistake {
    struct place place;
    const char *text; /* what is wrong, and what would be right; one sentence or two */
    bool remark;      /* a remark only: said, but not a reason to refuse */
};

struct report {
    struct arena *arena;
    struct mistake *mistakes;
    size_t count, capacity;
    size_t errors; /* mistakes that are not remarks */
    bool cut;      /* more than REPORT_MOST came; the rest was not kept */
};

enum { REPORT_MOST = 200 };

struct report report_new(struct arena *arena);
/* Adds a mistake; the text formats as text_addf does. */
void report_add(struct report *report, struct place place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* Adds a remark: told to the person, does not stop the work. */
void report_remark(struct report *report, struct place place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* One line each: "job.yaml:12:5: text". Sorted by file as first met, then line and column. */
void report_write(const struct report *report, struct text *out);

#endif
