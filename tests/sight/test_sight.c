/* The adjustment against what is known: simulated cameras, published maps, corners of flat charts in real photographs, and
 * measures that do not fix a plane. The simulation takes a tenth of its cases where
 * LAPSTRAKE_SHARE is set (tests/meson.build). */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "camera.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* All of them in scripts/long; fewer would say nothing of shares. */
static int cameras(void)
{
    return getenv("LAPSTRAKE_SHARE") ? 100 : 1000;
}

static struct arena *open_arena(void)
{
    static struct machine machine;
    machine = machine_real("");
    return arena_new(&machine);
}

static void adjusted(const struct scene *scene, struct arena *arena, struct sighting *sight)
{
    struct error error;
    if (!sight_adjust(&scene->order, arena, sight, &error)) fail_msg("%s", error.text);
}

/* ---- simulated cameras ---- */

/* Of untaped lengths 92 to 98 % lie within 1.96 standard errors, of the true ones. */
static void standard_errors_hold(void **state)
{
    (void)state;
    int cases = cameras(), within = 0, all = 0, alarms = 0;
    for (int c = 0; c < cases; c++) {
        struct arena *arena = open_arena();
        struct scene scene;
        struct sighting sight;
        scene_make(&scene, (uint64_t)c + 1, 5 + (size_t)c % 6, 13, 2, 1.5);
        adjusted(&scene, arena, &sight);
        for (size_t i = 0; i < scene.length_count; i++) {
            alarms += sight.lengths[i].suspect;
            if (!isnan(scene.lengths[i].taped_mm)) continue;
            all++;
            within += fabs(sight.lengths[i].predicted_mm - scene_length(&scene, i)) <=
                      1.96 * sight.lengths[i].sd_mm;
        }
        arena_free(arena);
    }
    print_message("# %d cameras: %.1f %% within, %d false alarms\n", cases, 100.0 * within / all, alarms);
    assert_in_range(1000 * within / all, 920, 980);
    assert_true(alarms * 50 < cases);
}

/* One length of 13 between 8 marks is 60 mm wrong: named in 95 %, and then not in the places. */
static void wrong_length_is_named(void **state)
{
    (void)state;
    int cases = cameras(), named = 0, others = 0;
    double worst_mm = 0;
    for (int c = 0; c < cases; c++) {
        struct arena *arena = open_arena();
        struct scene scene;
        struct sighting sight;
        size_t wrong = (size_t)c % 13;
        scene_make(&scene, (uint64_t)c + 5001, 8, 13, 2, 1.5);
        scene.lengths[wrong].taped_mm += c % 2 ? 60 : -60;
        adjusted(&scene, arena, &sight);
        for (size_t i = 0; i < scene.length_count; i++) others += i != wrong && sight.lengths[i].suspect;
        named += sight.lengths[wrong].suspect;
        if (sight.lengths[wrong].suspect && !sight.lengths[wrong].rival)
            worst_mm = fmax(worst_mm, fabs(sight.lengths[wrong].predicted_mm - scene_length(&scene, wrong)));
        arena_free(arena);
    }
    print_message("# %d cameras: %d named, %d others, predicted within %.0f mm\n", cases, named, others,
                  worst_mm);
    assert_true(named * 100 >= cases * 95);
    assert_true(others * 50 < cases);
    assert_true(worst_mm < 45);
}

/* Six lengths between four marks, one wrong: all explain it alike, and it says so. */
static void too_few_to_tell(void **state)
{
    (void)state;
    struct arena *arena = open_arena();
    struct scene scene;
    struct sighting sight;
    scene_make(&scene, 7, 4, 6, 2, 1.5);
    scene.lengths[2].taped_mm += 90;
    adjusted(&scene, arena, &sight);
    assert_int_equal(sight.redundancy, 1);
    int rivals = 0;
    for (size_t i = 0; i < scene.length_count; i++) rivals += sight.lengths[i].rival;
    assert_in_range(rivals, 2, 6);
    arena_free(arena);
}

