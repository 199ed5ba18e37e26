/* The verbs of a run: plan, write pictures, write panels, write the job sheet. Called by cli and the floor;
 * each hands its work to the rooms and collects their findings. */
#include "run/printed.h"
#include "run/proof.h"
#include "run/run.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/reader.h"
#include "draw/draw.h"
#include "make/make.h"
#include "pdf/reader.h"
#include "plan/plan.h"
#include "quote/quote.h"
#include "raster/facts.h"
#include "sheet/order.h"
#include "sheet/pictures.h"
#include "sheet/sheet.h"
#include "digests.h"
#include "fleet.h"
#include "inches.h"
#include "made.h"
#include "steps.h"
#include "texts.h"

/* ---- plan ---- */

static void fill_input(struct run *run)
{
    struct surface_input *surfaces = arena_take_array(run->arena, run->surface_count, sizeof *surfaces);
    for (size_t i = 0; i < run->surface_count; i++) {
        struct run_surface *s = &run->surfaces[i];
        const struct ink_map *ink = run->options.quoting && !s->ink ? step_even_ink(run, s->surface) : s->ink;
        surfaces[i] = (struct surface_input){s->surface, &s->art, ink, s->detail, s->preview};
    }
    run->input = (struct plan_input){
        .job = run->job,
        .zone = run->zone,
        .now = run->options.now,
        .surfaces = surfaces,
        .surface_count = run->surface_count,
        .conditions = run->conditions,
        .condition_count = run->condition_count,
        .events = run->options.events,
        .event_count = run->options.event_count,
        .spoilt = run->spoilt,
        .spoilt_count = run->options.quoting ? 0 : run->spoilt_count,
        .recorded = run->options.recorded,
        .choose = run->options.choose,
        .ask = quote_price,
    };
}

void step_take_findings(struct findings *findings, const struct finding *more, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct finding *place = arena_append(findings->arena, &findings->items, &findings->count,
                                             &findings->capacity, sizeof *place);
        *place = more[i];
    }
}

/* What the shop takes more seriously than the table does. */
static void raise_severities(const struct run *run, struct findings *findings)
{
    const struct shop *shop = run->job->shop;
    findings_raise(findings, shop->raised_codes, shop->raised_to, shop->raised_count);
}

/* Of the files' bytes, so that an acceptance holds where the job folder is copied or put back. A file that
 * cannot be read any more is told by whoever needs it next. */
static uint64_t content_of(const struct run *run, struct run_surface *s)
{
    struct error unread;
    char hex[65];
    uint64_t hash = HASH_START;
    for (size_t k = 0; !s->content && k < s->art.count; k++)
        hash =
            printed_digest(run, &s->art.placed[k], hex, &unread) ? hash_bytes(hash, hex, strlen(hex)) : hash;
    return s->content ? s->content : (s->content = hash | 1);
}

static uint64_t files_of(const struct run *run, const char *where)
{
    uint64_t hash = HASH_START;
    for (size_t i = 0; i < run->surface_count; i++) {
        struct run_surface *s = &run->surfaces[i];
        size_t length = strlen(s->surface->name);
        bool here = !strncmp(where, s->surface->name, length) && (!where[length] || where[length] == '/');
        uint64_t content = here ? content_of(run, s) : 0;
        if (here) hash = hash_bytes(hash, &content, sizeof content);
    }
    return hash;
}

/* What people accepted on record, where it holds. Findings about artwork are bound to its files; for a job that is
 * not on record nobody asks, and large files are not read for it. */
static void accept_findings(const struct run *run, struct findings *findings)
{
    if (run->job->inches) inches_in_findings(findings);
    for (size_t i = 0; run->options.recorded && i < findings->count; i++)
        if (findings->items[i].on_artwork) findings->items[i].files = files_of(run, findings->items[i].where);
    findings_accept(findings, run->acceptances, run->acceptance_count);
}

static void name_and_snap(const struct run *run, struct plan *plan, struct arena *arena)
{
    fleet_mark(run, plan);
    for (size_t i = 0; i < plan->surface_count; i++) {
        struct surface_plan *surface = &plan->surfaces[i];
        make_name_files(surface, run->job, arena);
        if (!job_makes_pixels(run->job) || surface->surface->station_count ||
            feed_percent_of(run->job, surface->surface->condition) != 100)
            continue;
        struct pixel_grid grid = art_grid(surface->surface, &run->surfaces[i].art, run->job->resolution_ppi);
        make_snap_files(surface, &grid);
    }
    fleet_name(run, plan, arena);
}

