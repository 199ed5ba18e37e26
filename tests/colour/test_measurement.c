/* Measurement files: ways to write the same one, what each mistake is answered with, and the published
 * characterisation data of the shared collection against what awk reads from them and transicc (Little CMS,
 * Debian liblcms2-utils) says of the same inks. */
#include "values.h"
#include "../with_arena.h"
#include "base/text.h"
#include "colour/measurement.h"
#include <math.h>
#include <unistd.h>

/* CIE 1976. */
static double plain_difference(struct lab one, struct lab other)
{
    return sqrt((one.L - other.L) * (one.L - other.L) + (one.a - other.a) * (one.a - other.a) +
                (one.b - other.b) * (one.b - other.b));
}

static struct measurement read_text(const char *text)
{
    struct measurement m;
    struct error error = {0};
    if (!measurement_from_bytes(str_from(text), "chart.txt", arena, &m, &error)) fail_msg("%s", error.text);
    return m;
}

/* ---- our own small files ---- */

static const char small[] = "CGATS.17\n"
                            "ORIGINATOR \"a shop\"\n"
                            "FILE_DESCRIPTOR \"Van film, 8 pass\" # a remark\n"
                            "NUMBER_OF_FIELDS 9\n"
                            "BEGIN_DATA_FORMAT\n"
                            "SAMPLE_ID CMYK_C CMYK_M CMYK_Y CMYK_K LAB_L LAB_A LAB_B SPECTRAL_380\n"
                            "END_DATA_FORMAT\n"
                            "NUMBER_OF_SETS 4\n"
                            "BEGIN_DATA\n"
                            "A1 0 0 0 0 95.5 0.5 -2.25 x\n"
                            "A2 100 0 0 0 55 -36.5 -50 x\n"
                            "\"the \"\"third\"\"\" 100 85.5 70 40 9.5 1e0 -2 x\n"
                            "0 0 0 0 0 94.5 -0.5 -1.75 x\n"
                            "END_DATA\n";

static void assert_small(const struct measurement *m)
{
    struct lab lab;
    assert_int_equal(m->count, 4);
    assert_true(m->has_cmyk && m->has_lab && !m->from_xyz && !m->has_rgb);
    assert_string_equal(m->description, "Van film, 8 pass");
    assert_string_equal(m->patches[2].name, "the \"third\"");
    assert_true(fabs(measurement_largest_ink(m) - 295.5) < 1e-9);
    assert_true(measurement_colour(m, (const double[4]){0}, &lab)); /* the mean of both */
    assert_true(fabs(lab.L - 95) < 1e-9 && fabs(lab.a) < 1e-9 && fabs(lab.b + 2) < 1e-9);
    assert_true(measurement_colour(m, (const double[4]){100, 0, 0, 0}, &lab));
    assert_true(fabs(lab.b + 50) < 1e-9);
    assert_false(measurement_colour(m, (const double[4]){0, 100, 0, 0}, &lab));
    assert_null(measurement_trouble(m));
}

static char *replaced(const char *text, const char *old, const char *new)
{
    const char *at = strstr(text, old);
    if (!at) fail_msg("%s is not in the file", old);
    return arena_format(arena, "%.*s%s%s", (int)(at - text), text, new, at + strlen(old));
}

static char *with_line_ends(const char *text, const char *end)
{
    struct text out = text_new(arena);
    for (; *text; text++)
        if (*text == '\n')
            text_add(&out, end);
        else
            text_add_char(&out, *text);
    return arena_copy(arena, out.bytes, out.length);
}

