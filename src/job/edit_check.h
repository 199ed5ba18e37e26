/* What changes of a job's files have in common: nobody else changed it, and it is no worse afterwards. Private to the
 * room. */
#ifndef JOB_EDIT_CHECK_H
#define JOB_EDIT_CHECK_H

#include "read.h"

void edit_fingerprint(struct str bytes, char fingerprint[17]);
/* Reads the job file into edited->before; false also where its fingerprint is another, with edited->conflict. */
bool edit_begin(struct machine *machine, const char *file, const char *fingerprint, struct arena *arena,
                struct job_edited *edited, struct error *error);

struct edit_check {
    const char *file;
    struct str before, after;
    const struct job_table *table; /* the fleet's file as it would be; NULL: as it is */
};
/* False: there are mistakes that were not there before, or any in the table; they are in the report, the first in
 * `error`. */
bool edit_is_sound(struct machine *machine, const struct edit_check *check, struct arena *arena,
                   struct report *report, struct error *error);

#endif
