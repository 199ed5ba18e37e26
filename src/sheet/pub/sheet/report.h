/* The final report of a job: what was used, when, by whom, how warm it was, which waiting times were kept and
 * which were passed with a reason. The answer to a question that comes years later. */
#ifndef SHEET_REPORT_H
#define SHEET_REPORT_H

#include "base/error.h"
#include "model/plan.h"
#include "model/record.h"

struct machine;

struct final_report {
    const struct job_terms *terms;    /* the latest plan version */
    const struct panel_state *states; /* one for each panel of terms */
    const struct fact *facts;         /* of the job, oldest first */
    size_t fact_count;
    const struct length_check *lengths; /* one for each panel; miss_mm NAN: not measured */
    struct promise promise;             /* by when it was promised, and when it is or will be finished */
    bool done; /* every panel is applied: promise.expected is when the last one was */
    const struct zone *zone;
    int64_t date; /* UTC seconds: when the report was made */
    bool inches;  /* lengths in inches */
    const char *version;
};

/* PDF, A4 on its long side. Nothing is left at `path` when it fails. */
bool final_report_write(const struct final_report *report, struct machine *machine, const char *path,
                        struct arena *arena, struct error *error);

#endif
