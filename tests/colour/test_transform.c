/* Colour conversion: exact against Little CMS's own command, fast against exact. */
#include "values.h"
#include "../../src/colour/table.h"
#include "base/arena.h"
#include "base/text.h"
#include "colour/transform.h"
#include <math.h>
#include <unistd.h>

static struct machine machine;
static struct arena *arena;
static struct pool *pool;
static struct str shop, other; /* two CMYK profiles: the demo shop's, and one of the shared collection */
static const char *shop_path, *other_path;

static struct str read_profile(const char *path)
{
    struct str bytes = {"", 0};
    if (path && machine.status(&machine, path).exists)
        machine_read(&machine, path, 64 << 20, arena, &bytes, NULL);
    return bytes;
}

static int set_up(void **state)
{
    (void)state;
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    pool = pool_new(&machine, 2);
    const char *shared = getenv("LAPSTRAKE_SHARED");
    shop_path = getenv("LAPSTRAKE_PROFILE");
    other_path = arena_format(arena, "%s/inputs/icc/test1.icc", shared ? shared : "");
    shop = read_profile(shop_path);
    other = read_profile(other_path);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    pool_free(pool);
    arena_free(arena);
    return 0;
}

/* Small and the same everywhere: xorshift, seed fixed. */
static uint32_t next_random(uint32_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 17;
    *state ^= *state << 5;
    return *state;
}

static struct colour_transform *transform(struct str source, enum pixel_format in, struct str destination,
                                          enum pixel_format out, enum intent intent, enum colour_speed speed)
{
    struct colour_order order = {source, in, destination, out, intent, true, speed, pool, 0};
    struct error error = {0};
    struct colour_transform *made = colour_transform_new(&machine, &order, &error);
    if (!made) fail_msg("%s", error.text);
    return made;
}

/* ---- exact ---- */

enum { PATCHES = 200 };

/* Runs transicc (Little CMS 2.14, Debian liblcms2-utils) on patches of `in` samples; false when it is not
 * there. */
static bool transicc(const char *options, const double *in, int in_samples, double *out, int out_samples)
{
    char path[] = "/tmp/colour-patches-XXXXXX", command[2048];
    int fd = mkstemp(path);
    FILE *file = fdopen(fd, "w");
    for (int i = 0; i < PATCHES; i++) {
        for (int s = 0; s < in_samples; s++) fprintf(file, "%.6f ", in[i * in_samples + s]);
        fputc('\n', file);
    }
    fclose(file);
    snprintf(command, sizeof command, "transicc -n %s < %s 2>/dev/null", options, path);
    FILE *pipe = popen(command, "r");
    int got = 0;
    while (pipe && got < PATCHES * out_samples && fscanf(pipe, "%lf", &out[got]) == 1) got++;
    bool ok = pipe && pclose(pipe) == 0 && got == PATCHES * out_samples;
    unlink(path);
    return ok;
}

/* transicc takes RGB as 0..255 and CMYK as 0..100. It works in floating point; ours is rounded to 8 bits at
 * the end, so half a level and a trifle for the library's 16 bit steps between. */
static void compare_with_transicc(const char *options, struct str source, enum pixel_format in,
                                  double in_scale, struct str destination, enum intent intent)
{
    int samples = (int)pixel_samples(in);
    uint8_t pixels[PATCHES * 4], got[PATCHES * 4];
    double patches[PATCHES * 4], expected[PATCHES * 4];
    uint32_t random = 12345;
    for (int i = 0; i < PATCHES * samples; i++) {
        pixels[i] = (uint8_t)next_random(&random);
        patches[i] = pixels[i] * in_scale / 255;
    }
    if (!transicc(options, patches, samples, expected, 4)) skip();
    struct colour_transform *made = transform(source, in, destination, PIXELS_CMYK8, intent, COLOUR_EXACT);
    colour_transform_rows(made, pixels, got, PATCHES);
    for (int i = 0; i < PATCHES * 4; i++) assert_true(fabs(got[i] - expected[i] * 2.55) < 0.56);
    colour_transform_free(made);
}

static void rgb_exact(void **state)
{
    (void)state;
    if (!shop.length) skip();
    static const struct str none = {"", 0};
    for (int intent = INTENT_PERCEPTUAL; intent <= INTENT_ABSOLUTE; intent++) {
        const char *options = arena_format(arena, "-i '*sRGB' -o %s -t %d %s", shop_path, intent,
                                           intent == INTENT_ABSOLUTE ? "" : "-b");
        compare_with_transicc(options, none, PIXELS_RGB8, 255, shop, (enum intent)intent);
    }
}

