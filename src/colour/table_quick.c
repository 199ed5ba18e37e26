/* The quick way: eight pixels at once with AVX2 to find cells, corners and weights, then pixel by pixel. */
#include "table_run.h"
#include <string.h>

#ifdef __x86_64__
#include <immintrin.h>

#define QUICK  __attribute__((target("avx2")))
#define INLINE static inline __attribute__((always_inline, target("avx2")))

/* The corners of a batch of pixels are all found before the first pixel is interpolated: found one after the
 * other, each would wait for its own. */
enum { GROUP = 8, BATCH = 128, PAIRS = 3 };

/* Loops over axes and pixels of a group are short and fixed; unrolled, everything stays in registers. */
#define UNROLL _Pragma("GCC unroll 8")

/* Of each pixel: the corner nodes but the last (which lies `whole` beyond the first), and the weights of
 * corners two by two: the lower in the low half. Where the table has simplices: the lowest corner, and the
 * simplex, in bytes from the first. */
struct quick_batch {
    uint32_t node[TABLE_AXES][BATCH];
    uint32_t weights[PAIRS][BATCH];
    uint32_t simplex[BATCH];
};

/* ---- samples of eight pixels by axis, as 16 bits ---- */

/* Bytes 4i + axis of each half, doubled, which makes 257 times the value. */
INLINE __m256i quick_spread(__m256i pixels, int first, int step)
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
    for (int a = 0; a < axes; a++) values[a] = quick_spread(pixels, a, axes);
}

INLINE void load_words(const uint16_t *in, int axes, __m256i values[TABLE_AXES])
{
    uint32_t words[TABLE_AXES][GROUP];
    for (int i = 0; i < GROUP; i++)
        for (int a = 0; a < axes; a++) words[a][i] = in[i * axes + a];
    for (int a = 0; a < axes; a++) values[a] = _mm256_loadu_si256((const __m256i *)(const void *)words[a]);
}

/* ---- cells and weights ---- */

INLINE void quick_order(__m256i *high, __m256i *low)
{
    __m256i larger = _mm256_max_epu32(*high, *low);
    *low = _mm256_min_epu32(*high, *low);
    *high = larger;
}

INLINE void sort(__m256i *keys, int axes)
{
    if (axes == 4) {
        quick_order(&keys[0], &keys[1]), quick_order(&keys[2], &keys[3]);
        quick_order(&keys[0], &keys[2]), quick_order(&keys[1], &keys[3]);
        quick_order(&keys[1], &keys[2]);
    } else {
        quick_order(&keys[0], &keys[1]), quick_order(&keys[1], &keys[2]), quick_order(&keys[0], &keys[1]);
    }
}

INLINE __m256i place(const struct colour_table *table, __m256i value, __m256i *way)
{
    __m256i scaled = _mm256_mullo_epi32(value, _mm256_set1_epi32((int)table->steps / 4));
    __m256i at =
        _mm256_add_epi32(scaled, _mm256_srli_epi32(_mm256_add_epi32(scaled, _mm256_set1_epi32(32768)), 16));
    __m256i node =
        _mm256_min_epu32(_mm256_srli_epi32(at, WAY_BITS), _mm256_set1_epi32((int)table->steps - 1));
    *way = _mm256_sub_epi32(at, _mm256_slli_epi32(node, WAY_BITS));
    return node;
}

INLINE void quick_keep(uint32_t to[GROUP], __m256i value)
{
    _mm256_storeu_si256((__m256i *)(void *)to, value);
}

/* Of eight pixels, the first of which is number `at` of the batch. */
INLINE void find_corners(const struct colour_table *table, const __m256i *values, int axes,
                         struct quick_batch *batch, size_t at)
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
        quick_keep(batch->node[i] + at, base);
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
        quick_keep(batch->weights[i / 2] + at,
                   _mm256_or_si256(weights[i], _mm256_slli_epi32(weights[i + 1], 16)));
}

INLINE void find_simplices(const struct colour_table *table, const __m256i *values, struct quick_batch *batch,
                           size_t at)
{
    __m256i corner = _mm256_setzero_si256(), simplex = _mm256_setzero_si256();
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
    _Static_assert(sizeof(struct simplex) == 16, "shifted by 4");
    quick_keep(batch->node[0] + at, corner);
    quick_keep(batch->simplex + at, _mm256_slli_epi32(simplex, 4));
}

/* ---- sums: four samples of 32 bits ---- */

INLINE __m128i load_node(const struct table_node *node)
{
    return _mm_loadl_epi64((const __m128i *)(const void *)node);
}

INLINE __m128i quick_pair(__m128i one, __m128i other, const uint32_t *weights)
{
    __m128i both = _mm_castps_si128(_mm_broadcast_ss((const float *)(const void *)weights));
    return _mm_madd_epi16(_mm_unpacklo_epi16(one, other), both);
}

/* `lowest` is the corner that the mark is in. */
INLINE __m128i sum_by_weights(const struct colour_table *table, const struct quick_batch *batch, size_t i,
                              int axes, __m128i *lowest)
{
    const struct table_node *nodes = table->nodes, *first = nodes + batch->node[0][i];
    *lowest = load_node(first);
    __m128i second = load_node(nodes + batch->node[1][i]), third = load_node(nodes + batch->node[2][i]);
    __m128i last = load_node(first + table->whole);
    __m128i sum = quick_pair(*lowest, second, &batch->weights[0][i]);
    if (axes == 3) return _mm_add_epi32(sum, quick_pair(third, last, &batch->weights[1][i]));
    __m128i fourth = load_node(nodes + batch->node[3][i]);
    sum = _mm_add_epi32(sum, quick_pair(third, fourth, &batch->weights[1][i]));
    return _mm_add_epi32(sum, quick_pair(last, last, &batch->weights[2][i]));
}

