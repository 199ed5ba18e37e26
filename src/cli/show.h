/* Private to cli: results as words on a terminal. */
#ifndef CLI_SHOW_H
#define CLI_SHOW_H

#include "run/run.h"
#include "base/text.h"

void show_text(int fd, const struct text *text);
void show_line(int fd, const char *start, const char *rest);
void show_report(const struct report *report, int fd);
void show_findings(const struct findings *findings, struct text *out);
/* Findings, the plan in a few lines, dates and files; or JSON and nothing else. `panels`: they were asked
 * for. */
void show_result(const struct run *run, bool json, bool quiet, bool panels);

/* Progress on one line of a terminal. */
struct show_progress {
    int fd;
    bool shown;
};
void show_progress(void *self, const char *what, double done, double total);
/* Progress as a line `@FRACTION WORDS` on standard output. */
void show_progress_line(void *self, const char *what, double done, double total);
void show_progress_end(struct show_progress *self);

#endif
