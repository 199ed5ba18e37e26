/* Tells from a profile's names and embedded data whether it is a published standard's rather than one
 * printer's. Called by profile.c. */
#include "profile_generic.h"
#include "base/sentence.h"
#include "base/arena.h"
#include <string.h>

/* Names of open characterisations and standards of printing, and of colour spaces, in small letters and
 * digits only. `word`: too short to be looked for inside of other words. */
static const struct standard {
    const char *name;
    bool word;
} standards[] = {
    {"fogra", false},
    {"swop", true},
    {"gracol", false},
    {"snap", true},
    {"isocoated", false},
    {"isouncoated", false},
    {"isonewspaper", false},
    {"iso12647", false},
    {"iso15339", false},
    {"cgats", false},
    {"crpc", false},
    {"psocoated", false},
    {"psouncoated", false},
    {"psolwc", false},
    {"euroscale", false},
    {"webcoated", false},
    {"websheetfed", false},
    {"sheetfedcoated", false},
    {"sheetfeduncoated", false},
    {"uncoatedfogra", false},
    {"japancolor", false},
    {"xcmyk", true},
    {"genericcmyk", false},
    {"defaultcmyk", false},
    {"generic", true},
    {"srgb", true},
    {"scrgb", true},
    {"newspaper", true},
};

/* Small letters and digits; everything else becomes one blank, so that words can be told apart. */
static void plain(const char *text, char *words, size_t size)
{
    size_t length = 0;
    words[length++] = ' ';
    for (; *text && length + 2 < size; text++) {
        char c = *text >= 'A' && *text <= 'Z' ? (char)(*text + 32) : *text;
        bool kept = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        if (kept) words[length++] = c;
        if (!kept && words[length - 1] != ' ') words[length++] = ' ';
    }
    if (words[length - 1] != ' ') words[length++] = ' ';
    words[length] = 0;
}

static bool names(const char *words, const struct standard *standard)
{
    size_t length = strlen(standard->name);
    if (standard->word) {
        for (const char *at = words; (at = strstr(at, standard->name)); at++)
            if (at[-1] == ' ' && at[length] == ' ') return true;
        return false;
    }
    char joined[256];
    size_t count = 0;
    for (; *words && count + 1 < sizeof joined; words++)
        if (*words != ' ') joined[count++] = *words;
    joined[count] = 0;
    return strstr(joined, standard->name);
}

static const char *standard_in(const char *text)
{
    char words[256];
    plain(text, words, sizeof words);
    for (size_t i = 0; i < sizeof standards / sizeof *standards; i++)
        if (names(words, &standards[i])) return standards[i].name;
    return NULL;
}

/* Characterization data begins with what was measured: its first lines say whether it is a standard's. */
static const char *standard_in_data(struct str targ, struct arena *arena)
{
    if (targ.length < 9) return NULL;
    struct str start = str_slice(targ, 8, targ.length < 248 ? targ.length : 248);
    return standard_in(arena_copy(arena, start.bytes, start.length));
}

const char *profile_generic_why(const struct profile_facts *facts, struct str targ, struct arena *arena)
{
    if (facts->class_ == PROFILE_DISPLAY) return sentence_plain("it-describes-monitor-or-working-space");
    if (facts->class_ == PROFILE_COLOUR_SPACE) return sentence_plain("it-describes-colour-space");
    if (standard_in(facts->description))
        return sentence_words(arena, "its-name-is-that-of-standard",
                              ARGUMENTS(arg_words("description", facts->description)));
    if (standard_in_data(targ, arena)) return sentence_plain("it-was-made-from-data-of");
    return NULL;
}
