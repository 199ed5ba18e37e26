/* The quick way: eight pixels at once with AVX2 to find cells, corners and weights, then corner by corner. */
#include "table_run.h"
#include <string.h>

#ifdef __x86_64__
#include <immintrin.h>

#define QUICK  __attribute__((target("avx2")))
#define INLINE static inline __attribute__((always_inline, target("avx2")))

enum { GROUP = 8, PAIRS = 3 };

/* Loops over axes and pixels of a group are short and fixed; unrolled, everything stays in registers. */
#define UNROLL _Pragma("GCC unroll 8")

/* Of eight pixels: the corner nodes but the last (which lies `whole` beyond the first), and the weights of
 * corners two by two: the lower in the low half. */
struct corners {
    uint32_t node[TABLE_AXES][GROUP];
    uint32_t weights[PAIRS][GROUP];
};

/* ---- samples of eight pixels by axis, as 16 bits ---- */

/* Bytes 4i + axis of each half, doubled, which makes 257 times the value. */
INLINE __m256i spread(__m256i pixels, int first, int step)
{
    __m128i low = _mm_setr_epi8((char)first, (char)first, -1, -1, (char)(first + step), (char)(first + step),
                                -1, -1, (char)(first + 2 * step), (char)(first + 2 * step), -1, -1,
                                (char)(first + 3 * step), (char)(first + 3 * step), -1, -1);
    return _mm256_shuffle_epi8(pixels, _mm256_broadcastsi128_si256(low));
}

INLINE void load_bytes(const uint8_t *in, int axes, __m256i values[TABLE_AXES])
{
    const __m128i *first = (const __m128i *)(const void *)in;
    /* Four pixels in each half; of three samples the second half is loaded from 4 bytes before its pixels, so
     * that nothing is read beyond them, and moved down. */
    __m128i second = _mm_loadu_si128((const __m128i *)(const void *)(in + (axes == 4 ? 16 : 8)));
    if (axes == 3) second = _mm_srli_si128(second, 4);
    __m256i pixels = _mm256_setr_m128i(_mm_loadu_si128(first), second);
    UNROLL
    for (int a = 0; a < axes; a++) values[a] = spread(pixels, a, axes);
}

INLINE void load_words(const uint16_t *in, int axes, __m256i values[TABLE_AXES])
{
    uint32_t words[TABLE_AXES][GROUP];
    for (int i = 0; i < GROUP; i++)
        for (int a = 0; a < axes; a++) words[a][i] = in[i * axes + a];
    for (int a = 0; a < axes; a++) values[a] = _mm256_loadu_si256((const __m256i *)(const void *)words[a]);
}

/* ---- cells and weights ---- */

INLINE void order(__m256i *high, __m256i *low)
{
    __m256i larger = _mm256_max_epu32(*high, *low);
    *low = _mm256_min_epu32(*high, *low);
    *high = larger;
}

INLINE void sort(__m256i *keys, int axes)
{
    if (axes == 4) {
        order(&keys[0], &keys[1]), order(&keys[2], &keys[3]);
        order(&keys[0], &keys[2]), order(&keys[1], &keys[3]);
        order(&keys[1], &keys[2]);
    } else {
        order(&keys[0], &keys[1]), order(&keys[1], &keys[2]), order(&keys[0], &keys[1]);
    }
}

INLINE __m256i place(const struct table *table, __m256i value, __m256i *way)
{
    __m256i scaled = _mm256_mullo_epi32(value, _mm256_set1_epi32((int)table->steps / 4));
    __m256i at =
        _mm256_add_epi32(scaled, _mm256_srli_epi32(_mm256_add_epi32(scaled, _mm256_set1_epi32(32768)), 16));
    __m256i node =
        _mm256_min_epu32(_mm256_srli_epi32(at, WAY_BITS), _mm256_set1_epi32((int)table->steps - 1));
    *way = _mm256_sub_epi32(at, _mm256_slli_epi32(node, WAY_BITS));
    return node;
}

