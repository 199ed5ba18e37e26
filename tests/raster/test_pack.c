/* Strips packed by ourselves. Judges: libtiff, which must unpack them to the same bytes; for LZW also a
 * decoder written down from the standard (TIFF 6.0, section 13), which sees where codes and the strip end. */
#include "pack.h"
#include "base/pool.h"
#include "collect.h"
#include "memory_tiff.h"

enum { MOST = 1 << 19, ROOM = MOST * 2 };

static struct machine machine;
static struct arena *arena;
static uint8_t *bytes, *packed, *back;
static struct memory_file file;

static const struct way {
    const char *name;
    const struct codec *codec;
    enum tiff_compression compression;
    uint16_t tag;
} ways[] = {{"lzw", &pack_lzw, TIFF_LZW, COMPRESSION_LZW},
            {"deflate", &pack_deflate, TIFF_DEFLATE, COMPRESSION_ADOBE_DEFLATE},
            {"zstd", &pack_zstd, TIFF_ZSTD, COMPRESSION_ZSTD}};

enum { WAYS = sizeof ways / sizeof *ways };

static int set_up(void **state)
{
    (void)state;
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    bytes = arena_take(arena, MOST);
    packed = arena_take(arena, ROOM);
    back = arena_take(arena, ROOM);
    file = (struct memory_file){.bytes = arena_take(arena, ROOM), .capacity = ROOM};
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

/* ---- pictures ---- */

static uint32_t next_random(uint32_t *random)
{
    *random ^= *random << 13, *random ^= *random >> 17, *random ^= *random << 5;
    return *random >> 8;
}

static void noise(uint8_t *out, size_t length)
{
    uint32_t random = 1;
    for (size_t i = 0; i < length; i++) out[i] = (uint8_t)next_random(&random);
}

static void flat(uint8_t *out, size_t length)
{
    memset(out, 0, length);
}

static void ramp(uint8_t *out, size_t length)
{
    for (size_t i = 0; i < length; i++) out[i] = (uint8_t)(i / 5);
}

/* Differences of a soft photograph: small, zero most often. */
static void grain(uint8_t *out, size_t length)
{
    uint32_t random = 2;
    for (size_t i = 0; i < length; i++)
        out[i] = (uint8_t)(next_random(&random) % 4 + next_random(&random) % 4 - 3);
}

/* Edges of letters between stretches of paper. */
static void letters(uint8_t *out, size_t length)
{
    uint32_t random = 3;
    memset(out, 0, length);
    for (size_t i = 0; i < length; i += 40 + next_random(&random) % 3 * 4)
        out[i] = (uint8_t)(i % 3 ? 230 : 26);
}

/* From each byte to every other in turn: no pair comes twice within many thousands, so that LZW finds no
 * string again and each byte takes a code, the worst there is for it. */
static void pairs(uint8_t *out, size_t length)
{
    uint8_t turns[256] = {0}, byte = 0;
    for (size_t i = 0; i < length; i++) {
        out[i] = byte;
        byte = (uint8_t)(byte + turns[byte]++);
    }
}

static const struct picture {
    const char *name;
    void (*fill)(uint8_t *out, size_t length);
} pictures[] = {{"noise", noise}, {"flat", flat},       {"ramp", ramp},
                {"grain", grain}, {"letters", letters}, {"pairs", pairs}};

enum { PICTURES = sizeof pictures / sizeof *pictures };

/* ---- LZW by the standard ---- */

struct reader {
    const uint8_t *bytes;
    size_t length, bit;
};

/* -1 behind the end. */
static int next_code(struct reader *reader, int width)
{
    int code = 0;
    for (int i = 0; i < width; i++, reader->bit++) {
        if (reader->bit / 8 >= reader->length) return -1;
        code = code << 1 | (reader->bytes[reader->bit / 8] >> (7 - reader->bit % 8) & 1);
    }
    return code;
}

/* Section 13, LZW Decoding. The length of what came out; -1 when it is no LZW: without a clear code first,
 * codes that the table has not, a table with more than 4094 codes, anything but unset bits of the last byte
 * behind the end. */
static long standard_unpacks(const uint8_t *in, size_t length, uint8_t *out)
{
    struct {
        size_t at, length;
    } table[4096];
    struct reader reader = {in, length, 0};
    int width = 9, next = 258, code, old = -1;
    size_t made = 0;
    if (next_code(&reader, width) != 256) return -1;
    while ((code = next_code(&reader, width)) != 257) {
        if (code == 256) {
            width = 9, next = 258, old = -1;
            continue;
        }
        if (code < 0 || code > next || (code == next && old < 0) || next > 4094) return -1;
        size_t from = made;
        if (code < 256)
            out[made++] = (uint8_t)code;
        else if (code >= 258)
            for (size_t i = 0, count = code < next ? table[code].length : table[next].length; i < count;
                 i++, made++)
                out[made] = out[table[code].at + i];
        if (old >= 0) next++;
        old = code;
        /* The next code's string: this one and the byte behind it. */
        table[next].at = from, table[next].length = made - from + 1;
        if (next == 511 || next == 1023 || next == 2047) width = next == 511 ? 10 : next == 1023 ? 11 : 12;
    }
    bool padded = (reader.bit + 7) / 8 == length && next_code(&reader, (int)(length * 8 - reader.bit)) == 0;
    return padded ? (long)made : -1;
}

/* ---- the checks ---- */

static size_t pack(const struct way *way, void *self, size_t length, size_t room)
{
    return way->codec->pack(self, bytes, length, packed, room);
}

static void check_unpacks(const struct way *way, size_t length, size_t size)
{
    struct memory_strip strip = {way->tag, (uint32_t)length, 1, 1, false};
    memset(back, 0xAA, length);
    if (!size || !library_unpacks(&file, &strip, packed, size, back) || memcmp(back, bytes, length))
        fail_msg("%s, %zu bytes: the library does not unpack the same from %zu", way->name, length, size);
}

static void check_lzw(void *lzw, size_t length)
{
    size_t size = pack(&ways[0], lzw, length, ROOM);
    long made = standard_unpacks(packed, size, back);
    if (made != (long)length || memcmp(back, bytes, length))
        fail_msg("%zu bytes: by the standard %ld come out", length, made);
    check_unpacks(&ways[0], length, size);
}

/* Every length up to where the table was cleared once, with a code for each byte: all code widths, each of
 * them and the table ending anywhere. The same with nothing but zeros, which are packed many at once. */
static void lzw_ends_anywhere(void **state)
{
    (void)state;
    void *lzw = pack_lzw.open();
    pairs(bytes, MOST);
    for (size_t length = 1; length < 4200; length++) check_lzw(lzw, length);
    flat(bytes, MOST);
    for (size_t length = 1; length < 1200; length++) check_lzw(lzw, length);
    pack_lzw.close(lzw);
}

/* A table that becomes full anywhere in a row of zeros, of which 3000 take 77 codes. */
static void lzw_zeros_fill_the_table(void **state)
{
    (void)state;
    void *lzw = pack_lzw.open();
    for (size_t before = 3700; before < 3850; before++) {
        pairs(bytes, 10000);
        memset(bytes + before, 0, 3000);
        check_lzw(lzw, 10000);
        check_lzw(lzw, before + 3000);
    }
    pack_lzw.close(lzw);
}

static void every_picture(void **state)
{
    (void)state;
    static const size_t lengths[] = {1, 2, 3, 4, 5, 64, 1000, 4096, 11111, 65536, 300001, MOST};
    for (size_t w = 0; w < WAYS; w++) {
        void *self = ways[w].codec->open();
        for (size_t p = 0; p < PICTURES; p++)
            for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
                pictures[p].fill(bytes, lengths[i]);
                size_t size = pack(&ways[w], self, lengths[i], ROOM);
                check_unpacks(&ways[w], lengths[i], size);
                if (w == 0) assert_int_equal(standard_unpacks(packed, size, back), lengths[i]);
            }
        ways[w].codec->close(self);
    }
}

