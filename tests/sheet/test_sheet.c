/* The job sheet and the pictures of a sample plan, read back by qpdf, poppler, xmllint and librsvg. */
#include "../draw/common.h"
#include "../support/sample_plan.h"
#include "sheet/pictures.h"
#include "sheet/sheet.h"
#include <math.h>
#include <stdlib.h>

static void write_sheet(const struct sample *sample, const char *stamp, bool inches, const char *path)
{
    struct error error = {0};
    struct sheet_options options = {.stamp = stamp,
                                    .date = 1803888000,
                                    .inches = inches,
                                    .version = "0.1.0",
                                    .findings = sample->plan->findings.items,
                                    .finding_count = sample->plan->findings.count,
                                    .previews = sample->previews};
    if (!sheet_write(sample->plan, &options, &machine, path, arena, &error)) fail_msg("%s", error.text);
}

static const char *read_words(const char *path, const char *pages)
{
    const char *said;
    assert_int_equal(outside_run(arena, &said, "pdftotext -layout %s '%s' -", pages, path), 0);
    return said;
}

static int page_count(const char *path)
{
    const char *said;
    assert_int_equal(outside_run(arena, &said, "pdfinfo '%s'", path), 0);
    const char *pages = strstr(said, "Pages:");
    assert_non_null(pages);
    return atoi(pages + 6);
}

static void has(const char *words, const char *wanted)
{
    if (!strstr(words, wanted)) fail_msg("\"%s\" is not on the page", wanted);
}

static void need_readers(void)
{
    need("qpdf", "qpdf");
    need("pdftotext", "poppler-utils");
}

static void sheet_is_sound_a4(void **state)
{
    (void)state;
    need_readers();
    struct sample sample = sample_plan(arena, 4, false);
    const char *path = in_folder("sheet.pdf"), *said;
    write_sheet(&sample, NULL, false, path);
    if (outside_run(arena, &said, "qpdf --check '%s'", path) != 0) fail_msg("%s", said);
    int pages = page_count(path);
    outside_run(arena, &said, "pdfinfo -f 1 -l %d '%s'", pages, path);
    int a4 = 0;
    for (const char *at = said; (at = strstr(at, "(A4)")); at++) a4++;
    assert_int_equal(a4, pages);
    has(said, "LV-2031 job sheet");
}

/* Everything a shop works from can be read: dates by the calendar (2027-03-01 is a Monday, ISO 8601), every
 * panel, every finding, every caution's subject. */
static void sheet_says_what_the_plan_says(void **state)
{
    (void)state;
    need_readers();
    struct sample sample = sample_plan(arena, 4, false);
    write_sheet(&sample, "NOT TO BE PRINTED: 1 stop", false, in_folder("sheet.pdf"));
    const char *words = read_words(in_folder("sheet.pdf"), "");
    static const char *const wanted[] = {"Mobile library van",
                                         "Mon 1 Mar 2027, 08:00",
                                         "Tue 9 Mar 2027, 08:00",
                                         "Fri 12 Mar 2027, 17:00",
                                         "1 stop",
                                         "2 warnings",
                                         "3 notes",
                                         "1250 x 1900",
                                         "1325 x 2000",
                                         "gap to left-2",
                                         "over left-3",
                                         "Wed 3 Mar, 23:00",
                                         "cast-white",
                                         "18.80 m",
                                         "1218.65",
                                         "common practice, no source",
                                         "Ask for artwork with enough bleed",
                                         "number plates",
                                         "ventilate",
                                         "Ladders",
                                         "laminator's nip",
                                         "airbag",
                                         "Local codes and the makers' bulletins",
                                         "Measured when dry",
                                         "page 1 of "};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) has(words, wanted[i]);
    for (size_t s = 0; s < sample.plan->surface_count; s++)
        for (size_t p = 0; p < sample.plan->surfaces[s].panel_count; p++)
            has(words, sample.plan->surfaces[s].panels[p].id);
    int pages = page_count(in_folder("sheet.pdf"));
    for (int i = 1; i <= pages; i++) {
        const char *page = read_words(in_folder("sheet.pdf"), arena_format(arena, "-f %d -l %d", i, i));
        has(page, "LV-2031");
        has(page, "NOT TO BE PRINTED: 1 stop");
        has(page, arena_format(arena, "page %d of %d", i, pages));
    }
    write_sheet(&sample, NULL, false, in_folder("plain.pdf"));
    assert_null(strstr(read_words(in_folder("plain.pdf"), ""), "NOT TO BE PRINTED"));
}