/* Line ends, tabs, order of keywords, a byte order mark, values over several lines: all the same. */
static void the_same_in_other_ways(void **state)
{
    (void)state;
    const char *ways[] = {small,
                          with_line_ends(small, "\r\n"),
                          with_line_ends(small, "\r"),
                          with_line_ends(small, " \t\n\n# remark\n"),
                          arena_format(arena, "\xEF\xBB\xBF%s", small),
                          replaced(small, "CGATS.17", "ISO28178"),
                          replaced(small, "CGATS.17", "CTI3   "),
                          replaced(small, "CGATS.17\n", "\"made by a program\"\n"),
                          replaced(small, "NUMBER_OF_SETS 4\n", ""),
                          replaced(small, "NUMBER_OF_FIELDS 9", "NUMBER_OF_FIELDS 12"),
                          replaced(small, "SAMPLE_ID CMYK_C", "SAMPLE_ID\nCMYK_C"),
                          replaced(replaced(small, "A1 0 0", "A1\n0 0"), "55 -36.5", "55\n-36.5")};
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        struct measurement m = read_text(ways[i]);
        assert_small(&m);
        assert_int_equal(m.tables, 1);
    }
    struct measurement m = read_text(arena_format(arena, "%s\nBEGIN_DATA\n1 2 broken\n", small));
    assert_small(&m);
    assert_int_equal(m.tables, 2);
    m = read_text(arena_format(
        arena, "CGATS.17\nBEGIN_DATA_FORMAT\nRGB_R\nEND_DATA_FORMAT\nBEGIN_DATA\nEND_DATA\n%s", small));
    assert_small(&m);
}

