/* Text on a surface and the file of a fleet: what is read of well-formed CSV (RFC 4180, with what spreadsheets make of
 * it), and a place and a sentence for each thing that is wrong. The words of the fields are checked beside. */
#include "../test.h"
#include "base/text.h"
#include "folder.h"
#include "mutate.h"
#include "model/fleet.h"
#include <string.h>

static const char job_with_fleet[] = "job: A-1\n"
                                     "condition: van-cast\n"
                                     "vehicles: fleet.csv\n"
                                     "surfaces:\n"
                                     "  - name: left\n"
                                     "    size: [5400, 1900]\n";

static void load(struct folder *folder, const char *more, const char *csv, size_t length)
{
    folder_new(folder);
    folder_write(folder, "shop.yaml", sample_shop);
    folder_write(folder, "job.yaml", arena_format(folder->arena, "%s%s", job_with_fleet, more));
    folder_write_bytes(folder, "fleet.csv", csv, length);
    assert_true(folder_load(folder));
}

static const struct fleet *fleet_read(struct folder *folder, const char *csv, size_t length)
{
    load(folder, "", csv, length);
    if (folder->report.errors) fail_msg("%s", folder_report(folder));
    assert_non_null(folder->job->fleet);
    assert_int_equal(folder->job->vehicles, folder->job->fleet->row_count);
    return folder->job->fleet;
}

/* Every form says the same two vehicles. */
static void forms_of_csv(void **state)
{
    static const struct {
        const char *bytes;
        size_t length;
        bool remark;
    } forms[] = {
#define FORM(text, remark) {text, sizeof text - 1, remark}
        FORM("unit,driver\n204,Zo\xC3\xA9, \n205,\"a \"\"b\"\", c\"\n", false),
        FORM("unit,driver\r\n204,Zo\xC3\xA9\r\n205,\"a \"\"b\"\", c\"\r\n", false),
        FORM("unit,driver\r204,Zo\xC3\xA9\r205,\"a \"\"b\"\", c\"", false),
        FORM("\xEF\xBB\xBFunit;driver\n204;Zo\xC3\xA9\n205;\"a \"\"b\"\", c\"", false),
        FORM("unit\tdriver\n204\tZo\xC3\xA9\n\n205\t\"a \"\"b\"\", c\"\n\n", false),
        FORM("\n\"unit\" , \"driver\",,\n204 ,  Zo\xC3\xA9,,\n,,,\n \"205\",\"a \"\"b\"\", c\",,\n", false),
        FORM("unit,driver\n204,Zo\xE9\n205,\"a \"\"b\"\", c\"\n", true), /* ISO 8859-1 */
#undef FORM
    };
    (void)state;
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        struct folder folder;
        const struct fleet *fleet = fleet_read(&folder, forms[i].bytes, forms[i].length);
        assert_int_equal(fleet->column_count, 2);
        assert_string_equal(fleet->columns[0], "unit");
        assert_string_equal(fleet->columns[1], "driver");
        assert_int_equal(fleet->row_count, 2);
        assert_string_equal(fleet->rows[0].name, "204");
        assert_string_equal(fleet->rows[0].cells[1], "Zo\xC3\xA9");
        assert_string_equal(fleet->rows[1].cells[1], "a \"b\", c");
        assert_int_equal(folder.report.count, 1 + forms[i].remark);
        assert_non_null(folder_mistake(&folder, "fleet.csv", 1, "only counted"));
        if (forms[i].remark) assert_non_null(folder_mistake(&folder, "fleet.csv", 1, "ISO 8859-1"));
        folder_free(&folder);
    }
}

struct csv_case {
    const char *csv;
    int line, column;
    const char *words;
};

static const struct csv_case cases[] = {
    {"", 1, 1, "the file is empty"},
    {"unit,plate\n", 1, 1, "no vehicles"},
    {"unit,plate\n1,\"a\n2,b\n", 2, 3, "not closed"},
    {"unit,plate\n1,\"a\"b\n", 2, 6, "after the closing quote"},
    {"unit,size\n1,12\" wide\n", 2, 5, "a quote inside a cell"},
    {"unit,plate\n1\n", 2, 1, "has 1 cell and the header 2"},
    {"unit,plate\n1,a,b\n", 2, 1, "has 3 cells and the header 2"},
    {"unit,,plate\n1,a,b\n", 1, 6, "column 2 has no name"},
    {"unit,plate,unit\n1,a,b\n", 1, 12, "is there already as column 1"},
    {"un{it\n1\n", 1, 1, "has a brace"},
    {"unit,plate\n1,a\n1,b\n", 3, 1, "is there already in line 2"},
    {"unit\nA/1\na 1\n", 3, 1, "have the same letters and digits"},
    {"unit,plate\n,a\n", 2, 1, "has no name in column `unit`"},
    {"unit,plate\n1,\"a\nb\"\n", 2, 3, "does not print (U+000a)"},
    {"unit\n\xE2\x80\xAE"
     "402\n",
     2, 1, "does not print (U+202e)"},
    {"unit\n4\x1B[31m\n", 2, 1, "does not print (U+001b)"},
    {"unit\n4\xC2\x9B\n", 2, 1, "does not print (U+009b)"},
};

