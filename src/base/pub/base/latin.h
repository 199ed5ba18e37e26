/* Words in Latin letters without their accents. */
#ifndef BASE_LATIN_H
#define BASE_LATIN_H

#include <stdbool.h>
#include <stddef.h>

struct text;

/* Adds UTF-8 `words` in ASCII: "Müller" as "Mueller", "Łódź" as "Lodz" (umlauts by their spelling without,
 * other letters of Latin-1 and Latin Extended-A without their mark, in one code point or two). What has no
 * such spelling is left out; then false. */
bool latin_plain(const char *words, struct text *out);
/* A name in the letters of file names, from the words in Latin letters: letters, digits, - and _, every other sign as
 * one -, none at either end; at most `most` bytes, in `out`, which is empty before and may be after. False as above. */
bool latin_name(const char *words, size_t most, struct text *out);

#endif
