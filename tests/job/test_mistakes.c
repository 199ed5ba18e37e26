/* Every mistake at once, each with its place, what is wrong and what would be right. */
#include "../test.h"
#include "base/path.h"
#include "base/text.h"
#include "folder.h"
#include <string.h>

/* The job that each case damages: five lines, then one of its own from line 6 on. */
static const char ground[] = "job: A-1\n"
                             "condition: van-cast\n"
                             "surfaces:\n"
                             "  - name: left\n"
                             "    size: [5400, 1900]\n";

struct mistake_case {
    const char *text; /* behind the ground */
    int line, column; /* column 0: any */
    const char *words;
};

static const struct mistake_case job_cases[] = {
    /* keys */
    {"tittle: x\n", 6, 1, "`tittle` is not a key of job; did you mean `title`?"},
    {"seam-trim: 2\n", 6, 1, "`seam-trim` is not a key of job; it is one of print"},
    {"print: {overlapp: 12}\n", 6, 9, "did you mean `overlap`?"},
    {"title: a\ntitle: b\n", 7, 1, "`title` stands here for the second time (first in line 6)"},
    {"title:\n", 6, 1, "`title` has no value"},
    {"print: [1]\n", 6, 8, "`print` is a list"},
    {"print: {overlap: 12}\noverlap: 10\n", 7, 1, "keep one of them"},
    /* units and ranges */
    {"overlap: 12 furlongs\n", 6, 10, "is not a length such as 12 mm"},
    {"overlap: 101\n", 6, 10, "it can be from 0 mm to 100 mm"},
    {"overlap: -1\n", 6, 10, "out of range"},
    {"overlap: nan\n", 6, 10, "is not a length"},
    {"print: {seam-trim: 5.1}\n", 6, 20, "it can be from 0 mm to 5 mm"},
    {"indoors: {temperature: 61}\n", 6, 24, "it can be from -20 degrees C to 60 degrees C"},
    {"indoors: {humidity: 50 mm}\n", 6, 21, "is not a percentage"},
    {"durability: 5 h\n", 6, 13, "is not a number of years"},
    {"feed: 110 %\n", 6, 7, "it can be from 95 % to 105 %"},
    {"indoors: {humidity: 0.5}\n", 6, 21, "may be 0.5 % or 50 %"},
    {"print: {resolution: 100 ppi}\n", 6, 21, "is not a plain number"},
    {"bleed: {rear: 2 km}\n", 6, 15, "is not a length"},
    {"bleed: {reer: 2}\n", 6, 9, "did you mean `rear`?"},
    /* decimal commas */
    {"bleed: 1,250 mm\n", 6, 8, "can be 1250 mm or 1.250 mm"},
    {"bleed: {rear: 12,5}\n", 6, 15, "write 12.5 or quote it"},
    {"bleed: {rear: 12,5 mm, top: 3}\n", 6, 15, "write 12.5 mm or quote it"},
    {"bleed: 1,2,5\n", 6, 8, "is not a length"},
    {"  - {name: wide, size: [5400,5, 1900]}\n", 6, 24, "write 5400.5 or quote it"},
    /* words */
    {"  - {name: part, size: [900, 500], cover: {behind: 300, before: 100}}\n", 6, 65,
     "says its region twice"},
    {"  - {name: part, size: [900, 500], cover: {edge: contour}}\n", 6, 43, "`cover` says no region"},
    {"  - {name: part, size: [900, 500], cover: {outline: [[1, 2], [3, 4]]}}\n", 6, 53,
     "outline of 2 points"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a, artwork: a.pdf}]}\n", 6, 45,
     "`at` is missing in pieces"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a, at: [1, 2]}]}\n", 6, 45,
     "`artwork` is missing in pieces"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a/b, at: [1, 2], artwork: a.pdf}]}\n", 6, 52,
     "is not letters, digits"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a, at: [1, 2], artwork: a.pdf, cut: {}}]}\n", 6, 88,
     "`cut` says no path"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a, at: [1, 2], artwork: a.pdf, cut: {box: 1, spot: "
     "x}}]}\n",
     6, 94, "says its path twice"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a, at: [1, 2], artwork: a.pdf, other-side: "
     "part}]}\n",
     6, 45, "name another surface of this job"},
    {"  - {name: part, size: [900, 500], pieces: [{name: a, at: [1, 2], artwork: {file: a.pdf, fit: "
     "bleed}}]}\n",
     6, 76, "take `at` and `fit` out"},
    {"drying: hang\n", 6, 9, "did you mean `hung`?"},
    {"output: later\n", 6, 9, "one of run, cut"},
    {"inches: maybe\n", 6, 9, "is not true or false"},
    {"vehicle-type: vann\n", 6, 15, "did you mean `van`?"},
    {"title: \"two\\nlines\"\n", 6, 8, "line break"},
    {"vehicle: \"van\\0.yaml\"\n", 6, 10, "NUL"},
    {"shop: \"sh\\nop.yaml\"\n", 6, 7, "line break"},
    {"shop: elsewhere.yaml\n", 6, 7, "elsewhere.yaml cannot be opened"},
    {"vehicle: nowhere.yaml\n", 6, 10, "nowhere.yaml cannot be opened"},
    /* times */
    {"due: 2027-02-30T08:00\n", 6, 6, "is not a time"},
    {"due: 2027-02\n", 6, 6, "write a date and time such as"},
    {"due: 2027-02-28T24:01\n", 6, 6, "is not a time"},
    {"due: 2027-02-28T12:00+25:00\n", 6, 6, "is not a time"},
    {"start: 2027-03-02T08:00\ndue: 2027-03-01T08:00\n", 7, 6, "`due` is not after `start`"},
    /* the surface */
    {"    front: up left\n", 6, 12, "one of left, right, up, down, away, towards"},
    {"    drawing: {file: a.svg}\n", 4, 5, "both `size` and `drawing`"},
    {"  - {name: right}\n", 6, 5, "neither `size` nor `drawing`"},
    {"  - {name: left, size: [1 m, 1 m]}\n", 6, 12, "the name of another surface (line 4)"},
    {"  - {name: a/b, size: [1 m, 1 m]}\n", 6, 12, "letters, digits, - _ and spaces"},
    {"  - {name: far, size: [61 m, 1 m]}\n", 6, 24, "it can be from 10 mm to 60000 mm"},
    {"  - {name: thin, size: [100]}\n", 6, 24, "has 1 values"},
    {"    condition: van-csat\n", 6, 16, "did you mean `van-cast`?"},
    {"    features: [{kind: handel, box: [0, 0, 1, 1]}]\n", 6, 23, "did you mean `handle`?"},
    {"    features: [{kind: handle, box: [0, 0, 0, 1]}]\n", 6, 36, "have to be above 0"},
    {"    features: [{kind: handle}]\n", 6, 16, "a handle needs `box`"},
    {"    features: [{kind: gap, box: [0, 0, 5, 5]}]\n", 6, 16, "a gap needs `line`"},
    {"    features: [{kind: recess, box: [0, 0, 5, 5]}]\n", 6, 16, "a recess needs `depth`"},
    {"    features: [{kind: corrugation, box: [0, 0, 5, 5], depth: 18, pitch: 76}]\n", 6, 16, "needs `runs`"},
    {"    features: [{kind: handle, box: [9000, 0, 5, 5]}]\n", 6, 16, "lies outside surface `left`"},
    {"    artwork: [{page: 1}]\n", 6, 15, "`file` is missing"},
    {"    artwork: [{file: a.pdf, page: 0}]\n", 6, 35, "out of range"},
    {"    artwork: [{file: a.pdf, page: 1.5}]\n", 6, 35, "is not a whole number"},
    {"    artwork: [{file: a.pdf, scale: 1 : 10}]\n", 6, 38, "write `scale: 10`, or 1:10"},
    {"    artwork: [{file: a.pdf, scale: 1: 10}]\n", 6, 37, "write `scale: 10`, or 1:10"},
    {"    artwork: [{file: a.pdf, scale: 1;10}]\n", 6, 36, "such as 10, 1:10 or 10 %"},
    {"    artwork: [{file: a.pdf, scale: 0}]\n", 6, 36, "it can be from 0.01 to 1000"},
    {"    seams: [1350, 1350]\n", 6, 19, "stands here twice"},
    {"    seams: [5400]\n", 6, 13, "is not within surface"},
    {"    panels: upright\n    seams: [{at: 100, over: upper}]\n", 7, 13, "write left or right"},
    {"align: left-rear\n", 6, 8, "does not name two surfaces"},
    {"align: {shift: 40 mm}\n", 6, 8, "`surfaces` is missing"},
    {"artwork: {lefft: a.pdf}\n", 6, 11, "did you mean `left`?"},
    /* what a job file never holds */
    {"title: &a b\n", 6, 8, "anchors are not read"},
    {"title: !!str b\n", 6, 8, "tags are not read"},
    {"title: *b\n", 6, 8, "aliases are not read"},
    {"---\ntitle: b\n", 6, 1, "a second document"},
    {"? [a]\n: b\n", 6, 3, "where a key is expected"},
    {"title: 'open\n", 7, 1, "not readable as YAML"},
    {"\ttitle: a\n", 6, 1, "blanks rather than tabs"},
};