static void cmyk_exact(void **state)
{
    (void)state;
    if (!shop.length || !other.length) skip();
    const char *options = arena_format(arena, "-i %s -o %s -t 1 -b", other_path, shop_path);
    compare_with_transicc(options, other, PIXELS_CMYK8, 100, shop, INTENT_RELATIVE);
}

/* ---- fast ---- */

struct differences {
    double mean, off_share;
    int most;
};

static struct differences compare(const uint8_t *one, const uint8_t *another, size_t count)
{
    struct differences d = {0};
    size_t off = 0, sum = 0;
    for (size_t i = 0; i < count; i++) {
        int by = abs(one[i] - another[i]);
        sum += (size_t)by;
        off += by > 1;
        if (by > d.most) d.most = by;
    }
    d.mean = (double)sum / (double)count;
    d.off_share = (double)off / (double)count;
    return d;
}

/* For print: mean at most 0.2 of 255, at most 0.2 % of samples off by more than 1, none by more than 6. For
 * previews the same, but a sample may be off by 10: 41 nodes a side are coarse in steep places, and a preview
 * is looked at, not measured. */
enum { PRINT_MOST = 6, PREVIEW_MOST = 10 };

static void assert_close(struct differences d, int most, const char *what)
{
    if (d.mean > 0.2 || d.off_share > 0.002 || d.most > most)
        fail_msg("%s: mean %.4f, %.3f %% off by more than 1, most %d", what, d.mean, d.off_share * 100,
                 d.most);
}

static void compare_speeds(struct str source, enum pixel_format in, struct str destination,
                           enum pixel_format out, const uint8_t *pixels, size_t count, const char *what)
{
    uint8_t *fast_out = malloc(count * 4), *exact_out = malloc(count * 4);
    struct colour_transform *fast = transform(source, in, destination, out, INTENT_RELATIVE, COLOUR_FAST);
    struct colour_transform *exact = transform(source, in, destination, out, INTENT_RELATIVE, COLOUR_EXACT);
    colour_transform_rows(fast, pixels, fast_out, count);
    colour_transform_rows(exact, pixels, exact_out, count);
    struct differences d = compare(fast_out, exact_out, count * pixel_samples(out));
    colour_transform_free(fast);
    colour_transform_free(exact);
    free(fast_out);
    free(exact_out);
    assert_close(d, out == PIXELS_RGB8 ? PREVIEW_MOST : PRINT_MOST, what);
}

static uint8_t *random_pixels(size_t bytes)
{
    uint8_t *pixels = malloc(bytes);
    uint32_t random = 1;
    for (size_t i = 0; i < bytes; i++) pixels[i] = (uint8_t)(next_random(&random) >> 8);
    return pixels;
}

static void random_pixels_fast(void **state)
{
    (void)state;
    if (!shop.length || !other.length) skip();
    static const struct str none = {"", 0};
    enum { COUNT = 1000000 };
    uint8_t *pixels = random_pixels(COUNT * 4);
    compare_speeds(none, PIXELS_RGB8, shop, PIXELS_CMYK8, pixels, COUNT, "sRGB to the shop's profile");
    compare_speeds(none, PIXELS_RGB8, other, PIXELS_CMYK8, pixels, COUNT, "sRGB to another profile");
    compare_speeds(none, PIXELS_GREY8, shop, PIXELS_CMYK8, pixels, COUNT, "grey to the shop's profile");
    compare_speeds(shop, PIXELS_CMYK8, none, PIXELS_LAB8, pixels, COUNT, "CMYK to Lab");
    compare_speeds(other, PIXELS_CMYK8, shop, PIXELS_CMYK8, pixels, COUNT, "another CMYK to the shop's");
    compare_speeds(none, PIXELS_LAB8, shop, PIXELS_CMYK8, pixels, COUNT, "Lab to the shop's profile");
    compare_speeds(none, PIXELS_LAB8, other, PIXELS_CMYK8, pixels, COUNT, "Lab to another profile");
    compare_speeds(shop, PIXELS_CMYK8, none, PIXELS_RGB8, pixels, COUNT, "CMYK to a preview's sRGB");
    free(pixels);
}

