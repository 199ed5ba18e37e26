/* The fast 64 bit fingerprint and MD5 (RFC 1321). SHA-256 stands in sha256.c. */
#include "base/hash.h"
#include <string.h>

enum { LANES = 4 };

static inline uint64_t mix(uint64_t hash, uint64_t word)
{
    hash ^= word;
    return (hash << 31 | hash >> 33) * UINT64_C(0x9E3779B97F4A7C15);
}

static inline uint64_t word_of(const unsigned char *at, size_t length)
{
    uint64_t word = 0;
    if (length) memcpy(&word, at, length); /* of nothing, `at` may be NULL */
    return word;
}

/* Four words a step, each in a lane of its own: a multiplication need not wait for the one before. */
uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    uint64_t lanes[LANES] = {hash, hash + 1, hash + 2, hash + 3}, size = length;
    for (; length >= LANES * 8; at += LANES * 8, length -= LANES * 8)
        for (size_t i = 0; i < LANES; i++) lanes[i] = mix(lanes[i], word_of(at + 8 * i, 8));
    for (; length >= 8; at += 8, length -= 8) lanes[0] = mix(lanes[0], word_of(at, 8));
    lanes[0] = mix(lanes[0], word_of(at, length));
    for (size_t i = 0; i < LANES; i++) size = mix(size, lanes[i]) ^ size >> 29;
    return size;
}

/* MD5 after RFC 1321. */
static const uint32_t sines[64] = {
    0xd76aa478, 0xe8c7b756, 0x242070db, 0xc1bdceee, 0xf57c0faf, 0x4787c62a, 0xa8304613, 0xfd469501,
    0x698098d8, 0x8b44f7af, 0xffff5bb1, 0x895cd7be, 0x6b901122, 0xfd987193, 0xa679438e, 0x49b40821,
    0xf61e2562, 0xc040b340, 0x265e5a51, 0xe9b6c7aa, 0xd62f105d, 0x02441453, 0xd8a1e681, 0xe7d3fbc8,
    0x21e1cde6, 0xc33707d6, 0xf4d50d87, 0x455a14ed, 0xa9e3e905, 0xfcefa3f8, 0x676f02d9, 0x8d2a4c8a,
    0xfffa3942, 0x8771f681, 0x6d9d6122, 0xfde5380c, 0xa4beea44, 0x4bdecfa9, 0xf6bb4b60, 0xbebfbc70,
    0x289b7ec6, 0xeaa127fa, 0xd4ef3085, 0x04881d05, 0xd9d4d039, 0xe6db99e5, 0x1fa27cf8, 0xc4ac5665,
    0xf4292244, 0x432aff97, 0xab9423a7, 0xfc93a039, 0x655b59c3, 0x8f0ccc92, 0xffeff47d, 0x85845dd1,
    0x6fa87e4f, 0xfe2ce6e0, 0xa3014314, 0x4e0811a1, 0xf7537e82, 0xbd3af235, 0x2ad7d2bb, 0xeb86d391};
static const unsigned char turns[4][4] = {{7, 12, 17, 22}, {5, 9, 14, 20}, {4, 11, 16, 23}, {6, 10, 15, 21}};

static uint32_t hash_word_at(const unsigned char *block, unsigned i)
{
    const unsigned char *at = block + (size_t)i * 4;
    return (uint32_t)at[0] | (uint32_t)at[1] << 8 | (uint32_t)at[2] << 16 | (uint32_t)at[3] << 24;
}

static void md5_block(struct md5 *md5, const unsigned char *block)
{
    uint32_t a = md5->state[0], b = md5->state[1], c = md5->state[2], d = md5->state[3];
    for (unsigned i = 0; i < 64; i++) {
        uint32_t f;
        unsigned g;
        switch (i / 16) {
        case 0:
            f = (b & c) | (~b & d), g = i;
            break;
        case 1:
            f = (d & b) | (~d & c), g = (5 * i + 1) % 16;
            break;
        case 2:
            f = b ^ c ^ d, g = (3 * i + 5) % 16;
            break;
        default:
            f = c ^ (b | ~d), g = (7 * i) % 16;
            break;
        }
        f += a + sines[i] + hash_word_at(block, g);
        a = d, d = c, c = b;
        unsigned turn = turns[i / 16][i % 4];
        b += f << turn | f >> (32 - turn);
    }
    md5->state[0] += a, md5->state[1] += b, md5->state[2] += c, md5->state[3] += d;
}

void md5_start(struct md5 *md5)
{
    *md5 = (struct md5){.state = {0x67452301, 0xefcdab89, 0x98badcfe, 0x10325476}};
}

void md5_add(struct md5 *md5, const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    while (length) {
        size_t filled = md5->length % 64, step = 64 - filled < length ? 64 - filled : length;
        memcpy(md5->block + filled, at, step);
        md5->length += step, at += step, length -= step;
        if (md5->length % 64 == 0) md5_block(md5, md5->block);
    }
}

void md5_finish(struct md5 *md5, unsigned char digest[16])
{
    uint64_t bits = md5->length * 8;
    md5_add(md5, "\x80", 1);
    while (md5->length % 64 != 56) md5_add(md5, "", 1);
    unsigned char tail[8];
    for (unsigned i = 0; i < 8; i++) tail[i] = (unsigned char)(bits >> (8 * i));
    md5_add(md5, tail, 8);
    for (unsigned i = 0; i < 16; i++) digest[i] = (unsigned char)(md5->state[i / 4] >> (8 * (i % 4)));
}
