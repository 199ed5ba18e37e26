/* What was written arrives in the right field and unit. Conversions are exact by definition: 1 in = 25.4 mm
 * (international yard and pound agreement of 1959), F = 1.8 C + 32. */
#include "../test.h"
#include "base/path.h"
#include "base/text.h"
#include "folder.h"
#include "model/practice.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static void near(double value, double wanted)
{
    if (fabs(value - wanted) > 1e-9 * fmax(1, fabs(wanted))) fail_msg("%f is not %f", value, wanted);
}

static void load_clean(struct folder *folder)
{
    assert_true(folder_load(folder));
    if (folder->report.errors) fail_msg("%s", folder_report(folder));
    assert_non_null(folder->job);
}

static void start_sample(struct folder *folder)
{
    folder_new(folder);
    folder_write(folder, "shop.yaml", sample_shop);
    folder_write(folder, "job.yaml", sample_job);
    load_clean(folder);
}

static void shop_arrives(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct shop *shop = folder.job->shop;
    assert_string_equal(shop->currency, "EUR");
    assert_string_equal(shop->zone, "Europe/Lisbon");
    assert_string_equal(shop->page, "https://10.0.0.7:8017");
    assert_int_equal(shop->week[0].openings[0].open_s, 27000); /* 07:30 */
    assert_int_equal(shop->week[3].openings[0].close_s, 59400);
    assert_int_equal(shop->week[4].openings[0].close_s, 46800); /* the single day stands above the range */
    assert_int_equal(shop->week[5].count, 0);
    assert_int_equal(shop->week[6].count, 0);
    assert_int_equal(shop->closed_count, 2);
    assert_int_equal(shop->closed[1].day, 29); /* 2028 is a leap year */
    near(shop->threading_mm.value, 1500);
    near(shop->seams.lap_min_per_m.value, 4);
    near(shop->seams.detail_per_m.value, 12.5);
    near(shop->seams.shaped_reach_mm.value, 25.4);
    near(shop->seams.out_of_line.value, 0);
    near(shop->seams.lettering_per_m.value, practice_value("seam-lettering").value);
    near(shop->printers[0].media_width_mm, 64 * 25.4);
    near(shop->printers[0].edge_mm, 6.35);
    near(shop->printers[0].max_length_mm, 30000);
    near(shop->printers[0].setup_s.value, 1200);
    assert_int_equal(shop->design_per_h, 48000000);
    assert_int_equal(shop->print_per_h, 35500000);
    near(shop->install_m2_per_h.value, 1.6);
    near(shop->laminate_m_per_min.value, 3);
    near(shop->margin_percent, 30);
    assert_int_equal(shop->raised_count, 2);
    assert_string_equal(shop->raised_codes[0], "seam-crosses");
    assert_string_equal(shop->raised_to[0], "stop");
    folder_free(&folder);
}

static void materials_arrive(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct shop *shop = folder.job->shop;
    const struct film *film = &shop->films[0], *laminate = &shop->laminates[0];
    near(film->widths_mm[0], 762); /* ascending, 30 in */
    near(film->widths_mm[2], 1520);
    near(film->length_mm, 50000);
    assert_int_equal(film->price_per_m2, 9800000);
    near(film->stretch_limit_percent.value, 12);
    assert_int_equal(film->stretch_limit_percent.origin, ORIGIN_MAKER);
    assert_string_equal(film->stretch_limit_percent.source, "maker's bulletin 12");
    near(film->durability_y.value, 7);
    assert_int_equal(film->durability_y.origin, ORIGIN_WRITTEN);
    assert_string_equal(film->durability_y.source, "shop.yaml:14, films.durability");
    near(film->durability_flat_y.value, 3.5);
    near(film->post_heat_c.value, 90); /* 194 F */
    near(laminate->temperature_low_c.value, 20);
    near(laminate->temperature_high_c.value, 23);
    near(laminate->bond_s.value, 86400);
    assert_true(laminate->trim_while_bonding);
    const struct ink *ink = &shop->inks[0];
    near(ink->ml_per_m2[1], 8.5);
    assert_int_equal(ink->price_per_ml, 160000); /* 160 per l */
    near(ink->dry_least_s.value, 50 * 3600);
    near(ink->dry_most_s.value, 96 * 3600);
    assert_string_equal(ink->dry_most_at_percent.source, "shop.yaml:24, inks.dry.most-at");
    folder_free(&folder);
}