static void malformed_csv(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct folder folder;
        load(&folder, "", cases[i].csv, strlen(cases[i].csv));
        const struct mistake *mistake = folder_mistake(&folder, "fleet.csv", cases[i].line, cases[i].words);
        if (!mistake || mistake->remark) fail_msg("%s: %s", cases[i].words, folder_report(&folder));
        assert_int_equal(mistake->place.column, cases[i].column);
        assert_int_equal(folder.report.errors, 1);
        assert_null(folder.job->fleet);
        folder_free(&folder);
    }
}

static void refused(const char *csv, size_t length, int line, const char *words)
{
    struct folder folder;
    load(&folder, "", csv, length);
    if (!folder_mistake(&folder, "fleet.csv", line, words)) fail_msg("%s: %s", words, folder_report(&folder));
    folder_free(&folder);
}

static void limits_of_csv(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct text rows = text_new(arena), columns = text_new(arena), cell = text_new(arena);
    for (int i = 0; i <= VEHICLES_MOST + 1; i++) text_addf(&rows, "%d\n", i);
    for (int i = 0; i <= FLEET_COLUMNS_MOST; i++) text_addf(&columns, "%sc%d", i ? "," : "", i);
    text_add(&cell, "a,b\n1,");
    for (int i = 0; i <= FLEET_CELL_BYTES_MOST; i++) text_add_char(&cell, 'x');
    refused(text_string(&rows), rows.length, VEHICLES_MOST + 2, "more than 500 vehicles");
    refused(text_string(&columns), columns.length, 1, "more than 40 cells");
    refused(text_string(&cell), cell.length, 2, "201 bytes long");
    refused("unit\n1\0", 7, 1, "not a CSV file");
    refused("\xFF\xFEu\0", 4, 1, "UTF-16");
    arena_free(arena);
}

/* However it is damaged, the file is read or refused with a place in it. */
static void damaged_csv(void **state)
{
    static const char csv[] =
        "unit,plate,depot\r\n201,\"AB \"\"1\"\"\",north\r\n202,AB 2,\"so\xC3\xA9th\"\r\n";
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    for (uint64_t seed = 0; seed < 200; seed++) {
        const char *what;
        struct str bytes = mutate(arena, (struct str){csv, sizeof csv - 1}, seed, &what);
        struct folder folder;
        load(&folder, "", bytes.bytes, bytes.length);
        if (!folder.job->fleet && !folder.report.errors)
            fail_msg("seed %d, %s: no fleet, no mistake", (int)seed, what);
        for (size_t i = 0; i < folder.report.count; i++)
            if (!folder.report.mistakes[i].place.line) fail_msg("seed %d, %s: no place", (int)seed, what);
        folder_free(&folder);
    }
    arena_free(arena);
}

/* Names are part of file names: nothing of a path may be left of them. */
static void hostile_names(void **state)
{
    static const struct {
        const char *name, *id;
    } names[] = {
        {"../../etc/passwd", "etc-passwd"},
        {"-rf", "rf"},
        {"M\xC3\xBCller 7", "Mueller-7"},
        {"=1+1", "1-1"},
        {"$(id)", "id"},
        {"...", "line-7"},
        {"\xD0\x90 12", "line-8"}, /* a Cyrillic letter has no Latin spelling here */
    };
    (void)state;
    struct folder folder;
    const char csv[] = "unit\n../../etc/passwd\n-rf\nM\xC3\xBCller 7\n=1+1\n$(id)\n...\n\xD0\x90 12\n";
    const struct fleet *fleet = fleet_read(&folder, csv, sizeof csv - 1);
    assert_int_equal(fleet->row_count, sizeof names / sizeof *names);
    for (size_t i = 0; i < fleet->row_count; i++) {
        assert_string_equal(fleet->rows[i].name, names[i].name);
        assert_string_equal(fleet->rows[i].id, names[i].id);
    }
    folder_free(&folder);
}

