/* Colorants that are no ink (cutting, creasing, varnish ...) in spaces of their own and beside inks (DeviceN,
 * ISO 32000-1, 8.6.6.5): in files that are only rendered they have no effect. The judges are Ghostscript and
 * poppler: what they draw is, to the last pixel, the same artwork with these colorants at 0. */
#include "support.h"
#include "pdf/panels.h"
#include <string.h>

static const char spaces[] =
    "/A [/DeviceN [/Cyan /Kiss#20Cut] /DeviceCMYK 5 0 R] /B [/DeviceN [/Kiss#20Cut /Cyan] /DeviceCMYK 6 0 R] "
    "/C [/DeviceN [/Kiss#20Cut /Crease] /DeviceCMYK 5 0 R] /D [/Separation /Crease /DeviceCMYK 7 0 R] "
    "/F [/DeviceN [/Cyan /Gold] /DeviceCMYK 5 0 R]";

/* Boxes in all spaces, with `cut` for the colorants that are no ink. */
static char *artwork(struct bench *bench, const char *name, bool without)
{
    const char *image =
        arena_format(bench->arena,
                     "<< /Type /XObject /Subtype /Image /Width 2 /Height 1 /BitsPerComponent 8 /ColorSpace "
                     "[/DeviceN [/Cyan /Kiss#20Cut] /DeviceCMYK 5 0 R] /Filter /ASCIIHexDecode /Length 9 "
                     ">>\nstream\n%s>\nendstream",
                     without ? "ff004000" : "ff8040ff");
    const char *objects[] = {
        "<< /FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1] /Length 22 >>\nstream\n"
        "{dup 0 exch 0.5 mul}  \nendstream",
        "<< /FunctionType 0 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1] /Size [2 2] /BitsPerSample 8 /Filter "
        "/ASCIIHexDecode /Length 33 >>\nstream\n0000000000ff0080ff000000ffff0080>\nendstream",
        "<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 0 0] /N 1 >>", image, NULL};
    const char *cut = without ? "0" : "0.8";
    const char *content = arena_format(
        bench->arena,
        "/A cs 0.6 %s scn 0 0 100 100 re f /B cs %s 0.7 scn 100 0 100 100 re f /F cs 0.3 0.9 scn 200 0 99 99 "
        "re f "
        "q 100 0 0 100 0 100 cm /I Do Q %s /E cs 0 sc 200 100 50 100 re f /A cs 0.2 %s scn 10 210 80 80 re f",
        cut, cut, without ? "" : "/C cs 1 1 scn 100 200 100 100 re f /D cs 1 scn 200 200 100 100 re f", cut);
    const char *page =
        arena_format(bench->arena,
                     "/MediaBox [0 0 300 300] /Resources << /ColorSpace << %s /E [/Indexed [/DeviceN "
                     "[/Cyan /Kiss#20Cut] /DeviceCMYK 5 0 R] 1 <%s>] >> /XObject << /I 8 0 R >> >>",
                     spaces, without ? "8000ff00" : "80ffff40");
    return make_pdf(bench, name, page, content, objects);
}

static const char *rendered_copy(struct bench *bench, const char *path, const char *const *spots,
                                 size_t count)
{
    const double mm = 25.4 / 72;
    struct rect all = {0, 0, 300 * mm, 300 * mm};
    struct pdf_layer layer = {
        .path = path, .subject = path, .page = 1, .to_surface = affine_identity, .clip = all};
    struct pdf_panel_page panel = {.id = "all", .file = all, .print = all, .visible = all};
    struct pdf_panels_order order = {.layers = &layer,
                                     .layer_count = 1,
                                     .pages = &panel,
                                     .page_count = 1,
                                     .id_seed = "silent",
                                     .spots_off = spots,
                                     .spot_off_count = count};
    char *to = bench_path(bench, "copy.pdf");
    struct error error = {0};
    if (!pdf_panels_write(&bench->machine, &order, to, false, bench->arena, &error))
        fail_msg("%s", error.text);
    return to;
}

/* The bytes of a program's picture of a page. */
static struct str drawn(struct bench *bench, const char *program, const char *path)
{
    char *picture = bench_path(bench, "picture.ppm");
    struct str bytes;
    struct error error = {0};
    int status;
    const char *command =
        !strcmp(program, "gs")
            ? arena_format(bench->arena,
                           "gs -q -dSAFER -dBATCH -dNOPAUSE -dOverprint=/simulate -sDEVICE=pamcmyk32 -r72 "
                           "-sOutputFile='%s' '%s'",
                           picture, path)
            : arena_format(bench->arena, "pdftoppm -r 72 -aa no -aaVector no '%s' > '%s'", path, picture);
    run(bench, command, &status);
    assert_int_equal(status, 0);
    assert_true(machine_read(&bench->machine, picture, 4 << 20, bench->arena, &bytes, &error));
    return bytes;
}

static size_t differing(struct str one, struct str other)
{
    size_t count = one.length != other.length;
    for (size_t i = 0; !count && i < one.length; i++)
        if (one.bytes[i] != other.bytes[i]) return i + 1;
    return count;
}

static void no_ink(void **state)
{
    struct bench *bench = *state;
    static const char *const spots[] = {"Kiss Cut", "Crease"}, *const programs[] = {"gs", "pdftoppm"};
    if (!has_program("gs") || !has_program("pdftoppm") || !has_program("qpdf")) skip();
    const char *with = artwork(bench, "with.pdf", false), *without = artwork(bench, "without.pdf", true);
    for (size_t i = 0; i < 2; i++) {
        struct str silent = drawn(bench, programs[i], rendered_copy(bench, with, spots, 2));
        struct str plain = drawn(bench, programs[i], rendered_copy(bench, without, NULL, 0));
        struct str loud = drawn(bench, programs[i], rendered_copy(bench, with, NULL, 0));
        if (differing(silent, plain))
            fail_msg("%s: differs at byte %zu", programs[i], differing(silent, plain));
        assert_true(differing(loud, plain) > 0); /* the artwork has them */
    }
    int status;
    char *said =
        run(bench, arena_format(bench->arena, "qpdf --check '%s'", rendered_copy(bench, with, spots, 2)),
            &status);
    if (status) fail_msg("%s", said);
}

static const struct CMUnitTest tests[] = {cmocka_unit_test(no_ink)};
TEST_MAIN(tests)
