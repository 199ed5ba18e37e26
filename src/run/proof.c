/* Puts a proof together: the lines its letters stand for, what each surface shows, which version it is.
 * Called by cli and web; letters are model/proof.h, the paper is sheet/proof.h. */
#include "proof_inner.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/text.h"
#include "model/fleet.h"
#include "digests.h"
#include "run/printed.h"
#include "sheet/proof.h"
#include <math.h>
#include <string.h>

/* ---- the lines ---- */

/* Without a sign at nothing, which is no other place. */
static void proof_add_mm(struct text *line, double value, int decimals)
{
    double step = pow(10, decimals);
    text_addf(line, " %.*f", decimals, round(value * step) / step + 0.0);
}

static void proof_add_points(struct text *basis, const char *what, const struct polygon *polygon)
{
    text_add(basis, what);
    for (size_t i = 0; i < polygon->count; i++)
        proof_add_mm(basis, polygon->points[i].x, 1), proof_add_mm(basis, polygon->points[i].y, 1);
    text_add_char(basis, '\n');
}

static void proof_add_box(struct text *basis, const struct rect *r)
{
    const double ends[] = {r->x0, r->y0, r->x1, r->y1};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) proof_add_mm(basis, ends[i], 1);
}

static bool proof_add_artwork(const struct run *run, const struct placed_art *placed, struct text *basis,
                              struct error *error)
{
    char hex[65], profile[65] = "-";
    const struct affine *m = &placed->to_surface;
    const double turns[] = {m->a, m->b, m->c, m->d};
    if (!printed_digest(run, placed, hex, error)) return false;
    if (placed->spec->profile_path &&
        !digest_of_file(run->machine, placed->spec->profile_path, run->options.cancel, profile, error))
        return false;
    text_addf(basis, "artwork %s page %d", hex, placed->spec->page);
    text_addf(basis, " profile %s at", profile);
    for (size_t i = 0; i < sizeof turns / sizeof *turns; i++) proof_add_mm(basis, turns[i], 6);
    proof_add_mm(basis, m->e, 1), proof_add_mm(basis, m->f, 1);
    text_add(basis, " clip");
    proof_add_box(basis, &placed->clip);
    text_add_char(basis, '\n');
    return true;
}

static bool proof_leaves_bare(const struct feature *f)
{
    return feature_types[f->kind].film != FILM_COVERS;
}

static void proof_add_bare(const struct surface *surface, struct text *basis)
{
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *f = &surface->features[i];
        struct rect box = feature_bare_box(f);
        if (!proof_leaves_bare(f)) continue;
        text_addf(basis, "bare %s", feature_kind_name(f->kind));
        proof_add_box(basis, &box);
        text_add_char(basis, '\n');
        const struct polygon *shape = feature_bare_shape(f);
        if (shape->count) proof_add_points(basis, "shape", shape);
    }
}

static const char *proof_profile(const struct run *run, const struct surface *surface)
{
    size_t i = step_condition(run, surface);
    const char *hex = i == SIZE_MAX ? NULL : run->conditions[i].profile_fingerprint;
    return hex ? hex : "-";
}

static const char *proof_film(const struct condition *condition)
{
    return condition && condition->film ? condition->film->name : NULL;
}

static const char *proof_laminate(const struct condition *condition)
{
    return condition && condition->laminate ? condition->laminate->name : NULL;
}

/* Words of the surface that differ by vehicle, in the arena. */
static struct proof_words *proof_fleet_words(const struct run *run, const struct surface_spec *spec,
                                             size_t *count)
{
    const struct fleet *fleet = run->job->fleet;
    struct proof_words *words = NULL;
    size_t capacity = 0;
    *count = 0;
    for (size_t i = 0; fleet && i < spec->text_count; i++)
        for (size_t v = 0; fleet_words_differ(spec->texts[i].words) && v < fleet->row_count; v++)
            *(struct proof_words *)arena_append(run->arena, &words, count, &capacity, sizeof *words) =
                (struct proof_words){fleet->rows[v].name,
                                     fleet_words(fleet, &fleet->rows[v], spec->texts[i].words, run->arena)};
    return words;
}

static void proof_add_words(const struct run *run, const struct surface *surface, struct text *basis)
{
    size_t count;
    const struct proof_words *words = proof_fleet_words(run, surface->spec, &count);
    for (size_t i = 0; i < count; i++)
        text_addf(basis, "vehicle %s words %s\n", words[i].vehicle, words[i].words);
}