/* Ink of 200 %, and 300 % in two cells, the middle of the first at 102.5, 52.5. */
static struct ink_heat heat_of(const struct surface *surface, size_t counted, size_t estimated)
{
    struct ink_heat heat = {.box = surface_bleed_box(surface), .limit_percent = 280, .estimate_ppi = 36};
    heat.columns = (size_t)ceil(rect_width(heat.box) / 5),
    heat.rows = (size_t)ceil(rect_height(heat.box) / 5);
    heat.level = arena_take_array(arena, heat.columns * heat.rows, sizeof *heat.level);
    for (size_t i = 0; i < heat.columns * heat.rows; i++) heat.level[i] = i < 2 ? 30000 : 20000;
    heat.places[0] = (struct heat_place){{100, 50, 105, 55}, 304};
    heat.places[1] = (struct heat_place){{1000, 850, 1010, 855}, 291};
    heat.place_count = 2, heat.place_total = 11;
    heat.counted = counted, heat.estimated = estimated;
    return heat;
}

/* Each place is in the picture and in the table, and what is known how is said. */
static void too_much_ink_is_shown(void **state)
{
    (void)state;
    need_readers();
    static const struct {
        size_t counted, estimated;
        const char *words, *absent;
    } cases[] = {{0, 100, "estimated from a rendering at 36", "counted at full size,"},
                 {100, 0, "counted at full size, on every pixel", "estimated from a rendering"},
                 {60, 40, "counted at full size where panels were made", "on every pixel"}};
    for (size_t i = 0; i < 3; i++) {
        struct sample sample = sample_plan(arena, 4, false);
        struct ink_heat heat =
            heat_of(sample.plan->surfaces[0].surface, cases[i].counted, cases[i].estimated);
        const struct ink_heat *heats[8] = {&heat};
        struct sheet_options options = {
            .date = 1803888000, .version = "0.1.0", .previews = sample.previews, .heats = heats};
        struct error error = {0};
        const char *path = in_folder("heat.pdf");
        assert_true(sheet_write(sample.plan, &options, &machine, path, arena, &error));
        const char *words = read_words(path, "");
        static const char *const wanted[] = {"limit of 280 %", "A 304 %", "B 291 %",
                                             "102.5",          "852.5",   "The 2 heaviest of 11 places"};
        for (size_t k = 0; k < sizeof wanted / sizeof *wanted; k++) has(words, wanted[k]);
        has(words, cases[i].words);
        assert_null(strstr(words, cases[i].absent));
    }
}

/* 1250 mm = 49.2126 in, 1900 mm = 74.8031 in (1 in = 25.4 mm). */
static void sheet_speaks_inches(void **state)
{
    (void)state;
    need_readers();
    struct sample sample = sample_plan(arena, 4, false);
    write_sheet(&sample, NULL, true, in_folder("inches.pdf"));
    const char *words = read_words(in_folder("inches.pdf"), "");
    has(words, "49.21 x 74.8");
    assert_null(strstr(words, "1250"));
}

/* Sixty panels with German names: all there, heads repeated, no word outside the margins (297 x 210 mm on
 * its long side, in points by poppler's boxes). */
