/* QR codes: facts of ISO/IEC 18004 (as in the shared values/format_facts.csv, whose rows name qrcode.com),
 * and zbar as an independent reader. */
#include "common.h"
#include "draw/qr.h"

static const char *repeat(char c, int count)
{
    char *words = arena_take(arena, (size_t)count + 1);
    memset(words, c, (size_t)count);
    return words;
}

/* Modules a side = 17 + 4 version; 38 capitals fill version 2 at level M; 50 need version 3, 29 modules. */
static void sizes_are_the_standards(void **state)
{
    (void)state;
    assert_int_equal(qr_modules(repeat('A', 38)), 17 + 4 * 2);
    assert_int_equal(qr_modules(repeat('A', 39)), 17 + 4 * 3);
    assert_int_equal(qr_modules(repeat('A', 50)), 29);
    for (int n = 1; n <= QR_CONTENT_MOST; n += 13) assert_int_equal((qr_modules(repeat('x', n)) - 17) % 4, 0);
    assert_true(qr_modules("LV-2031/LEFT-2/OF-4-PANELS-IN-ALL") <
                qr_modules("lv-2031/left-2/of-4-panels-in-all"));
}

static void content_has_limits(void **state)
{
    (void)state;
    struct error error = {0};
    struct drawing *d = drawing_new(arena, 30, 30, "");
    assert_int_equal(qr_modules(""), 0);
    assert_int_equal(qr_modules(repeat('x', QR_CONTENT_MOST + 1)), 0);
    assert_false(draw_qr(d, (struct point){0, 0}, 30, repeat('x', QR_CONTENT_MOST + 1), &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_true(draw_qr(d, (struct point){0, 0}, 30, repeat('x', QR_CONTENT_MOST), &error));
}

/* 4 modules of white on every side, the finder pattern's corner of 7 black ones behind it. */
static void quiet_zone_is_four_modules(void **state)
{
    (void)state;
    struct error error = {0};
    int modules = qr_modules("LEFT-2"), side = modules + 2 * 4;
    struct drawing *d = drawing_new(arena, side, side, "");
    assert_true(draw_qr(d, (struct point){0, 0}, side, "LEFT-2", &error));
    uint8_t *mask = arena_take(arena, (size_t)side * (size_t)side);
    drawing_mask(d, 25.4, 0, 0, side, side, mask); /* a pixel for each module */
    for (int y = 0; y < side; y++)
        for (int x = 0; x < side; x++) {
            uint8_t m = mask[y * side + x];
            assert_true(m == 0 || m == 255);
            if (x < 4 || y < 4 || x >= side - 4 || y >= side - 4) assert_int_equal(m, 0);
        }
    for (int i = 4; i < 11; i++) assert_int_equal(mask[4 * side + i], 255);
    assert_int_equal(mask[4 * side + 11], 0);
}

static void a_reader_reads_it(void **state)
{
    (void)state;
    need("zbarimg", "zbar-tools");
    static const char *const contents[] = {"LEFT-2", "HTTP://192.168.1.20:8080/P/LV-2031/LEFT-2",
                                           "lv-2031_rear-1?n=7&m=9"};
    for (size_t i = 0; i < 3; i++) {
        struct error error = {0};
        struct drawing *d = drawing_new(arena, 30, 30, "");
        assert_true(draw_qr(d, (struct point){0, 0}, 30, contents[i], &error));
        write_png(d, 150, in_folder("qr.png"));
        const char *said;
        assert_int_equal(outside_run(arena, &said,
                                     "zbarimg -q --raw -Sdisable -Sqrcode.enable '%s' 2>/dev/null",
                                     in_folder("qr.png")),
                         0);
        assert_string_equal(said, arena_format(arena, "%s\n", contents[i]));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sizes_are_the_standards),
        cmocka_unit_test(content_has_limits),
        cmocka_unit_test(quiet_zone_is_four_modules),
        cmocka_unit_test(a_reader_reads_it),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
