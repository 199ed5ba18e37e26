/* Panel TIFFs: written, read back by ourselves, and judged by libvips (vips, vipsheader). */
#include "collect.h"
#include "raster/tiff_out.h"
#include <errno.h>

enum { WIDTH = 211, HEIGHT = 150 };

static struct machine machine;
static struct arena *arena;
static uint8_t *picture;

static int set_up(void **state)
{
    (void)state;
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    picture = arena_take(arena, WIDTH * HEIGHT * 4);
    for (int i = 0; i < WIDTH * HEIGHT * 4; i++)
        picture[i] = (uint8_t)(i / 7 + i % 4 * 31 + (int64_t)i * i / 999);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

static struct tiff_order order_of(enum tiff_compression compression)
{
    static char profile[600] = "not looked into here";
    return (struct tiff_order){
        .width = WIDTH,
        .height = HEIGHT,
        .ppi = 101.6,
        .compression = compression,
        .profile = {profile, sizeof profile},
        .description = "LV-1 left 1 of 4",
        .software = "lapstrake",
        .date_time = "2027:03:01 08:00:00",
    };
}

static void write_picture(int fd, const struct tiff_order *order, int rows)
{
    struct error error = {0};
    struct tiff_out *out = tiff_out_new(arena, fd, "panel.tif", order, &error);
    assert_non_null(out);
    for (int y = 0; y < HEIGHT; y += rows) {
        int count = HEIGHT - y < rows ? HEIGHT - y : rows;
        assert_true(tiff_out_rows(out, picture + (size_t)y * WIDTH * 4, WIDTH * 4, count, &error));
    }
    assert_true(tiff_out_end(out, &error));
}

static bool contains(struct str bytes, const char *words)
{
    return memmem(bytes.bytes, bytes.length, words, strlen(words));
}

static void check_one(enum tiff_compression compression)
{
    char path[] = "/tmp/tiff-out-XXXXXX.tif";
    int fd = mkstemps(path, 4);
    struct tiff_order order = order_of(compression);
    write_picture(fd, &order, 13);
    struct collected back = {.arena = arena};
    struct strip_sink sink = collect_sink(&back);
    struct error error = {0};
    assert_true(tiff_read_back(&machine, fd, "panel.tif", 1, &sink, &error));
    assert_memory_equal(back.pixels, picture, back.bytes);
    if (command_there("vips")) {
        char *command = arena_format(arena, "vips rawsave '%s' '%s.raw' && cat '%s.raw'; rm -f '%s.raw'",
                                     path, path, path, path);
        struct str raw = command_output(arena, command);
        assert_int_equal(raw.length, WIDTH * HEIGHT * 4);
        assert_memory_equal(raw.bytes, picture, raw.length);
        struct str words = command_output(arena, arena_format(arena, "vipsheader -a '%s'", path));
        assert_true(contains(words, "211x150 uchar, 4 bands, cmyk"));
        assert_true(contains(words, "xres: 4\n")); /* per millimetre: 101.6 / 25.4 */
        assert_true(contains(words, "icc-profile-data: 600 bytes"));
        assert_true(contains(words, "LV-1 left 1 of 4"));
    }
    close(fd);
    unlink(path);
}

static void every_compression(void **state)
{
    (void)state;
    for (int i = TIFF_NONE; i <= TIFF_ZSTD; i++) check_one((enum tiff_compression)i);
}

static void same_bytes(void **state)
{
    (void)state;
    struct tiff_order order = order_of(TIFF_LZW);
    struct str bytes[2];
    for (int i = 0; i < 2; i++) {
        char path[] = "/tmp/tiff-out-XXXXXX.tif";
        int fd = mkstemps(path, 4);
        write_picture(fd, &order, i ? HEIGHT : 1);
        assert_true(machine_read(&machine, path, 1 << 22, arena, &bytes[i], NULL));
        close(fd);
        unlink(path);
    }
    assert_int_equal(bytes[0].length, bytes[1].length);
    assert_memory_equal(bytes[0].bytes, bytes[1].bytes, bytes[0].length);
}

/* TIFF 6.0 begins II 42 0, BigTIFF II 43 0. Decided before the first row, so no pixels are needed to see it.
 */
static void big_when_needed(void **state)
{
    (void)state;
    static const struct {
        int width, height;
        char version;
    } cases[] = {{29528, 9449, 42}, {80315, 15354, 43}}; /* 5.0 x 1.6 m and 13.6 x 2.6 m at 150 ppi */
    for (int i = 0; i < 2; i++) {
        char path[] = "/tmp/tiff-out-XXXXXX.tif", start[4];
        int fd = mkstemps(path, 4);
        struct tiff_order order = order_of(TIFF_DEFLATE);
        order.width = cases[i].width;
        order.height = cases[i].height;
        struct tiff_out *out = tiff_out_new(arena, fd, "panel.tif", &order, NULL);
        assert_non_null(out);
        tiff_out_drop(out);
        assert_int_equal(pread(fd, start, sizeof start, 0), 4);
        assert_int_equal(start[2], cases[i].version);
        close(fd);
        unlink(path);
    }
}

static void wrong_rows_are_refused(void **state)
{
    (void)state;
    char path[] = "/tmp/tiff-out-XXXXXX.tif";
    int fd = mkstemps(path, 4);
    struct tiff_order order = order_of(TIFF_LZW);
    struct error error = {0};
    struct tiff_out *out = tiff_out_new(arena, fd, "panel.tif", &order, &error);
    struct strip_sink sink = tiff_out_sink(out);
    struct strip_shape shape = {WIDTH, HEIGHT, PIXELS_RGB8, 0};
    assert_false(sink.begin(sink.self, &shape, &error));
    assert_true(tiff_out_rows(out, picture, WIDTH * 4, 20, &error));
    assert_false(tiff_out_rows(out, picture, WIDTH * 4, HEIGHT - 19, &error));
    assert_false(tiff_out_end(out, &error)); /* not all came */
    tiff_out_drop(out);
    close(fd);
    unlink(path);
}

/* A full disk, played by the device that is always full. */
static void full_disk(void **state)
{
    (void)state;
    FILE *full = fopen("/dev/full", "r+");
    if (!full) skip();
    struct tiff_order order = order_of(TIFF_NONE);
    struct error error = {0};
    struct tiff_out *out = tiff_out_new(arena, fileno(full), "panel.tif", &order, &error);
    bool ok = out && tiff_out_rows(out, picture, WIDTH * 4, HEIGHT, &error) && tiff_out_end(out, &error);
    assert_false(ok);
    assert_int_equal(error.kind, FAILURE_MACHINE);
    assert_non_null(strstr(error.text, strerror(ENOSPC)));
    tiff_out_drop(out);
    fclose(full);
}

/* More than any disk has: refused before the first row, and nothing is taken. */
static void too_little_room(void **state)
{
    (void)state;
    char path[] = "/tmp/tiff-out-XXXXXX.tif";
    int fd = mkstemps(path, 4);
    struct tiff_order order = order_of(TIFF_NONE);
    order.width = 300000, order.height = 2000000000;
    struct error error = {0};
    assert_null(tiff_out_new(arena, fd, "panel.tif", &order, &error));
    assert_int_equal(error.kind, FAILURE_MACHINE);
    assert_non_null(strstr(error.text, "it needs 2400000000 MB"));
    assert_int_equal(lseek(fd, 0, SEEK_END), 0);
    close(fd);
    unlink(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_compression), cmocka_unit_test(same_bytes),
        cmocka_unit_test(big_when_needed),   cmocka_unit_test(wrong_rows_are_refused),
        cmocka_unit_test(full_disk),         cmocka_unit_test(too_little_room),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
