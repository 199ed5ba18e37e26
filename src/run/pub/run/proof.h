/* The proof of a job: what goes to the customer, and whether what would be printed is what was approved.
 *
 * OUT/proofs.txt keeps the letters of each proof that was made, oldest first: VERSION, a blank, LETTERS. An
 * approval on record must name one of them. Letters of model/proof.h; what goes into them is in doc/proof.md.
 *
 *     proof-changed   stop: the last approval on record is of other letters than the job has now
 *     proof-awaited   stop: job.yaml says `proof: required`, and no approval is on record
 *
 * Both become a warning where they are accepted on record with a reason; the acceptance is bound to the
 * letters, so that it lapses with the next change. */
#ifndef RUN_PROOF_H
#define RUN_PROOF_H

#include "model/proof.h"
#include "run/run.h"

/* In OUT: the lines of each proof that was made, PROOF_FOLDER/LETTERS.txt, to say what changed since. */
#define PROOF_FOLDER "proofs"

/* After run_plan: all that the proof shows, in run->proof. Renders each surface once for its flat colours. */
bool proof_make(struct run *run, struct error *error);
/* Then OUT/proof.pdf, with seams where run->options.seams says so, and OUT/proofs.txt; the JSON is written by
 * answer. Needs the lock of OUT. */
bool proof_write(struct run *run, struct error *error);

/* Works out the job's letters where an approval is on record or required. */
bool proof_compare(struct run *run, struct error *error);
/* Adds what proof_compare found. */
void proof_judge(const struct run *run, struct findings *findings);

/* A proof that was made of a job. */
struct proof_known {
    int64_t version;
    char letters[PROOF_LETTERS + 1];
};
/* Those in `out`, oldest first; none when there is no such file. */
struct proof_known *proofs_known(struct machine *machine, const char *out, struct arena *arena,
                                 size_t *count);

#endif
