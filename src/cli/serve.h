/* Private to cli: the page's server, and who may use it. */
#ifndef CLI_SERVE_H
#define CLI_SERVE_H

#include "commands.h"

bool serve(struct machine *machine, const struct command_line *request, const struct cancel *cancel,
           struct error *error);
/* Reads the password: twice without echo from a terminal, else one line from standard input. */
bool set_up_person(struct machine *machine, const struct command_line *request, struct error *error);

#endif
