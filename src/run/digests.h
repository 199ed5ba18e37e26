/* Private to run: which artwork files the papers speak of, byte for byte. */
#ifndef RUN_DIGESTS_H
#define RUN_DIGESTS_H

#include "run/run.h"
#include "sheet/sheet.h"

/* SHA-256 and time of each artwork file of the run, each once, in the run's arena. A file that cannot be read
 * any more fails. */
bool digests_take(struct run *run, struct sheet_file **files, size_t *count, struct error *error);
/* The same of the panel files in OUT that the plan names and that are there, by the plan's names. */
bool digests_of_panels(struct run *run, struct sheet_file **files, size_t *count, struct error *error);
/* SHA-256 of a file, 64 hex digits, read in pieces. */
bool digest_of_file(struct machine *machine, const char *path, const struct cancel *cancel, char hex[65],
                    struct error *error);

#endif
