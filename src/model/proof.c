/* A proof's letters: worked out from its digest, and read as people write them. Called by run and floor. */
#include "model/proof.h"
#include <string.h>

enum { LETTERS_BASE = sizeof PROOF_ALPHABET - 1, DIGEST_DIGITS_USED = 16 };

static uint64_t proof_digit(char digit)
{
    return (uint64_t)(digit <= '9' ? digit - '0' : digit - 'a' + 10);
}

void proof_letters_of(const char hex[65], char letters[PROOF_LETTERS + 1])
{
    uint64_t number = 0;
    for (int i = 0; i < DIGEST_DIGITS_USED; i++) number = number << 4 | proof_digit(hex[i]);
    letters[PROOF_LETTERS] = 0;
    for (int i = PROOF_LETTERS; i-- > 0; number /= LETTERS_BASE)
        letters[i] = PROOF_ALPHABET[number % LETTERS_BASE];
}

bool proof_letters_read(const char *written, char letters[PROOF_LETTERS + 1])
{
    size_t count = 0;
    for (; *written; written++) {
        if (*written == ' ' || *written == '-') continue;
        char letter = *written >= 'a' && *written <= 'z' ? (char)(*written - 'a' + 'A') : *written;
        if (count == PROOF_LETTERS || !strchr(PROOF_ALPHABET, letter)) return false;
        letters[count++] = letter;
    }
    letters[count] = 0;
    return count == PROOF_LETTERS;
}
