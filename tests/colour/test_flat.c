/* Flat runs against the definition: the first stretch of twelve and more equal pixels, whole. */
#include "../test.h"
#include "../../src/colour/flat.h"
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { LENGTH = 200, SHORTEST = 12 };

static uint32_t next_random(uint32_t *state)
{
    *state = *state * 1664525 + 1013904223;
    return *state >> 8;
}

static bool same(const uint8_t *row, size_t one, size_t other, size_t bytes)
{
    return !memcmp(row + one * bytes, row + other * bytes, bytes);
}

static struct flat_run defined(const uint8_t *row, size_t count, size_t bytes)
{
    for (size_t first = 0, next; first < count; first = next) {
        for (next = first + 1; next < count && same(row, first, next, bytes);) next++;
        if (next - first >= SHORTEST) return (struct flat_run){first, next - first};
    }
    return (struct flat_run){count, 0};
}

/* Stretches of one to twenty pixels; neighbours often differ in one byte only, at either end of a pixel. */
static void fill(uint8_t *row, size_t count, size_t bytes, uint32_t *random)
{
    memset(row, 7, bytes);
    for (size_t x = 1, left = 0; x < count; x++, left--) {
        memcpy(row + x * bytes, row + (x - 1) * bytes, bytes);
        if (left) continue;
        size_t byte = next_random(random) % bytes;
        row[x * bytes + byte] = (uint8_t)(row[x * bytes + byte] + 1 + next_random(random) % 3);
        left = 1 + next_random(random) % 20;
    }
}

static void runs_as_defined(void **state)
{
    (void)state;
    static const size_t sizes[] = {1, 2, 3, 4, 6, 8};
    uint32_t random = 11;
    size_t found = 0;
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++)
        for (int again = 0; again < 3000; again++) {
            size_t bytes = sizes[s], count = next_random(&random) % LENGTH;
            /* In memory of its own length: nothing may be read beyond. */
            uint8_t *row = malloc(count ? count * bytes : 1);
            assert_non_null(row);
            if (count) fill(row, count, bytes, &random);
            struct flat_run run = flat_find(row, count, bytes), expected = defined(row, count, bytes);
            assert_int_equal(run.first, expected.first);
            assert_int_equal(run.length, expected.length);
            found += run.length > 0;
            free(row);
        }
    assert_true(found > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(runs_as_defined)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
