/* What is cut of a print: the same lines in PDF, SVG and DXF as three other programs read them (poppler, librsvg,
 * ezdxf); register marks clear of the piece and found again by a simulated camera; ink within the cut and its bleed, as
 * Ghostscript draws the PDF. Tolerances are the project's own requirements. */
#include "../test.h"
#include "../../src/make/cut_sheet.h"
#include "../support/sample_plan.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/reader.h"
#include "base/text.h"
#include "contour/fit.h"
#include "contour/offset.h"
#include "pdf/reader.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define BLEED_MM 3.0

struct desk {
    struct machine machine;
    struct arena *arena;
    char folder[40];
    struct cutter cutter;
    struct surface_art art;
    struct art_work work;
    struct make_order order;
    struct surface *surface;
};

/* A disc with a slot, a square hole in a wing, and an island: 60 to 420 x 240 to 470 mm of the surface. */
static struct region piece_of(struct arena *arena)
{
    struct region region = {arena_take_array(arena, 3, sizeof *region.rings), 3};
    enum { ARC = 120 };
    struct point *disc = arena_take_array(arena, ARC, sizeof *disc);
    for (int i = 0; i < ARC; i++)
        disc[i] = (struct point){200 + 110 * cos(2 * M_PI * i / ARC), 355 + 110 * sin(2 * M_PI * i / ARC)};
    static const struct point hole[] = {{150, 330}, {150, 400}, {230, 390.4321}, {230, 330}};
    static const struct point island[] = {{330, 250}, {420, 260}, {400, 450}, {340, 470.1234}};
    region.rings[0] = (struct polygon){disc, ARC};
    region.rings[1] = (struct polygon){arena_take_array(arena, 4, sizeof *hole), 4};
    region.rings[2] = (struct polygon){arena_take_array(arena, 4, sizeof *island), 4};
    memcpy(region.rings[1].points, hole, sizeof hole);
    memcpy(region.rings[2].points, island, sizeof island);
    return region;
}

static const char *write_art(struct desk *desk)
{
    static const char art[] =
        "%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n"
        "2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
        "3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 100 100]/Contents 4 0 R>>endobj\n"
        "4 0 obj<</Length 32>>stream\n0 0.8 0.8 0 k 0 0 100 100 re f  \nendstream endobj\n";
    struct text pdf = text_new(desk->arena);
    text_add(&pdf, art);
    size_t table = pdf.length;
    text_add(&pdf, "xref\n0 5\n0000000000 65535 f \n");
    for (int i = 1; i < 5; i++) {
        const char *at = strstr(art, arena_format(desk->arena, "\n%d 0 obj", i));
        text_addf(&pdf, "%010zu 00000 n \n", (size_t)(at - art) + 1);
    }
    text_addf(&pdf, "trailer<</Size 5/Root 1 0 R>>\nstartxref\n%zu\n%%%%EOF\n", table);
    const char *path = path_join(desk->arena, desk->folder, "art.pdf");
    struct error error = {0};
    assert_true(
        machine_write(&desk->machine, path, (struct str){text_string(&pdf), pdf.length}, false, &error));
    return path;
}

/* The sample's rear, of which one print carries the piece. */
static void lay_piece(struct desk *desk)
{
    struct arena *arena = desk->arena;
    struct plan *plan = sample_plan(arena, 4, false).plan;
    struct surface_plan *rear = &plan->surfaces[2];
    struct surface *s = desk->surface = (struct surface *)rear->surface;
    struct contour_means means = {.arena = arena};
    struct contour_offset offset = {.by_mm = BLEED_MM};
    struct error error = {0};
    s->covered = piece_of(arena);
    if (!contour_offset(&s->covered, &offset, &means, &s->printed, &error)) fail_msg("%s", error.text);
    s->contour_cut = true, s->cut = s->covered;
    struct panel *panel = &rear->panels[0];
    panel->print = panel->visible = region_bounds(&s->printed);
    panel->file =
        (struct rect){panel->print.x0 - 25, panel->print.y0 - 60, panel->print.x1 + 25, panel->print.y1 + 60};
    panel->form = PANEL_PDF;
    panel->file_name = "panels/rear.pdf";
    desk->cutter = (struct cutter){.name = "table",
                                   .marks = {REGISTER_CIRCLE, 6, 0, 5, 0, 6, 0},
                                   .cut_layer = CUT_LAYER_ON,
                                   .kiss_spot = "Kiss cut",
                                   .through_spot = "Through cut",
                                   .speed_mm_s = {200, ORIGIN_WRITTEN, "this test"}};
    ((struct job *)plan->input->job)->cutter = &desk->cutter;
    desk->order.plan = plan, desk->order.surface = rear;
}

