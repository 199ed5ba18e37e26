/* After the job: planned against used, of one job or of all, and what that says of the shop's rates. */
#ifndef FLOOR_USED_H
#define FLOOR_USED_H

#include "floor/floor.h"
#include "model/used.h"

/* `number` NULL: all jobs that have a plan on record, and the rates. Jobs whose plan was made before `since` (UTC
 * seconds, 0: none) do not count for the rates: they were planned with older figures. Nor does what follows from
 * the prints of a job that is not wholly printed. The rates of now are those of the folder's shop file. */
bool floor_used(struct floor *floor, const char *number, int64_t since, struct arena *arena,
                struct used_report *report, struct error *error);

#endif
