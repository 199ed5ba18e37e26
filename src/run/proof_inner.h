/* Private to run: the files of run/proof.h. */
#ifndef RUN_PROOF_INNER_H
#define RUN_PROOF_INNER_H

#include "run/proof.h"
#include "steps.h"

/* The lines that a proof's letters are worked out from, and their SHA-256. In the run's arena. */
bool proof_basis(const struct run *run, const char **basis, char hex[65], struct error *error);
/* Its lines, kept in OUT under its letters. */
bool proof_keep_basis(struct run *run, const struct proof *proof, struct error *error);
/* What these lines have otherwise than the proof of the letters approved, surface by surface: "left: artwork, size". In
 * the run's arena; "": that proof's lines are not kept here. */
const char *proof_differs(const struct run *run, const char *approved, const char *basis);
/* The flat colours of a surface's artwork; none without artwork or without the condition's profile. */
bool proof_take_colours(struct run *run, const struct run_surface *s, struct proof_surface *surface,
                        struct error *error);

#endif