static void check_case(const char *file, const struct mistake_case *one, struct folder *folder)
{
    bool read = folder_load(folder);
    const struct mistake *found = read ? folder_mistake(folder, file, one->line, one->words) : NULL;
    if (!found || found->remark || (one->column && found->place.column != one->column))
        fail_msg("%s\nwanted %s:%d:%d: %s\ngot %s", one->text, file, one->line, one->column, one->words,
                 read ? folder_report(folder) : folder->error.text);
    if (folder->report.errors != 1) fail_msg("told more than once:\n%s", folder_report(folder));
}

static void job_mistakes(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof job_cases / sizeof *job_cases; i++) {
        struct folder folder;
        folder_new(&folder);
        folder_write(&folder, "shop.yaml", sample_shop);
        folder_write(&folder, "job.yaml", arena_format(folder.arena, "%s%s", ground, job_cases[i].text));
        check_case("job.yaml", &job_cases[i], &folder);
        folder_free(&folder);
    }
}

static const char *with_part(struct folder *folder, const char *text, const char *part, const char *other)
{
    const char *at = strstr(text, part);
    assert_non_null(at);
    return arena_format(folder->arena, "%.*s%s%s", (int)(at - text), text, other, at + strlen(part));
}

/* `other` is put in place of `part` of the sample shop; the mistake is told where `mark` then stands, from
 * the line of `part` on. */