static void long_jobs_and_names_stay_on_the_page(void **state)
{
    (void)state;
    need_readers();
    struct sample sample = sample_plan(arena, 60, true);
    write_sheet(&sample, "NOT TO BE PRINTED: 1 stop", false, in_folder("long.pdf"));
    const char *said;
    outside_run(arena, &said, "pdftotext -bbox '%s' -", in_folder("long.pdf"));
    size_t words = 0;
    for (const char *at = said; (at = strstr(at, "<word xMin=\"")); at++) {
        double x0 = strtod(at + 12, NULL), y0 = strtod(strstr(at, "yMin=\"") + 6, NULL);
        double x1 = strtod(strstr(at, "xMax=\"") + 6, NULL), y1 = strtod(strstr(at, "yMax=\"") + 6, NULL);
        bool inside =
            x0 > 13 / 25.4 * 72 && x1 < 284 / 25.4 * 72 && y0 > 8 / 25.4 * 72 && y1 < 205 / 25.4 * 72;
        if (!inside) fail_msg("outside the margins: %.120s", at);
        words++;
    }
    assert_true(words > 1000);
    const char *all = read_words(in_folder("long.pdf"), "");
    int heads = 0;
    for (const char *at = all; (at = strstr(at, "Ink mean")); at++) heads++;
    assert_true(heads > (int)sample.plan->surface_count); /* the long table's head comes again */
}

/* 6 m of outline, twice, at 100 mm/s: two minutes. Without pieces there is no such part. */
static void pieces_are_cut_with_care(void **state)
{
    (void)state;
    need_readers();
    struct sample sample = sample_plan(arena, 4, false);
    struct surface *rear = (struct surface *)sample.plan->surfaces[2].surface;
    struct point corners[] = {{0, 0}, {2000, 0}, {2000, 1000}, {0, 1000}};
    struct polygon ring = {corners, 4};
    struct cutter cutter = {.name = "table",
                            .kiss_spot = "Kiss cut",
                            .through_spot = "Through cut",
                            .speed_mm_s = {100, ORIGIN_WRITTEN, "shop.yaml:3"}};
    write_sheet(&sample, NULL, false, in_folder("uncut.pdf"));
    assert_null(strstr(read_words(in_folder("uncut.pdf"), ""), "CHECK_LINE"));
    rear->covered = rear->cut = (struct region){&ring, 1}, rear->contour_cut = true, rear->copies = 2;
    ((struct job *)sample.plan->input->job)->cutter = &cutter;
    write_sheet(&sample, NULL, false, in_folder("cut.pdf"));
    const char *words = read_words(in_folder("cut.pdf"), "");
    has(words, "12.0 m");
    has(words, "2 min");
    has(words, "CHECK_LINE_100_MM");
    has(words, "keep fingers, hair and sleeves out");
    has(words, "do not print (Kiss cut, Through cut)");
}

static void impossible_plans_still_make_a_sheet(void **state)
{
    (void)state;
    need_readers();
    struct sample sample = sample_plan(arena, 4, false);
    struct plan *plan = sample.plan;
    plan->surfaces[0].panel_count = plan->surfaces[0].seam_count = 0;
    plan->step_count = plan->roll_count = plan->material_count = plan->cost_count = 0;
    plan->has_install = plan->has_latest_start = false;
    sample.previews = NULL;
    write_sheet(&sample, "NOT TO BE PRINTED: 1 stop", false, in_folder("none.pdf"));
    const char *words = read_words(in_folder("none.pdf"), "");
    has(words, "no date");
    has(words, "No panels could be planned");
}

static void same_plan_same_sheet(void **state)
{
    (void)state;
    struct str bytes[2];
    for (int i = 0; i < 2; i++) {
        struct sample sample = sample_plan(arena, 4, false);
        write_sheet(&sample, NULL, false, in_folder("same.pdf"));
        bytes[i] = read_whole(in_folder("same.pdf"));
    }
    assert_int_equal(bytes[0].length, bytes[1].length);
    assert_memory_equal(bytes[0].bytes, bytes[1].bytes, bytes[0].length);
}

/* ---- pictures ---- */

