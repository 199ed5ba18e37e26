/* Several artworks with page groups of different kinds on one panel, against Ghostscript's rendering of each
 * artwork's own page alone, composed by the plan: which lies where, later over earlier.
 *
 * A page can say one group. Decided (doc/decisions/vector-panels.md): artworks that blend in one space share it and
 * come out to the last pixel, as do all that blend in the paper's inks or not at all, whatever lies beside them.
 * What blends in another space than its neighbours may differ where it is half transparent, and in DeviceGray
 * everywhere; the finding artwork-groups names it. */
#include "../support/share.h"
#include "support.h"
#include "pdf/facts.h"
#include <stdlib.h>
#include <string.h>

enum { SIDE = 300, PPI = 72 };

/* The page's group: its space, and whether it is isolated or knocks out; `inks`: it mixes in the paper's inks. */
struct group {
    const char *space, *kind;
    bool inks;
};

static const struct group groups[] = {
    {"", "", true},
    {"/CS /DeviceCMYK", "/I true", true},
    {"/CS /DeviceCMYK", "/K true", true},
    {"/CS /DeviceRGB", "", false},
    {"/CS /DeviceRGB", "/I true /K true", false},
    {"/CS /DeviceGray", "/I true", false},
    {"/CS [/ICCBased 5 0 R]", "", false},
    {"/CS [/ICCBased 6 0 R]", "/K true", false},
};
enum { GROUPS = sizeof groups / sizeof *groups };

/* Plain boxes at the left; boxes that multiply or are half transparent right of x = 150. */
static const char plain[] =
    "0.2 0.9 0 0 k 10 20 60 150 re f 1 0.2 0 rg 70 20 60 150 re f 0.4 g 10 200 120 80 re f ";
static const char mixed[] =
    "0 0.4 0.9 0 k 160 20 60 200 re f .3 .6 .9 rg 220 20 60 200 re f q /M gs 0 0.3 0.8 0 k "
    "170 100 100 60 re f Q q /H gs 0 0 1 rg 170 30 100 40 re f .7 g 165 180 100 90 re f Q";

static char *artwork(struct bench *bench, size_t index, bool blends, bool profiles)
{
    const char *objects[] = {profile_object(bench, "sRGB-v2-nano.icc", 3),
                             profile_object(bench, "test1.icc", 4), NULL};
    const struct group *g = &groups[index];
    const char *page = arena_format(
        bench->arena, "/MediaBox [0 0 %d %d] /Group << /S /Transparency %s %s >> /Resources << %s >>", SIDE,
        SIDE, g->space, g->kind, blends ? "/ExtGState << /M << /BM /Multiply >> /H << /ca 0.4 >> >>" : "");
    return make_pdf(bench, arena_format(bench->arena, "art-%zu-%d.pdf", index, blends), page,
                    arena_format(bench->arena, "%s%s", plain, blends ? mixed : ""),
                    profiles ? objects : NULL);
}

/* Two artworks, `shift` units apart, on one panel page without marks, drawn by Ghostscript. */
static struct image together(struct bench *bench, const char *const paths[2], double shift)
{
    const double mm = 25.4 / 72;
    struct pdf_layer layers[2];
    for (int i = 0; i < 2; i++)
        layers[i] = (struct pdf_layer){.path = paths[i],
                                       .subject = paths[i],
                                       .page = 1,
                                       .to_surface = affine_shift(i * shift * mm, 0),
                                       .clip = {i * shift * mm, 0, (i * shift + SIDE) * mm, SIDE * mm}};
    struct rect all = {0, 0, (shift + SIDE) * mm, SIDE * mm};
    struct pdf_panel_page page = {.id = "both", .file = all, .print = all, .visible = all};
    struct pdf_panels_order order = {
        .layers = layers, .layer_count = 2, .pages = &page, .page_count = 1, .id_seed = "both"};
    char *panels = bench_path(bench, "both.pdf");
    struct error error = {0};
    if (!pdf_panels_write(&bench->machine, &order, panels, false, bench->arena, &error))
        fail_msg("%s", error.text);
    struct image image;
    assert_true(ghostscript(bench, panels, 1, PPI, &image));
    assert_int_equal(image.width, (int)shift + SIDE);
    return image;
}

static const unsigned char *at(const struct image *image, int x, int y)
{
    return image->cmyk + 4 * ((size_t)y * (size_t)image->width + (size_t)x);
}

/* Pixels more than 2/255 off in the columns first..end of the artwork, which lies `left` in the panel. */
static long off(const struct image *own, const struct image *panel, int left, int first, int end)
{
    long count = 0;
    for (int y = 0; y < SIDE; y++)
        for (int x = first; x < end; x++) {
            int most = 0;
            for (int i = 0; i < 4; i++) {
                int difference = abs(at(own, x, y)[i] - at(panel, left + x, y)[i]);
                if (difference > most) most = difference;
            }
            count += most > 2;
        }
    return count;
}

