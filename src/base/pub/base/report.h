/* Every mistake in what people wrote, each with its place: reading goes on after each one. Whoever reads looks
 * at `errors` at the end; remarks alone do not stop a job. */
#ifndef BASE_REPORT_H
#define BASE_REPORT_H

#include "base/sentence.h"
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
    const char *id;   /* of the sentence (base/sentence.h), and what is named in it */
    const struct argument *arguments;
};

struct report {
    struct arena *arena;
    struct mistake *mistakes;
    size_t count, capacity;
    size_t errors; /* mistakes that are not remarks, also those that were not kept */
    bool cut;      /* more than REPORT_MOST came; the rest was not kept */
};

enum { REPORT_MOST = 200 }; /* mistakes and remarks together */

/* An empty report; mistakes and their sentences live in the arena. */
struct report report_new(struct arena *arena);
/* Adds a mistake: the sentence `id` with its arguments, which are copied. */
void report_add(struct report *report, struct place place, const char *id, const struct argument *arguments);
/* Adds a remark: told to the person, does not stop the work. */
void report_remark(struct report *report, struct place place, const char *id,
                   const struct argument *arguments);
/* One line each: "job.yaml:12:5: text". Sorted by file as first met, then line and column. */
void report_write(const struct report *report, struct text *out);

#endif
