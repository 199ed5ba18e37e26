/* Private to cli: the command `proof`. */
#ifndef CLI_PROOF_H
#define CLI_PROOF_H

#include "commands.h"
#include "run/run.h"

/* Makes and writes the proof of a planned run. */
bool proof_do(struct run *run, struct error *error);
/* Says its letters, or all of it as JSON. False when the job has a stop besides that it awaits approval. */
bool proof_show(const struct run *run, const struct command_line *request);

#endif