static int desk_open(void **state)
{
    struct desk *desk = calloc(1, sizeof *desk);
    desk->machine = machine_real("/proc/self/exe");
    desk->arena = arena_new(&desk->machine);
    strcpy(desk->folder, "/tmp/cut-files-XXXXXX");
    assert_non_null(mkdtemp(desk->folder));
    lay_piece(desk);
    struct placed_art *placed = arena_take(desk->arena, sizeof *placed);
    struct artwork_spec *spec = arena_take(desk->arena, sizeof *spec);
    struct artwork_facts *facts = arena_take(desk->arena, sizeof *facts);
    spec->path = write_art(desk), spec->file = "art.pdf", spec->page = 1;
    facts->kind = ARTWORK_PDF;
    *placed = (struct placed_art){
        .spec = spec, .facts = facts, .to_surface = affine_scale(40, 40), .clip = {0, 0, 1300, 1800}};
    desk->art = (struct surface_art){placed, 1};
    desk->work = (struct art_work){.surface = desk->surface, .art = &desk->art, .folder = desk->folder};
    desk->order.work = &desk->work, desk->order.out = desk->folder;
    desk->order.software = "lapstrake", desk->order.date = 1772352000;
    *state = desk;
    return 0;
}

static int desk_close(void **state)
{
    struct desk *desk = *state;
    if (!getenv("KEEP") && system(arena_format(desk->arena, "rm -r %s", desk->folder))) return -1;
    arena_free(desk->arena);
    free(desk);
    return 0;
}

static struct cut_sheet sheet_of(struct desk *desk)
{
    const struct panel *panel = &desk->order.surface->panels[0];
    struct print_frame frame = print_frame_of(desk->order.surface, panel, 100);
    struct cut_sheet sheet;
    struct error error = {0};
    if (!cut_sheet_make(&desk->order, panel, &frame, desk->arena, &sheet, &error)) fail_msg("%s", error.text);
    return sheet;
}

static void make_all(struct desk *desk, struct make_result *result)
{
    struct error error = {0};
    assert_true(
        desk->machine.make_folder(&desk->machine, path_join(desk->arena, desk->folder, "panels"), &error));
    if (!make_panels(&desk->machine, &desk->order, desk->arena, result, &error)) fail_msg("%s", error.text);
}

/* ---- three readers ---- */

static char *read_again(struct desk *desk, double height)
{
    const char *source = getenv("LAPSTRAKE_SOURCE"), *job = desk->order.plan->input->job->number;
    char *command =
        arena_format(desk->arena,
                     "/usr/bin/python3 %s/tests/make/cut_readers.py %s/panels/rear.pdf %s/cut/%s_rear.svg "
                     "%s/cut/%s_rear.dxf %.6f 2>&1",
                     source, desk->folder, desk->folder, job, desk->folder, job, height);
    FILE *pipe = popen(command, "r");
    struct text out = text_new(desk->arena);
    char block[4096];
    for (size_t got; (got = fread(block, 1, sizeof block, pipe));) text_add_bytes(&out, block, got);
    if (pclose(pipe)) fail_msg("%s", text_string(&out));
    return arena_copy_string(desk->arena, text_string(&out));
}

static void other_programs_read_the_same(void **state)
{
    struct desk *desk = *state;
    if (!getenv("LAPSTRAKE_SOURCE") || system("/usr/bin/python3 -c 'import ezdxf' 2>/dev/null")) skip();
    for (int overcut = 0; overcut < 2; overcut++) {
        struct make_result result;
        desk->cutter.overcut_mm = overcut ? 1.5 : 0;
        make_all(desk, &result);
        struct cut_sheet sheet = sheet_of(desk);
        assert_int_equal(sheet.line_count, 3);
        assert_int_equal(result.cut_lines, 3);
        assert_true(
            fabs(result.cut_mm - region_length(&desk->surface->covered) - 3 * desk->cutter.overcut_mm) < 0.1);
        assert_true(result.cut_s > result.cut_mm / 200);
        size_t lines, marks;
        char *found = read_again(desk, rect_height(sheet.file));
        assert_int_equal(sscanf(found, "%zu %zu", &lines, &marks), 2);
        assert_true(lines == 3 && marks == 6);
    }
}

/* ---- register marks ---- */

static double even(unsigned *seed)
{
    *seed = *seed * 1103515245u + 12345u;
    return ((*seed >> 8 & 0xffff) + 0.5) / 65536;
}

static double normal(unsigned *seed)
{
    double radius = sqrt(-2 * log(even(seed)));
    return radius * cos(2 * M_PI * even(seed));
}