/* Values nobody wrote come from the table of practice and say so. */
static void practice_fills_in(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct shop *shop = folder.job->shop;
    near(shop->films[1].stretch_limit_percent.value, practice_value("stretch-calendered").value);
    assert_int_equal(shop->films[1].stretch_limit_percent.origin, ORIGIN_PRACTICE);
    assert_int_equal(shop->films[1].durability_y.origin, ORIGIN_ABSENT);
    near(shop->laminates[1].temperature_high_c.value, practice_value("roller-high").value);
    near(shop->laminates[1].room_high_c.value, 28); /* the room is not the roller: our own judgement */
    near(shop->laminates[1].bond_s.value, 24 * 3600);
    assert_int_equal(shop->laminates[1].bond_s.origin, ORIGIN_PRACTICE);
    near(shop->inks[1].stretch_limit_percent.value, practice_value("stretch-ink-uv").value);
    near(shop->inks[1].dry_least_s.value, 24 * 3600); /* UV: 24 h unless the shop states a figure */
    near(shop->inks[1].dry_most_s.value, 24 * 3600);
    near(shop->conditions[1].ink_limit_percent.value, practice_value("ink-limit").value);
    assert_int_equal(shop->conditions[1].intent, INTENT_RELATIVE);
    assert_true(shop->conditions[1].black_point);
    folder_free(&folder);
}