struct plan *step_plan(const struct run *run, const struct plan_input *input, struct arena *arena,
                       struct findings *findings)
{
    struct plan *plan = run->memory ? plan_make_with(input, run->memory, arena) : plan_make(input, arena);
    step_take_findings(findings, plan->findings.items, plan->findings.count);
    step_judge_pieces(run, plan, findings);
    step_judge_feeds(run, findings);
    printed_judge(run, findings);
    proof_judge(run, findings);
    raise_severities(run, findings);
    accept_findings(run, findings);
    name_and_snap(run, plan, arena);
    if (run->job->inches) inches_in_plan(plan, arena);
    return plan;
}

bool run_plan(struct run *run, struct error *error)
{
    if (!texts_write(run, error)) return false;
    for (size_t i = 0; i < run->surface_count; i++) {
        if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        if (!maps_get(run, &run->surfaces[i], error)) return false;
    }
    if (!printed_compare(run, error) || !proof_compare(run, error)) return false;
    fill_input(run);
    run->plan = step_plan(run, &run->input, run->arena, &run->findings);
    run->plan->fingerprint = step_plan_fingerprint(run);
    return true;
}

bool run_write_file(struct run *run, const char *name, struct str bytes, struct error *error)
{
    const char *path = path_join(run->arena, run->out, name);
    if (!machine_write(run->machine, path, bytes, false, error)) return false;
    step_written(run, path);
    return true;
}

/* ---- pictures ---- */

static bool write_picture_in(struct run *run, const char *folder, const struct drawing *drawing,
                             const char *name, struct error *error)
{
    const double ppi = 150;
    struct text svg = text_new(run->arena);
    const char *svg_path = path_join(run->arena, folder, arena_format(run->arena, "pictures/%s.svg", name));
    const char *png_path = path_join(run->arena, folder, arena_format(run->arena, "pictures/%s.png", name));
    if (!drawing_svg(drawing, &svg))
        return error_set(error, FAILURE_MACHINE, "path-cannot-be-drawn",
                         ARGUMENTS(arg_words("path", svg_path)));
    return machine_write(run->machine, svg_path, (struct str){text_string(&svg), svg.length}, false, error) &&
           drawing_png(drawing, ppi, run->machine, png_path, error);
}

bool step_write_picture(struct run *run, const struct drawing *drawing, const char *name, struct error *error)
{
    return write_picture_in(run, run->out, drawing, name, error);
}

static const struct picture *const *previews(const struct run *run)
{
    const struct picture **list = arena_take_array(run->arena, run->surface_count, sizeof *list);
    for (size_t i = 0; i < run->surface_count; i++) list[i] = run->surfaces[i].preview;
    return list;
}

static bool write_surfaces(struct run *run, struct picture_options options, struct error *error)
{
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct run_surface *s = &run->surfaces[i];
        options.pieces = sheet_pieces_on(s->surface, run->plan, previews(run), run->arena);
        const struct drawing *drawing =
            sheet_surface_picture(&run->plan->surfaces[i], &s->art, s->preview, options, run->arena);
        if (!step_write_picture(run, drawing, arena_format(run->arena, "surface-%s", s->surface->id), error))
            return false;
    }
    return true;
}

static bool write_rolls(struct run *run, struct picture_options options, struct error *error)
{
    for (size_t i = 0; i < run->plan->roll_count; i++) {
        const struct drawing *drawing =
            sheet_roll_picture(&run->plan->rolls[i], run->plan, options, run->arena);
        if (!step_write_picture(run, drawing, arena_format(run->arena, "roll-%zu", i + 1), error))
            return false;
    }
    return true;
}

static bool write_pictures(struct run *run, struct error *error)
{
    struct picture_options options = {.width_mm = 280, .inches = run->job->inches};
    progress_say(run->options.progress, "drawing pictures", 0, 1);
    return write_surfaces(run, options, error) &&
           step_write_picture(run, sheet_vehicle_picture(run->plan, previews(run), options, run->arena),
                              "vehicle", error) &&
           step_write_picture(run, sheet_timeline(run->plan, options, run->arena), "times", error) &&
           write_rolls(run, options, error);
}

/* Of a layout of more rolls, before. */
static void remove_laid_pictures(struct run *run, const char *folder, size_t from)
{
    for (size_t i = from;; i++) {
        const char *name = arena_format(run->arena, "pictures/laid-%zu", i + 1);
        const char *svg = path_join(run->arena, folder, arena_format(run->arena, "%s.svg", name));
        const char *png = path_join(run->arena, folder, arena_format(run->arena, "%s.png", name));
        if (!run->machine->status(run->machine, svg).exists) return;
        run->machine->remove_file(run->machine, svg, NULL);
        run->machine->remove_file(run->machine, png, NULL);
    }
}

