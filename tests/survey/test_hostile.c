/* Drawings that nobody meant: every file of the shared collection, seeded mutations of a good drawing, and
 * the classic attacks on XML. Each is answered in bounded time, with a surface or with a mistake that has a
 * place. */
#include "support.h"
#include "base/path.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static const char good[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:k=\"urn:layers\" width=\"540mm\" height=\"190mm\" "
    "viewBox=\"0 0 5400 1900\">\n"
    "  <g id=\"outline\" transform=\"translate(10,20)\"><path d=\"M0 0C500-200,900 0 1500 0S5000 0 5000 "
    "300V1800"
    "h-500a300 300 0 01-600 0H0Z\"/></g>\n"
    "  <g k:label=\"handle\"><rect x=\"900\" y=\"800\" width=\"120\" height=\"60\" rx=\"10\" "
    "data-margin=\"40\"/>"
    "<circle cx=\"2000\" cy=\"700\" r=\"30\"/></g>\n"
    "  <defs><ellipse id=\"lamp\" rx=\"50\" ry=\"30\"/></defs>\n"
    "  <use class=\"light\" href=\"#lamp\" x=\"200\" y=\"900\" transform=\"rotate(10 200 900)\"/>\n"
    "  <polygon class=\"corrugation\" points=\"2500,900 3500,900 3500,1500 2500,1500\" data-depth=\"18 mm\" "
    "data-pitch=\"76\" data-laid=\"followed\"/>\n"
    "  <line class=\"gap\" x1=\"2200\" y1=\"100\" x2=\"2200\" y2=\"1700\"/>\n"
    "  <text x=\"10\" y=\"20\">left side</text>\n"
    "</svg>\n";

/* Runs one drawing; fails when it takes long or is refused without a place. */
static bool run(const char *bytes, size_t length, const char *what)
{
    struct made made = made_new();
    clock_t start = clock();
    assert_true(made_draw(&made, bytes, length, 10));
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    if (seconds > 5) fail_msg("%s took %.1f s", what, seconds);
    bool accepted = made.surface != NULL;
    for (size_t i = 0; i < made.report.count; i++) {
        struct place place = made.report.mistakes[i].place;
        if (!place.file || place.line < 1 || !made.report.mistakes[i].text[0]) fail_msg("%s: no place", what);
        if (!str_is_utf8(str_from(made.report.mistakes[i].text))) fail_msg("%s: broken words", what);
    }
    made_free(&made);
    return accepted;
}

static void the_good_one_is_accepted(void **state)
{
    (void)state;
    assert_true(run(good, sizeof good - 1, "the good drawing"));
}

static uint64_t seed = 20261125;

static size_t random_below(size_t most)
{
    seed ^= seed << 13, seed ^= seed >> 7, seed ^= seed << 17;
    return (size_t)(seed % most);
}

static const char *const spoilers[] = {
    "1e999", "-",        "NaN",      "1e308",    "0",    "\"",
    "<",     ">",        "&x;",      "%",        "  ",   "99999999999999999999",
    "..",    "e",        "#",        "</g>",     "<g>",  "M",
    "z",     "Infinity", "\xff",     "-1e-320",  "<!--", "]]>",
    "\x01",  "use",      "#outline", "scale(0)",
};

/* Cuts, doubles, flips or spoils at one or two places. */
static size_t mutate(char *bytes, size_t length, size_t room)
{
    for (size_t turns = 1 + random_below(2); turns-- && length > 8;) {
        size_t at = random_below(length), count = 1 + random_below(6);
        if (at + count > length) count = length - at;
        const char *spoiler = spoilers[random_below(sizeof spoilers / sizeof *spoilers)];
        size_t put = strlen(spoiler);
        switch (random_below(9)) {
        case 0:
            memmove(bytes + at, bytes + at + count, length - at - count);
            length -= count;
            break;
        case 1:
            if (length + count >= room) break;
            memmove(bytes + at + count, bytes + at, length - at);
            length += count;
            break;
        case 2:
            bytes[at] = (char)(bytes[at] ^ (1 << random_below(8)));
            break;
        case 3:
            length = at;
            break;
        default:
            if (length + put >= room) break;
            memmove(bytes + at + put, bytes + at, length - at);
            memcpy(bytes + at, spoiler, put);
            length += put;
        }
    }
    return length;
}

static void mutations(void **state)
{
    (void)state;
    enum { ROOM = 8192, VARIANTS = 400 };
    char *bytes = malloc(ROOM), what[40];
    int refused = 0;
    for (int i = 0; i < VARIANTS; i++) {
        memcpy(bytes, good, sizeof good - 1);
        size_t length = mutate(bytes, sizeof good - 1, ROOM);
        snprintf(what, sizeof what, "variant %d", i);
        refused += !run(bytes, length, what);
    }
    free(bytes);
    print_message("# %d of %d variants refused\n", refused, (int)VARIANTS);
    assert_true(refused >= 60 && refused < VARIANTS);
}

/* What INDEX.tsv of the collection says: without a real size or not well-formed is refused; none has an
 * outline, so none becomes a surface, and each says why. */
static void shared_drawings(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    const char *shared = getenv("LAPSTRAKE_SHARED"), **names = NULL;
    struct error error;
    if (!shared ||
        !machine.list_folder(&machine, path_join(arena, shared, "inputs/svg"), arena, &names, &error)) {
        print_message("# inputs/svg is not here: skipped\n");
        arena_free(arena);
        skip();
    }
    int count = 0;
    for (; names[count]; count++) {
        struct str bytes = shared_file(arena, path_join(arena, "inputs/svg", names[count]));
        assert_false(run(bytes.bytes, bytes.length, names[count]));
    }
    assert_true(count >= 20);
    arena_free(arena);
}

