/* SHA-256 after FIPS 180-4. */
#include "base/hash.h"
#include <string.h>

/* Section 4.2.2: of the cube roots of the first 64 primes. */
static const uint32_t roots[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t sha256_turned(uint32_t word, unsigned by)
{
    return word >> by | word << (32 - by);
}

static uint32_t sha256_word_at(const unsigned char *at)
{
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | (uint32_t)at[3];
}

/* Section 6.2.2, with its letters: s[0..7] are a..h. */
static void sha256_block(struct sha256 *sha)
{
    uint32_t w[64], s[8];
    for (int t = 0; t < 16; t++) w[t] = sha256_word_at(sha->block + 4 * t);
    for (int t = 16; t < 64; t++) {
        uint32_t one = sha256_turned(w[t - 2], 17) ^ sha256_turned(w[t - 2], 19) ^ w[t - 2] >> 10;
        uint32_t zero = sha256_turned(w[t - 15], 7) ^ sha256_turned(w[t - 15], 18) ^ w[t - 15] >> 3;
        w[t] = one + w[t - 7] + zero + w[t - 16];
    }
    memcpy(s, sha->state, sizeof s);
    for (int t = 0; t < 64; t++) {
        uint32_t one = sha256_turned(s[4], 6) ^ sha256_turned(s[4], 11) ^ sha256_turned(s[4], 25);
        uint32_t zero = sha256_turned(s[0], 2) ^ sha256_turned(s[0], 13) ^ sha256_turned(s[0], 22);
        uint32_t t1 = s[7] + one + ((s[4] & s[5]) ^ (~s[4] & s[6])) + roots[t] + w[t];
        uint32_t t2 = zero + ((s[0] & s[1]) ^ (s[0] & s[2]) ^ (s[1] & s[2]));
        memmove(s + 1, s, 7 * sizeof *s);
        s[4] += t1, s[0] = t1 + t2;
    }
    for (int i = 0; i < 8; i++) sha->state[i] += s[i];
}

void sha256_start(struct sha256 *sha)
{
    *sha = (struct sha256){.state = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c,
                                     0x1f83d9ab, 0x5be0cd19}};
}

void sha256_add(struct sha256 *sha, const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    while (length) {
        size_t filled = sha->length % 64, step = 64 - filled < length ? 64 - filled : length;
        memcpy(sha->block + filled, at, step);
        sha->length += step, at += step, length -= step;
        if (sha->length % 64 == 0) sha256_block(sha);
    }
}

void sha256_finish(struct sha256 *sha, char hex[65])
{
    static const char digits[] = "0123456789abcdef";
    uint64_t bits = sha->length * 8;
    sha256_add(sha, "\x80", 1);
    while (sha->length % 64 != 56) sha256_add(sha, "", 1);
    unsigned char tail[8];
    for (unsigned i = 0; i < 8; i++) tail[i] = (unsigned char)(bits >> (56 - 8 * i));
    sha256_add(sha, tail, 8);
    for (unsigned i = 0; i < 64; i++) hex[i] = digits[sha->state[i / 8] >> (28 - 4 * (i % 8)) & 15];
    hex[64] = 0;
}
