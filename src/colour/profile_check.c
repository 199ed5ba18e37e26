#include "base/text.h"
#include "colour/profile.h"
#include <string.h>

/* ---- words ---- */

const char *profile_class_words(enum profile_class class_)
{
    static const char *const words[] = {
        "a scanner or camera profile", "a monitor profile",
        "an output profile",           "a device-link profile",
        "a colour space profile",      "an abstract profile",
        "a list of named colours",     "a profile of an unknown kind",
    };
    return words[class_];
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
        finding_add(findings, "profile-class", "shop", "Condition %s: %s is %s, not an output profile.",
                    condition->name, condition->profile, profile_class_words(facts->class_));
    else if (!facts->b2a_for[condition->intent])
        finding_add(
            findings, "profile-class", "shop",
            "Condition %s: %s has no table towards the printer (B2A) for the intent %s, so nothing can be "
            "converted with it.",
            condition->name, condition->profile, intent_name(condition->intent));
    else if (!facts->a2b_for[0] && !facts->a2b_for[1] && !facts->a2b_for[2])
        finding_add(findings, "profile-class", "shop",
                    "Condition %s: %s has no table that says what its inks look like (A2B).", condition->name,
                    condition->profile);
    if (strcmp(facts->space, "CMYK") != 0)
        finding_add(findings, "profile-space", "shop", "Condition %s: %s is for %s; panels are CMYK.",
                    condition->name, condition->profile, facts->space);
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
        finding_add(findings, "profile-generic", "shop", "Condition %s: %s is a general profile: %s.",
                    condition->name, condition->profile, facts->generic_why);
    if (facts->id == PROFILE_ID_WRONG)
        finding_add(findings, "profile-id-wrong", "shop",
                    "Condition %s: %s carries the ID %s, and its bytes give %s.", condition->name,
                    condition->profile, facts->embedded_id, facts->computed_id);
    if (condition->profile_fingerprint && !same_id(condition->profile_fingerprint, facts->computed_id))
        finding_add(findings, "profile-changed", "shop",
                    "Condition %s: %s has the fingerprint %s; the shop file remembers %s.", condition->name,
                    condition->profile, facts->computed_id, condition->profile_fingerprint);
}

void profile_check(const struct condition *condition, const struct profile_facts *facts,
                   struct findings *findings)
{
    if (!facts || !condition->profile) {
        finding_add(findings, "profile-missing", "shop", "Condition %s names no profile.", condition->name);
        return;
    }
    if (facts->state != PROFILE_FINE) {
        bool missing = facts->state == PROFILE_MISSING;
        finding_add(findings, missing ? "profile-missing" : "profile-damaged", "shop",
                    "Condition %s: %s cannot be used: %s.", condition->name, condition->profile,
                    facts->trouble);
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
        return arena_format(arena, "it is %s, which does not say what pixels look like",
                            profile_class_words(facts->class_));
    if (strcmp(facts->space, space_of(pixels)) != 0)
        return arena_format(arena, "it is for %s, and the picture is %s", facts->space, space_of(pixels));
    if (pixels == COLOUR_CMYK && !facts->a2b_for[0] && !facts->a2b_for[1] && !facts->a2b_for[2])
        return "it has no table that says what its inks look like (A2B)";
    return NULL;
}
