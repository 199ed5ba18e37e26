/* The outline along which an artwork is cut: from its box, from paths in its file, or around what it shows; then as far
 * out as asked. Called by run for pieces and for covered regions. */
#include "outline.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "contour/offset.h"
#include "technical.h"

enum { ENOUGH_S = 60 };

struct outline_clock outline_clock_new(struct machine *machine)
{
    return (struct outline_clock){machine, machine->now(machine) + ENOUGH_S};
}

static bool outline_enough(void *self)
{
    const struct outline_clock *clock = self;
    return clock->machine->now(clock->machine) > clock->until;
}

struct contour_means outline_means(struct outline_clock *clock, struct arena *arena)
{
    return (struct contour_means){arena, outline_enough, clock};
}

/* ---- what is the matter ---- */

static const char missing_code[] = "cut-missing";

static void outline_missing(const struct outline_work *work, const char *id, const char *has)
{
    struct finding *f = finding_add(work->notes->findings, missing_code, work->surface->name, id,
                                    ARGUMENTS(arg_words("file", work->placed->spec->file),
                                              arg_words("name", work->cut->name ? work->cut->name : ""),
                                              arg_words("has", has)));
    f->about = work->placed->spec->file, f->on_artwork = true;
}

/* What is wrong with the file is a finding; else the machine failed. */
static bool outline_refuse(const struct outline_work *work, const struct error *fault, struct error *error)
{
    if (fault->kind != FAILURE_INPUT) return error_words(error, fault->kind, fault->text);
    outline_missing(work, "cut-cannot-be-followed", fault->text);
    return true;
}

static void add_names(struct text *out, const char *id, const char **names, size_t count)
{
    for (size_t i = 0; i < count && i < 8; i++)
        text_addf(out, "%s%s`%s`", i || !out->length ? "" : "; ", i ? ", " : sentence_plain(id), names[i]);
}

/* "spot colours `Cut`, `Gold`; layers `Art`". */
static const char *names_there(const struct pdf_paths *paths, struct arena *arena)
{
    struct text out = text_new(arena);
    add_names(&out, "cut-spots-there", paths->spots, paths->spot_count);
    add_names(&out, "cut-layers-there", paths->layers, paths->layer_count);
    add_names(&out, "cut-steps-there", paths->steps, paths->step_count);
    return out.length ? text_string(&out) : sentence_plain("cut-nothing-there");
}

/* ---- where it comes from ---- */

static bool box_region(struct outline_work *work, struct region *outline, struct error *error)
{
    struct polygon ring = polygon_of_rect(work->placed->trim, work->notes->arena);
    return contour_clean(&ring, 1, CONTOUR_NON_ZERO, &work->means, outline, error);
}

/* Spot colours that print nothing, so that no silhouette goes around them. */
static const char **silent_spots(const struct outline_work *work, size_t *count)
{
    const struct artwork_facts *facts = work->placed->facts;
    const char **off = arena_take_array(work->notes->arena, facts->spot_count + 1, sizeof *off);
    *count = 0;
    for (size_t i = 0; i < facts->spot_count; i++)
        if (spot_is_technical(facts->spots[i], work->notes->arena)) off[(*count)++] = facts->spots[i];
    return off;
}

static bool read_paths(struct outline_work *work, struct pdf_paths *paths, struct error *error)
{
    static const enum pdf_paths_of of[] = {[CUT_SPOT] = PDF_PATHS_SPOT,
                                           [CUT_LAYER] = PDF_PATHS_LAYER,
                                           [CUT_STEP] = PDF_PATHS_STEP,
                                           [CUT_SILHOUETTE] = PDF_PATHS_VISIBLE};
    const struct artwork_spec *spec = work->placed->spec;
    struct pdf_paths_order order = {.path = spec->path,
                                    .subject = spec->file,
                                    .page = spec->page,
                                    .of = of[work->cut->path],
                                    .name = work->cut->name,
                                    .tolerance_mm = OUTLINE_FLAT_MM / work->placed->scale};
    if (work->cut->path == CUT_SILHOUETTE) order.spots_off = silent_spots(work, &order.spot_off_count);
    return pdf_paths_load(work->machine, &order, work->notes->arena, paths, error);
}

static bool pdf_region(struct outline_work *work, struct region *outline, struct error *error)
{
    struct pdf_paths paths;
    bool silhouette = work->cut->path == CUT_SILHOUETTE;
    if (!read_paths(work, &paths, error)) return false;
    if (paths.state != ARTWORK_FINE) return error_words(error, FAILURE_INPUT, paths.trouble);
    if (silhouette) return outline_of_shapes(work, &paths, outline, error);
    size_t open = work->notes->findings->count;
    if (!outline_of_paths(work, &paths, outline, error)) return false;
    if (!outline->count && work->notes->findings->count == open)
        outline_missing(work, "cut-name-missing", names_there(&paths, work->notes->arena));
    return true;
}

static bool source_region(struct outline_work *work, struct region *outline, struct error *error)
{
    if (work->cut->path == CUT_BOX) return box_region(work, outline, error);
    if (work->placed->facts->kind == ARTWORK_PDF) return pdf_region(work, outline, error);
    if (work->cut->path == CUT_SILHOUETTE) return outline_of_picture(work, outline, error);
    outline_missing(work, "cut-in-a-picture", "");
    return true;
}

/* ---- what is asked of it besides ---- */

static bool outline_grow(struct outline_work *work, struct region *outline, struct error *error)
{
    const struct cut_spec *cut = work->cut;
    struct contour_offset offset = {.by_mm = cut->offset_mm,
                                    .join = cut->mitre ? CONTOUR_MITRE : CONTOUR_ROUND,
                                    .corner_mm = cut->radius_mm,
                                    .fill_holes_mm2 = cut->fill_holes_mm2};
    struct region grown;
    if (cut->offset_mm <= 0 && cut->radius_mm <= 0) {
        *outline = contour_without_small(outline, cut->fill_holes_mm2, 0, work->notes->arena);
        return true;
    }
    if (!contour_offset(outline, &offset, &work->means, &grown, error)) return false;
    *outline = grown;
    return true;
}

bool art_outline(struct machine *machine, const struct surface *surface, const struct placed_art *placed,
                 const struct cut_spec *cut, const struct notes *notes, struct region *outline,
                 struct error *error)
{
    struct outline_work work = {.machine = machine,
                                .surface = surface,
                                .placed = placed,
                                .cut = cut,
                                .notes = notes,
                                .clock = outline_clock_new(machine)};
    struct error fault = {.kind = FAILURE_NONE};
    work.means = outline_means(&work.clock, notes->arena);
    *outline = (struct region){NULL, 0};
    size_t told = notes->findings->count;
    bool ok = source_region(&work, outline, &fault);
    if (ok && !outline->count && notes->findings->count == told)
        outline_missing(&work, "cut-shows-nothing", "");
    ok = ok && (!outline->count || outline_grow(&work, outline, &fault));
    if (ok) return true;
    *outline = (struct region){NULL, 0};
    return outline_refuse(&work, &fault, error);
}