static bool proof_add_surface(const struct run *run, const struct run_surface *s, struct text *basis,
                              struct error *error)
{
    const struct surface *surface = s->surface;
    const char *film = proof_film(surface->condition), *laminate = proof_laminate(surface->condition);
    text_addf(basis, "surface %s\n", surface->name);
    proof_add_points(basis, "outline", &surface->outline);
    text_addf(basis, "film %s\n", film ? film : "-");
    text_addf(basis, "laminate %s\n", laminate ? laminate : "-");
    text_addf(basis, "profile %s\n", proof_profile(run, surface));
    if (surface_copies(surface) > 1) text_addf(basis, "copies %d\n", surface_copies(surface));
    for (size_t i = 0; i < s->art.count; i++)
        if (!proof_add_artwork(run, &s->art.placed[i], basis, error)) return false;
    proof_add_words(run, surface, basis);
    proof_add_bare(surface, basis);
    return true;
}

bool proof_basis(const struct run *run, const char **basis, char hex[65], struct error *error)
{
    struct text lines = text_new(run->arena);
    struct sha256 sha;
    text_addf(&lines, "lapstrake-proof/1\njob %s\n", run->job->number);
    for (size_t i = 0; i < run->surface_count; i++)
        if (!proof_add_surface(run, &run->surfaces[i], &lines, error)) return false;
    *basis = text_string(&lines);
    sha256_start(&sha);
    sha256_add(&sha, *basis, lines.length);
    sha256_finish(&sha, hex);
    return true;
}

/* ---- what it shows ---- */

static const char *why_bare(const struct feature *f)
{
    switch (feature_types[f->kind].film) {
    case FILM_ABSENT:
        return sentence_plain("proof-bare-nothing");
    case FILM_CUT_OUT:
        return sentence_plain("proof-bare-cut-out");
    case FILM_CUT_SHORT:
    case FILM_COVERS:
        break;
    }
    return sentence_plain("proof-bare-pane");
}

static void take_bare(const struct run *run, const struct surface *surface, struct proof_surface *into)
{
    struct proof_bare *bare = arena_take_array(run->arena, surface->feature_count, sizeof *bare);
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *f = &surface->features[i];
        if (proof_leaves_bare(f))
            bare[into->bare_count++] = (struct proof_bare){f->name ? f->name : feature_kind_name(f->kind),
                                                           feature_bare_box(f), why_bare(f)};
    }
    into->bare = bare;
}

static bool has_spot(const struct proof_surface *surface, const char *name)
{
    for (size_t i = 0; i < surface->spot_count; i++)
        if (string_equal(surface->spots[i], name)) return true;
    return false;
}

static void take_spots(const struct run *run, const struct surface_art *art, struct proof_surface *into)
{
    size_t capacity = 0;
    for (size_t i = 0; i < art->count; i++)
        for (size_t k = 0; k < art->placed[i].facts->spot_count; k++) {
            const char *name = art->placed[i].facts->spots[k];
            if (!has_spot(into, name))
                *(const char **)arena_append(run->arena, &into->spots, &into->spot_count, &capacity,
                                             sizeof *into->spots) = name;
        }
}

static bool take_surface(struct run *run, size_t i, struct proof_surface *into, struct error *error)
{
    const struct run_surface *s = &run->surfaces[i];
    const struct condition *condition = s->surface->condition;
    *into = (struct proof_surface){.plan = &run->plan->surfaces[i],
                                   .art = &s->art,
                                   .preview = s->art.count ? s->preview : NULL,
                                   .film = proof_film(condition),
                                   .laminate = proof_laminate(condition),
                                   .colours_known = step_profile(run, s->surface).length > 0};
    take_bare(run, s->surface, into);
    take_spots(run, &s->art, into);
    into->words = proof_fleet_words(run, s->surface->spec, &into->word_count);
    return proof_take_colours(run, s, into, error);
}

static bool has_proof_file(const struct proof *proof, const char *file)
{
    for (size_t i = 0; i < proof->file_count; i++)
        if (string_equal(proof->files[i].file, file)) return true;
    return false;
}

static bool take_files(struct run *run, struct proof *proof, struct error *error)
{
    size_t capacity = 0;
    for (size_t i = 0; i < run->surface_count; i++)
        for (size_t k = 0; k < run->surfaces[i].art.count; k++) {
            const struct placed_art *placed = &run->surfaces[i].art.placed[k];
            char hex[65];
            if (has_proof_file(proof, placed->spec->file)) continue;
            if (!printed_digest(run, placed, hex, error)) return false;
            struct proof_file *file =
                arena_append(run->arena, &proof->files, &proof->file_count, &capacity, sizeof *file);
            *file = (struct proof_file){placed->spec->file, placed->spec->revision,
                                        arena_copy_string(run->arena, hex)};
        }
    return true;
}

/* ---- versions ---- */

