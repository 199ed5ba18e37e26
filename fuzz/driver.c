/* FUZZ-TARGET SEED [COPIES]: runs a target over its seed file and 3,000 damaged copies of it, always the same ones. Not a
 * fuzzer: it keeps the targets compiled and sound where there is none. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { COPIES = 3000, BYTES_MOST = 1 << 20 };

static uint64_t next(uint64_t *seed)
{
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return *seed >> 33;
}

/* One to four damages: a bit turned, a byte set, a piece cut out or doubled, the end cut off. */
static size_t damage(uint8_t *bytes, size_t size, uint64_t *seed)
{
    for (uint64_t n = 1 + next(seed) % 4; n && size > 8; n--) {
        size_t at = next(seed) % size, length = 1 + next(seed) % 40;
        if (length > size - at) length = size - at;
        switch (next(seed) % 5) {
        case 0:
            bytes[at] ^= (uint8_t)(1u << next(seed) % 8);
            break;
        case 1:
            bytes[at] = (uint8_t)next(seed);
            break;
        case 2:
            memmove(bytes + at, bytes + at + length, size - at - length), size -= length;
            break;
        case 3:
            if (size + length <= BYTES_MOST)
                memmove(bytes + at + length, bytes + at, size - at), size += length;
            break;
        default:
            size -= length;
            break;
        }
    }
    return size;
}

int main(int count, char **arguments)
{
    static uint8_t seed_bytes[BYTES_MOST], copy[BYTES_MOST];
    FILE *file = count > 1 ? fopen(arguments[1], "rb") : NULL;
    if (!file) return 1;
    size_t size = fread(seed_bytes, 1, BYTES_MOST / 2, file);
    fclose(file);
    uint64_t seed = 1;
    int copies = count > 2 ? (int)strtol(arguments[2], NULL, 10) : COPIES;
    LLVMFuzzerTestOneInput(seed_bytes, size);
    for (int i = 0; i < copies; i++) {
        memcpy(copy, seed_bytes, size);
        LLVMFuzzerTestOneInput(copy, damage(copy, size, &seed));
    }
    return 0;
}