static void marks_keep_clear(void **state)
{
    struct desk *desk = *state;
    for (enum register_shape shape = REGISTER_CIRCLE; shape <= REGISTER_CORNER; shape++) {
        desk->cutter.marks.shape = shape;
        struct cut_sheet sheet = sheet_of(desk);
        assert_int_equal(sheet.marks.count, 6);
        for (size_t i = 0; i < 6; i++) {
            struct point p = sheet.marks.places[i].middle;
            assert_true(region_distance(&sheet.printed, p) >= 3 + 5 - 1e-6);
            assert_true(rect_contains(sheet.file, (struct rect){p.x - 3, p.y - 3, p.x + 3, p.y + 3}, 1e-6));
        }
    }
}

/* 0.05 mm a pixel, 4 pixels of noise, six marks, 0.3 % longer along the feed, 2 mm to the side: how far the cut lies
 * from the print, over 300 sheets. */
static void a_camera_finds_the_marks(void **state)
{
    struct desk *desk = *state;
    struct cut_sheet sheet = sheet_of(desk);
    const double pixel_mm = 0.05, noise_px = 4;
    unsigned seed = 16;
    double squares = 0;
    size_t count = 0;
    for (int turn = 0; turn < 300; turn++) {
        struct affine lies = {1, 0.001, -0.001, 1.003, 2, -0.7};
        struct point planned[6], seen[6];
        for (size_t i = 0; i < 6; i++) {
            planned[i] = sheet.marks.places[i].middle;
            seen[i] = affine_apply(lies, planned[i]);
            seen[i].x += pixel_mm * noise_px * normal(&seed),
                seen[i].y += pixel_mm * noise_px * normal(&seed);
        }
        struct contour_fit fit;
        struct error error = {0};
        assert_true(contour_fit(planned, seen, 6, CONTOUR_STRETCH, &fit, &error));
        for (size_t i = 0; i < sheet.line_count; i++)
            for (size_t k = 0; k < sheet.lines[i].count; k++, count++) {
                struct point knife = affine_apply(fit.map, sheet.lines[i].points[k]);
                struct point print = affine_apply(lies, sheet.lines[i].points[k]);
                squares += pow(knife.x - print.x, 2) + pow(knife.y - print.y, 2);
            }
    }
    double residual = sqrt(squares / (double)count);
    print_message("# residual %.3f mm\n", residual);
    assert_true(residual < 0.2);
}

/* ---- ink ---- */

static void ink_lies_within_the_cut_and_its_bleed(void **state)
{
    struct desk *desk = *state;
    if (system("command -v gs >/dev/null")) skip();
    struct make_result result;
    desk->cutter.cut_layer = CUT_LAYER_OFF;
    make_all(desk, &result);
    struct cut_sheet sheet = sheet_of(desk);
    const double ppi = 50.8, pixel = 25.4 / ppi;
    FILE *pipe =
        popen(arena_format(desk->arena,
                           "gs -q -dSAFER -dBATCH -dNOPAUSE -dNEWPDF=false -dPrinted=true -sDEVICE=pamcmyk32 "
                           "-r%g -sstdout=%%stderr -sOutputFile=- %s/panels/rear.pdf 2>/dev/null",
                           ppi, desk->folder),
              "r");
    int width = 0, height = 0;
    for (char line[200]; fgets(line, sizeof line, pipe) && strcmp(line, "ENDHDR\n") != 0;)
        if (sscanf(line, "WIDTH %d", &width) != 1) sscanf(line, "HEIGHT %d", &height);
    assert_true(width > 500 && height > 500);
    size_t inked = 0;
    double area = 0;
    for (int y = 0; y < height; y++)
        for (int x = 0; x < width; x++) {
            unsigned char ink[4];
            assert_int_equal(fread(ink, 1, 4, pipe), 4);
            if (ink[1] < 100) continue; /* marks are black alone */
            struct point p = {sheet.file.x0 + (x + 0.5) * pixel, sheet.file.y1 - (y + 0.5) * pixel};
            bool inside = region_contains(&sheet.cut, p);
            if (!inside && region_distance(&sheet.cut, p) > BLEED_MM + pixel)
                fail_msg("ink at %.1f, %.1f mm", p.x, p.y);
            inked++, area += pixel * pixel;
        }
    pclose(pipe);
    assert_true(inked > 1000 && fabs(area / region_area(&sheet.printed) - 1) < 0.01);
}

int main(int argument_count, char **arguments)
{
    if (argument_count > 1 && !strcmp(arguments[1], "reader")) {
        struct machine machine = machine_real("/proc/self/exe");
        const struct reader_entry *const tables[] = {pdf_reader_verbs, NULL};
        return reader_main(argument_count - 2, arguments + 2, tables, &machine);
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(other_programs_read_the_same, desk_open, desk_close),
        cmocka_unit_test_setup_teardown(marks_keep_clear, desk_open, desk_close),
        cmocka_unit_test_setup_teardown(a_camera_finds_the_marks, desk_open, desk_close),
        cmocka_unit_test_setup_teardown(ink_lies_within_the_cut_and_its_bleed, desk_open, desk_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
