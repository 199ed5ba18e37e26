/* Judges whether a profile suits a printing condition or an artwork, and names it in words. Called by run
 * when conditions are opened, and by transform.c. */
#include "base/sentence.h"
#include "base/text.h"
#include "colour/profile.h"
#include <string.h>

/* ---- words ---- */

const char *profile_class_words(enum profile_class class_)
{
    static const char *const words[] = {
        "profile-scanner",    "profile-monitor",  "profile-output", "profile-device-link",
        "profile-space-only", "profile-abstract", "profile-named",  "profile-unknown",
    };
    return sentence_plain(words[class_]);
}

const char *profile_words(const struct profile_facts *facts, struct arena *arena)
{
    if (facts->state != PROFILE_FINE) return facts->trouble;
    struct text out = text_new(arena);
    text_addf(&out, "%s for %s", profile_class_words(facts->class_), facts->space);
    if (facts->description[0]) text_addf(&out, ", \"%s\"", facts->description);
    text_addf(&out, ", ICC version %d.%d", facts->version_major, facts->version_minor);
    if (facts->created.given)
        text_addf(&out, ", of %d-%02d-%02d", facts->created.year, facts->created.month, facts->created.day);
    return text_string(&out);
}

/* ---- a condition's profile ---- */

static void check_kind(const struct condition *condition, const struct profile_facts *facts,
                       struct findings *findings)
{
    if (facts->class_ != PROFILE_OUTPUT)
        finding_add(findings, "profile-class", "shop", "profile-class-condition-is-not-output",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile),
                              arg_words("profile_class", profile_class_words(facts->class_))));
    else if (!facts->b2a_for[condition->intent])
        finding_add(findings, "profile-class", "shop", "profile-class-condition-has-no-table",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile),
                              arg_words("intent", intent_name(condition->intent))));
    else if (!facts->a2b_for[0] && !facts->a2b_for[1] && !facts->a2b_for[2])
        finding_add(
            findings, "profile-class", "shop", "profile-class-condition-has-no-table-2",
            ARGUMENTS(arg_words("condition", condition->name), arg_words("profile", condition->profile)));
    if (strcmp(facts->space, "CMYK") != 0)
        finding_add(findings, "profile-space", "shop", "profile-space",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile), arg_words("space", facts->space)));
}

/* Hex digits in either case. */
static bool same_id(const char *one, const char *other)
{
    for (; *one && *other; one++, other++) {
        char a = *one >= 'A' && *one <= 'F' ? (char)(*one + 32) : *one;
        char b = *other >= 'A' && *other <= 'F' ? (char)(*other + 32) : *other;
        if (a != b) return false;
    }
    return *one == *other;
}

static void check_identity(const struct condition *condition, const struct profile_facts *facts,
                           struct findings *findings)
{
    if (facts->generic)
        finding_add(findings, "profile-generic", "shop", "profile-generic",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile),
                              arg_words("why", facts->generic_why)));
    if (facts->id == PROFILE_ID_WRONG)
        finding_add(findings, "profile-id-wrong", "shop", "profile-id-wrong",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile),
                              arg_words("embedded_id", facts->embedded_id),
                              arg_words("computed_id", facts->computed_id)));
    if (condition->profile_fingerprint && !same_id(condition->profile_fingerprint, facts->computed_id))
        finding_add(findings, "profile-changed", "shop", "profile-changed-condition-has-fingerprint-shop",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile),
                              arg_words("computed_id", facts->computed_id),
                              arg_words("profile_fingerprint", condition->profile_fingerprint)));
}

void profile_check(const struct condition *condition, const struct profile_facts *facts,
                   struct findings *findings)
{
    if (!facts || !condition->profile) {
        finding_add(findings, "profile-missing", "shop", "profile-missing",
                    ARGUMENTS(arg_words("condition", condition->name)));
        return;
    }
    if (facts->state != PROFILE_FINE) {
        bool missing = facts->state == PROFILE_MISSING;
        finding_add(findings, missing ? "profile-missing" : "profile-damaged", "shop", "condition-cannot-be",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile),
                              arg_words("trouble", facts->trouble)));
        return;
    }
    check_kind(condition, facts, findings);
    check_identity(condition, facts, findings);
}

/* ---- an artwork's profile ---- */

static const char *space_of(enum colour_kind pixels)
{
    switch (pixels) {
    case COLOUR_GREY:
        return "GRAY";
    case COLOUR_RGB:
        return "RGB";
    case COLOUR_CMYK:
        return "CMYK";
    case COLOUR_LAB:
        return "Lab";
    default:
        return "none";
    }
}

const char *profile_source_trouble(const struct profile_facts *facts, enum colour_kind pixels,
                                   struct arena *arena)
{
    if (facts->state != PROFILE_FINE) return facts->trouble;
    bool device = facts->class_ == PROFILE_INPUT || facts->class_ == PROFILE_DISPLAY ||
                  facts->class_ == PROFILE_OUTPUT || facts->class_ == PROFILE_COLOUR_SPACE;
    if (!device)
        return sentence_words(arena, "it-is-which-does-not-say",
                              ARGUMENTS(arg_words("profile_class", profile_class_words(facts->class_))));
    if (strcmp(facts->space, space_of(pixels)) != 0)
        return sentence_words(arena, "it-is-for-and-picture-is",
                              ARGUMENTS(arg_words("profile_space", facts->space),
                                        arg_words("picture_space", space_of(pixels))));
    if (pixels == COLOUR_CMYK && !facts->a2b_for[0] && !facts->a2b_for[1] && !facts->a2b_for[2])
        return sentence_plain("it-has-no-table-that-says");
    return NULL;
}