/* "Latex and UV: 24 h unless the shop states its figure with a source" (common practice, no source). */
static void a_short_drying_time_names_its_source(void **state)
{
    (void)state;
    static const struct {
        const char *ink;
        double hours;
        bool asked;
    } rows[] = {
        {"{name: cured, technology: uv, dry: {least: 4 h}}", 24, true},
        {"{name: cured, technology: latex, dry: {least: 4 h, most: 6 h}}", 24, true},
        {"{name: cured, technology: latex, dry: {least: {value: 4 h, source: bulletin 7}}}", 4, false},
        {"{name: cured, technology: latex, dry: {least: 30 h}}", 30, false},
        {"{name: cured, technology: solvent, dry: {least: 20 h}}", 20, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct folder folder;
        folder_new(&folder);
        const char *old = "{name: cured, technology: uv}", *at = strstr(sample_shop, old);
        assert_non_null(at);
        folder_write(&folder, "shop.yaml",
                     arena_format(folder.arena, "%.*s%s%s", (int)(at - sample_shop), sample_shop, rows[i].ink,
                                  at + strlen(old)));
        folder_write(&folder, "job.yaml", sample_job);
        load_clean(&folder);
        near(folder.job->shop->inks[1].dry_least_s.value, rows[i].hours * 3600);
        assert_true(folder.job->shop->inks[1].dry_most_s.value >= rows[i].hours * 3600);
        assert_int_equal(folder_mistake(&folder, "shop.yaml", 0, "names no source") != NULL, rows[i].asked);
        folder_free(&folder);
    }
}

static void conditions_arrive(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct shop *shop = folder.job->shop;
    const struct condition *one = &shop->conditions[0], *other = &shop->conditions[1];
    assert_ptr_equal(one->film, &shop->films[0]);
    assert_ptr_equal(one->laminate, &shop->laminates[0]);
    assert_ptr_equal(one->ink, &shop->inks[0]);
    assert_string_equal(one->mode, "8 pass");
    assert_string_equal(one->profile_path, path_join(folder.arena, folder.path, "profiles/van-cast.icc"));
    assert_int_equal(one->intent, INTENT_ABSOLUTE);
    assert_false(one->black_point);
    near(one->ink_limit_percent.value, 260);
    assert_null(other->laminate);
    assert_string_equal(other->laminate_waiver, "a fair of three days");
    assert_int_equal(other->waiver_until.day, 20);
    folder_free(&folder);
}

static void job_arrives(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct job *job = folder.job;
    assert_string_equal(job->number, "AB-12_c");
    assert_string_equal(job->customer, "the county");
    assert_true(job->start.given && !job->start.has_offset);
    assert_int_equal(job->due.second, 30);
    near(job->room_c.value, (70 - 32) / 1.8);
    near(job->room_humidity_percent.value, 45);
    near(job->roller_c.value, 25);
    assert_int_equal(job->drying, DRYING_LOOSE);
    near(job->durability_y, 5);
    near(job->feed_percent, 100.2);
    assert_string_equal(job->vehicle_type, "box");
    assert_ptr_equal(job->condition, &job->shop->conditions[0]);
    near(job->overlap_mm.value, 12.7);
    assert_string_equal(job->overlap_mm.source, "job.yaml:13, print.overlap");
    near(job->bleed.sill_mm, 0);
    near(job->bleed.rear_mm, 25.4);
    near(job->bleed.all_mm, practice_value("bleed").value);
    near(job->seam_trim_mm.value, 2);
    near(job->turn_in_mm.value, 30);
    near(job->resolution_ppi, 120);
    assert_int_equal(job->format, PANEL_TIFF);
    assert_int_equal(job->output, OUTPUT_CUT);
    assert_int_equal(job->align_count, 1);
    assert_string_equal(job->align[0].one, "near side");
    assert_string_equal(job->align[0].other, "roof");
    near(job->align[0].shift_mm, 40);
    folder_free(&folder);
}

static void surfaces_arrive(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct surface_spec *side = &folder.job->surfaces[0], *roof = &folder.job->surfaces[1];
    near(side->width_mm, 5400);
    near(side->height_mm, 75 * 25.4);
    assert_int_equal(side->front, FRONT_LEFT);
    assert_int_equal(side->panels, RUN_UPRIGHT);
    assert_int_equal(side->start_from, START_FRONT);
    near(side->least_panel_mm.value, 200);
    near(side->overlap_mm.value, 12.7); /* the job's, with its source */
    assert_string_equal(side->overlap_mm.source, "job.yaml:13, print.overlap");
    assert_int_equal(side->seam_count, 2);
    near(side->seams[0].at_mm, 1350); /* rising */
    assert_string_equal(side->seams[0].over, "right");
    assert_null(side->seams[1].over);
    assert_int_equal(side->artwork_count, 2);
    assert_int_equal(side->artworks[0].page, 2);
    near(side->artworks[0].at_mm.y, -50);
    assert_int_equal(side->artworks[0].fit, FIT_NONE);
    assert_int_equal(side->artworks[1].fit, FIT_BLEED);
    assert_string_equal(side->artworks[1].path, path_join(folder.arena, folder.path, "art/more.tif"));
    assert_string_equal(roof->drawing_path, path_join(folder.arena, folder.path, "surfaces/roof.svg"));
    near(roof->drawing_scale, 20);
    assert_ptr_equal(roof->condition, &folder.job->shop->conditions[1]);
    near(roof->bleed.all_mm, 10);
    assert_true(roof->mixed_widths);
    assert_false(roof->seams_fixed);
    assert_int_equal(roof->panels, RUN_UPRIGHT); /* a box */
    folder_free(&folder);
}

static void features_arrive(void **state)
{
    (void)state;
    struct folder folder;
    start_sample(&folder);
    const struct surface_spec *side = &folder.job->surfaces[0];
    const struct feature *f = side->features;
    assert_int_equal(side->feature_count, 6);
    assert_int_equal(f[0].kind, FEATURE_HANDLE);
    assert_string_equal(f[0].name, "sliding door");
    near(f[0].box.x1, 220);
    assert_true(f[0].margin_mm < 0);
    assert_int_equal(f[1].kind, FEATURE_GAP);
    near(f[1].to.y, 1500);
    near(f[2].depth_mm, 18);
    near(f[2].wall_deg, 60);
    assert_int_equal(f[3].profile, PROFILE_TRAPEZOID);
    assert_true(f[3].ribs_upright);
    assert_int_equal(f[3].laid, LAID_FOLLOWED);
    assert_int_equal(f[4].profile, PROFILE_POLYLINE);
    assert_int_equal(f[4].polyline_count, 3);
    near(f[4].pitch_mm, 76);
    near(f[4].depth_mm, 18);
    assert_int_equal(f[4].laid, LAID_UNSAID);
    assert_int_equal(f[5].kind, FEATURE_KEEP_WHOLE);
    assert_string_equal(f[5].name, "telephone number");
    folder_free(&folder);
}

/* Vehicle, artwork, condition and due are enough. */
static void quick_job(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "my job (2)/shop.yaml", sample_shop);
    folder_write(&folder, "vans/long.yaml", sample_vehicle);
    folder_write(&folder, "my job (2)/job.yaml",
                 "vehicle: ../vans/long.yaml\n"
                 "artwork: {left: art/left.pdf, rear: {file: art/rear.tif, fit: outline}}\n"
                 "condition: van-cast\n"
                 "overlap: 12,5 mm\n"
                 "indoors: {temperature: '21,5', humidity: 50 %}\n"
                 "due: 2027-03-12T17:00+01:00\n");
    folder.path = path_join(folder.arena, folder.path, "my job (2)");
    load_clean(&folder);
    const struct job *job = folder.job;
    assert_string_equal(job->number, "my-job-2");
    assert_string_equal(job->vehicle, "Long van");
    assert_false(job->start.given);
    assert_int_equal(job->due.offset_minutes, 60);
    assert_int_equal(job->surface_count, 2);
    assert_int_equal(job->surfaces[0].artworks[0].fit, FIT_BLEED);
    assert_int_equal(job->surfaces[1].artworks[0].fit, FIT_OUTLINE);
    assert_int_equal(job->surfaces[1].front, FRONT_AWAY); /* by its name */
    near(job->overlap_mm.value, 12.5);
    near(job->room_c.value, 21.5);
    /* drawings start at the vehicle's file, artwork at the job's */
    assert_non_null(strstr(job->surfaces[1].drawing_path, "vans/drawings/rear.svg"));
    assert_non_null(strstr(job->surfaces[1].artworks[0].path, "my job (2)/art/rear.tif"));
    folder.path = path_folder(folder.arena, folder.path);
    folder_free(&folder);
}

