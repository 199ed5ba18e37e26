/* A customer's approval of a proof: its letters must be those of a proof that was made of the job. Called by put.c
 * before the entry goes on record. */
#include "base/path.h"
#include "base/text.h"
#include "inner.h"
#include "run/proof.h"
#include <string.h>

static const char *const approved_how[] = {"mail", "signature", "counter"};

static bool how_is_known(const char *how)
{
    for (size_t i = 0; i < sizeof approved_how / sizeof *approved_how; i++)
        if (string_equal(how, approved_how[i])) return true;
    return false;
}

static bool proof_was_made(const struct proof_known *known, size_t count, const char *letters)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(known[i].letters, letters)) return true;
    return false;
}

static bool check_letters(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error)
{
    char letters[PROOF_LETTERS + 1];
    size_t count = 0;
    const char *folder = floor_job_folder(floor, fact->job, arena);
    const struct proof_known *known =
        folder ? proofs_known(floor->machine, path_join(arena, folder, "out"), arena, &count) : NULL;
    if (!count)
        return error_set(error, FAILURE_INPUT, "approve-no-proof", ARGUMENTS(arg_words("job", fact->job)));
    const char *present = known[count - 1].letters;
    if (!fact->letters)
        return error_set(error, FAILURE_INPUT, "approve-which",
                         ARGUMENTS(arg_words("job", fact->job), arg_words("present", present)));
    if (!proof_letters_read(fact->letters, letters) || !proof_was_made(known, count, letters))
        return error_set(error, FAILURE_INPUT, "approve-other-letters",
                         ARGUMENTS(arg_words("letters", fact->letters), arg_words("job", fact->job),
                                   arg_words("present", present)));
    fact->letters = arena_copy_string(arena, letters);
    return true;
}

bool approve_proof(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error)
{
    if (!check_letters(floor, fact, arena, error)) return false;
    if (!how_is_known(fact->how))
        return error_set(
            error, FAILURE_INPUT, "approve-how",
            ARGUMENTS(arg_words("how", fact->how ? fact->how : ""), arg_flag("how_2", fact->how)));
    if (!fact->who || !fact->who[strspn(fact->who, " \t")])
        return error_set(error, FAILURE_INPUT, "approve-who", NULL);
    return true;
}