/* What of an artwork must be as on its own page beside that other one: nothing of it, its plain half, all. */
enum { NOTHING, PLAIN, ALL };

static int must_agree(size_t index, bool blends, size_t other, bool other_blends)
{
    const struct group *g = &groups[index], *o = &groups[other];
    bool one_space = other_blends && (!strcmp(g->space, o->space) || (g->inks && o->inks));
    if (g->inks || !blends || one_space) return ALL;
    return strstr(g->space, "DeviceGray") ? NOTHING : PLAIN;
}

struct both {
    size_t index[2];
    bool blends[2];
};

/* Side by side; `seen` counts what is off in parts that may be. */
static void beside(struct bench *bench, const struct both *both, bool profiles,
                   const struct image own[GROUPS][2], long *seen)
{
    const char *paths[2];
    for (int i = 0; i < 2; i++) paths[i] = artwork(bench, both->index[i], both->blends[i], profiles);
    struct image panel = together(bench, paths, SIDE);
    for (int i = 0; i < 2; i++) {
        int must = must_agree(both->index[i], both->blends[i], both->index[!i], both->blends[!i]);
        const struct image *alone = &own[both->index[i]][both->blends[i]];
        long left = off(alone, &panel, i * SIDE, 0, SIDE / 2),
             right = off(alone, &panel, i * SIDE, SIDE / 2, SIDE);
        if ((must >= PLAIN && left) || (must == ALL && right))
            fail_msg("%s %s beside %s %s: %ld and %ld pixels off", groups[both->index[i]].space,
                     both->blends[i] ? "blending" : "plain", groups[both->index[!i]].space,
                     both->blends[!i] ? "blending" : "plain", left, right);
        *seen += left + right;
    }
}

static bool profiles_there(struct bench *bench)
{
    return profile_object(bench, "sRGB-v2-nano.icc", 3) && profile_object(bench, "test1.icc", 4);
}

static void draw_alone(struct bench *bench, bool profiles, size_t count, struct image own[GROUPS][2])
{
    for (size_t i = 0; i < count; i++)
        for (int blends = 0; blends < 2; blends++)
            assert_true(ghostscript(bench, artwork(bench, i, blends, profiles), 1, PPI, &own[i][blends]));
}

static void side_by_side(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static const size_t others[] = {0, 3, 5, 7};
    static struct image own[GROUPS][2];
    bool profiles = profiles_there(bench);
    size_t count = profiles ? GROUPS : GROUPS - 2;
    long seen = 0;
    draw_alone(bench, profiles, count, own);
    for (size_t k = 0; k < (size_t)share_of(sizeof others / sizeof *others); k++)
        for (size_t i = 0; others[k] < count && i < count; i++)
            for (int blends = 0; blends < 2; blends++)
                beside(bench, &(struct both){{i, others[k]}, {true, blends}}, profiles, own, &seen);
    assert_true(seen > 0); /* the finding is raised for something */
}

/* Whether the plain boxes of an artwork paint its pixel. */
static bool painted(int x, int y)
{
    int up = SIDE - 1 - y;
    return (x >= 10 && x < 130 && up >= 20 && up < 170) || (x >= 10 && x < 130 && up >= 200 && up < 280);
}

/* An artwork of opaque boxes lies over the half of another that blends: its boxes show, and between them the
 * other. */
static void over_each_other(void **state)
{
    struct bench *bench = *state;
    if (!has_program("gs")) skip();
    static struct image own[GROUPS][2];
    size_t count = profiles_there(bench) ? GROUPS : GROUPS - 2;
    draw_alone(bench, count == GROUPS, count, own);
    for (size_t i = 0; i < count; i++) {
        size_t upper = (i + 3) % count;
        const char *paths[2] = {artwork(bench, i, true, count == GROUPS),
                                artwork(bench, upper, false, count == GROUPS)};
        struct image panel = together(bench, paths, SIDE / 2.0);
        int from = must_agree(i, true, upper, false);
        for (int y = 0; y < SIDE; y++)
            for (int x = 0; x < SIDE; x++) {
                bool over = x >= SIDE / 2 && painted(x - SIDE / 2, y);
                if (!over && (from == NOTHING || (from == PLAIN && x >= SIDE / 2))) continue;
                const unsigned char *wanted =
                    over ? at(&own[upper][0], x - SIDE / 2, y) : at(&own[i][1], x, y);
                if (memcmp(wanted, at(&panel, x, y), 4))
                    fail_msg("%s under %s: at %d, %d", groups[i].space, groups[upper].space, x, y);
            }
    }
}

static const struct CMUnitTest tests[] = {cmocka_unit_test(side_by_side), cmocka_unit_test(over_each_other)};
TEST_MAIN(tests)
