/* Foreign pictures of the shared collection: what they say, which are refused, and their pixels against
 * ImageMagick (Debian's, another reader above the same codecs; tiles, planes, palettes, orders of bytes are
 * its own code). */
#include "collect.h"
#include "../with_arena.h"
#include "raster/strips.h"
#include <math.h>

static struct artwork_facts facts_of(const char *path)
{
    struct artwork_facts facts;
    struct error error = {0};
    if (!raster_facts_load(&machine, path, "art", arena, &facts, &error))
        fail_msg("%s: %s", path, error.text);
    return facts;
}

static bool decode(const char *path, int shrink, struct collected *all, struct error *error)
{
    *all = (struct collected){.arena = arena};
    struct strip_sink sink = collect_sink(all);
    struct raster_view view = {.shrink = shrink};
    return raster_strips(&machine, path, "art", &view, &sink, error);
}

/* ---- what they say: INDEX.tsv's columns checked_facts and expected_behaviour ---- */

static void facts(void **state)
{
    (void)state;
    static const struct {
        const char *file;
        int width, height;
        double ppi;
        enum colour_kind colour;
        int bits, orientation, pages;
        bool alpha, profile;
    } expected[] = {
        {"tiff/BigTIFFMotorola.tif", 64, 64, 0, COLOUR_RGB, 8, 1, 1, false, false},
        {"tiff/ColorCheckerCalculator.tif", 798, 546, 61.385, COLOUR_LAB, 8, 1, 1, false, false},
        {"tiff/G31D_MULTI.TIF", 2464, 3248, 300, COLOUR_GREY, 1, 1, 2, false, false},
        {"tiff/cmyk-3c-16b.tiff", 157, 151, 0, COLOUR_CMYK, 16, 1, 1, false, false},
        {"tiff/cmyk-4c-8b.tiff", 157, 151, 72, COLOUR_CMYK, 8, 1, 1, true, false},
        {"tiff/cmyk-with-non-alpha-extra-channel.tiff", 160, 227, 96, COLOUR_CMYK, 8, 1, 1, false, false},
        {"tiff/g4_orientation_6.tif", 590, 88, 96, COLOUR_GREY, 1, 6, 1, false, false},
        {"tiff/general-cmm-error.tif", 1181, 860, 300, COLOUR_CMYK, 8, 1, 1, false, true},
        {"tiff/lab-a-8.tiff", 589, 340, 300, COLOUR_LAB, 8, 1, 1, true, false},
        {"tiff/shapes_lzw_14bps.tif", 128, 72, 72, COLOUR_RGB, 14, 1, 1, false, true},
        {"jpeg/Landscape_7.jpg", 1800, 1200, 72, COLOUR_RGB, 8, 7, 1, false, false},
        {"jpeg/Multiple_ICC_segments.jpg", 140, 140, 72, COLOUR_CMYK, 8, 1, 1, false, true},
        {"jpeg/jfif-cmyk-invalid-icc-profile-srgb.jpg", 493, 500, 300, COLOUR_CMYK, 8, 1, 1, false, false},
        {"jpeg/invalid-icc-duplicate-sequence-numbers-rgb-internal-kodak-srgb-jfif.jpg", 345, 540, 460,
         COLOUR_RGB, 8, 1, 1, false, true},
        {"jpeg/giant-image.jpg", 20000, 14000, 383.54, COLOUR_GREY, 8, 1, 1, false, false},
        {"jpeg/jfif_unit_cm.jpg", 1, 1, 2.54, COLOUR_GREY, 8, 1, 1, false, false},
        {"png/cdun2c08.png", 32, 32, 25.4, COLOUR_RGB, 8, 1, 1, false, false},
        {"png/tbbn3p08.png", 32, 32, 0, COLOUR_RGB, 8, 1, 1, true, false},
        {"png/basn2c16.png", 32, 32, 0, COLOUR_RGB, 16, 1, 1, false, false},
    };
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        char *path = shared_input(arena, expected[i].file);
        if (!path) skip();
        struct artwork_facts got = facts_of(path);
        if (got.state != ARTWORK_FINE) fail_msg("%s: %s", expected[i].file, got.trouble);
        assert_int_equal(got.width_px, expected[i].width);
        assert_int_equal(got.height_px, expected[i].height);
        assert_true(fabs(got.x_ppi - expected[i].ppi) < 0.001);
        assert_int_equal(got.colour, expected[i].colour);
        assert_int_equal(got.bits, expected[i].bits);
        assert_int_equal(got.orientation, expected[i].orientation);
        assert_int_equal(got.page_count, expected[i].pages);
        assert_int_equal(got.alpha, expected[i].alpha);
        assert_int_equal(got.profile_size > 0, expected[i].profile);
    }
}