/* Each is refused with the file, the line where it is, what is there and what would be right. */
static void mistakes_have_a_place(void **state)
{
    (void)state;
    static const struct {
        const char *old, *new;
        const char *place, *what;
    } cases[] = {
        {"100 0 0 0 55", "100 0 0 0 5,5", "chart.txt:11:", "5,5"},
        {"100 0 0 0 55", "100 0 0 0 nan", "chart.txt:11:", "nan"},
        {"100 0 0 0 55", "255 0 0 0 55", "chart.txt:11:", "0 to 100"},
        {"100 0 0 0 55", "100 -3 0 0 55", "chart.txt:11:", "CMYK_M"},
        {"100 0 0 0 55", "100 0 0 55", "chart.txt:11:", "8 values"},
        {"100 0 0 0 55", "100 0 0 0 0 55", "chart.txt:11:", "10 values"},
        {"100 0 0 0 55", "100 0 0 0 555", "chart.txt:11:", "LAB_L"},
        {"NUMBER_OF_SETS 4", "NUMBER_OF_SETS 5", "chart.txt:14:", "NUMBER_OF_SETS says 5"},
        {"NUMBER_OF_SETS 4", "NUMBER_OF_SETS many", "chart.txt:8:", "whole number"},
        {"END_DATA\n", "", "chart.txt:13:", "cut short"},
        {"CGATS.17", "CTI2", "chart.txt:1:", "target values"},
        {"END_DATA_FORMAT\n", "", "chart.txt:8:", "END_DATA_FORMAT is missing"},
        {"LAB_A", "LAB_L", "chart.txt:6:", "twice"},
        {"8 pass\"", "8 pass", "chart.txt:3:", "quoted"},
        {"ORIGINATOR", "'ORIGINATOR'", "chart.txt:2:", "does not begin a line"},
        {"BEGIN_DATA_FORMAT", "DATA_FORMAT", "chart.txt:9:", "data without a format"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct measurement m;
        struct error error = {0};
        const char *text = replaced(small, cases[i].old, cases[i].new);
        bool ok = measurement_from_bytes(str_from(text), "chart.txt", arena, &m, &error);
        if (ok) fail_msg("%s for %s was accepted", cases[i].new, cases[i].old);
        assert_int_equal(error.kind, FAILURE_INPUT);
        if (!strstr(error.text, cases[i].place) || !strstr(error.text, cases[i].what))
            fail_msg("%s: %s", cases[i].new, error.text);
    }
}

static void whole_files_that_are_none(void **state)
{
    (void)state;
    char *long_line = arena_take(arena, MEASUREMENT_LINE_MOST + 20);
    memset(long_line, 'a', MEASUREMENT_LINE_MOST + 2);
    const struct {
        struct str bytes;
        const char *what;
    } cases[] = {{{"", 0}, "empty"},
                 {{"C\0G\0A\0T\0S\0", 10}, "not plain text"},
                 {str_from("CGATS.17\nORIGINATOR \"x\"\n"), "no patches"},
                 {str_from("CGATS.17\nBEGIN_DATA\n1 2\nEND_DATA\n"), "data without a format"},
                 {str_from("CGATS.17\nBEGIN_DATA_FORMAT\nEND_DATA_FORMAT\n"), "no fields"},
                 {str_from(long_line), "bytes"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct measurement m;
        struct error error = {0};
        assert_false(measurement_from_bytes(cases[i].bytes, "chart.txt", arena, &m, &error));
        if (!strstr(error.text, cases[i].what) || !strstr(error.text, "chart.txt"))
            fail_msg("%s", error.text);
    }
}

/* Any beginning of a file is answered, and never taken for the whole. */
static void cut_files_are_refused(void **state)
{
    (void)state;
    size_t end = strlen(small) - strlen("\n");
    for (size_t length = 0; length < end; length++) {
        struct measurement m;
        struct error error = {0};
        char *part = arena_copy(arena, small, length);
        if (measurement_from_bytes((struct str){part, length}, "chart.txt", arena, &m, &error))
            fail_msg("%zu bytes were enough", length);
        assert_true(strstr(error.text, "chart.txt") && error.text[strlen(error.text) - 1] != '\n');
    }
}

static void what_cannot_stand_beside(void **state)
{
    (void)state;
    struct measurement m = read_text(replaced(small, "CMYK_K", "OTHER"));
    assert_false(m.has_cmyk);
    assert_non_null(measurement_trouble(&m));
    m = read_text(replaced(small, "LAB_B", "LAB_C"));
    assert_false(m.has_lab);
    assert_non_null(measurement_trouble(&m));
}

/* ---- published data ---- */

static const char *shared(const char *name)
{
    const char *folder = getenv("LAPSTRAKE_SHARED");
    const char *path = arena_format(arena, "%s/inputs/%s", folder ? folder : "", name);
    bool there = machine.status(&machine, path).exists;
    if (!there) print_message("# %s of the shared inputs is not here\n", name);
    return there ? path : NULL;
}

/* What a command prints, as numbers. */
static size_t numbers_of(const char *command, double *numbers, size_t most)
{
    FILE *pipe = popen(command, "r");
    size_t count = 0;
    while (pipe && count < most && fscanf(pipe, "%lf", &numbers[count]) == 1) count++;
    if (!pipe || pclose(pipe) != 0) return 0;
    return count;
}

/* Sets, the largest total of inks, and L, a, b of the paper, by awk; C M Y K stand in columns 2 to 5. */
static void published_data_is_read(void **state)
{
    (void)state;
    static const struct {
        const char *file;
        int lab; /* its column of L */
    } files[] = {{"cgats/FOGRA29L.ti3", 9},
                 {"cgats/TR005.ti3", 9},
                 {"cgats/ISO15339-CRPC3.txt", 6},
                 {"cgats/ISO15339-CRPC6.txt", 6}};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        const char *path = shared(files[i].file);
        if (!path) skip();
        double seen[5];
        const char *command =
            arena_format(arena,
                         "tr -d '\\r' < '%s' | awk '/^END_DATA/ {on = 0} on && NF {n++; t "
                         "= $2 + $3 + $4 + $5; if (t > most) most = t; if (t == 0) "
                         "{p++; L += $%d; a += $%d; b += $%d}} /^BEGIN_DATA *$/ {on = 1} END "
                         "{print n, most, L / p, a / p, b / p}'",
                         path, files[i].lab, files[i].lab + 1, files[i].lab + 2);
        assert_int_equal(numbers_of(command, seen, 5), 5);
        struct measurement m;
        struct error error = {0};
        struct lab paper;
        if (!measurement_read(&machine, path, arena, &m, &error)) fail_msg("%s", error.text);
        assert_int_equal(m.count, (int)seen[0]);
        assert_true(fabs(measurement_largest_ink(&m) - seen[1]) < 1e-6);
        assert_true(measurement_colour(&m, (const double[4]){0}, &paper));
        assert_true(fabs(paper.L - seen[2]) < 1e-4 && fabs(paper.a - seen[3]) < 1e-4 &&
                    fabs(paper.b - seen[4]) < 1e-4);
        assert_null(measurement_trouble(&m));
    }
}

/* A file that states both: Lab worked out from its XYZ (two decimals) is the Lab it states. */
static void lab_from_xyz_is_the_files_own(void **state)
{
    (void)state;
    const char *path = shared("cgats/FOGRA29L.ti3");
    if (!path) skip();
    struct str bytes;
    struct measurement stated, worked;
    struct error error = {0};
    assert_true(machine_read(&machine, path, MEASUREMENT_BYTES_MOST, arena, &bytes, &error));
    assert_true(measurement_from_bytes(bytes, path, arena, &stated, &error));
    const char *without = replaced(bytes.bytes, "LAB_L", "OTHER_L");
    if (!measurement_from_bytes(str_from(without), path, arena, &worked, &error)) fail_msg("%s", error.text);
    assert_true(worked.from_xyz && !stated.from_xyz);
    for (size_t i = 0; i < stated.count; i++)
        assert_true(plain_difference(stated.patches[i].lab, worked.patches[i].lab) < 0.25);
}

/* ---- against a profile ---- */

/* What transicc says of the patches' inks, absolute colorimetric; NULL when it is not there. */
static struct lab *transicc(const char *profile, const struct measurement *m)
{
    char path[] = "/tmp/measured-patches-XXXXXX";
    FILE *file = fdopen(mkstemp(path), "w");
    for (size_t i = 0; i < m->count; i++) {
        const double *ink = m->patches[i].cmyk;
        fprintf(file, "%.6f %.6f %.6f %.6f\n", ink[0], ink[1], ink[2], ink[3]);
    }
    fclose(file);
    double *numbers = arena_take_array(arena, m->count * 3, sizeof *numbers);
    size_t got =
        numbers_of(arena_format(arena, "transicc -n -i '%s' -o '*Lab4' -t 3 < %s 2>/dev/null", profile, path),
                   numbers, m->count * 3);
    unlink(path);
    struct lab *labs = arena_take_array(arena, m->count, sizeof *labs);
    for (size_t i = 0; i < m->count; i++)
        labs[i] = (struct lab){numbers[i * 3], numbers[i * 3 + 1], numbers[i * 3 + 2]};
    if (got != m->count * 3) print_message("# transicc (liblcms2-utils) does not answer\n");
    return got == m->count * 3 ? labs : NULL;
}

static void comparison_is_transiccs(void **state)
{
    (void)state;
    const char *const profiles[] = {getenv("LAPSTRAKE_PROFILE"), shared("icc/test1.icc"),
                                    shared("icc/XCMYK_2017.icc")};
    const char *const charts[] = {shared("cgats/FOGRA29L.ti3"), shared("cgats/TR005.ti3"),
                                  shared("cgats/ISO15339-CRPC6.txt")};
    for (int i = 0; i < 3; i++) {
        struct measurement m;
        struct measurement_difference d;
        struct error error = {0};
        struct str profile;
        if (!profiles[i] || !charts[i]) skip();
        assert_true(measurement_read(&machine, charts[i], arena, &m, &error));
        struct lab *labs = transicc(profiles[i], &m);
        if (!labs) skip();
        assert_true(machine_read(&machine, profiles[i], 64 << 20, arena, &profile, &error));
        if (!measurement_compare(&machine, &(struct measured_profile){profile, &m, "p", "m"}, arena, &d,
                                 &error))
            fail_msg("%s", error.text);
        double sum = 0, most = 0;
        for (size_t k = 0; k < m.count; k++) {
            double off = difference_2000(m.patches[k].lab, labs[k]);
            sum += off, most = fmax(most, off);
        }
        assert_true(fabs(d.mean - sum / (double)m.count) < 0.01);
        assert_true(fabs(d.largest - most) < 0.03);
        assert_true(d.most_of_95 < d.largest && d.most_of_95 > d.mean);
        assert_int_equal(d.worst_count, DIFFERENCES_MOST);
        for (size_t k = 0; k < d.worst_count; k++) {
            assert_true(plain_difference(d.worst[k].profile, labs[d.worst[k].patch - m.patches]) < 0.05);
            assert_true(!k || d.worst[k].ciede2000 <= d.worst[k - 1].ciede2000);
        }
    }
}

/* A chart written from what transicc says of a profile is that profile's: nothing is off but the roundings.
 */
static void a_profile_agrees_with_itself(void **state)
{
    (void)state;
    const char *path = getenv("LAPSTRAKE_PROFILE");
    struct text text = text_new(arena);
    text_add(&text, "CGATS.17\nBEGIN_DATA_FORMAT\nCMYK_C CMYK_M CMYK_Y CMYK_K LAB_L LAB_A "
                    "LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n");
    struct measurement inks = {.patches = arena_take_array(arena, 256, sizeof *inks.patches), .count = 256};
    for (int i = 0; i < 256; i++)
        for (int k = 0; k < 4; k++) inks.patches[i].cmyk[k] = (i >> (2 * k) & 3) * 100.0 / 3;
    struct lab *labs = path ? transicc(path, &inks) : NULL;
    if (!labs) skip();
    for (int i = 0; i < 256; i++) {
        const double *ink = inks.patches[i].cmyk;
        for (int k = 0; k < 4; k++) text_addf(&text, "%.4f ", ink[k]);
        text_addf(&text, "%.4f %.4f %.4f\n", labs[i].L, labs[i].a, labs[i].b);
    }
    text_add(&text, "END_DATA\n");
    struct measurement m = read_text(text_string(&text));
    struct measurement_difference d;
    struct error error = {0};
    struct str profile;
    assert_true(machine_read(&machine, path, 64 << 20, arena, &profile, &error));
    assert_true(
        measurement_compare(&machine, &(struct measured_profile){profile, &m, "p", "m"}, arena, &d, &error));
    assert_int_equal(d.count, 256);
    assert_true(d.mean < 0.01 && d.largest < 0.05);
}

/* A patch that stands in the chart twice is told once, as far off as the worse of both was measured. */
static void the_worse_of_two_is_told(void **state)
{
    (void)state;
    const char *path = getenv("LAPSTRAKE_PROFILE");
    if (!path) skip();
    struct measurement m = read_text("CGATS.17\nBEGIN_DATA_FORMAT\nCMYK_C CMYK_M CMYK_Y CMYK_K LAB_L LAB_A "
                                     "LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n0 0 0 0 95 0 0\n100 0 0 0 60 0 0\n"
                                     "0 0 0 0 10 0 0\n0 0 0 0 90 0 0\nEND_DATA\n");
    struct measurement_difference d;
    struct error error = {0};
    struct str profile;
    assert_true(machine_read(&machine, path, 64 << 20, arena, &profile, &error));
    assert_true(
        measurement_compare(&machine, &(struct measured_profile){profile, &m, "p", "m"}, arena, &d, &error));
    assert_int_equal(d.worst_count, 2);
    assert_ptr_equal(d.worst[0].patch, &m.patches[2]);
    assert_true(d.worst[0].ciede2000 == d.largest && d.worst[1].patch == &m.patches[1]);
}

static void unlike_things_are_not_compared(void **state)
{
    (void)state;
    struct measurement_difference d;
    struct error error = {0};
    struct measurement cmyk = read_text(small), other = read_text(replaced(small, "CMYK_K", "OTHER"));
    assert_false(measurement_compare(
        &machine, &(struct measured_profile){str_from("junk"), &cmyk, "p.icc", "m"}, arena, &d, &error));
    assert_non_null(strstr(error.text, "p.icc"));
    assert_false(measurement_compare(
        &machine, &(struct measured_profile){str_from("junk"), &other, "p.icc", "m.txt"}, arena, &d, &error));
    assert_non_null(strstr(error.text, "m.txt"));
    const char *monitor = shared("icc/SM245B.icc");
    struct str bytes;
    if (!monitor) skip();
    assert_true(machine_read(&machine, monitor, 64 << 20, arena, &bytes, &error));
    assert_false(measurement_compare(&machine, &(struct measured_profile){bytes, &cmyk, "p.icc", "m"}, arena,
                                     &d, &error));
    assert_non_null(strstr(error.text, "RGB"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_in_other_ways),        cmocka_unit_test(mistakes_have_a_place),
        cmocka_unit_test(whole_files_that_are_none),     cmocka_unit_test(cut_files_are_refused),
        cmocka_unit_test(what_cannot_stand_beside),      cmocka_unit_test(published_data_is_read),
        cmocka_unit_test(lab_from_xyz_is_the_files_own), cmocka_unit_test(comparison_is_transiccs),
        cmocka_unit_test(a_profile_agrees_with_itself),  cmocka_unit_test(unlike_things_are_not_compared),
        cmocka_unit_test(the_worse_of_two_is_told),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