bool run_write_roll_pictures(struct run *run, const char *folder, const struct roll_layout *layout,
                             struct error *error)
{
    struct picture_options options = {.width_mm = 280, .inches = run->job->inches};
    for (size_t i = 0; i < layout->roll_count; i++) {
        const struct drawing *drawing = sheet_laid_roll_picture(layout, i, options, run->arena);
        if (!write_picture_in(run, folder, drawing, arena_format(run->arena, "laid-%zu", i + 1), error))
            return false;
    }
    remove_laid_pictures(run, folder, layout->roll_count);
    return true;
}

bool run_write_pictures(struct run *run, struct error *error)
{
    if (!printed_keep(run, error) || !write_pictures(run, error)) return false;
    step_written(run, path_join(run->arena, run->out, "pictures"));
    return true;
}

/* ---- panels ---- */

static bool surface_makes_pixels(const struct run *run, const struct surface *surface)
{
    for (size_t i = 0; i < run->plan->surface_count; i++) {
        const struct surface_plan *plan = &run->plan->surfaces[i];
        for (size_t k = 0; plan->surface == surface && k < surface_print_count(plan); k++)
            if (panel_forms[plan->panels[k].form].pixels) return true;
    }
    return false;
}

/* TIFF panels are pixels in the condition's inks, which only its profile can make; PDF panels carry the
 * artwork as it is. Says what follows from a profile that cannot be used; false when nothing is to be made.
 */
static bool has_profile(struct run *run, const struct surface *surface)
{
    size_t i = step_condition(run, surface);
    const char *trouble = i == SIZE_MAX ? sentence_plain("surface-has-no-printing-condition")
                                        : run->conditions[i].profile_trouble;
    if (!trouble) return true;
    bool pixels = surface_makes_pixels(run, surface);
    if (!pixels)
        finding_add(&run->findings, "panels-own-colours", surface->name, "panels-own-colours",
                    ARGUMENTS(arg_words("surface", surface->name), arg_words("trouble", trouble)));
    else
        finding_add(&run->findings, "panels-not-made", surface->name, "panels-not-made",
                    ARGUMENTS(arg_words("surface", surface->name), arg_words("trouble", trouble)));
    return !pixels;
}

/* What --prove compared by Ghostscript, and how well it agrees. */
static void tell_proof(struct run *run, const struct surface *surface, const struct make_result *result)
{
    const struct pdf_prove_result *proof = &result->proof;
    if (!result->proved || !proof->layers) return; /* pictures: their bytes are compared */
    double all = (double)proof->pixels, share = all > 0 ? 100 * (double)proof->at_edges / all : 0;
    const char *overlaid = proof->overlaid
                               ? sentence_words(run->arena, "where-artworks-lie-over-each-other",
                                                ARGUMENTS(arg_count("overlaid", (int64_t)proof->overlaid)))
                               : "";
    finding_add(
        &run->findings, "panels-proved", surface->name, "panels-proved",
        ARGUMENTS(arg_count("pages", (int64_t)proof->pages), arg_count("layers", (int64_t)proof->layers),
                  arg_count("pixels", (int64_t)proof->pixels), arg_count("off", (int64_t)proof->off),
                  arg_count("worst", proof->worst), arg_fixed("share", share, 3),
                  arg_count("worst_at_edges", proof->worst_at_edges), arg_words("overlaid", overlaid)));
}

struct make_order step_make_order(const struct run *run, size_t i, struct art_work *work)
{
    const struct run_surface *s = &run->surfaces[i];
    size_t condition = step_condition(run, s->surface);
    *work = step_work(run, s);
    work->cpu_seconds = READER_UNLIMITED; /* of files that were read and rendered before */
    return (struct make_order){
        .plan = run->plan,
        .surface = &run->plan->surfaces[i],
        .work = work,
        .condition = condition == SIZE_MAX ? NULL : &run->conditions[condition],
        .out = run->out,
        .compression = (enum tiff_compression)run->options.packing,
        .ppi = run->job->resolution_ppi,
        .prove = run->options.prove,
        .anyway = !run_may_print(run),
        .date = run->options.date,
        .software = RUN_SOFTWARE,
    };
}

bool step_makes(struct run *run, const struct run_surface *s)
{
    return s->art.count && has_profile(run, s->surface);
}