static void refused(void **state)
{
    (void)state;
    static const char *const names[] = {
        "tiff/crash-0c7e0e8e11ce787078f00b5b0ca409a167f070e0.tif",
        "tiff/crash-63b1dffefc8c075ddc606c0a2f5fdc15ece78863.tif",
        "tiff/int16_rgb.tif",
        "tiff/seek_too_large.tif",
        "tiff/tiled-oversize-gray-i8.tif",
        "jpeg/broken-adobe-marker-bad-length.jpg",
        "jpeg/eecb78b937a7c5f04aae2f5b0f5b5acc.jpg",
        "png/xc9n2c08.png",
        "png/xcrn0g04.png",
        "png/xdtn0g01.png",
        "png/xs1n0g01.png",
        "icc/test1.icc",
        "icc/empty.icc",
    };
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *path = shared_input(arena, names[i]);
        if (!path) skip();
        struct artwork_facts got = facts_of(path);
        assert_int_equal(got.state, ARTWORK_DAMAGED);
        assert_true(!strncmp(got.trouble, "art", 3) && !strstr(got.trouble, "its reader failed"));
        struct collected all;
        struct error error = {0};
        assert_false(decode(path, 1, &all, &error));
        assert_int_equal(error.kind, FAILURE_INPUT);
        assert_false(all.ended);
    }
}

/* A whole picture cut anywhere is refused, at the latest when its rows come; never half a picture as a whole
 * one. */
static void cut_short(void **state)
{
    (void)state;
    static const char *const names[] = {"tiff/hopper_bigtiff.tif", "tiff/quad-tile.jpg.tiff", "jpeg/cymk.jpg",
                                        "png/cdun2c08.png"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char *path = shared_input(arena, names[i]);
        if (!path) skip();
        struct str bytes;
        assert_true(machine_read(&machine, path, 16 << 20, arena, &bytes, NULL));
        for (size_t part = 1; part < 8; part++) {
            char cut[] = "/tmp/raster-cut-XXXXXX";
            int fd = mkstemp(cut);
            assert_true(machine_write_fd(fd, bytes.bytes, bytes.length * part / 8, cut, NULL));
            close(fd);
            struct collected all;
            struct error error = {0};
            bool ok = decode(cut, 1, &all, &error);
            unlink(cut);
            assert_false(ok);
            assert_int_equal(error.kind, FAILURE_INPUT);
        }
    }
}

/* ---- their pixels ---- */

static const char *kind_of(enum pixel_format format)
{
    size_t samples = pixel_samples(format);
    return samples == 1 ? "gray" : samples == 3 ? "rgb" : "cmyk";
}

static int largest_difference(const struct collected *all, struct str other)
{
    bool wide = pixel_bytes(all->shape.format) != pixel_samples(all->shape.format);
    int most = 0;
    for (size_t i = 0; i < all->bytes / (wide ? 2 : 1); i++) {
        int one = wide ? ((const uint16_t *)(const void *)all->pixels)[i] : all->pixels[i];
        int two = wide ? ((const uint16_t *)(const void *)other.bytes)[i] : (uint8_t)other.bytes[i];
        int by = abs(one - two);
        if (by > most) most = by;
    }
    return most;
}

static void compare_with_judge(const char *path, const char *options, int tolerance)
{
    struct collected all;
    struct error error = {0};
    if (!decode(path, 1, &all, &error)) fail_msg("%s: %s", path, error.text);
    bool wide = pixel_bytes(all.shape.format) != pixel_samples(all.shape.format);
    struct str judge = command_output(
        arena, arena_format(arena, "convert '%s[0]' %s -auto-orient -depth %d -endian LSB %s:- 2>/dev/null",
                            path, options, wide ? 16 : 8, kind_of(all.shape.format)));
    if (judge.length != all.bytes) fail_msg("%s: %zu bytes, judge %zu", path, all.bytes, judge.length);
    int most = largest_difference(&all, judge);
    if (most > tolerance) fail_msg("%s %s: pixels differ by %d", path, options, most);
}

/* -set colorspace: a PNG's gamma is a tag here, not a reason to change numbers. */
static void pixels(void **state)
{
    (void)state;
    static const struct {
        const char *file, *options;
        int tolerance; /* levels: 1 where both round on their own */
    } pictures[] = {
        {"tiff/12bit.cropped.rgb.tiff", "", 1},
        {"tiff/BigTIFFMotorola.tif", "", 0},
        {"tiff/G31D_MULTI.TIF", "", 0},
        {"tiff/cmyk-3c-16b.tiff", "", 0},
        {"tiff/cmyk_jpeg.tif", "", 0},
        {"tiff/g4_orientation_6.tif", "", 0},
        {"tiff/general-cmm-error.tif", "", 0},
        {"tiff/hopper_bigtiff.tif", "", 0},
        {"tiff/shapes_lzw_14bps.tif", "", 1},
        {"tiff/tifftag-photoshop.tiff", "", 0},
        {"tiff/tiff_strip_cmyk_16l_jpeg.tif", "", 0},
        {"tiff/quad-tile.jpg.tiff", "", 0},
        {"jpeg/Kiara_limited_progressive_four_components.jpg", "", 0},
        {"jpeg/Landscape_7.jpg", "", 0},
        {"jpeg/cmyk-sample.jpg", "", 0},
        {"jpeg/junk_jpeg_header.jpg", "", 0},
        {"jpeg/out-ycck-ycck-adobe.jpg", "", 0},
        {"jpeg/testimgari.jpg", "", 0},
        {"jpeg/weid_sampling_factors.jpg", "", 0},
        {"png/basi3p04.png", "-set colorspace sRGB", 0},
        {"png/basn2c16.png", "-set colorspace sRGB", 0},
        {"png/s39i3p04.png", "-set colorspace sRGB", 0},
        {"png/tbbn3p08.png", "-set colorspace sRGB -background white -alpha remove", 1},
    };
    if (!command_there("convert")) skip();
    for (size_t i = 0; i < sizeof pictures / sizeof *pictures; i++) {
        char *path = shared_input(arena, pictures[i].file);
        if (!path) skip();
        compare_with_judge(path, pictures[i].options, pictures[i].tolerance);
    }
}

