/* Reads an ICC profile from its file and asks what it prints. Called by run; judging it for a job is
 * profile_check.c. */
#include "colour/profile.h"
#include "base/sentence.h"
#include "profile_generic.h"
#include <string.h>

/* What it prints says more than what it is called. */
static void judge_colours(struct machine *machine, struct str bytes, struct arena *arena,
                          struct profile_facts *facts)
{
    if (facts->generic || facts->state != PROFILE_FINE || strcmp(facts->space, "CMYK") != 0) return;
    const char *condition = profile_published(machine, bytes, arena);
    if (!condition) return;
    facts->generic = true;
    facts->generic_why = sentence_words(arena, "it-prints-as-published-condition",
                                        ARGUMENTS(arg_words("condition", condition)));
}

bool profile_read(struct machine *machine, const char *path, struct arena *arena, struct profile_facts *facts,
                  struct str *bytes, struct error *error)
{
    struct str content = {"", 0};
    struct error trouble = {0};
    if (bytes) *bytes = content;
    bool there = machine->status(machine, path).exists;
    if (!there || !machine_read(machine, path, PROFILE_BYTES_MOST, arena, &content, &trouble)) {
        *facts = (struct profile_facts){.description = "", .copyright = ""};
        facts->state = there ? PROFILE_DAMAGED : PROFILE_MISSING;
        facts->trouble = there
                             ? arena_copy_string(arena, trouble.text)
                             : sentence_words(arena, "there-is-no-file", ARGUMENTS(arg_words("path", path)));
        return trouble.kind != FAILURE_MACHINE || error_words(error, trouble.kind, trouble.text);
    }
    profile_facts_from_bytes(content, arena, facts);
    judge_colours(machine, content, arena, facts);
    if (bytes) *bytes = content;
    return true;
}