/* Foreign drawings become surfaces once one of their shapes is given the kind: places measured from their own
 * numbers. use-transform: the rectangle -10..10 by -5..5 put at (20, 10) and turned by 30 degrees;
 * transform-list: a parallelogram of 80 by 160 px. */
static const struct surface *given_outline(struct made *made, const char *name, const char *at,
                                           const char *size)
{
    struct str bytes = shared_file(made->arena, path_join(made->arena, "inputs/svg", name));
    const char *place = strstr(bytes.bytes, at), *root = strstr(bytes.bytes, "<svg ");
    assert_true(place && root && root < place);
    char *svg = arena_format(made->arena, "%.*s<svg %s %.*s class=\"outline\" %s", (int)(root - bytes.bytes),
                             bytes.bytes, size, (int)(place - root - 5), root + 5, place);
    assert_true(made_svg(made, svg, 1));
    for (size_t i = 0; i < made->report.count; i++)
        print_message("# %s: %s\n", name, made->report.mistakes[i].text);
    assert_non_null(made->surface);
    return made->surface;
}

static struct made made;

static int set_up(void **state)
{
    (void)state;
    made = made_new();
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    made_free(&made);
    return 0;
}

static void shared_drawings_measured(void **state)
{
    (void)state;
    const struct surface *s = given_outline(&made, "use-transform.svg", "xlink:href=\"#therect\"", "");
    double c = 0.8660254037844386, sn = 0.5; /* cos 30, sin 30 */
    assert_near(s->width_mm, 20 * c + 10 * sn, 1e-5);
    assert_near(s->height_mm, 20 * sn + 10 * c, 1e-5);
    s = given_outline(&made, "transform-list.svg", "id=\"rect1\"", "width=\"200mm\" height=\"200mm\"");
    assert_near(s->width_mm, 80, 1e-5);
    assert_near(s->height_mm, 160, 1e-5);
    assert_near(polygon_area(&s->outline), 80 * 80, 1e-3);
    s = given_outline(&made, "matrix-no-commas.svg", "id=\"rect1\"", "width=\"200mm\" height=\"200mm\"");
    /* The file's own red parallelogram lies under the square: 87.756,40.104 .. 17.196,126.972. */
    assert_near(s->width_mm, 178.584 - 17.196, 0.01);
    assert_near(s->height_mm, 152.136 - 40.104, 0.01);
    s = given_outline(&made, "deeply-nested-svg.svg", "id=\"circle1\"", "width=\"200mm\" height=\"200mm\"");
    assert_near(s->width_mm, 240, 1e-4);
}

static void refuse(const char *svg, const char *what)
{
    if (run(svg, strlen(svg), what)) fail_msg("%s was accepted", what);
}

#define ROOT "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90mm\" height=\"90mm\">"

static void billion_laughs(void **state)
{
    (void)state;
    char svg[4000];
    int n = sprintf(svg, "<!DOCTYPE svg [<!ENTITY a0 \"M0 0h9v9h-9z\">");
    for (int i = 1; i < 12; i++)
        n += sprintf(svg + n, "<!ENTITY a%d \"&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;&a%d;\">", i,
                     i - 1, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1);
    sprintf(svg + n, "]>" ROOT "<path class=\"outline\" d=\"&a11;\"/><text>&a11;</text></svg>");
    refuse(svg, "billion laughs");
    refuse("<!DOCTYPE svg [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>" ROOT
           "<path class=\"outline\" d=\"&x;\"/></svg>",
           "an outside entity");
}

/* Each `use` draws the one before twice: 2^40 shapes. */
static void use_upon_use(void **state)
{
    (void)state;
    char svg[8000];
    int n = sprintf(svg, ROOT "<defs><rect id=\"u0\" width=\"1\" height=\"1\"/>");
    for (int i = 1; i <= 40; i++)
        n += sprintf(svg + n, "<g id=\"u%d\"><use href=\"#u%d\"/><use href=\"#u%d\"/></g>", i, i - 1, i - 1);
    sprintf(svg + n, "</defs><rect class=\"outline\" width=\"9\" height=\"9\"/><use class=\"handle\" "
                     "href=\"#u40\"/></svg>");
    refuse(svg, "use upon use");
}

static void deep_groups(void **state)
{
    (void)state;
    enum { DEEP = 5000 };
    static char svg[DEEP * 8 + 400];
    for (int deep = 70; deep <= DEEP; deep += DEEP - 70) {
        int n = sprintf(svg, ROOT "<rect class=\"outline\" width=\"9\" height=\"9\"/>");
        for (int i = 0; i < deep; i++) n += sprintf(svg + n, "<g>");
        for (int i = 0; i < deep; i++) n += sprintf(svg + n, "</g>");
        sprintf(svg + n, "</svg>");
        refuse(svg, "deep groups");
    }
}

static void too_many_points(void **state)
{
    (void)state;
    enum { POINTS = 30000 };
    char *svg = malloc(POINTS * 24 + 400);
    int n = sprintf(svg, ROOT "<polygon class=\"outline\" points=\"");
    for (int i = 0; i < POINTS; i++) n += sprintf(svg + n, "%d %d ", i, i % 2);
    sprintf(svg + n, "0 90\"/></svg>");
    refuse(svg, "too many points");
    free(svg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_good_one_is_accepted),
        cmocka_unit_test(mutations),
        cmocka_unit_test(shared_drawings),
        cmocka_unit_test_setup_teardown(shared_drawings_measured, set_up, tear_down),
        cmocka_unit_test(billion_laughs),
        cmocka_unit_test(use_upon_use),
        cmocka_unit_test(deep_groups),
        cmocka_unit_test(too_many_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
