/* Makes a surface's PDF panels: pages, marks, the write, the lay-back check and the optional proof. Called
 * by make.c; writing and checking PDF is the pdf room's. */
#include "xmp.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "cut_sheet.h"
#include "files.h"
#include "print_frame.h"
#include "marks.h"

/* The panel's marks as operators; the drawing that they come from takes many times their room and is let go.
 */
static bool marks_of(struct machine *machine, const struct make_order *order, const struct panel *panel,
                     struct arena *arena, struct pdf_panel_page *page, struct error *error)
{
    struct arena *scratch = arena_new(machine);
    struct panel_marks marks;
    struct text text = text_new(scratch);
    bool ok = marks_make(order, panel, scratch, &marks, error);
    if (ok && !drawing_operators(marks.drawing, &text))
        ok = error_set(error, FAILURE_MACHINE, "marks-of-cannot-be-written",
                       ARGUMENTS(arg_words("panel", panel->id)));
    if (ok) {
        page->marks = (struct str){arena_copy(arena, text_string(&text), text.length), text.length};
        struct rect *fields = arena_take_array(arena, marks.field_count, sizeof *fields);
        for (size_t i = 0; i < marks.field_count; i++) fields[i] = marks.fields[i];
        page->fields = fields;
        page->field_count = marks.field_count;
    }
    arena_free(scratch);
    return ok;
}

/* One panel's page: rectangles as printed, marks as operators. */
static bool page_of(struct machine *machine, const struct make_order *order, const struct panel *panel,
                    struct arena *arena, struct pdf_panel_page *page, struct error *error)
{
    struct print_frame frame = frame_of_order(order, panel);
    *page = (struct pdf_panel_page){.id = panel->id,
                                    .file = frame.file,
                                    .print = frame.print,
                                    .visible = frame.visible,
                                    .drawn_at = panel_forms[panel->form].drawn_at};
    struct cut_sheet *sheet = arena_take(arena, sizeof *sheet);
    if (!cut_sheet_make(order, panel, &frame, arena, sheet, error) ||
        !marks_of(machine, order, panel, arena, page, error))
        return false;
    page->clip = sheet->printed.count ? &sheet->printed : NULL;
    page->cuts = sheet->lines, page->cut_count = sheet->line_count;
    print_frame_slices(order->surface->surface, &frame, panel, arena, page);
    return true;
}

/* Of one vehicle's prints, or those that are alike on all. */
static bool pages_of(struct machine *machine, const struct make_order *order, struct arena *arena,
                     struct pdf_panel_page *pages, size_t *count, struct error *error)
{
    for (size_t i = 0; i < surface_print_count(order->surface); i++) {
        const struct panel *panel = &order->surface->panels[i];
        if (file_wanted(order, panel) && !page_of(machine, order, panel, arena, &pages[(*count)++], error))
            return false;
    }
    return true;
}

/* Vehicle after vehicle. */
static bool pages_of_all(struct machine *machine, const struct make_order *order, struct arena *arena,
                         struct pdf_panels_order *pdf, struct error *error)
{
    size_t vehicles = order->vehicle_count ? order->vehicle_count : 1;
    struct pdf_panel_page *pages =
        arena_take_array(arena, surface_print_count(order->surface) * vehicles, sizeof *pages);
    pdf->pages = pages;
    struct make_order part = *order;
    for (size_t v = 0; v < vehicles; v++) {
        if (order->vehicle_count) part.vehicle = order->vehicles[v];
        if (!pages_of(machine, &part, arena, pages, &pdf->page_count, error)) return false;
    }
    return true;
}

/* Each vehicle's words lie on its own pages. */
static void part_words(const struct make_order *order, size_t page_count, struct art_layers *layers)
{
    size_t vehicles = order->vehicle_count, each = vehicles ? page_count / vehicles : 0;
    for (size_t v = 0; vehicles > 1 && v < vehicles; v++) {
        struct pdf_layer *words = &layers->layers[layers->count - vehicles + v];
        words->first_page = v * each, words->page_count = each;
    }
}

/* "201", "201 to 220"; "" for what is alike on all. */
static const char *pdf_vehicle_words(const struct make_order *order, struct arena *arena)
{
    if (!order->vehicle) return "";
    if (order->vehicle_count < 2) return arena_format(arena, " %s", order->vehicle->name);
    return arena_format(arena, " %s to %s", order->vehicle->name,
                        order->vehicles[order->vehicle_count - 1]->name);
}

static bool not_kept(const struct make_order *order, const char *trouble, struct error *error)
{
    return error_set(
        error, FAILURE_MACHINE, "panels-of-laid-back-on-vehicle",
        ARGUMENTS(arg_words("surface", order->surface->surface->name), arg_words("trouble", trouble)));
}

/* Of a surface's files. */
static void add_proof(struct pdf_prove_result *all, const struct pdf_prove_result *one)
{
    all->pixels += one->pixels, all->off += one->off, all->at_edges += one->at_edges;
    all->overlaid += one->overlaid, all->pages += one->pages, all->layers = one->layers;
    if (one->worst > all->worst) all->worst = one->worst;
    if (one->worst_at_edges > all->worst_at_edges) all->worst_at_edges = one->worst_at_edges;
}

