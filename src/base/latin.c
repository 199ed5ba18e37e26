/* Folds accented Latin letters (U+00C0 to U+017F) to plain ones. Called for words in the names of spot
 * colours and for a job's number taken from its folder's name. */
#include "base/latin.h"
#include "base/text.h"
#include <string.h>

/* U+00C0 to U+017F; the umlauts and the ligatures as their languages write them without. */
static const char *const letters[] = {
    "A",  "A", "A",  "A",  "Ae", "A", "Ae", "C",  "E",  "E", "E",  "E", "I",  "I",  "I", "I", "D", "N",
    "O",  "O", "O",  "O",  "Oe", "-", "Oe", "U",  "U",  "U", "Ue", "Y", "Th", "ss", "a", "a", "a", "a",
    "ae", "a", "ae", "c",  "e",  "e", "e",  "e",  "i",  "i", "i",  "i", "d",  "n",  "o", "o", "o", "o",
    "oe", "-", "oe", "u",  "u",  "u", "ue", "y",  "th", "y", "A",  "a", "A",  "a",  "A", "a", "C", "c",
    "C",  "c", "C",  "c",  "C",  "c", "D",  "d",  "D",  "d", "E",  "e", "E",  "e",  "E", "e", "E", "e",
    "E",  "e", "G",  "g",  "G",  "g", "G",  "g",  "G",  "g", "H",  "h", "H",  "h",  "I", "i", "I", "i",
    "I",  "i", "I",  "i",  "I",  "i", "IJ", "ij", "J",  "j", "K",  "k", "k",  "L",  "l", "L", "l", "L",
    "l",  "L", "l",  "L",  "l",  "N", "n",  "N",  "n",  "N", "n",  "n", "N",  "n",  "O", "o", "O", "o",
    "O",  "o", "OE", "oe", "R",  "r", "R",  "r",  "R",  "r", "S",  "s", "S",  "s",  "S", "s", "S", "s",
    "T",  "t", "T",  "t",  "T",  "t", "U",  "u",  "U",  "u", "U",  "u", "U",  "u",  "U", "u", "U", "u",
    "W",  "w", "Y",  "y",  "Y",  "Z", "z",  "Z",  "z",  "Z", "z",  "s",
};
enum { FIRST = 0xC0, COUNT = sizeof letters / sizeof *letters, DIAERESIS = 0x308 };

/* A code point of well-formed UTF-8; the address behind it. */
static const char *next_code(const char *at, unsigned *code)
{
    unsigned char lead = (unsigned char)*at++;
    int more = lead < 0xC0 ? 0 : lead < 0xE0 ? 1 : lead < 0xF0 ? 2 : 3;
    *code = more ? lead & (0x3FU >> more) : lead;
    for (; more && *at; more--) *code = *code << 6 | ((unsigned char)*at++ & 0x3F);
    return at;
}

bool latin_plain(const char *words, struct text *out)
{
    bool known = true;
    while (*words) {
        unsigned code;
        words = next_code(words, &code);
        if (code < 0x80)
            text_add_char(out, (char)code);
        else if (code >= FIRST && code < FIRST + COUNT)
            text_add(out, letters[code - FIRST]);
        else if (code == DIAERESIS) /* as file systems take letters apart */
            text_add(out, "e");
        else if (code < 0x300 || code > 0x36F)
            known = false;
    }
    return known;
}

bool latin_name(const char *words, size_t most, struct text *out)
{
    static const char fit[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    struct text plain = text_new(out->arena);
    bool whole = latin_plain(words, &plain);
    for (const char *c = text_string(&plain); *c && out->length < most; c++) {
        if (strchr(fit, *c) && (*c != '-' || out->length))
            text_add_char(out, *c);
        else if (out->length && out->bytes[out->length - 1] != '-')
            text_add_char(out, '-');
    }
    while (out->length && out->bytes[out->length - 1] == '-') out->bytes[--out->length] = 0;
    return whole;
}