/* FOGRA39L, 1617 patches (ISO 12642-2), as numbers of inks. */
static void fogra39_patches_fast(void **state)
{
    (void)state;
    struct values row;
    if (!shop.length || !other.length || !values_open(&row, "fogra39l_1617.csv")) skip();
    static const struct str none = {"", 0};
    static uint8_t inks[1617 * 4];
    size_t count = 0;
    while (values_row(&row)) {
        if (row.count < 11 || !strcmp(row.field[0], "id")) continue;
        assert_true(count < 1617);
        for (int s = 0; s < 4; s++) inks[count * 4 + (size_t)s] = (uint8_t)lround(value(&row, 1 + s) * 2.55);
        count++;
    }
    assert_int_equal(count, 1617);
    compare_speeds(shop, PIXELS_CMYK8, none, PIXELS_LAB8, inks, count, "FOGRA39 patches, CMYK to Lab");
    compare_speeds(other, PIXELS_CMYK8, shop, PIXELS_CMYK8, inks, count, "FOGRA39 patches, CMYK to CMYK");
}

static void invert(const void *self, const uint16_t *in, uint16_t *out, size_t count)
{
    (void)self;
    for (size_t i = 0; i < count; i++) {
        uint32_t x = in[i * 3], y = in[i * 3 + 1], z = in[i * 3 + 2];
        out[i * 4] = (uint16_t)(65535 - x);
        out[i * 4 + 1] = (uint16_t)(x * y / 65535);
        out[i * 4 + 2] = (uint16_t)(z * z / 65535);
        out[i * 4 + 3] = (uint16_t)((x + y + z) / 3);
    }
}

/* Something of every input, for inputs of three and four samples. */
static void stir(const void *self, const uint16_t *in, uint16_t *out, size_t count)
{
    size_t axes = *(const size_t *)self, samples = 4;
    for (size_t i = 0; i < count; i++)
        for (size_t s = 0; s < samples; s++) {
            uint32_t sum = 0;
            for (size_t a = 0; a < axes; a++) sum += in[i * axes + a] * (uint32_t)(a * s + 1) / 7;
            out[i * samples + s] = (uint16_t)(sum % 65536);
        }
}

static void assert_ways_agree(enum pixel_format in, size_t axes, size_t bytes, enum table_fineness fineness)
{
    enum { COUNT = 20003 }; /* not a whole number of groups */
    struct colour_table *table =
        table_new(&machine, in, PIXELS_CMYK8, fineness, (struct exact){stir, &axes}, pool);
    uint8_t *pixels = random_pixels(COUNT * bytes), *quick = malloc(COUNT * 4), *plain = malloc(COUNT * 4);
    memset(pixels, 255, bytes); /* the corner, where the last cell ends */
    table_run(table, pixels, quick, COUNT);
    table_run_plain(table, pixels, plain, COUNT);
    assert_memory_equal(quick, plain, COUNT * 4);
    free(pixels), free(quick), free(plain);
    table_free(&machine, table);
}

/* The quick way and the portable way give identical bytes, and linear things come out exactly. */
static void both_ways_agree(void **state)
{
    (void)state;
    enum { COUNT = 100000 };
    struct colour_table *table =
        table_new(&machine, PIXELS_RGB8, PIXELS_CMYK8, TABLE_FINE, (struct exact){invert, NULL}, pool);
    uint8_t *pixels = random_pixels(COUNT * 3), *quick = malloc(COUNT * 4), *plain = malloc(COUNT * 4);
    table_run(table, pixels, quick, COUNT);
    table_run_plain(table, pixels, plain, COUNT);
    assert_memory_equal(quick, plain, COUNT * 4);
    for (size_t i = 0; i < COUNT; i++) assert_int_equal(quick[i * 4], 255 - pixels[i * 3]);
    free(pixels), free(quick), free(plain);
    table_free(&machine, table);
    assert_ways_agree(PIXELS_RGB8, 3, 3, TABLE_FINE);
    assert_ways_agree(PIXELS_RGB8, 3, 3, TABLE_STEEP);
    assert_ways_agree(PIXELS_RGB16, 3, 6, TABLE_FINE);
    assert_ways_agree(PIXELS_CMYK8, 4, 4, TABLE_COARSE);
    assert_ways_agree(PIXELS_CMYK16, 4, 8, TABLE_COARSE);
    assert_ways_agree(PIXELS_CMYK8, 4, 4, TABLE_STEEP);
    assert_ways_agree(PIXELS_LAB16, 3, 6, TABLE_STEEP);
}