INLINE __m128i sum_by_simplex(const struct colour_table *table, const struct quick_batch *batch, size_t i,
                              __m128i *lowest)
{
    const struct table_node *first = table->nodes + batch->node[0][i];
    const struct simplex *simplex = (const void *)((const char *)table->simplices + batch->simplex[i]);
    const char *bytes = (const char *)first;
    *lowest = load_node(first);
    __m128i second = load_node((const void *)(bytes + simplex->second));
    __m128i third = load_node((const void *)(bytes + simplex->third));
    __m128i sum = quick_pair(*lowest, second, &simplex->weights[0]);
    return _mm_add_epi32(sum, quick_pair(third, load_node(first + table->whole), &simplex->weights[1]));
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

/* ---- a batch: `in` and `out` are those of its first pixel ---- */

/* What the loops below are made for: called with constants, each has its own. */
struct quick_kind {
    int axes;
    size_t samples; /* that come out */
    bool simplices;
};

INLINE void find(const struct colour_table *table, struct quick_kind kind, const void *in,
                 struct quick_batch *batch, size_t at)
{
    __m256i values[TABLE_AXES];
    if (table->wide)
        load_words((const uint16_t *)in + at * (size_t)kind.axes, kind.axes, values);
    else
        load_bytes((const uint8_t *)in + at * (size_t)kind.axes, kind.axes, values);
    if (kind.simplices)
        find_simplices(table, values, batch, at);
    else
        find_corners(table, values, kind.axes, batch, at);
}

INLINE void correct_steep(const struct colour_table *table, struct quick_kind kind,
                          const struct quick_batch *batch, const void *in, size_t at, uint8_t *out)
{
    for (size_t i = at; i < at + GROUP; i++)
        if (table_is_steep(table, batch->node[0][i]))
            table_run_exact(table, in, i, batch->node[0][i], out + i * kind.samples);
}

INLINE void run_group(const struct colour_table *table, struct quick_kind kind,
                      const struct quick_batch *batch, const void *in, size_t at, uint8_t *out)
{
    __m128i marks = _mm_setzero_si128(), round = _mm_set1_epi32(ROUND), lowest;
    UNROLL
    for (size_t i = at; i < at + GROUP; i += 4) {
        __m128i sums[4];
        UNROLL
        for (size_t k = 0; k < 4; k++) {
            sums[k] = kind.simplices ? sum_by_simplex(table, batch, i + k, &lowest)
                                     : sum_by_weights(table, batch, i + k, kind.axes, &lowest);
            sums[k] = _mm_srai_epi32(_mm_add_epi32(sums[k], round), SUM_SHIFT);
            marks = _mm_or_si128(marks, lowest);
        }
        put_four(sums, out + i * kind.samples, kind.samples);
    }
    bool steep = (uint64_t)_mm_cvtsi128_si64(marks) >> 48 & STEEP_BIT;
    if (steep && table->has_steep) correct_steep(table, kind, batch, in, at, out);
}

/* `count` is a multiple of GROUP, at most BATCH. */
INLINE void run_batch(const struct colour_table *table, struct quick_kind kind, const void *in, uint8_t *out,
                      size_t count)
{
    struct quick_batch batch;
    for (size_t at = 0; at < count; at += GROUP) find(table, kind, in, &batch, at);
    for (size_t at = 0; at < count; at += GROUP) run_group(table, kind, &batch, in, at, out);
}

/* ---- any number of pixels ---- */

INLINE void run_from(const struct colour_table *table, struct quick_kind kind, const void *in, uint8_t *out,
                     size_t from, size_t count)
{
    size_t bytes = (size_t)kind.axes * (table->wide ? 2 : 1);
    run_batch(table, kind, (const uint8_t *)in + from * bytes, out + from * kind.samples, count);
}

/* The last group may do pixels again that the one before it did. */
INLINE size_t run_all(const struct colour_table *table, struct quick_kind kind, const void *in, uint8_t *out,
                      size_t count)
{
    if (count < GROUP) return 0;
    size_t whole = count / GROUP * GROUP;
    for (size_t at = 0; at < whole; at += BATCH)
        run_from(table, kind, in, out, at, whole - at < BATCH ? whole - at : BATCH);
    if (whole < count) run_from(table, kind, in, out, count - GROUP, GROUP);
    return count;
}

QUICK static size_t run_avx2(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    bool four = table->out_samples == 4;
    if (table->simplices && four) return run_all(table, (struct quick_kind){3, 4, true}, in, out, count);
    if (table->simplices) return run_all(table, (struct quick_kind){3, 3, true}, in, out, count);
    if (table->axes == 3 && four) return run_all(table, (struct quick_kind){3, 4, false}, in, out, count);
    if (table->axes == 3) return run_all(table, (struct quick_kind){3, 3, false}, in, out, count);
    if (four) return run_all(table, (struct quick_kind){4, 4, false}, in, out, count);
    return run_all(table, (struct quick_kind){4, 3, false}, in, out, count);
}

size_t table_run_quick(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    if (table->out_samples < 3 || !__builtin_cpu_supports("avx2")) return 0;
    return run_avx2(table, in, out, count);
}

#else

size_t table_run_quick(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    (void)table, (void)in, (void)out, (void)count;
    return 0;
}

#endif