static void text_mistakes(void **state)
{
    static const struct csv_case texts[] = {
        {"    text: {words: a}\n", 7, 11, "is a group"},
        {"    text: [{words: a, at: [1, 2]}]\n", 7, 12, "`height` is missing"},
        {"    text: [{words: a, at: [1], height: 80}]\n", 7, 27, "has 1 values"},
        {"    text: [{words: a, at: [1, 2], height: 0}]\n", 7, 43, "out of range"},
        {"    text: [{words: a, at: [1, 2], height: 80, align: middle}]\n", 7, 54, "left, centre, right"},
        {"    text: [{words: a, at: [1, 2], height: 80, colour: [0, 0, 101, 0]}]\n", 7, 62, "out of range"},
        {"    text: [{words: a, at: [1, 2], height: 80, narrowest: 20 %}]\n", 7, 58, "30 % to 100 %"},
        {"    text: [{words: '{unti}', at: [1, 2], height: 80}]\n", 7, 12, "did you mean `unit`?"},
        {"    text: [{words: '{driver}', at: [1, 2], height: 80}]\n", 7, 12,
         "its columns are `unit`, `plate`"},
        {"    text: [{words: 'a {unit', at: [1, 2], height: 80}]\n", 7, 12,
         "the brace in \"{unit\" is not closed"},
        {"vehicles: many\n", 7, 0, "second time"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct folder folder;
        load(&folder, texts[i].csv, "unit,plate\n1,a\n", 15);
        const struct mistake *mistake = folder_mistake(&folder, "job.yaml", texts[i].line, texts[i].words);
        if (!mistake) fail_msg("%s: %s", texts[i].words, folder_report(&folder));
        if (texts[i].column) assert_int_equal(mistake->place.column, texts[i].column);
        folder_free(&folder);
    }
}

static void empty_words_are_told(void **state)
{
    (void)state;
    struct folder folder;
    const char csv[] = "unit,plate\n1,a\n2,\n3,\n";
    load(&folder, "    text: [{words: ' {plate}', at: [1, 2], height: 80}]\n", csv, sizeof csv - 1);
    assert_int_equal(folder.report.errors, 0);
    assert_int_equal(folder.report.count, 1);
    assert_non_null(
        folder_mistake(&folder, "job.yaml", 7, "empty on 2 vehicles, first on `2` (fleet.csv:3)"));
    folder_free(&folder);
}

static void vehicles_are_a_number_or_a_file(void **state)
{
    static const struct csv_case jobs[] = {
        {"vehicles: 501\n", 6, 11, "from 1 to 500"},       {"vehicles: 1.5\n", 6, 11, "or a CSV file"},
        {"vehicles: many\n", 6, 11, "or a CSV file"},      {"vehicles: [1]\n", 6, 11, "is a list"},
        {"vehicles: no.csv\n", 6, 11, "cannot be opened"},
    };
    (void)state;
    const char *ground = "job: A-1\ncondition: van-cast\nsurfaces:\n  - name: left\n    size: [5400, 1900]\n";
    for (size_t i = 0; i < sizeof jobs / sizeof *jobs; i++) {
        struct folder folder;
        folder_new(&folder);
        folder_write(&folder, "shop.yaml", sample_shop);
        folder_write(&folder, "job.yaml", arena_format(folder.arena, "%s%s", ground, jobs[i].csv));
        assert_true(folder_load(&folder));
        const struct mistake *mistake = folder_mistake(&folder, "job.yaml", jobs[i].line, jobs[i].words);
        if (!mistake) fail_msg("%s: %s", jobs[i].words, folder_report(&folder));
        assert_int_equal(mistake->place.column, jobs[i].column);
        folder_free(&folder);
    }
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", sample_shop);
    folder_write(&folder, "job.yaml",
                 arena_format(folder.arena,
                              "%s    text: [{words: 'No. {{1} {unit}', at: [1, 2], height: 80}]\n"
                              "vehicles: 12\n",
                              ground));
    assert_true(folder_load(&folder));
    assert_int_equal(folder.job->vehicles, 12);
    assert_non_null(folder_mistake(&folder, "job.yaml", 6, "`{unit}` stands for a column"));
    assert_int_equal(folder.report.errors, 1);
    folder_free(&folder);
}

static void words_of_a_vehicle(void **state)
{
    (void)state;
    struct folder folder;
    const struct fleet *fleet = fleet_read(&folder, "unit,plate\n204,AB 1\n", 20);
    const struct fleet_row *row = fleet->rows;
    assert_string_equal(fleet_words(fleet, row, "Unit {unit} / { plate }", folder.arena), "Unit 204 / AB 1");
    assert_string_equal(fleet_words(fleet, row, "{{unit}} {unit}}", folder.arena), "{unit} 204}");
    assert_string_equal(fleet_words(fleet, row, "a } b", folder.arena), "a } b");
    assert_true(fleet_words_differ("{{ {unit}"));
    assert_false(fleet_words_differ("{{unit}"));
    folder_free(&folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forms_of_csv),         cmocka_unit_test(malformed_csv),
        cmocka_unit_test(limits_of_csv),        cmocka_unit_test(hostile_names),
        cmocka_unit_test(damaged_csv),          cmocka_unit_test(text_mistakes),
        cmocka_unit_test(empty_words_are_told), cmocka_unit_test(vehicles_are_a_number_or_a_file),
        cmocka_unit_test(words_of_a_vehicle),
    };
    return cmocka_run_group_tests_name("job-texts", tests, NULL, NULL);
}
