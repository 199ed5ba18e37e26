/* Fingerprints: of content for the cache and of rows for the lay-back check (64 bits, not against an
 * adversary), MD5 for the profile ID that ICC.1 defines, and SHA-256 (FIPS 180-4) for the record. */
#ifndef BASE_HASH_H
#define BASE_HASH_H

#include <stddef.h>
#include <stdint.h>

/* Where a fingerprint starts; the result of one call goes into the next, so that a fingerprint of several values
 * depends on their order and on where one ends. */
#define HASH_START UINT64_C(0xcbf29ce484222325)
/* Goes on from `hash` over `length` bytes, faster than memory gives them. The same on every machine of one
 * byte order. */
uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t length);

/* MD5 (RFC 1321) piece by piece: start, add any number of times, finish once. Held by value; nothing to free. */
struct md5 {
    uint32_t state[4];
    uint64_t length; /* bytes so far */
    unsigned char block[64];
};
void md5_start(struct md5 *md5);
void md5_add(struct md5 *md5, const void *bytes, size_t length);
/* The digest's bytes in their usual order. */
void md5_finish(struct md5 *md5, unsigned char digest[16]);

/* SHA-256 in the same way. */
struct sha256 {
    uint32_t state[8];
    uint64_t length; /* bytes so far */
    unsigned char block[64];
};
void sha256_start(struct sha256 *sha);
void sha256_add(struct sha256 *sha, const void *bytes, size_t length);
/* 64 hex digits and a NUL. */
void sha256_finish(struct sha256 *sha, char hex[65]);

#endif