static void five_lengths_check_nothing(void **state)
{
    (void)state;
    struct arena *arena = open_arena();
    struct scene scene;
    struct sighting sight;
    scene_make(&scene, 3, 4, 5, 2, 1.5);
    scene.length_count = scene.order.length_count = 6;
    adjusted(&scene, arena, &sight);
    assert_int_equal(sight.redundancy, 0);
    for (size_t i = 0; i < 5; i++) assert_true(isnan(sight.lengths[i].test) && isnan(sight.lengths[i].sd_mm));
    /* the sixth is predicted: within five of its standard errors of the true one */
    assert_true(fabs(sight.lengths[5].predicted_mm - scene_length(&scene, 5)) < 5 * sight.lengths[5].sd_mm);
    arena_free(arena);
}

/* ---- refused ---- */

static void refused(const struct sight_order *order, const char *words)
{
    struct arena *arena = open_arena();
    struct sighting sight;
    struct error error;
    assert_false(sight_adjust(order, arena, &sight, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    if (!strstr(error.text, words)) fail_msg("\"%s\" does not say \"%s\"", error.text, words);
    arena_free(arena);
}

static void not_fixed(void **state)
{
    (void)state;
    struct scene scene;
    scene_make(&scene, 3, 6, 4, 2, 1.5);
    refused(&scene.order, "1 more measure is needed");
    scene_make(&scene, 3, 6, 13, 2, 1.5);
    scene.order.mark_count = 3;
    refused(&scene.order, "4 marks");
    scene_make(&scene, 3, 6, 13, 2, 1.5);
    for (size_t i = 0; i < 6; i++)
        scene.seen[i] = (struct point){400 + 500 * (double)i, 900 + 100 * (double)i};
    refused(&scene.order, "on one line");
    scene_make(&scene, 3, 6, 13, 2, 1.5); /* nothing is taped to F, but a level line too many elsewhere */
    for (size_t i = 0; i < scene.length_count; i++)
        if (scene.lengths[i].from > 3) scene.lengths[i].taped_mm = NAN;
    const struct sight_length again[] = {{0, 1, 5100, 3}, {0, 1, 5100, 3}, {0, 1, 5100, 3},
                                         {0, 1, 5100, 3}, {3, 2, 5010, 3}, {3, 2, 5010, 3}};
    scene.order.lengths = again, scene.order.length_count = 6; /* all one way */
    refused(&scene.order, "leave open");
}

/* ---- published maps ---- */

/* Four places of a picture to a rectangle of 500 x 281, and the matrix that a general vision library printed:
 * ../shared/handbook/values/homography_4pt.csv, case 1. The rectangle's y runs down there. */
static void published_map(void **state)
{
    (void)state;
    const struct point marks[] = {{121, 13}, {433, 21}, {58, 250}, {497, 276}};
    const struct sight_known knowns[] = {{0, {0, 281}}, {1, {500, 281}}, {2, {0, 0}}, {3, {500, 0}}};
    const double h[9] = {1.71880854,     0.456898473,   -213.915514,
                         -0.043592471,   1.70010637,    -16.8266938,
                         9.94528404e-05, 0.00175161072, 1};
    const char *names[] = {"A", "B", "C", "D"};
    const struct sight_order order = {.width_px = 512,
                                      .height_px = 300,
                                      .names = names,
                                      .marks = marks,
                                      .mark_count = 4,
                                      .knowns = knowns,
                                      .known_count = 4};
    struct arena *arena = open_arena();
    struct sighting sight;
    struct error error;
    if (!sight_adjust(&order, arena, &sight, &error)) fail_msg("%s", error.text);
    for (int i = 0; i < 25; i++) {
        struct point p = {100 + 80.0 * (i % 5), 20 + 50.0 * (i / 5)},
                     got; /* NOLINT(bugprone-integer-division) */
        double w = h[6] * p.x + h[7] * p.y + h[8];
        assert_true(sight_on_plane(&order, &sight, p, &got));
        assert_true(fabs(got.x - (h[0] * p.x + h[1] * p.y + h[2]) / w) < 1e-3);
        assert_true(fabs(281 - got.y - (h[3] * p.x + h[4] * p.y + h[5]) / w) < 1e-3);
    }
    arena_free(arena);
}

/* ---- real photographs ---- */

enum { CHART_WIDE = 9, CHART_HIGH = 6 };

struct chart {
    struct point corners[CHART_WIDE * CHART_HIGH], marks[4];
    struct sight_length lengths[6];
    struct point edge_points[4][CHART_WIDE];
    struct sight_edge edges[4];
    struct sight_order order;
};

/* The outer four corners are marks, four sides and two diagonals of 8 x 5 squares of 100 mm are taped, the outer rows and
 * columns are straight edges. */
static bool chart_read(struct chart *chart, const char *path)
{
    static const char *const names[] = {"A", "B", "C", "D"};
    static const size_t outer[4] = {0, CHART_WIDE - 1, CHART_WIDE * CHART_HIGH - 1,
                                    CHART_WIDE * (CHART_HIGH - 1)};
    FILE *file = fopen(path, "r");
    char line[200];
    size_t count = 0;
    if (!file) return false;
    while (count < CHART_WIDE * CHART_HIGH && fgets(line, sizeof line, file)) {
        double x, y;
        if (line[0] != '#' && sscanf(line, "%lf %lf", &x, &y) == 2)
            chart->corners[count++] = (struct point){x + 0.5, y + 0.5};
    }
    fclose(file);
    for (size_t i = 0; i < 4; i++) chart->marks[i] = chart->corners[outer[i]];
    double across = 800, up = 500, diagonal = hypot(across, up);
    const struct sight_length taped[6] = {{0, 1, across, 1}, {1, 2, up, 1},       {2, 3, across, 1},
                                          {3, 0, up, 1},     {0, 2, diagonal, 1}, {1, 3, diagonal, 1}};
    memcpy(chart->lengths, taped, sizeof taped);
    for (size_t k = 0; k < CHART_WIDE; k++) {
        chart->edge_points[0][k] = chart->corners[k];
        chart->edge_points[1][k] = chart->corners[CHART_WIDE * (CHART_HIGH - 1) + k];
        if (k >= CHART_HIGH) continue;
        chart->edge_points[2][k] = chart->corners[CHART_WIDE * k];
        chart->edge_points[3][k] = chart->corners[CHART_WIDE * k + CHART_WIDE - 1];
    }
    for (size_t i = 0; i < 4; i++)
        chart->edges[i] = (struct sight_edge){chart->edge_points[i], i < 2 ? CHART_WIDE : CHART_HIGH};
    chart->order = (struct sight_order){.width_px = 2592,
                                        .height_px = 1944,
                                        .names = names,
                                        .marks = chart->marks,
                                        .mark_count = 4,
                                        .lengths = chart->lengths,
                                        .length_count = 6,
                                        .edges = chart->edges,
                                        .edge_count = 4};
    return count == CHART_WIDE * CHART_HIGH;
}

/* Every other corner within 0.8 % of the chart's length of where it is; as seen the rows may run down or up. */
static void charts_in_photographs(void **state)
{
    (void)state;
    const char *shared = getenv("LAPSTRAKE_SHARED");
    static const char *const files[] = {"chessboard-2.corners.txt", "chessboard-5.corners.txt"};
    for (size_t f = 0; f < 2; f++) {
        char path[600];
        struct chart chart;
        struct sighting sight;
        struct error error;
        snprintf(path, sizeof path, "%s/inputs/photos/%s", shared ? shared : "", files[f]);
        if (!chart_read(&chart, path)) {
            print_message("# no %s\n", files[f]);
            skip();
        }
        struct arena *arena = open_arena();
        if (!sight_adjust(&chart.order, arena, &sight, &error)) fail_msg("%s: %s", files[f], error.text);
        double worst = 0;
        for (size_t i = 0; i < CHART_WIDE * CHART_HIGH; i++) {
            struct point a, b, got;
            size_t column = i % CHART_WIDE, row = i / CHART_WIDE;
            assert_true(sight_on_plane(&chart.order, &sight, chart.corners[i], &got));
            a = sight.places[0].place_mm, b = sight.places[2].place_mm;
            double from_a = hypot(got.x - a.x, got.y - a.y), from_c = hypot(got.x - b.x, got.y - b.y);
            worst = fmax(worst, fabs(from_a - 100 * hypot((double)column, (double)row)));
            worst = fmax(worst, fabs(from_c - 100 * hypot(8 - (double)column, 5 - (double)row)));
        }
        print_message("# %s: within %.2f mm of 800, k1 %.3f\n", files[f], worst, sight.camera.k1);
        assert_true(worst < 0.008 * 800);
        arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(standard_errors_hold),
        cmocka_unit_test(wrong_length_is_named),
        cmocka_unit_test(too_few_to_tell),
        cmocka_unit_test(five_lengths_check_nothing),
        cmocka_unit_test(not_fixed),
        cmocka_unit_test(published_map),
        cmocka_unit_test(charts_in_photographs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
