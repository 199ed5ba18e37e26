/* Private to cli: `lapstrake reprint`. */
#ifndef CLI_REPRINT_H
#define CLI_REPRINT_H

#include "commands.h"
#include "run/reprint.h"

/* Opens `run`, which is to be closed when it has an arena. */
bool reprint_do(struct machine *machine, const struct command_line *request, struct run *run,
                struct reprint *reprint, struct error *error);
/* What was made, or what stands against it; or JSON and nothing else. */
void reprint_show(const struct run *run, const struct command_line *request, const struct reprint *reprint);

#endif
