/* Private to cli: `lapstrake rolls`. */
#ifndef CLI_ROLLS_H
#define CLI_ROLLS_H

#include "commands.h"

/* Returns the exit status, or -1 with a sentence in `error`. */
int rolls_command(struct machine *machine, const struct command_line *request, struct error *error);

#endif
