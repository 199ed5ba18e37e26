/* Measured, broken and cut letters; widths against poppler's reading of a PDF. */
#include "common.h"
#include <stdlib.h>

static const char *const long_word = "Donaudampfschifffahrtsgesellschaftskapitänsmütze";

/* pdftotext -bbox gives the box of a word from the advances of the embedded font. */
static void widths_are_those_of_the_font(void **state)
{
    (void)state;
    need("pdftotext", "poppler-utils");
    struct letters letters = {.size_mm = 10};
    struct drawing *d = drawing_new(arena, 300, 50, "");
    double width = draw_text(d, (struct point){10, 20}, letters, long_word);
    const struct drawing *page = d;
    struct error error = {0};
    assert_true(drawings_pdf(&page, 1, "", 0, &machine, in_folder("w.pdf"), &error));
    const char *said;
    outside_run(arena, &said, "pdftotext -bbox '%s' -", in_folder("w.pdf"));
    const char *from = strstr(said, "xMin=\""), *to = strstr(said, "xMax=\"");
    assert_non_null(from);
    assert_non_null(to);
    double low = strtod(from + 6, NULL) * 25.4 / 72, high = strtod(to + 6, NULL) * 25.4 / 72;
    assert_true(fabs(low - 10) < 0.05);
    assert_true(fabs(high - low - width) < 0.002 * width);
    assert_true(fabs(draw_text_width(letters, long_word) - width) < 1e-9);
}

static void width_grows_with_size(void **state)
{
    (void)state;
    double one = draw_text_width((struct letters){.size_mm = 1.7}, long_word);
    double ten = draw_text_width((struct letters){.size_mm = 17}, long_word);
    assert_true(fabs(ten / one - 10) < 0.02);
}

static void long_lines_end_in_an_ellipsis(void **state)
{
    (void)state;
    struct letters letters = {.size_mm = 4};
    for (double most = 5; most < 120; most += 11.3) {
        letters.most_mm = most;
        struct drawing *d = drawing_new(arena, 200, 20, "");
        double width = draw_text(d, (struct point){0, 10}, letters, long_word);
        assert_true(width <= most + 1e-9);
        assert_true(width > most - 6 || width == draw_text_width((struct letters){.size_mm = 4}, long_word));
        struct text svg = text_new(arena);
        assert_true(drawing_svg(d, &svg));
        bool whole = strstr(text_string(&svg), long_word) != NULL;
        assert_int_equal(whole, strstr(text_string(&svg), "\xe2\x80\xa6") == NULL);
    }
}

static void paragraphs_keep_to_their_width_and_lines(void **state)
{
    (void)state;
    struct letters letters = {.size_mm = 3, .most_mm = 40};
    const char *words =
        "Ask for artwork with enough bleed, or make the bleed of that edge smaller in the job file.";
    double all = draw_paragraph_height(letters, 0, words), leading = letters_leading(letters);
    assert_true(all > 2.5 * leading);
    assert_true(fabs(draw_paragraph_height(letters, 2, words) - 2 * leading) < 1e-9);
    struct drawing *d = drawing_new(arena, 60, 60, "");
    assert_true(fabs(draw_paragraph(d, (struct point){5, 5}, letters, 0, words) - all) < 1e-9);
    write_png(d, 100, in_folder("p.png"));
    struct pixels png = outside_png(arena, in_folder("p.png"));
    int right = 0, bottom = 0;
    for (int i = 0; i < png.width * png.height; i++)
        if (png.rgb[i * 3] < 128) {
            right = i % png.width > right ? i % png.width : right;
            bottom = i / png.width;
        }
    assert_true(right / (100 / 25.4) <= 45.3 && right / (100 / 25.4) > 35);
    assert_true(bottom / (100 / 25.4) <= 5 + all && bottom / (100 / 25.4) > 5 + all - 2 * leading);
}

/* Whatever the bytes are, the documents stay well-formed. */
static void odd_bytes_are_cleaned(void **state)
{
    (void)state;
    need("xmllint", "libxml2-utils");
    struct drawing *d = drawing_new(arena, 60, 60, "odd");
    draw_text(d, (struct point){5, 5}, (struct letters){.size_mm = 3}, "a\xff\xc3 b\x01\n\t\"<&>\xe2\x82");
    draw_paragraph(d, (struct point){5, 15}, (struct letters){.size_mm = 3, .most_mm = 20}, 0,
                   "\xf0\x9f one\n\ntwo\x7f");
    draw_text(d, (struct point){5, 35}, (struct letters){.size_mm = 3}, "");
    write_svg(d, in_folder("odd.svg"));
    const char *said;
    if (outside_run(arena, &said, "xmllint --noout '%s'", in_folder("odd.svg")) != 0) fail_msg("%s", said);
    outside_run(arena, &said, "xmllint --xpath 'string(//*[local-name()=\"text\"])' '%s'",
                in_folder("odd.svg"));
    assert_non_null(strstr(said, "a?? b   \"<&>??"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(widths_are_those_of_the_font),
        cmocka_unit_test(width_grows_with_size),
        cmocka_unit_test(long_lines_end_in_an_ellipsis),
        cmocka_unit_test(paragraphs_keep_to_their_width_and_lines),
        cmocka_unit_test(odd_bytes_are_cleaned),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
