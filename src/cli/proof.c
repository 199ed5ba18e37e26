/* Runs `lapstrake proof` and says what came of it. Called by main.c; the work is run/proof.h. */
#include "proof.h"
#include "answer/answer.h"
#include "base/str.h"
#include "run/proof.h"
#include "show.h"
#include <unistd.h>

bool proof_do(struct run *run, struct error *error)
{
    return proof_make(run, error) && proof_write(run, error) && answer_write_proof(run, error);
}

/* A stop that the proof itself is to mend is none of it. */
static bool stops_proof(const struct finding *f)
{
    return f->severity == SEVERITY_STOP && !string_equal(f->code, "proof-awaited") &&
           !string_equal(f->code, "proof-changed");
}

static void proof_show_words(const struct run *run, bool quiet, struct text *out)
{
    const struct proof *proof = run->proof;
    for (size_t i = 0; i < run->findings.count; i++) {
        const struct finding *f = &run->findings.items[i];
        if (stops_proof(f)) text_addf(out, "STOP  %s: %s\n      do: %s\n", f->code, f->text, f->remedy);
    }
    text_say(out, "proof-made",
             ARGUMENTS(arg_words("letters", proof->letters), arg_count("version", proof->version)));
    const struct proof_approval *a = proof->approval;
    if (a)
        text_say(out, "proof-approved",
                 ARGUMENTS(arg_words("letters", a->letters), arg_words("who", a->who ? a->who : ""),
                           arg_words("day", zone_words(run->zone, a->at, out->arena)),
                           arg_flag("same", string_equal(a->letters, proof->letters))));
    for (size_t i = 0; i < run->written_count && !quiet; i++)
        text_addf(out, "written: %s\n", run->written[i]);
}

bool proof_show(const struct run *run, const struct command_line *request)
{
    struct text out = text_new(run->arena);
    bool stopped = false;
    for (size_t i = 0; i < run->findings.count; i++)
        stopped = stopped || stops_proof(&run->findings.items[i]);
    if (request->json)
        answer_proof(run->proof, &out);
    else
        proof_show_words(run, request->quiet, &out);
    show_text(STDOUT_FILENO, &out);
    return !stopped;
}
