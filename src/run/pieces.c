/* Opens what has a shape: covered regions, and the pieces of a job as surfaces of their own (model/shape.h). Called
 * by run.c: survey says what a region is, art what artwork shows. */
#include "art/art.h"
#include "art/outline.h"
#include "base/arena.h"
#include "base/str.h"
#include "contour/shape.h"
#include "model/practice.h"
#include "steps.h"
#include "survey/cover.h"

static struct notes shapes_notes(struct run *run)
{
    return (struct notes){run->arena, &run->report, &run->findings};
}

/* Against what the cutter and film hold. Too much of it to look through is told, and no failure. */
static bool judge_outline(struct run *run, const struct surface *surface, struct error *error)
{
    const struct cutter *cutter = run->job->cutter;
    struct error fault = {.kind = FAILURE_NONE};
    struct notes notes = shapes_notes(run);
    if (!cutter) return true;
    struct contour_limits limits = {.width_mm = cutter->least_width_mm,
                                    .gap_mm = cutter->least_gap_mm,
                                    .radius_mm = cutter->least_radius_mm,
                                    .area_mm2 = cutter->least_area_mm2};
    if (art_outline_judge(run->machine, surface, &surface->cut, &limits, &notes, &fault)) return true;
    if (fault.kind != FAILURE_INPUT) return error_words(error, fault.kind, fault.text);
    finding_add(&run->findings, "cut-thin", surface->name, "cut-unchecked",
                ARGUMENTS(arg_words("fault", fault.text)));
    return true;
}

/* ---- covered regions ---- */

/* What all artwork of the surface shows together, so far further out. */
static bool silhouette_of(struct run *run, const struct run_surface *s, struct region *region,
                          struct error *error)
{
    const struct cut_spec cut = {.path = CUT_SILHOUETTE,
                                 .offset_mm = s->surface->spec->cover.offset_mm,
                                 .tolerance = practice_value("cut-tolerance").value};
    struct contour_means means = {.arena = run->arena};
    struct notes notes = shapes_notes(run);
    for (size_t i = 0; i < s->art.count; i++) {
        struct region one, both;
        if (!art_outline(run->machine, s->surface, &s->art.placed[i], &cut, &notes, &one, error))
            return false;
        if (!contour_combine(region, &one, CONTOUR_UNION, &means, &both, error)) return false;
        *region = both;
    }
    return true;
}

bool step_cover(struct run *run, struct run_surface *s, struct error *error)
{
    bool shown = s->surface->spec->cover.kind == COVER_SILHOUETTE;
    struct region region = {NULL, 0};
    struct notes notes = shapes_notes(run);
    if (shown && !silhouette_of(run, s, &region, error)) return false;
    if (!survey_cover(run->machine, s->surface, shown ? &region : NULL, &notes, error)) return false;
    return !s->surface->contour_cut || judge_outline(run, s->surface, error);
}

/* ---- pieces ---- */

size_t step_piece_count(const struct job *job)
{
    size_t count = 0;
    for (size_t i = 0; i < job->surface_count; i++)
        for (size_t k = 0; k < job->surfaces[i].piece_count; k++)
            count += job->surfaces[i].pieces[k].other_side ? 2 : 1;
    return count;
}

/* The host as a surface that has this piece's artwork alone. */
static struct surface bare_host(struct run *run, const struct surface *host, const struct piece_spec *piece)
{
    struct surface bare = *host;
    struct surface_spec *spec = arena_take(run->arena, sizeof *spec);
    *spec = *host->spec;
    spec->artworks = arena_take(run->arena, sizeof *spec->artworks);
    *spec->artworks = *piece->artwork;
    spec->artwork_count = 1;
    bare.spec = spec;
    bare.name = arena_format(run->arena, "%s %s", host->name, piece->name);
    return bare;
}

/* What is painted in the file and not printed: the panels' own cut layer carries it. */
static void judge_piece(struct run *run, const struct surface *surface)
{
    const struct piece_spec *piece = surface->piece;
    const char *file = piece->artwork->file;
    if (piece->cut.path == CUT_SPOT || piece->cut.path == CUT_LAYER)
        finding_add(&run->findings, "cut-line-left-out", surface->name, "cut-line-left-out",
                    ARGUMENTS(arg_words("file", file), arg_words("name", piece->cut.name),
                              arg_flag("spot", piece->cut.path == CUT_SPOT)));
}

/* Reads the piece's artwork, finds its outline, and makes its surface the run's last. */
static bool open_piece(struct run *run, const struct surface *host, const struct piece_spec *piece,
                       struct error *error)
{
    struct surface bare = bare_host(run, host, piece);
    struct run_surface *s = &run->surfaces[run->surface_count];
    struct notes notes = shapes_notes(run);
    struct region outline;
    *s = (struct run_surface){.surface = NULL};
    if (!art_read(run->machine, &bare, &notes, &s->art, error)) return false;
    if (!s->art.count) return true; /* said already */
    if (!art_outline(run->machine, &bare, s->art.placed, &piece->cut, &notes, &outline, error)) return false;
    if (!survey_piece(host, piece, &outline, &notes, &s->surface, error)) return false;
    if (!s->surface) return true;
    run->surface_count++;
    judge_piece(run, s->surface);
    return judge_outline(run, s->surface, error);
}

/* The same piece on the surface across: as far from its other end. What it shows is not mirrored. */
static const struct piece_spec *piece_across(struct run *run, const struct surface *across,
                                             const struct run_surface *one)
{
    struct piece_spec *piece = arena_take(run->arena, sizeof *piece);
    struct artwork_spec *artwork = arena_take(run->arena, sizeof *artwork);
    *piece = *one->surface->piece, *artwork = *piece->artwork;
    artwork->at_mm.x = across->width_mm - one->art.placed->trim.x1;
    piece->at_mm = artwork->at_mm, piece->artwork = artwork;
    return piece;
}

static const struct surface *surface_of_spec(const struct run *run, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(run->surfaces[i].surface->name, name) ||
            string_equal(run->surfaces[i].surface->id, name))
            return run->surfaces[i].surface;
    return NULL;
}

bool step_open_pieces(struct run *run, struct error *error)
{
    size_t ordinary = run->surface_count;
    for (size_t i = 0; i < ordinary; i++) {
        const struct surface *host = run->surfaces[i].surface;
        for (size_t k = 0; k < host->spec->piece_count; k++) {
            const struct piece_spec *piece = &host->spec->pieces[k];
            size_t before = run->surface_count;
            if (cancel_asked(run->options.cancel))
                return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
            if (!open_piece(run, host, piece, error)) return false;
            const struct surface *across =
                piece->other_side ? surface_of_spec(run, ordinary, piece->other_side) : NULL;
            if (!across || run->surface_count == before) continue;
            if (!open_piece(run, across, piece_across(run, across, &run->surfaces[before]), error))
                return false;
        }
    }
    return true;
}
