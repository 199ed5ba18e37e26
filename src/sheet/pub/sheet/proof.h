/* The proof on paper, for the customer: PDF, A4, on its long side when a surface is wide. */
#ifndef SHEET_PROOF_H
#define SHEET_PROOF_H

#include "base/error.h"
#include "model/proof.h"

struct machine;

struct proof_paper {
    bool seams;   /* panels and seams are drawn */
    bool inches;  /* lengths in inches */
    int64_t date; /* UTC seconds: when it was made */
    const char *version;
};

/* First what is approved and how, then each surface to scale with its colours, its lettering and what is not
 * covered. Appears whole or not at all. */
bool proof_paper_write(const struct proof *proof, const struct proof_paper *paper, struct machine *machine,
                       const char *path, struct arena *arena, struct error *error);

#endif
