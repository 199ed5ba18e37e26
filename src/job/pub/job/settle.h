/* What holds where nobody wrote it: every value of common practice that decides something is filled in here,
 * once, with its source and origin. The rooms after this one read the settled value and have no default of
 * their own. doc/job-file.md says the same key by key, model/practice.h has the values.
 *
 * job_load and job_load_shop settle what they read. Who fills these structs by hand settles them before use.
 * What is written stays; what is not is filled again, so that settling twice is settling once. */
#ifndef JOB_SETTLE_H
#define JOB_SETTLE_H

#include "model/job.h"

void settle_printer(struct printer *printer);
void settle_film(struct film *film);
void settle_laminate(struct film *laminate);
/* An unknown ink dries as long as any. */
void settle_ink(struct ink *ink);
/* After its ink: what needs the longest drying time, and over what ink a finding asks. */
void settle_condition(struct condition *condition);
/* The shop's own values; the things in its lists are settled one by one. */
void settle_shop(struct shop *shop);
/* After its shop (which may be NULL): the job, its corners and its surfaces. */
void settle_job(struct job *job);
void settle_surface(struct surface_spec *surface, const struct job *job);

#endif