static void panels_take_result(struct run *run, const struct surface *surface,
                               const struct make_result *result)
{
    for (size_t k = 0; k < result->path_count; k++) step_written(run, result->paths[k]);
    tell_proof(run, surface, result);
    ink_take(run, surface, result);
}

/* Those that differ, once for each vehicle with words of its own; figures of ink and proof are the first one's, whose
 * files `first` gets. */
static bool write_vehicle_panels(struct run *run, struct fleet_making *making, struct make_result *first,
                                 struct error *error)
{
    const struct run_surface *s = making->surface;
    if (!fleet_varies(making->order->surface)) return true;
    for (size_t v = 0; v < s->texts->vehicle_count;) {
        struct make_result result;
        bool begins = !v;
        if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        if (!fleet_make_lot(run, making, &v, &result, error)) return false;
        if (begins) *first = result;
        if (begins) panels_take_result(run, s->surface, first);
        for (size_t k = 0; !begins && k < result.path_count; k++) step_written(run, result.paths[k]);
    }
    return true;
}

static bool write_surface_panels(struct run *run, size_t i, const char *panel, struct error *error)
{
    struct run_surface *s = &run->surfaces[i];
    if (!step_makes(run, s)) return true;
    struct art_work work;
    struct make_order order = step_make_order(run, i, &work);
    order.only_panel = panel;
    struct make_result alike, own = {0};
    if (!make_panels(run->machine, &order, run->arena, &alike, error)) return false;
    panels_take_result(run, s->surface, &alike);
    if (!write_vehicle_panels(run, &(struct fleet_making){s, &order}, &own, error)) return false;
    struct made_surface made = {s, order.surface, panel, alike.path_count ? alike.paths : own.paths,
                                order.anyway};
    return (!alike.path_count && !own.path_count) || made_keep(run, &made, error);
}

bool run_write_panels(struct run *run, struct error *error)
{
    if (!run_may_print(run) && !run->options.anyway) return true;
    maps_rest(run);
    for (size_t i = 0; i < run->surface_count; i++) {
        const char *panel;
        if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        if (step_wanted(run, run->surfaces[i].surface, &panel) && !write_surface_panels(run, i, panel, error))
            return false;
    }
    raise_severities(run, &run->findings);
    accept_findings(run, &run->findings);
    return profiles_keep(run, error);
}

/* ---- sheet ---- */

bool run_write_sheet(struct run *run, struct error *error)
{
    size_t stops = findings_of_severity(&run->findings, SEVERITY_STOP);
    struct sheet_options options = {.date = run->options.date,
                                    .inches = run->job->inches,
                                    .no_cost = run->options.no_cost,
                                    .version = LAPSTRAKE_VERSION,
                                    .findings = run->findings.items,
                                    .finding_count = run->findings.count,
                                    .previews = previews(run),
                                    .heats = ink_heats(run)};
    struct sheet_file *files;
    if (!digests_take(run, &files, &options.file_count, error)) return false;
    options.files = files;
    if (stops)
        options.stamp = sentence_words(run->arena, "not-to-be-printed-stop",
                                       ARGUMENTS(arg_count("stops", (int64_t)stops)));
    const char *path = path_join(run->arena, run->out, "sheet.pdf");
    progress_say(run->options.progress, sentence_plain("writing-job-sheet"), 0, 1);
    if (!sheet_write(run->plan, &options, run->machine, path, run->arena, error)) return false;
    step_written(run, path);
    path = path_join(run->arena, run->out, "labels.pdf");
    if (!labels_write(run->plan, &options, run->machine, path, run->arena, error)) return false;
    step_written(run, path);
    return true;
}

bool run_write_order(struct run *run, struct error *error)
{
    struct sheet_options options = {
        .date = run->options.date, .inches = run->job->inches, .version = LAPSTRAKE_VERSION};
    struct sheet_file *files;
    size_t stops = findings_of_severity(&run->findings, SEVERITY_STOP);
    if (!digests_of_panels(run, &files, &options.file_count, error)) return false;
    options.files = files;
    if (stops)
        options.stamp = sentence_words(run->arena, "not-to-be-ordered-stop",
                                       ARGUMENTS(arg_count("stops", (int64_t)stops)));
    const char *path = path_join(run->arena, run->out, "order.pdf");
    if (!order_write(run->plan, &options, run->machine, path, run->arena, error)) return false;
    step_written(run, path);
    return true;
}

int run_reader(int argument_count, char **arguments, struct machine *machine)
{
    const struct reader_entry *const tables[] = {pdf_reader_verbs, raster_reader_verbs, NULL};
    return reader_main(argument_count, arguments, tables, machine);
}