/* By a second renderer, after the one that wrote the panels found nothing. */
static bool prove(struct machine *machine, const struct make_order *order, const struct pdf_panels_order *pdf,
                  const char *path, struct arena *arena, struct make_result *result, struct error *error)
{
    struct error trouble = {0};
    struct pdf_prove_order proof = {.panels = pdf,
                                    .path = path,
                                    .ppi = order->ppi,
                                    .profile_path =
                                        order->work->profile.length ? order->work->profile_path : NULL,
                                    .folder = order->work->folder,
                                    .cancel = order->work->cancel,
                                    .progress = order->work->progress};
    struct pdf_prove_result one;
    result->proved = pdf_prove(machine, &proof, arena, &one, &trouble);
    if (result->proved) add_proof(&result->proof, &one);
    if (!result->proved)
        return error_set(error, trouble.kind, "panels-of-could-not-be-proved",
                         ARGUMENTS(arg_words("surface", order->surface->surface->name),
                                   arg_words("trouble", trouble.text)));
    return one.same || not_kept(order, one.trouble, error);
}

static bool pdf_check(struct machine *machine, const struct make_order *order,
                      const struct pdf_panels_order *pdf, const char *path, struct arena *arena,
                      struct make_result *result, struct error *error)
{
    struct pdf_layback_result layback;
    double ppi = order->prove ? order->ppi : 0;
    progress_say(order->work->progress,
                 sentence_words(arena, "laying-panels-back",
                                ARGUMENTS(arg_words("surface", order->surface->surface->name))),
                 0, 1);
    if (!pdf_layback(machine, pdf, path, ppi, arena, &layback, error)) return false;
    result->checked += layback.pixels;
    if (!layback.same) return not_kept(order, layback.trouble, error);
    return !order->prove || prove(machine, order, pdf, path, arena, result, error);
}

/* Written beside the cache, checked there, and given its name only when it is right. */
static bool write_checked(struct machine *machine, const struct make_order *order,
                          const struct pdf_panels_order *pdf, const char *path, struct arena *arena,
                          struct make_result *result, struct error *error)
{
    const char *unchecked =
        path_join(arena, order->work->folder, arena_format(arena, "unchecked-%s", path_name(path)));
    progress_say(order->work->progress,
                 arena_format(arena, "%s: writing panels", order->surface->surface->name), 0, 1);
    bool ok = pdf_panels_write(machine, pdf, unchecked, false, arena, error) &&
              pdf_check(machine, order, pdf, unchecked, arena, result, error) &&
              machine->move_file(machine, unchecked, path, error);
    if (!ok) machine->remove_file(machine, unchecked, NULL);
    return ok;
}

bool make_pdf(struct machine *machine, const struct make_order *order, struct arena *arena,
              struct make_result *result, struct error *error)
{
    const struct job *job = order->plan->input->job;
    struct pdf_panels_order pdf = {
        .profile = (const unsigned char *)order->work->profile.bytes,
        .profile_size = order->work->profile.length,
        .profile_description = order->condition ? order->condition->profile_description : NULL,
        .title = arena_format(arena, "%s %s%s", job->number, order->surface->surface->name,
                              pdf_vehicle_words(order, arena)),
        .subject = arena_format(arena, "%s%splan %s", job->title ? job->title : "", job->title ? ", " : "",
                                order->plan->fingerprint ? order->plan->fingerprint : "not kept"),
        .date = order->date,
        .cpu_seconds = order->work->cpu_seconds,
        .id_seed = arena_format(arena, "%s/%s%s%s", job->number, order->surface->surface->id,
                                order->vehicle ? "/" : "", order->vehicle ? order->vehicle->id : ""),
    };
    const struct cutter *cutter = cut_sheet_cutter(order);
    const struct pdf_cut_layer cuts[CUT_KINDS] = {
        [CUT_KIND_KISS] = {cutter->kiss_spot, true, cutter->cut_layer == CUT_LAYER_ON},
        [CUT_KIND_THROUGH] = {cutter->through_spot, false, cutter->cut_layer == CUT_LAYER_ON}};
    if (order->surface->surface->contour_cut) pdf.cut_layers = cuts, pdf.cut_layer_count = CUT_KINDS;
    pdf.xmp = xmp_packet(order, pdf.title, pdf.subject, arena);
    if (!pages_of_all(machine, order, arena, &pdf, error)) return false;
    if (!pdf.page_count) return true; /* not asked for */
    struct art_layers layers;
    if (!art_layers_make(machine, order->work, arena, &layers, error)) return false;
    part_words(order, pdf.page_count, &layers);
    struct print_frame frame = frame_of_order(order, &order->surface->panels[0]);
    pdf.layers = print_frame_layers(&frame, layers.layers, layers.count, arena);
    pdf.layer_count = layers.count;
    if (pdf.cut_layer_count) pdf.left_out = layers.left_out;
    size_t first = 0; /* that is wanted */
    while (!file_wanted(order, &order->surface->panels[first])) first++;
    const char *path = file_for(order, &order->surface->panels[first], arena);
    bool ok = write_checked(machine, order, &pdf, path, arena, result, error);
    art_layers_drop(machine, &layers);
    result->paths[result->path_count++] = path;
    return ok;
}