static const struct shop_case {
    const char *part, *other, *mark, *words;
} shop_cases[] = {
    {"currency: EUR", "currency: EUR\ncutters: [{name: c, kiss-spot: A, through-spot: A}]", "{name: c",
     "give each kind of cut a spot of its own"},
    {"currency: EUR", "currency: EUR\ncutters: [{name: c, marks: {shape: dot, size: 5, distance: 3}}]", "dot",
     "one of circle, cross, square, corner"},
    {"currency: EUR",
     "currency: EUR\ncutters: [{name: c, marks: {shape: cross, size: 5, line: 6, distance: 3}}]", "{name: c",
     "are wider than the marks"},
    {"currency: EUR", "currency: EUR\ncutters: [{name: c, marks: {shape: cross, size: 5}}]", "{shape",
     "`distance` is missing"},
    {"currency: EUR", "currency: euro", "euro", "three capital letters"},
    {"page: https://10.0.0.7:8017", "page: ftp://pc", "ftp://pc", "`page: ftp://pc` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://", "http://", "`page: http://` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://pc:x", "http://pc:x",
     "`page: http://pc:x` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://pc:0", "http://pc:0",
     "`page: http://pc:0` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://pc:65536", "http://pc:65536",
     "`page: http://pc:65536` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://pc/x", "http://pc/x",
     "`page: http://pc/x` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://-pc", "http://-pc", "`page: http://-pc` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://p_c", "http://p_c", "`page: http://p_c` is not http:// or"},
    {"page: https://10.0.0.7:8017", "page: http://aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
     "http://aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
     "`page: http://aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa` is not http:// or"},
    {"Europe/Lisbon", "/etc/passwd", "/etc", "IANA"},
    {"sat: closed", "sat: shut", "shut", "is not opening hours"},
    {"sat: closed", "sat: 08:00-08:00", "08:00-08", "is not opening hours"},
    {"sat: closed", "satt: closed", "satt", "did you mean `sat`?"},
    {"2028-02-29", "2027-02-29", "2027-02-29", "is not a day of the calendar"},
    {"64 in", "64 inn", "64 inn", "is not a length"},
    {"speed: 12 m2/h", "speed: 12 km/h", "12 km/h", "is not an area in an hour"},
    {"setup: 20 min", "setup: 20", "20}", "is not a duration with its unit"},
    {"    kind: cast\n", "    kind: casst\n", "casst", "did you mean `cast`?"},
    {"9.80 per m2", "9.8000001", "9.80", "at most 6 decimals"},
    {"9.80 per m2", "9.80 per ml", "9.80", "is not an amount"},
    {"{value: 12 %, source: \"maker's bulletin 12\"}", "{value: 12 %}", "{value", "has two keys"},
    {"{name: plain", "{name: cast-gloss", "{name: cast-gloss, kind: cal",
     "the name of another entry of laminates (line 19)"},
    {"temperature: [68 F, 23]", "temperature: [23, 68 F]", "[23", "gives the higher value first"},
    {"channels: [C, M, Y, K]", "channels: [C, M, Y, W]", "[C", "lacks K"},
    {"[8, 8.5, 7, 9]", "[8, 8.5, 7]", "[8,", "has 3 values"},
    {"least: 50 h", "least: 120 h", "", "`dry.most` is shorter than `dry.least`"},
    {"printer: wide, film: cast-white", "printer: wyde, film: cast-white", "wyde", "did you mean `wide`?"},
    {"laminate: cast-gloss,", "laminate: cast-glos,", "cast-glos,", "did you mean `cast-gloss`?"},
    {"0123456789abcdef0123456789abcdef", "0123", "0123", "32 digits"},
    {"until: 2027-03-20", "until: soon", "soon", "is not a day of the calendar"},
    {"ink: cured\n", "ink: cured\n    laminate: plain\n", "", "names a laminate and says why there is none"},
    {"seam-crosses: stop", "seam-crosses: note", "note", "never less"},
    {"seam-crosses: stop", "artwork-damaged: warn", "warn", "never less"},
    {"seam-crosses: stop", "seam-croses: stop", "seam-croses", "did you mean `seam-crosses`?"},
};