static struct drawing *make_picture(const struct sample *sample, int which)
{
    struct picture_options options = {.width_mm = 200};
    switch (which) {
    case 0:
        return sheet_surface_picture(&sample->plan->surfaces[0], NULL, sample->previews[0], options, arena);
    case 1:
        return sheet_vehicle_picture(sample->plan, sample->previews, options, arena);
    case 2:
        return sheet_timeline(sample->plan, options, arena);
    default:
        return sheet_roll_picture(&sample->plan->rolls[0], sample->plan, options, arena);
    }
}

/* As SVG by librsvg and as our PNG: letters may be smoothed otherwise, hence the wide limit for single pixels
 * and the narrow one for the mean. */
static void pictures_agree_as_svg_and_png(void **state)
{
    (void)state;
    need("xmllint", "libxml2-utils");
    need("rsvg-convert", "librsvg2-bin");
    struct sample sample = sample_plan(arena, 4, false);
    for (int i = 0; i < 4; i++) {
        struct drawing *picture = make_picture(&sample, i);
        write_svg(picture, in_folder("p.svg"));
        write_png(picture, 100, in_folder("p.png"));
        const char *said;
        if (outside_run(arena, &said, "xmllint --noout --huge '%s'", in_folder("p.svg")) != 0)
            fail_msg("%s", said);
        outside_run(arena, NULL, "rsvg-convert -d 100 -p 100 -b white '%s' -o '%s'", in_folder("p.svg"),
                    in_folder("q.png"));
        struct pixels ours = outside_png(arena, in_folder("p.png")),
                      judge = outside_png(arena, in_folder("q.png"));
        assert_int_equal(ours.width, judge.width);
        assert_int_equal(ours.height, judge.height);
        struct difference difference = outside_compare(&ours, &judge, 64);
        assert_true(difference.mean < 3);
        assert_true(difference.off_share < 0.015);
    }
}

/* The step symbols and shadows turn with `over`: what lies under is darker beside the seam. */
static void shadow_falls_on_the_panel_beneath(void **state)
{
    (void)state;
    for (int over_left = 0; over_left < 2; over_left++) {
        struct sample sample = sample_plan(arena, 4, false);
        struct surface_plan *sp = &sample.plan->surfaces[0];
        struct seam *seam = &sp->seams[1];
        seam->over = over_left ? 1 : 2;
        seam->under = over_left ? 2 : 1;
        struct picture_options options = {.width_mm = 200};
        struct drawing *picture = sheet_surface_picture(sp, NULL, NULL, options, arena);
        write_png(picture, 200, in_folder("shadow.png"));
        struct pixels png = outside_png(arena, in_folder("shadow.png"));
        double scale = (200 - 24) / 5100.0, x = 13 + (seam->at_mm + 50) * scale, y = 14 + (50 + 200) * scale;
        int row = (int)(y / 25.4 * 200);
        int reach = 5; /* 0.6 mm either side: between the seam and the hidden edge */
        int left = png.rgb[(row * png.width + (int)(x / 25.4 * 200) - reach) * 3];
        int right = png.rgb[(row * png.width + (int)(x / 25.4 * 200) + reach) * 3];
        if (over_left ? left <= right + 10 : right <= left + 10)
            fail_msg("seam under the %s: left %d, right %d", over_left ? "left" : "right", left, right);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sheet_is_sound_a4),
        cmocka_unit_test(sheet_says_what_the_plan_says),
        cmocka_unit_test(too_much_ink_is_shown),
        cmocka_unit_test(sheet_speaks_inches),
        cmocka_unit_test(long_jobs_and_names_stay_on_the_page),
        cmocka_unit_test(pieces_are_cut_with_care),
        cmocka_unit_test(impossible_plans_still_make_a_sheet),
        cmocka_unit_test(same_plan_same_sheet),
        cmocka_unit_test(pictures_agree_as_svg_and_png),
        cmocka_unit_test(shadow_falls_on_the_panel_beneath),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
