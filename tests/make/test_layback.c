/* The lay-back check of a TIFF panel: a right file passes, and each way to be wrong is found. */
#include "../test.h"
#include "../../src/make/layback.h"
#include "base/arena.h"
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* A surface of 240 x 150 mm and a panel of it, a pixel a millimetre. Its file has 10 mm of marks above and
 * below the print, and nothing at the sides. */
enum {
    WIDTH = 240,
    HEIGHT = 150,
    FROM = 60,
    TO = 180,
    ENDS = 10,
    COLUMNS = TO - FROM,
    ROWS = HEIGHT + 2 * ENDS
};

static struct machine machine;
static struct arena *arena;
static uint8_t surface[HEIGHT][WIDTH][4];

static struct print_frame frame_of_panel(void)
{
    struct print_frame frame = {.upright = true, .feed_x = 1, .feed_y = 1};
    frame.print = (struct rect){FROM, 0, TO, HEIGHT};
    frame.visible = frame.print;
    frame.file = (struct rect){FROM, -ENDS, TO, HEIGHT + ENDS};
    return frame;
}

/* Where a file's pixels are taken from; right is 0, 0. */
struct shift {
    int x, y;
};

static uint8_t *file_pixels(struct shift shift)
{
    uint8_t *pixels = arena_take_array(arena, COLUMNS * ROWS, 4);
    for (int y = 0; y < ROWS; y++)
        for (int x = 0; x < COLUMNS; x++) {
            int sx = x + FROM + shift.x, sy = y - ENDS + shift.y;
            if (y >= ENDS && y < HEIGHT + ENDS && sy >= 0 && sy < HEIGHT && sx >= 0 && sx < WIDTH)
                memcpy(pixels + ((size_t)y * COLUMNS + (size_t)x) * 4, surface[sy][sx], 4);
        }
    return pixels;
}

static int file_of(const uint8_t *pixels, enum tiff_compression compression)
{
    char path[] = "/tmp/lay-back-XXXXXX";
    int fd = mkstemp(path);
    unlink(path);
    struct tiff_order order = {.width = COLUMNS, .height = ROWS, .ppi = 25.4, .compression = compression};
    struct error error = {0};
    struct tiff_out *out = tiff_out_new(arena, fd, "panel.tif", &order, &error);
    assert_true(tiff_out_rows(out, pixels, COLUMNS * 4, ROWS, &error) && tiff_out_end(out, &error));
    return fd;
}

/* Streams the surface past a check of the panel, in strips of some rows, and lets it judge the file. */
static bool passes(int fd, struct pixel_box *field, struct error *error)
{
    struct pixel_grid grid = {{0, 0, WIDTH, HEIGHT}, 25.4, WIDTH, HEIGHT};
    struct panel_cut cut = {
        .width = COLUMNS, .height = ROWS, .fields = field, .marks = {.field_count = field ? 1 : 0}};
    struct print_frame frame = frame_of_panel();
    struct lay_back laid = lay_back_new(&frame, &grid, &cut, arena);
    for (int y = 0; y < HEIGHT; y += 13) {
        struct strip strip = {
            y, HEIGHT - y < 13 ? HEIGHT - y : 13, WIDTH, PIXELS_CMYK8, WIDTH * 4, surface[y][0]};
        lay_back_take(&laid, &strip);
    }
    bool ok = lay_back_check(&machine, &laid, fd, "panel.tif", error);
    close(fd);
    if (ok) assert_true(laid.checked >= (uint64_t)COLUMNS * TIFF_ROWS);
    return ok;
}

static void right_files_pass(void **state)
{
    (void)state;
    for (int compression = TIFF_NONE; compression <= TIFF_ZSTD; compression++) {
        struct error error = {0};
        int fd = file_of(file_pixels((struct shift){0, 0}), (enum tiff_compression)compression);
        if (!passes(fd, NULL, &error)) fail_msg("%s", error.text);
    }
}

static void wrong_places_are_found(void **state)
{
    (void)state;
    static const struct shift shifts[] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {FROM, 0}, {0, 50}};
    for (size_t i = 0; i < sizeof shifts / sizeof *shifts; i++) {
        struct error error = {0};
        assert_false(passes(file_of(file_pixels(shifts[i]), TIFF_LZW), NULL, &error));
        assert_int_equal(error.kind, FAILURE_MACHINE);
        assert_non_null(strstr(error.text, "does not show the artwork that belongs there"));
    }
}

/* One byte: a small file is read whole. And the directory. */
static void wrong_bytes_are_found(void **state)
{
    (void)state;
    struct error error = {0};
    for (size_t row = ENDS; row < ENDS + HEIGHT; row++) {
        uint8_t *pixels = file_pixels((struct shift){0, 0});
        pixels[(row * COLUMNS + 100) * 4 + 1] ^= 1;
        assert_false(passes(file_of(pixels, TIFF_NONE), NULL, &error));
    }
    int fd = file_of(file_pixels((struct shift){0, 0}), TIFF_LZW);
    assert_int_equal(ftruncate(fd, 2000), 0); /* the directory is lost */
    assert_false(passes(fd, NULL, &error));
}

/* Marks inside the print are no artwork; beside their field everything counts. */
static void marks_do_not_count(void **state)
{
    (void)state;
    struct error error = {0};
    struct pixel_box field = {0, ENDS, 4, ENDS + 40};
    uint8_t *pixels = file_pixels((struct shift){0, 0});
    for (int y = field.y0; y < field.y1; y++) memset(pixels + (size_t)y * COLUMNS * 4, 99, 4 * 4);
    assert_true(passes(file_of(pixels, TIFF_NONE), &field, &error));
    assert_false(passes(file_of(pixels, TIFF_NONE), NULL, &error));
}

/* Of a high panel forty strips and more are read, not all. */
static void high_panels_are_read_in_part(void **state)
{
    (void)state;
    struct pixel_grid grid = {{0, 0, WIDTH, 30000}, 25.4, WIDTH, 30000};
    struct print_frame frame = frame_of_panel();
    for (int height = 10; height <= 30000; height += 377) {
        struct panel_cut cut = {.width = COLUMNS, .height = height};
        frame.print.y1 = frame.visible.y1 = frame.file.y1 = height, frame.file.y0 = 0;
        struct lay_back laid = lay_back_new(&frame, &grid, &cut, arena);
        int strips = (height + TIFF_ROWS - 1) / TIFF_ROWS, read = (strips + laid.every - 1) / laid.every;
        assert_true(laid.every >= 1);
        assert_true(read == strips || (read >= LAY_BACK_STRIPS && read <= 2 * LAY_BACK_STRIPS));
    }
}

static int set_up(void **state)
{
    (void)state;
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    srand(5);
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++)
            for (int s = 0; s < 4; s++) surface[y][x][s] = (uint8_t)(rand() >> 8);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(right_files_pass),
        cmocka_unit_test(wrong_places_are_found),
        cmocka_unit_test(wrong_bytes_are_found),
        cmocka_unit_test(marks_do_not_count),
        cmocka_unit_test(high_panels_are_read_in_part),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