/* With few pixels no table is filled: FAST is EXACT. */
static void few_pixels_are_exact(void **state)
{
    (void)state;
    if (!shop.length || !other.length) skip();
    enum { COUNT = 5000 };
    uint8_t *pixels = random_pixels(COUNT * 4), out[2][COUNT * 4];
    for (int speed = COLOUR_FAST; speed <= COLOUR_EXACT; speed++) {
        struct colour_order order = {.source = other,
                                     .in = PIXELS_CMYK8,
                                     .destination = shop,
                                     .out = PIXELS_CMYK8,
                                     .intent = INTENT_RELATIVE,
                                     .speed = (enum colour_speed)speed,
                                     .pixels = COUNT};
        struct colour_transform *made = colour_transform_new(&machine, &order, NULL);
        colour_transform_rows(made, pixels, out[speed], COUNT);
        colour_transform_free(made);
    }
    assert_memory_equal(out[COLOUR_FAST], out[COLOUR_EXACT], sizeof out[0]);
    free(pixels);
}

/* ---- numbers that stay ---- */

static void same_profile_passes_untouched(void **state)
{
    (void)state;
    if (!shop.length) skip();
    enum { COUNT = 1000 };
    uint8_t *pixels = random_pixels(COUNT * 4), out[COUNT * 4];
    for (int speed = COLOUR_FAST; speed <= COLOUR_EXACT; speed++) {
        struct colour_transform *made =
            transform(shop, PIXELS_CMYK8, shop, PIXELS_CMYK8, INTENT_RELATIVE, (enum colour_speed)speed);
        colour_transform_rows(made, pixels, out, COUNT);
        assert_memory_equal(out, pixels, COUNT * 4);
        colour_transform_free(made);
    }
    free(pixels);
}

/* 16 bits in give what 8 bits do where both name the same colour (257 v = v). By the tables, whose nodes lie
 * at other places, both come as near to it. */
static void wide_input(void **state)
{
    (void)state;
    if (!shop.length) skip();
    static const struct str none = {"", 0};
    enum { COUNT = 5000 };
    uint8_t *pixels = random_pixels(COUNT * 3), narrow[COUNT * 4], wide_out[COUNT * 4];
    uint16_t wide[COUNT * 3];
    for (size_t i = 0; i < COUNT * 3; i++) wide[i] = (uint16_t)(pixels[i] * 257);
    struct colour_transform *from_8 =
        transform(none, PIXELS_RGB8, shop, PIXELS_CMYK8, INTENT_RELATIVE, COLOUR_EXACT);
    colour_transform_rows(from_8, pixels, narrow, COUNT);
    for (int speed = COLOUR_FAST; speed <= COLOUR_EXACT; speed++) {
        struct colour_transform *from_16 =
            transform(none, PIXELS_RGB16, shop, PIXELS_CMYK8, INTENT_RELATIVE, (enum colour_speed)speed);
        colour_transform_rows(from_16, wide, wide_out, COUNT);
        if (speed == COLOUR_EXACT)
            assert_memory_equal(narrow, wide_out, COUNT * 4);
        else
            assert_close(compare(narrow, wide_out, COUNT * 4), PRINT_MOST, "16 bits");
        colour_transform_free(from_16);
    }
    colour_transform_free(from_8);
    free(pixels);
}

static void bad_profiles_are_refused(void **state)
{
    (void)state;
    static const struct str none = {"", 0}, junk = {"this is no profile", 18};
    struct error error = {0};
    struct colour_order order = {junk,         PIXELS_RGB8, none, PIXELS_LAB8, INTENT_RELATIVE, true,
                                 COLOUR_EXACT, NULL,        0};
    assert_null(colour_transform_new(&machine, &order, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, "the profile of the artwork"));
    order.source = none;
    order.out = PIXELS_CMYK8;
    assert_null(colour_transform_new(&machine, &order, &error));
    assert_non_null(strstr(error.text, "the profile of the printing condition"));
    if (!shop.length) return;
    order.source = shop; /* CMYK for an RGB picture */
    order.destination = shop;
    assert_null(colour_transform_new(&machine, &order, &error));
    assert_non_null(strstr(error.text, "it is for CMYK, and the picture is RGB"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rgb_exact),
        cmocka_unit_test(cmyk_exact),
        cmocka_unit_test(random_pixels_fast),
        cmocka_unit_test(fogra39_patches_fast),
        cmocka_unit_test(both_ways_agree),
        cmocka_unit_test(few_pixels_are_exact),
        cmocka_unit_test(same_profile_passes_untouched),
        cmocka_unit_test(wide_input),
        cmocka_unit_test(bad_profiles_are_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
