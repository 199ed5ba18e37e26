/* Words at the ticks of a panel's end strips: none lies over another, however close the ticks stand. The marks are
 * read back from their SVG (<text> with x, y and textLength; SVG 1.1, 10.5). */
#include "../test.h"
#include "../../src/make/marks.h"
#include "../support/sample_plan.h"
#include "base/arena.h"
#include "base/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct machine machine;
static struct arena *arena;

static int open_arena(void **state)
{
    (void)state;
    machine = machine_real("");
    arena = arena_new(&machine);
    return 0;
}

static int close_arena(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

struct word {
    double x, y, size, width;
};

static double attribute(const char *at, const char *name)
{
    const char *found = strstr(at, name);
    assert_non_null(found);
    return strtod(found + strlen(name), NULL);
}

static bool overlap(const struct word *a, const struct word *b)
{
    return fabs(a->y - b->y) < 0.7 * a->size && a->x < b->x + b->width - 0.01 &&
           b->x < a->x + a->width - 0.01;
}

/* In the groups of both end strips; returns how many small words there are, of which none may overlap. */
static size_t read_words(const char *svg)
{
    struct word words[200];
    size_t count = 0, from = 0;
    for (const char *at = svg; (at = strchr(at, '<')); at++) {
        if (!strncmp(at, "<g ", 3)) from = count;
        if (strncmp(at, "<text ", 6)) continue;
        struct word w = {attribute(at, " x=\""), attribute(at, " y=\""), attribute(at, "font-size=\""),
                         attribute(at, "textLength=\"")};
        if (w.size != 3 || count == 200) continue;
        for (size_t i = from; i < count; i++)
            if (overlap(&words[i], &w))
                fail_msg("a word at %g, %g lies over one at %g, %g", w.x, w.y, words[i].x, words[i].y);
        words[count++] = w;
    }
    return count;
}

/* Handles, lights and a badge a few millimetres apart, beside a seam and on the panel's edges. */
static void crowd(struct surface *s)
{
    static const enum feature_kind kinds[] = {FEATURE_HANDLE, FEATURE_LIGHT, FEATURE_BADGE, FEATURE_HINGE};
    s->features = arena_take_array(arena, 40, sizeof *s->features), s->feature_count = 40;
    for (int i = 0; i < 40; i++)
        s->features[i] =
            (struct feature){.kind = kinds[i % 4],
                             .box = rect_of(i < 20 ? 20 + 9 * i : 1250 + 7 * i, 300 + 20 * i, 14, 10),
                             .margin_mm = -1};
}

static void words_keep_off_each_other(void **state)
{
    (void)state;
    struct plan *plan = sample_plan(arena, 4, false).plan;
    struct surface_plan *left = &plan->surfaces[0];
    crowd((struct surface *)left->surface);
    size_t most = 0;
    for (size_t i = 0; i < left->panel_count; i++) {
        struct make_order order = {.plan = plan, .surface = left};
        struct panel_marks marks;
        struct error error = {0};
        struct text svg = text_new(arena);
        assert_true(marks_make(&order, &left->panels[i], arena, &marks, &error));
        assert_true(drawing_svg(marks.drawing, &svg));
        size_t words = read_words(text_string(&svg));
        most = words > most ? words : most;
    }
    assert_true(most >= 12); /* both ends of the first panel say its edges and most of what stands close */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(words_keep_off_each_other, open_arena, close_arena),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