INLINE void keep(uint32_t to[GROUP], __m256i value)
{
    _mm256_storeu_si256((__m256i *)(void *)to, value);
}

INLINE void find_corners(const struct table *table, const __m256i *values, int axes, struct corners *corners)
{
    __m256i strides =
        _mm256_broadcastsi128_si256(_mm_loadu_si128((const __m128i *)(const void *)table->strides));
    __m256i keys[TABLE_AXES], weights[TABLE_AXES + 2], base = _mm256_setzero_si256();
    UNROLL
    for (int a = 0; a < axes; a++) {
        __m256i way, node = place(table, values[a], &way);
        base = _mm256_add_epi32(base, _mm256_mullo_epi32(node, _mm256_set1_epi32((int)table->strides[a])));
        keys[a] = _mm256_or_si256(_mm256_slli_epi32(way, KEY_AXIS_BITS), _mm256_set1_epi32(a));
    }
    sort(keys, axes);
    __m256i way = _mm256_set1_epi32(WAY_ONE);
    UNROLL
    for (int i = 0; i < axes; i++) {
        keep(corners->node[i], base);
        __m256i axis = _mm256_and_si256(keys[i], _mm256_set1_epi32(KEY_AXIS_MASK));
        base = _mm256_add_epi32(base, _mm256_permutevar8x32_epi32(strides, axis));
        __m256i next = _mm256_srli_epi32(keys[i], KEY_AXIS_BITS);
        weights[i] = _mm256_sub_epi32(way, next);
        way = next;
    }
    weights[axes] = way;
    weights[axes + 1] = _mm256_setzero_si256();
    UNROLL
    for (int i = 0; i <= axes; i += 2)
        keep(corners->weights[i / 2], _mm256_or_si256(weights[i], _mm256_slli_epi32(weights[i + 1], 16)));
}

/* ---- sums ---- */

INLINE __m128i pair(const struct node *one, const struct node *other, uint32_t weights)
{
    __m128i low = _mm_loadl_epi64((const __m128i *)(const void *)one);
    __m128i high = _mm_loadl_epi64((const __m128i *)(const void *)other);
    return _mm_madd_epi16(_mm_unpacklo_epi16(low, high), _mm_set1_epi32((int)weights));
}

/* Four samples of 32 bits. */
INLINE __m128i sum_pixel(const struct table *table, const struct corners *corners, int i, int axes)
{
    const struct node *nodes = table->nodes, *first = nodes + corners->node[0][i];
    __m128i sum = pair(first, nodes + corners->node[1][i], corners->weights[0][i]);
    if (axes == 3) {
        sum = _mm_add_epi32(sum,
                            pair(nodes + corners->node[2][i], first + table->whole, corners->weights[1][i]));
    } else {
        const struct node *last = first + table->whole;
        sum = _mm_add_epi32(
            sum, pair(nodes + corners->node[2][i], nodes + corners->node[3][i], corners->weights[1][i]));
        sum = _mm_add_epi32(sum, pair(last, last, corners->weights[2][i]));
    }
    return _mm_srai_epi32(_mm_add_epi32(sum, _mm_set1_epi32(ROUND)), SUM_SHIFT);
}

/* Four pixels of four bytes; of three samples the fourth bytes are squeezed out. */
INLINE void put_four(const __m128i sums[4], uint8_t *out, size_t samples)
{
    __m128i bytes = _mm_packus_epi16(_mm_packs_epi32(sums[0], sums[1]), _mm_packs_epi32(sums[2], sums[3]));
    if (samples == 4) {
        _mm_storeu_si128((__m128i *)(void *)out, bytes);
        return;
    }
    uint8_t squeezed[16];
    bytes = _mm_shuffle_epi8(bytes, _mm_setr_epi8(0, 1, 2, 4, 5, 6, 8, 9, 10, 12, 13, 14, -1, -1, -1, -1));
    _mm_storeu_si128((__m128i *)(void *)squeezed, bytes);
    memcpy(out, squeezed, 12);
}

