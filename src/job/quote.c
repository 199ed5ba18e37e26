/* Writes a string as YAML, quoted where it must be. Called by the editing files and new.c. */
#include "base/arena.h"
#include "base/text.h"
#include "job/edit.h"
#include <string.h>
#include <strings.h>

/* Words that some reader of YAML takes for something else (YAML 1.1, bool and null types). */
static bool is_other_word(const char *words)
{
    static const char *const others[] = {"null", "true", "false", "yes", "no", "on", "off", "y", "n"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (!strcasecmp(words, others[i])) return true;
    return false;
}

/* Letters first, then nothing that means something in YAML, in brackets or out of them. */
static bool quote_is_plain(const char *words)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";
    size_t length = strlen(words);
    if (!length || !strchr(letters, *words) || words[length - 1] == ' ' || is_other_word(words)) return false;
    for (; *words; words++)
        if (!strchr(letters, *words) && !strchr("0123456789 _-./", *words)) return false;
    return true;
}

/* One character of well-formed UTF-8 and its bytes. */
static unsigned quote_decode(const unsigned char *bytes, size_t *used)
{
    unsigned lead = bytes[0];
    *used = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    unsigned code = *used == 1 ? lead : lead & (0x7Fu >> *used);
    for (size_t i = 1; i < *used; i++) code = code << 6 | (bytes[i] & 0x3Fu);
    return code;
}

/* YAML 1.2, 5.1: c-printable; and line breaks and marks that readers fold or skip. */
static bool is_printable(unsigned code)
{
    if (code < 0xA0) return code >= 0x20 && code < 0x7F;
    return code != 0x2028 && code != 0x2029 && code != 0xFEFF && code != 0xFFFE && code != 0xFFFF;
}

const char *job_quote(const char *words, struct arena *arena)
{
    if (quote_is_plain(words)) return arena_copy_string(arena, words);
    struct text out = text_new(arena);
    text_add_char(&out, '"');
    for (size_t used; *words; words += used) {
        unsigned code = quote_decode((const unsigned char *)words, &used);
        if (code == '"' || code == '\\') text_add_char(&out, '\\');
        if (is_printable(code))
            text_add_bytes(&out, words, used);
        else
            text_addf(&out, "\\u%02x%02x", code >> 8, code & 0xFF); /* none of them needs more digits */
    }
    text_add_char(&out, '"');
    return text_string(&out);
}
