/* Private to cli: `lapstrake used`. */
#ifndef CLI_USED_H
#define CLI_USED_H

#include "commands.h"

bool used_command(struct machine *machine, const struct command_line *request, struct error *error);

#endif