INLINE void correct_steep(const struct table *table, const struct corners *corners, const void *in,
                          size_t first, uint8_t *out, size_t samples)
{
    for (size_t i = 0; i < GROUP; i++)
        if (table_is_steep(table, corners->node[0][i]))
            table_run_exact(table, in, first + i, corners->node[0][i], out + i * samples);
}

INLINE void run_group(const struct table *table, const void *in, size_t first, uint8_t *out, int axes,
                      size_t samples)
{
    __m256i values[TABLE_AXES];
    struct corners corners;
    if (table->wide)
        load_words((const uint16_t *)in + first * (size_t)axes, axes, values);
    else
        load_bytes((const uint8_t *)in + first * (size_t)axes, axes, values);
    find_corners(table, values, axes, &corners);
    out += first * samples;
    UNROLL
    for (int i = 0; i < GROUP; i += 4) {
        __m128i sums[4];
        UNROLL
        for (int k = 0; k < 4; k++) sums[k] = sum_pixel(table, &corners, i + k, axes);
        put_four(sums, out + (size_t)i * samples, samples);
    }
    if (table->has_steep) correct_steep(table, &corners, in, first, out, samples);
}

/* ---- three samples of 8 bits: the simplices are there already ---- */

/* Where the pixels of a batch lie: lowest corner and simplex, in bytes from the first. They are all found
 * before the first is interpolated: found one after the other, each would wait for its own. */
enum { BATCH = 128 };
struct cells {
    uint32_t corner[BATCH], simplex[BATCH];
};

/* Of eight pixels, the first of which is number `at` of the batch. */
INLINE void find_cells(const struct table *table, const uint8_t *in, struct cells *cells, size_t at)
{
    __m256i values[TABLE_AXES], corner = _mm256_setzero_si256(), simplex = _mm256_setzero_si256();
    load_bytes(in, 3, values);
    UNROLL
    for (int a = 0; a < 3; a++) {
        __m256i level = _mm256_and_si256(values[a], _mm256_set1_epi32(255));
        __m256i node = _mm256_srli_epi32(level, 2), stride = _mm256_set1_epi32((int)table->strides[a]);
        __m256i last = _mm256_cmpgt_epi32(level, _mm256_set1_epi32(256 - LEVELS));
        __m256i code = _mm256_add_epi32(_mm256_and_si256(level, _mm256_set1_epi32(LEVELS - 1)),
                                        _mm256_and_si256(last, _mm256_set1_epi32(LEVELS - 1)));
        corner = _mm256_add_epi32(corner, _mm256_mullo_epi32(node, stride));
        simplex = _mm256_or_si256(_mm256_slli_epi32(simplex, 3), code);
    }
    _Static_assert(sizeof(struct node) == 8 && sizeof(struct simplex) == 16, "shifts below");
    keep(cells->corner + at, _mm256_slli_epi32(corner, 3));
    keep(cells->simplex + at, _mm256_slli_epi32(simplex, 4));
}

INLINE __m128i load_node(const char *at)
{
    return _mm_loadl_epi64((const __m128i *)(const void *)at);
}

INLINE __m128i load_weights(const uint32_t *weights)
{
    return _mm_castps_si128(_mm_broadcast_ss((const float *)(const void *)weights));
}

/* Also gathers the marks of the cells in *marks. */
INLINE __m128i sum_in_cell(const struct table *table, const struct cells *cells, size_t i, __m128i *marks)
{
    const char *lowest = (const char *)table->nodes + cells->corner[i];
    const struct simplex *simplex = (const void *)((const char *)table->simplices + cells->simplex[i]);
    __m128i first = load_node(lowest), second = load_node(lowest + simplex->second);
    __m128i third = load_node(lowest + simplex->third),
            last = load_node(lowest + table->whole * sizeof(struct node));
    *marks = _mm_or_si128(*marks, first);
    __m128i lower = _mm_madd_epi16(_mm_unpacklo_epi16(first, second), load_weights(&simplex->weights[0]));
    __m128i higher = _mm_madd_epi16(_mm_unpacklo_epi16(third, last), load_weights(&simplex->weights[1]));
    __m128i sum = _mm_add_epi32(_mm_add_epi32(lower, higher), _mm_set1_epi32(ROUND));
    return _mm_srai_epi32(sum, SUM_SHIFT);
}

