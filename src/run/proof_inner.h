/* Private to run: the files of run/proof.h. */
#ifndef RUN_PROOF_INNER_H
#define RUN_PROOF_INNER_H

#include "run/proof.h"
#include "steps.h"

/* The lines that a proof's letters are worked out from, and their SHA-256. In the run's arena. */
bool proof_basis(const struct run *run, const char **basis, char hex[65], struct error *error);
/* The flat colours of a surface's artwork; none without artwork or without the condition's profile. */
bool proof_take_colours(struct run *run, const struct run_surface *s, struct proof_surface *surface,
                        struct error *error);

#endif