enum { PROOFS_MOST = 1 << 20 };

static const char *proofs_path(struct arena *arena, const char *out)
{
    return path_join(arena, out, "proofs.txt");
}

static bool proof_known_read(struct str line, struct arena *arena, struct proof_known *known)
{
    double version;
    size_t used = str_number(line, &version);
    if (!used || used >= line.length || version < 1) return false;
    struct str rest = str_trim(str_slice(line, used, line.length));
    known->version = (int64_t)version;
    return proof_letters_read(arena_copy(arena, rest.bytes, rest.length), known->letters);
}

struct proof_known *proofs_known(struct machine *machine, const char *out, struct arena *arena, size_t *count)
{
    struct str text;
    struct proof_known *known = NULL, one;
    size_t capacity = 0;
    const char *path = proofs_path(arena, out);
    *count = 0;
    if (!machine->status(machine, path).exists ||
        !machine_read(machine, path, PROOFS_MOST, arena, &text, NULL))
        return NULL;
    while (text.length) {
        const char *end = memchr(text.bytes, '\n', text.length);
        size_t length = end ? (size_t)(end - text.bytes) : text.length;
        if (proof_known_read(str_slice(text, 0, length), arena, &one))
            *(struct proof_known *)arena_append(arena, &known, count, &capacity, sizeof *known) = one;
        text = str_slice(text, end ? length + 1 : length, text.length);
    }
    return known;
}

/* Letters that the record has and OUT has lost count as versions too. */
static int64_t approved_versions(const struct run *run)
{
    int64_t count = 0;
    for (size_t i = 0; i < run->approval_count; i++) {
        bool first = true;
        for (size_t k = 0; k < i; k++)
            first = first && !string_equal(run->approvals[k].letters, run->approvals[i].letters);
        count += first;
    }
    return count;
}

static int64_t proof_version(const struct run *run, const char *letters)
{
    size_t count;
    const struct proof_known *known = proofs_known(run->machine, run->out, run->arena, &count);
    if (count && string_equal(known[count - 1].letters, letters)) return known[count - 1].version;
    int64_t made = count ? known[count - 1].version : 0, approved = approved_versions(run);
    bool last = run->approval_count && string_equal(run->approvals[run->approval_count - 1].letters, letters);
    if (!count && last) return approved;
    return (made > approved ? made : approved) + 1;
}

static bool proof_keep_version(struct run *run, const struct proof *proof, struct error *error)
{
    size_t count;
    struct text text = text_new(run->arena);
    const struct proof_known *known = proofs_known(run->machine, run->out, run->arena, &count);
    if (count && string_equal(known[count - 1].letters, proof->letters)) return true;
    for (size_t i = 0; i < count; i++)
        text_addf(&text, "%lld %s\n", (long long)known[i].version, known[i].letters);
    text_addf(&text, "%lld %s\n", (long long)proof->version, proof->letters);
    return machine_write(run->machine, proofs_path(run->arena, run->out),
                         (struct str){text_string(&text), text.length}, false, error);
}

/* ---- making and writing ---- */

bool proof_make(struct run *run, struct error *error)
{
    struct proof *proof = run->proof = arena_take(run->arena, sizeof *proof);
    *proof = (struct proof){.job = run->job, .zone = run->zone, .surface_count = run->surface_count};
    if (!proof_basis(run, &proof->basis, proof->fingerprint, error)) return false;
    proof_letters_of(proof->fingerprint, proof->letters);
    proof->version = proof_version(run, proof->letters);
    if (run->approval_count) proof->approval = &run->approvals[run->approval_count - 1];
    proof->surfaces = arena_take_array(run->arena, run->surface_count, sizeof *proof->surfaces);
    for (size_t i = 0; i < run->surface_count; i++) {
        progress_say(run->options.progress,
                     sentence_words(run->arena, "proof-surface",
                                    ARGUMENTS(arg_words("surface", run->surfaces[i].surface->name))),
                     (double)i, (double)run->surface_count);
        if (!take_surface(run, i, &proof->surfaces[i], error)) return false;
    }
    return take_files(run, proof, error);
}

bool proof_write(struct run *run, struct error *error)
{
    const struct proof *proof = run->proof;
    struct proof_paper paper = {.seams = run->options.seams,
                                .inches = run->job->inches,
                                .date = run->options.date,
                                .version = LAPSTRAKE_VERSION};
    const char *path = path_join(run->arena, run->out, "proof.pdf");
    if (!proof_paper_write(proof, &paper, run->machine, path, run->arena, error)) return false;
    step_written(run, path);
    return proof_keep_version(run, proof, error) && proof_keep_basis(run, proof, error);
}