/* Where the packing or its settings are ours: the library at its defaults, on the same bytes. */
static void no_larger_than_the_library(void **state)
{
    (void)state;
    for (size_t w = 0; w < WAYS; w++) {
        if (ways[w].compression == TIFF_DEFLATE) continue;
        void *self = ways[w].codec->open();
        for (size_t p = 0; p < PICTURES; p++) {
            size_t length = 331392; /* 5178 pixels, 16 rows */
            struct memory_strip strip = {ways[w].tag, (uint32_t)length, 1, 1, false};
            pictures[p].fill(bytes, length);
            size_t size = pack(&ways[w], self, length, ROOM);
            size_t theirs = library_packs(&file, &strip, bytes);
            if (size > theirs + theirs / 100 + 64)
                fail_msg("%s, %s: %zu bytes, the library %zu", ways[w].name, pictures[p].name, size, theirs);
        }
        ways[w].codec->close(self);
    }
}

/* What was packed before leaves no trace. */
static void nothing_is_carried_on(void **state)
{
    (void)state;
    uint8_t *first = arena_take(arena, ROOM);
    for (size_t w = 0; w < WAYS; w++) {
        void *self = ways[w].codec->open();
        grain(bytes, 100000);
        size_t size = pack(&ways[w], self, 100000, ROOM);
        memcpy(first, packed, size);
        letters(bytes, 200001);
        pack(&ways[w], self, 200001, ROOM);
        grain(bytes, 100000);
        pack(&ways[w], self, 100000, ROOM / 1000); /* fails in the middle, or before */
        assert_int_equal(pack(&ways[w], self, 100000, ROOM), size);
        assert_memory_equal(first, packed, size);
        ways[w].codec->close(self);
    }
}