/* The job adds to the vehicle's surfaces by name; measures stay with the vehicle. */
static void job_adds_to_vehicle(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", sample_shop);
    folder_write(&folder, "vehicle.yaml", sample_vehicle);
    folder_write(
        &folder, "job.yaml",
        "condition: van-cast\n"
        "surfaces:\n"
        "  - {name: left, features: [{kind: badge, box: [10, 10, 50, 50]}], seams: [1000], overlap: 15}\n"
        "  - {name: spare piece, size: [400, 300], front: away}\n");
    load_clean(&folder);
    const struct surface_spec *left = &folder.job->surfaces[0];
    assert_int_equal(folder.job->surface_count, 3);
    near(left->width_mm, 5400);
    assert_int_equal(left->feature_count, 2);
    assert_int_equal(left->features[1].kind, FEATURE_BADGE);
    assert_int_equal(left->seam_count, 1);
    near(left->overlap_mm.value, 15);
    folder_free(&folder);
}

/* The shop's units stand for jobs that say none. */
static void shop_units_stand_for_jobs(void **state)
{
    (void)state;
    static const char *const own[] = {"", "units: mm\n", "inches: false\n", "units: inches\n"};
    static const bool wanted[][2] = {{false, true}, {false, false}, {false, false}, {true, true}};
    for (int shop = 0; shop < 2; shop++)
        for (size_t i = 0; i < sizeof own / sizeof *own; i++) {
            struct folder folder;
            folder_new(&folder);
            folder_write(&folder, "shop.yaml",
                         arena_format(folder.arena, "%s%s", sample_shop, shop ? "units: inches\n" : ""));
            folder_write(
                &folder, "job.yaml",
                arena_format(folder.arena,
                             "job: J-1\ncondition: van-cast\n%ssurfaces:\n  - {name: left, size: [100, "
                             "100], front: left}\n",
                             own[i]));
            load_clean(&folder);
            assert_int_equal(folder.job->inches, wanted[i][shop]);
            folder_free(&folder);
        }
}