/* Line and column of a place in a text, counted by hand. */
static void count_place(const char *text, const char *at, struct mistake_case *place)
{
    place->line = 1, place->column = 1;
    for (; text < at; text++) {
        place->column++;
        if (*text == '\n') place->line++, place->column = 1;
    }
}

static void shop_mistakes(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof shop_cases / sizeof *shop_cases; i++) {
        const struct shop_case *one = &shop_cases[i];
        struct folder folder;
        folder_new(&folder);
        folder_write(&folder, "job.yaml", ground);
        const char *text = with_part(&folder, sample_shop, one->part, one->other);
        folder_write(&folder, "shop.yaml", text);
        struct mistake_case wanted = {one->other, 0, 0, one->words};
        const char *line = strstr(sample_shop, one->part);
        while (line > sample_shop && line[-1] != '\n') line--;
        if (*one->mark) count_place(text, strstr(text + (line - sample_shop), one->mark), &wanted);
        check_case("shop.yaml", &wanted, &folder);
        folder_free(&folder);
    }
}

/* One file with a mistake in nearly every line: all are told, in order, and the shop's too. */
static void all_at_once(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", with_part(&folder, sample_shop, "speed: 12 m2/h", "speed: fast"));
    folder_write(&folder, "job.yaml",
                 "job: A 1\n"
                 "tilte: x\n"
                 "due: tomorrow\n"
                 "drying: fan\n"
                 "print: {overlap: 12 feet, seam-trim: 9}\n"
                 "surfaces:\n"
                 "  - {name: left, size: [5400, tall], features: [{kind: handle}, {kind: hook}]}\n"
                 "  - {size: [1, 1]}\n");
    assert_true(folder_load(&folder));
    static const struct mistake_case wanted[] = {
        {"", 1, 0, "`job: A 1`"},    {"", 2, 0, "`title`"},
        {"", 3, 0, "is not a time"}, {"", 4, 0, "one of cabinet"},
        {"", 5, 18, "12 feet"},      {"", 5, 38, "9"},
        {"", 7, 31, "tall"},         {"", 7, 0, "needs `box`"},
        {"", 7, 0, "`kind: hook`"},  {"", 8, 0, "`name` is missing"},
        {"", 8, 0, "out of range"},  {"", 1, 0, "`condition` is missing"},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
        if (!folder_mistake(&folder, "job.yaml", wanted[i].line, wanted[i].words))
            fail_msg("%d: %s is not in\n%s", wanted[i].line, wanted[i].words, folder_report(&folder));
    assert_non_null(folder_mistake(&folder, "shop.yaml", 6, "fast"));
    folder_free(&folder);
}

static void refused(const char *name, const void *bytes, size_t length, int line, const char *words)
{
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", sample_shop);
    folder_write_bytes(&folder, name, bytes, length);
    if (folder_load(&folder)) {
        if (!folder_mistake(&folder, name, line, words)) fail_msg("%s: %s", words, folder_report(&folder));
    } else if (line || !strstr(folder.error.text, words)) {
        fail_msg("%s: %s", words, folder.error.text);
    }
    folder_free(&folder);
}

static void refused_text(const char *name, const char *text, int line, const char *words)
{
    refused(name, text, strlen(text), line, words);
}

/* At each limit of job.h, and what is no text at all. */
static void limits(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct text deep = text_new(arena), wide = text_new(arena);
    for (int i = 0; i < JOB_DEPTH_MOST + 1; i++) text_add(&deep, "[");
    refused_text("job.yaml", arena_format(arena, "a: %s", text_string(&deep)), 1, "within one another");
    text_add_char(&deep, '1');
    for (int i = 0; i < JOB_DEPTH_MOST + 1; i++) text_add(&deep, "]");
    refused_text("job.json", text_string(&deep), 1, "within one another");
    for (int i = 0; i <= JOB_KEYS_MOST; i++) text_addf(&wide, "k%d: 1\n", i);
    refused_text("job.yaml", text_string(&wide), JOB_KEYS_MOST + 1, "more than 200 keys");
    char *large = arena_take(arena, JOB_BYTES_MOST + 2);
    memset(large, ' ', JOB_BYTES_MOST + 1);
    refused("job.yaml", large, JOB_BYTES_MOST + 1, 0, "job.yaml");
    refused_text("job.yaml", "", 1, "empty");
    refused_text("job.yaml", "- a\n", 1, "is a list");
    refused("job.yaml", "a: 1\nb: \xFF\n", 10, 2, "UTF-8");
    refused("job.yaml", "a: 1\nb: \0\n", 10, 2, "NUL");
    refused_text("job.json", "{\"a\": 1,\n \"a\": 2}", 2, "duplicate");
    refused_text("job.json", "{\"a\": 1e999}", 1, "JSON");
    refused_text("job.json", "{\"a\": 1", 1, "JSON");
    refused_text("job.json", "{\"tittle\": 1}", 1, "did you mean `title`?");
    arena_free(arena);
}

static void no_job_at_all(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    assert_false(folder_load(&folder));
    assert_int_equal(folder.error.kind, FAILURE_INPUT);
    assert_non_null(strstr(folder.error.text, "job.yaml"));
    folder_write(&folder, "job.yaml", ground);
    assert_true(folder_load(&folder)); /* no shop beside it */
    assert_non_null(folder_mistake(&folder, "job.yaml", 1, "there is no shop.yaml beside this file"));
    assert_int_equal(folder.report.errors, 1);
    folder_free(&folder);
}

static void two_measures_of_one_surface(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", sample_shop);
    folder_write(&folder, "vehicle.yaml", sample_vehicle);
    folder_write(&folder, "job.yaml", arena_format(folder.arena, "%s  - {name: rera}\n", ground));
    assert_true(folder_load(&folder));
    assert_non_null(folder_mistake(&folder, "job.yaml", 4, "`left` is measured in vehicle.yaml:4"));
    assert_non_null(folder_mistake(&folder, "job.yaml", 6, "did you mean `rear`?"));
    assert_int_equal(folder.report.errors, 2);
    folder_free(&folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(job_mistakes),  cmocka_unit_test(shop_mistakes),
        cmocka_unit_test(all_at_once),   cmocka_unit_test(limits),
        cmocka_unit_test(no_job_at_all), cmocka_unit_test(two_measures_of_one_surface),
    };
    return cmocka_run_group_tests_name("job-mistakes", tests, NULL, NULL);
}
