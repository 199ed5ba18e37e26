/* Recognises spot colours that are cutting, varnish or notes rather than ink, by the words of their names.
 * Called by judge.c and layers.c. */
#include "technical.h"
#include "base/arena.h"
#include "base/latin.h"
#include "base/text.h"
#include <ctype.h>
#include <string.h>

/* Words of the trade, as dictionaries have them, without accents; those that end in * begin longer ones too.
 */
static const char *const steps[] = {
    /* cutting */
    "cut*", "die", "dies", "diecut*", "dieline*", "stanz*", "schneid*", "schnitt*", "decoup*", "coupe",
    "corte", "troquel*", "taglio", "fustell*", "faca", "snij*", "stans*", "skaer*", "skjaer*", "ciecie",
    "wykrojnik*",
    /* creasing and folding */
    "creas*", "fold*", "score", "scoring", "rill*", "falz*", "pli", "plis", "pliage", "rainage", "rainur*",
    "plegad*", "hendid*", "cordon*", "piega*", "vinco*", "dobra*", "ril", "vouw*", "bigning", "bigow*",
    /* perforating */
    "perf", "perforat*", "perforier*", "perforad*", "perforaz*", "perforac*", "perforer*",
    /* varnish */
    "varnish*", "lacquer*", "lack", "klarlack", "lackier*", "vernis", "barniz*", "vernice", "verniz", "lak",
    "lakk", "lakier*",
    /* white */
    "white", "weiss", "deckweiss", "blanc", "blanche", "blanco", "bianco", "branco", "wit", "vit", "hvid",
    "hvit", "bialy", "biala",
    /* annotation */
    "annot*", "dimension*", "legend*", "notes", "anmerkung*", "hinweis*", "bemass*", "cotes", "cotas",
    "anotac*", "opmerking*"};

/* What stands beside them in such names. */
static const char *const beside[] = {
    "line*", "layer*",  "ink",    "spot",      "contour*", "path*",   "kiss",  "through", "thru",   "full",
    "half",  "partial", "guide*", "shape",     "outline*", "colour",  "color", "uv",      "gloss*", "matt*",
    "print", "under*",  "base",   "selective", "linie*",   "kontur*", "farbe", "ebene",   "ligne*", "couche",
    "encre", "linea*",  "capa",   "tinta",     "linha*",   "lijn*",   "laag",  "kleur",   "linje*", "linia",
    "de",    "di",      "du",     "of",        "for",      "the",     "do",    "da",      "e",      "and"};

static bool technical_is_in(const char *const *words, size_t count, const char *token, size_t length)
{
    for (size_t i = 0; i < count; i++) {
        size_t whole = strlen(words[i]);
        bool begins = words[i][whole - 1] == '*';
        if (begins ? length >= whole - 1 && !strncmp(words[i], token, whole - 1)
                   : length == whole && !strncmp(words[i], token, length))
            return true;
    }
    return false;
}

/* The length of the word at `at`: letters up to the next capital after a small one. */
static size_t word_length(const char *at)
{
    size_t length = 0;
    while (isalpha((unsigned char)at[length]) &&
           !(length && isupper((unsigned char)at[length]) && islower((unsigned char)at[length - 1])))
        length++;
    return length;
}

bool spot_is_technical(const char *name, struct arena *arena)
{
    struct text plain = text_new(arena);
    if (!latin_plain(name, &plain)) return false;
    bool any = false;
    for (const char *at = text_string(&plain); *at;) {
        size_t length = word_length(at);
        if (length) {
            char *token = arena_copy(arena, at, length);
            for (size_t i = 0; i < length; i++) token[i] = (char)tolower((unsigned char)token[i]);
            bool step = technical_is_in(steps, sizeof steps / sizeof *steps, token, length);
            if (!step && !technical_is_in(beside, sizeof beside / sizeof *beside, token, length))
                return false;
            any |= step;
        }
        at += length ? length : 1;
    }
    return any;
}