static void json_reads_alike(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    folder_write(&folder, "shop.yaml", sample_shop);
    folder_write(&folder, "job.json",
                 "{\"job\": \"J-1\", \"condition\": \"van-cast\", \"feed\": 99.5, \"inches\": true,\n"
                 " \"title\": \"a \\\"b\\\" \\u00e9\",\n"
                 " \"surfaces\": [{\"name\": \"left\", \"size\": [5400, \"1.9 m\"],\n"
                 "   \"seams\": [1350,\n     {\"at\": 2690, \"over\": \"left\"}]}]}\n");
    load_clean(&folder);
    assert_string_equal(folder.job->number, "J-1");
    assert_string_equal(folder.job->title, "a \"b\" \xC3\xA9");
    near(folder.job->feed_percent, 99.5);
    assert_true(folder.job->inches);
    near(folder.job->surfaces[0].height_mm, 1900);
    assert_int_equal(folder.job->surfaces[0].seams[1].place.line, 5);
    assert_int_equal(folder.job->surfaces[0].seams[1].place.column, 6);
    folder_free(&folder);
}

static void new_folder_is_sound(void **state)
{
    (void)state;
    struct folder folder;
    folder_new(&folder);
    struct error error = {0};
    const char *top = folder.path;
    folder.path = path_join(folder.arena, top, "new van");
    assert_true(job_init(&folder.machine, folder.path, folder.arena, &error));
    load_clean(&folder);
    assert_int_equal(folder.report.count, 0); /* no remark either */
    assert_string_equal(folder.job->number, "new-van");
    assert_false(job_init(&folder.machine, folder.path, folder.arena, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, "job.yaml"));
    folder.path = top;
    folder_free(&folder);
}

/* ---- the contract's own examples ---- */

/* The indented block behind a heading, without its indentation; the x, y, w, h of its boxes made numbers. */
static const char *block_behind(struct folder *folder, const char *all, const char *heading)
{
    static const char *const words[][2] = {{"[x, y, w, h]", "[100, 200, 300, 400]"},
                                           {"[x1, y1, x2, y2]", "[1350, 0, 1350, 1900]"},
                                           {"condition: window", "condition: van-cast"}};
    const char *at = strstr(all, heading);
    assert_non_null(at);
    at = strstr(at, "\n    ");
    struct text text = text_new(folder->arena);
    for (at++; !strncmp(at, "    ", 4) || *at == '\n';) {
        const char *end = strchr(at, '\n');
        if (*at != '\n') at += 4;
        while (at < end) {
            size_t i = 0;
            while (i < 3 && strncmp(at, words[i][0], strlen(words[i][0])) != 0) i++;
            if (i < 3)
                text_add(&text, words[i][1]), at += strlen(words[i][0]);
            else
                text_add_char(&text, *at++);
        }
        text_add_char(&text, '\n');
        at = end + 1;
    }
    return text_string(&text);
}