/* `in` and `out` are those of the batch. */
INLINE void correct_cells(const struct table *table, const struct cells *cells, size_t at, const uint8_t *in,
                          uint8_t *out, size_t samples)
{
    for (size_t i = at; i < at + GROUP; i++) {
        size_t corner = cells->corner[i] / sizeof(struct node);
        if (table_is_steep(table, corner)) table_run_exact(table, in, i, corner, out + i * samples);
    }
}

INLINE void run_cells(const struct table *table, const struct cells *cells, size_t at, const uint8_t *in,
                      uint8_t *out, size_t samples)
{
    __m128i marks = _mm_setzero_si128();
    UNROLL
    for (size_t i = at; i < at + GROUP; i += 4) {
        __m128i sums[4];
        UNROLL
        for (size_t k = 0; k < 4; k++) sums[k] = sum_in_cell(table, cells, i + k, &marks);
        put_four(sums, out + i * samples, samples);
    }
    bool steep = (uint64_t)_mm_cvtsi128_si64(marks) >> 48 & STEEP_BIT;
    if (steep && table->has_steep) correct_cells(table, cells, at, in, out, samples);
}

/* `count` is a multiple of GROUP, at most BATCH. */
INLINE void run_batch(const struct table *table, const uint8_t *in, uint8_t *out, size_t count,
                      size_t samples)
{
    struct cells cells;
    for (size_t at = 0; at < count; at += GROUP) find_cells(table, in + at * 3, &cells, at);
    for (size_t at = 0; at < count; at += GROUP) run_cells(table, &cells, at, in, out, samples);
}

/* ---- groups of pixels ---- */

/* Called with constants, so that each kind has its own loop. The last group may do pixels again that the one
 * before it did. */
INLINE size_t run_batches(const struct table *table, const uint8_t *in, uint8_t *out, size_t count,
                          size_t samples)
{
    if (count < GROUP) return 0;
    size_t whole = count / GROUP * GROUP;
    for (size_t at = 0; at < whole; at += BATCH)
        run_batch(table, in + at * 3, out + at * samples, whole - at < BATCH ? whole - at : BATCH, samples);
    if (whole < count)
        run_batch(table, in + (count - GROUP) * 3, out + (count - GROUP) * samples, GROUP, samples);
    return count;
}

INLINE size_t run_groups(const struct table *table, const void *in, uint8_t *out, size_t count, int axes,
                         size_t samples)
{
    size_t done = 0;
    if (count < GROUP) return 0;
    for (; done + GROUP <= count; done += GROUP) run_group(table, in, done, out, axes, samples);
    if (done < count) run_group(table, in, count - GROUP, out, axes, samples);
    return count;
}

QUICK static size_t run_avx2(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    bool four = table->out_samples == 4;
    if (table->simplices)
        return four ? run_batches(table, in, out, count, 4) : run_batches(table, in, out, count, 3);
    if (table->axes == 3)
        return four ? run_groups(table, in, out, count, 3, 4) : run_groups(table, in, out, count, 3, 3);
    return four ? run_groups(table, in, out, count, 4, 4) : run_groups(table, in, out, count, 4, 3);
}

size_t table_run_quick(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    if (table->out_samples < 3 || !__builtin_cpu_supports("avx2")) return 0;
    return run_avx2(table, in, out, count);
}

#else

size_t table_run_quick(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    (void)table, (void)in, (void)out, (void)count;
    return 0;
}

#endif