/* Readers do not agree on a CMYK JPEG without an Adobe marker: ImageMagick and libvips turn it over, the
 * collection's index says that it stays. It stays, and a person is asked to look. */
static void cmyk_without_a_marker(void **state)
{
    (void)state;
    char *path = shared_input(arena, "jpeg/out-cmyk-cmyk.jpg");
    if (!path || !command_there("convert")) skip();
    struct artwork_facts got = facts_of(path);
    assert_true(got.remark_count == 1 && strstr(got.remarks[0], "Look at the picture"));
    struct collected all;
    struct error error = {0};
    assert_true(decode(path, 1, &all, &error));
    struct str judge = command_output(arena, arena_format(arena, "convert '%s' cmyk:-", path));
    assert_int_equal(judge.length, all.bytes);
    for (size_t i = 0; i < all.bytes; i++) assert_int_equal(all.pixels[i], 255 - (uint8_t)judge.bytes[i]);
}

/* Made by ImageMagick from a photograph, read back by both: every orientation, layout and depth. */
static void made_pictures(void **state)
{
    (void)state;
    static const char *const orders[] = {
        "-orient TopLeft",
        "-orient TopRight",
        "-orient BottomRight",
        "-orient BottomLeft",
        "-orient LeftTop",
        "-orient RightTop",
        "-orient RightBottom",
        "-orient LeftBottom",
        "-interlace Plane",
        "-depth 16",
        "-colors 16 -type Palette",
        "-type Bilevel",
        "-colorspace Gray -depth 4",
        "-depth 16 -compress LZW -endian MSB -define tiff:predictor=2",
        "-compress Zip -define tiff:rows-per-strip=5",
        "-define tiff:tile-geometry=32x16",
        "-colorspace CMYK -compress RLE",
        "-orient RightTop -colorspace CMYK -define tiff:tile-geometry=16x16 -compress Zip",
    };
    char *photo = shared_input(arena, "photo/chelsea.png");
    if (!photo || !command_there("convert")) skip();
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        char path[] = "/tmp/raster-made-XXXXXX.tif";
        int fd = mkstemps(path, 4);
        close(fd);
        char *command =
            arena_format(arena, "convert '%s' -strip -resize '53x37!' %s '%s'", photo, orders[i], path);
        assert_int_equal(system(command), 0);
        /* A palette's 16 bits are rounded here and cut there. */
        compare_with_judge(path, "", strstr(orders[i], "Palette") ? 1 : 0);
        unlink(path);
    }
}

/* Plain sums over the whole decoded picture, here in the test, judge the means that the reader makes. */
static void shrunk_is_the_mean(void **state)
{
    (void)state;
    char *path = shared_input(arena, "tiff/hopper_bigtiff.tif"); /* 128 x 128 */
    if (!path) skip();
    struct collected all, small;
    struct error error = {0};
    enum { FACTOR = 5, SIDE = 26 };
    assert_true(decode(path, 1, &all, &error) && decode(path, FACTOR, &small, &error));
    assert_int_equal(small.shape.width, SIDE);
    assert_int_equal(small.shape.height, SIDE);
    for (int y = 0; y < SIDE; y++)
        for (int x = 0; x < SIDE; x++)
            for (int s = 0; s < 3; s++) {
                double sum = 0, count = 0;
                for (int v = y * FACTOR; v < (y + 1) * FACTOR && v < 128; v++)
                    for (int u = x * FACTOR; u < (x + 1) * FACTOR && u < 128; u++, count++)
                        sum += all.pixels[(v * 128 + u) * 3 + s];
                assert_int_equal(small.pixels[(y * SIDE + x) * 3 + s], (int)floor(sum / count + 0.5));
            }
}

int main(int argc, char **argv)
{
    int status;
    if (is_reader(argc, argv, &status)) return status;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(facts),
        cmocka_unit_test(refused),
        cmocka_unit_test(cut_short),
        cmocka_unit_test(pixels),
        cmocka_unit_test(cmyk_without_a_marker),
        cmocka_unit_test(made_pictures),
        cmocka_unit_test(shrunk_is_the_mean),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