/* Figures as the contract's examples state them. */
static void check_contract_shop(const struct shop *shop)
{
    near(shop->printers[0].media_width_mm, 1625);
    near(shop->printers[0].speed_m2_per_h.value, 12);
    near(shop->films[0].thickness_mm, 0.05);
    near(shop->laminates[0].temperature_high_c.value, 23);
    near(shop->laminates[0].bond_s.value, 24 * 3600);
    near(shop->inks[0].dry_most_at_percent.value, 300);
    assert_int_equal(shop->inks[0].price_per_ml, 160000);
    near(shop->conditions[0].ink_limit_percent.value, 280);
    near(shop->install_m2_per_h.value, 1.6);
    assert_int_equal(shop->closed[0].month, 3);
}

static void contract_examples(void **state)
{
    (void)state;
    const char *shared = getenv("LAPSTRAKE_SHARED");
    struct folder folder;
    struct str bytes;
    folder_new(&folder);
    const char *path = shared ? path_join(folder.arena, shared, "contract.md") : "";
    if (!shared || !machine_read(&folder.machine, path, 1 << 20, folder.arena, &bytes, NULL)) {
        folder_free(&folder);
        print_message("skipped: the contract is not here\n");
        skip();
    }
    folder_write(&folder, "job.yaml", block_behind(&folder, bytes.bytes, "### job.yaml"));
    folder_write(&folder, "shop.yaml", block_behind(&folder, bytes.bytes, "### shop.yaml"));
    load_clean(&folder);
    const struct job *job = folder.job;
    assert_string_equal(job->number, "LV-2031");
    near(job->overlap_mm.value, 12);
    near(job->bleed.all_mm, 50);
    near(job->surfaces[0].width_mm, 5400);
    assert_int_equal(job->surfaces[0].feature_count, 7); /* six, and what is to be kept whole */
    near(job->surfaces[0].features[1].margin_mm, 40);
    near(job->surfaces[0].features[5].pitch_mm, 76);
    near(job->surfaces[0].artworks[0].at_mm.x, -50);
    near(job->surfaces[0].seams[1].at_mm, 2690);
    assert_int_equal(job->due.hour, 17);
    check_contract_shop(job->shop);
    folder_free(&folder);
}

/* Ways in which a drawing's scale is written: ISO 5455 (1:10), and a fraction, a percentage and words. */
static void scales_arrive(void **state)
{
    (void)state;
    static const char *const written[] = {"10",   "1:10",    "'1 : 10'", "1/10", "1 / 10",
                                          "10 %", "1 to 10", "2:20",     "10%",  "1 :10"};
    for (size_t i = 0; i < sizeof written / sizeof *written; i++) {
        struct folder folder;
        folder_new(&folder);
        const char *at = strstr(sample_job, "scale: 10, at");
        assert_non_null(at);
        folder_write(&folder, "shop.yaml", sample_shop);
        folder_write(&folder, "job.yaml",
                     arena_format(folder.arena, "%.*sscale: %s%s", (int)(at - sample_job), sample_job,
                                  written[i], at + strlen("scale: 10")));
        load_clean(&folder);
        near(folder.job->surfaces[0].artworks[0].scale, 10);
        folder_free(&folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shop_arrives),
        cmocka_unit_test(materials_arrive),
        cmocka_unit_test(practice_fills_in),
        cmocka_unit_test(conditions_arrive),
        cmocka_unit_test(a_short_drying_time_names_its_source),
        cmocka_unit_test(job_arrives),
        cmocka_unit_test(surfaces_arrive),
        cmocka_unit_test(scales_arrive),
        cmocka_unit_test(features_arrive),
        cmocka_unit_test(quick_job),
        cmocka_unit_test(job_adds_to_vehicle),
        cmocka_unit_test(shop_units_stand_for_jobs),
        cmocka_unit_test(json_reads_alike),
        cmocka_unit_test(new_folder_is_sound),
        cmocka_unit_test(contract_examples),
    };
    return cmocka_run_group_tests_name("job-load", tests, NULL, NULL);
}