static void too_little_room_is_told(void **state)
{
    (void)state;
    noise(bytes, 10000);
    for (size_t w = 0; w < WAYS; w++) {
        void *self = ways[w].codec->open();
        size_t room = 9000;
        memset(packed + room, 0x55, 64);
        assert_int_equal(pack(&ways[w], self, 10000, room), 0);
        for (size_t i = 0; i < 64; i++) assert_int_equal(packed[room + i], 0x55);
        ways[w].codec->close(self);
    }
}

/* ---- through the panels' door ---- */

enum { WIDTH = 301, STRIPS = 40 };

struct batch {
    struct tiff_packers *packers;
    enum tiff_compression compression;
    struct tiff_packed strips[STRIPS];
};

static int rows_of(size_t i)
{
    return (int)(i % TIFF_ROWS) + 1;
}

static void pack_one(void *context, size_t i)
{
    struct batch *batch = context;
    packers_pack(batch->packers, batch->compression, bytes + i * 1000, (size_t)WIDTH * 4, rows_of(i),
                 &batch->strips[i]);
}

static struct batch *packed_by(unsigned threads, unsigned packers, enum tiff_compression compression)
{
    struct batch *batch = arena_take(arena, sizeof *batch);
    batch->compression = compression;
    batch->packers = tiff_packers_new(arena, packers);
    for (size_t i = 0; i < STRIPS; i++) {
        batch->strips[i].capacity = (size_t)WIDTH * 4 * TIFF_ROWS * 2;
        batch->strips[i].memory = arena_take(arena, batch->strips[i].capacity);
    }
    struct pool *pool = pool_new(arena_machine(arena), threads);
    pool_run(pool, STRIPS, pack_one, batch);
    pool_free(pool);
    tiff_packers_free(batch->packers);
    return batch;
}

/* Any number of threads, and more of them than packers: the same bytes, which the library unpacks to the
 * rows. */
static void threads_leave_no_trace(void **state)
{
    (void)state;
    grain(bytes, MOST);
    for (size_t w = 0; w < WAYS; w++) {
        struct batch *alone = packed_by(1, 1, ways[w].compression);
        struct batch *others[] = {packed_by(4, 4, ways[w].compression), packed_by(4, 2, ways[w].compression)};
        for (size_t i = 0; i < STRIPS; i++) {
            const struct tiff_packed *strip = &alone->strips[i];
            for (size_t o = 0; o < 2; o++) {
                assert_int_equal(others[o]->strips[i].length, strip->length);
                assert_memory_equal(others[o]->strips[i].bytes, strip->bytes, strip->length);
            }
            struct memory_strip shape = {ways[w].tag, WIDTH, (uint32_t)rows_of(i), 4, true};
            assert_true(library_unpacks(&file, &shape, strip->bytes, strip->length, back));
            assert_memory_equal(back, bytes + i * 1000, (size_t)WIDTH * 4 * (size_t)rows_of(i));
        }
    }
}

/* The room that a panel gives its strips holds the worst of them: here with the differences of `pairs`, and
 * one pixel wide, where what each way adds counts most. */
static void worst_strips_have_room(void **state)
{
    (void)state;
    static const int widths[] = {1, 3, 1000, 4000};
    for (size_t w = 0; w < WAYS; w++)
        for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
            size_t stride = (size_t)widths[i] * 4;
            char path[] = "/tmp/pack-XXXXXX";
            int fd = mkstemp(path);
            unlink(path);
            struct tiff_order order = {
                .width = widths[i], .height = TIFF_ROWS, .compression = ways[w].compression};
            struct tiff_out *out = tiff_out_new(arena, fd, path, &order, NULL);
            assert_non_null(out);
            struct tiff_packed strip = tiff_packed_new(arena, out);
            noise(bytes, stride * TIFF_ROWS);
            if (w == 0) pairs(bytes, stride * TIFF_ROWS);
            for (size_t b = 0; b < stride * TIFF_ROWS; b++)
                if (b % stride >= 4) bytes[b] = (uint8_t)(bytes[b] + bytes[b - 4]);
            tiff_pack(out, bytes, TIFF_ROWS, &strip);
            if (!strip.length) fail_msg("%s, %d pixels wide: no room", ways[w].name, widths[i]);
            tiff_out_drop(out);
            close(fd);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lzw_ends_anywhere),      cmocka_unit_test(lzw_zeros_fill_the_table),
        cmocka_unit_test(every_picture),          cmocka_unit_test(no_larger_than_the_library),
        cmocka_unit_test(nothing_is_carried_on),  cmocka_unit_test(too_little_room_is_told),
        cmocka_unit_test(threads_leave_no_trace), cmocka_unit_test(worst_strips_have_room),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
