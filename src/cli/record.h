/* Private to cli: `lapstrake record ...`. */
#ifndef CLI_RECORD_H
#define CLI_RECORD_H

#include "base/machine.h"
#include "base/text.h"

/* The arguments behind "record"; `date` is that of files, 0: now. Returns the exit status, or -1 with a
 * sentence in `error`. */
int record_command(struct machine *machine, int count, char **arguments, int64_t date,
                   const struct cancel *cancel, struct error *error);

#endif
