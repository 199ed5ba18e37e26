/* Whether what would be printed is what the customer approved. Called by the verbs before and after planning. */
#include "proof_inner.h"
#include "base/sentence.h"
#include "base/arena.h"

bool proof_compare(struct run *run, struct error *error)
{
    const char *basis;
    char hex[65], letters[PROOF_LETTERS + 1];
    if (!run->approval_count && run->job->proof != PROOF_REQUIRED) return true;
    if (!proof_basis(run, &basis, hex, error)) return false;
    proof_letters_of(hex, letters);
    run->proof_letters = arena_copy_string(run->arena, letters);
    const struct proof_approval *last = run->approval_count ? &run->approvals[run->approval_count - 1] : NULL;
    if (last && !string_equal(last->letters, letters))
        run->proof_differs = proof_differs(run, last->letters, basis);
    return true;
}

void proof_judge(const struct run *run, struct findings *findings)
{
    const struct proof_approval *last = run->approval_count ? &run->approvals[run->approval_count - 1] : NULL;
    struct finding *f;
    if (!run->proof_letters || (last && string_equal(last->letters, run->proof_letters))) return;
    if (last)
        f = finding_add(findings, "proof-changed", "job", "proof-changed",
                        ARGUMENTS(arg_words("who", last->who ? last->who : ""), arg_flag("who_2", last->who),
                                  arg_words("approved", last->letters),
                                  arg_words("day", zone_words(run->zone, last->at, findings->arena)),
                                  arg_words("letters", run->proof_letters),
                                  arg_flag("differs", run->proof_differs && *run->proof_differs),
                                  arg_words("what", run->proof_differs ? run->proof_differs : "")));
    else
        f = finding_add(findings, "proof-awaited", "job", "proof-awaited",
                        ARGUMENTS(arg_words("letters", run->proof_letters)));
    f->about = arena_format(findings->arena, "proof %s", run->proof_letters);
    f->yields = true;
}
