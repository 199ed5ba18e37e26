/* Sets the texts of surfaces and makes artwork of them. Called when a run opens, and before anything is rendered. */
#include "texts.h"
#include "art/art.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/text.h"
#include "draw/typeset.h"
#include "model/fleet.h"
#include "model/practice.h"
#include "pdf/vector.h"
#include "steps.h"
#include <math.h>
#include <string.h>

/* ---- fonts ---- */

static struct text_face *face_known(const struct run *run, const struct text_spec *text)
{
    for (size_t i = 0; i < run->face_count; i++)
        if (string_equal(run->faces[i].font, text->font) && string_equal(run->faces[i].path, text->font_path))
            return &run->faces[i];
    return NULL;
}

static void tell_no_font(struct run *run, const char *where, const struct text_spec *text,
                         const struct typeface_found *found)
{
    switch (found->trouble) {
    case TYPEFACE_FINE:
        break;
    case TYPEFACE_NO_FILE:
        finding_add(&run->findings, "font-missing", where, "font-file-is-no-font",
                    ARGUMENTS(arg_words("font", text->font), arg_words("path", text->font_path)));
        break;
    case TYPEFACE_NO_FAMILY:
        if (found->nearest)
            finding_add(&run->findings, "font-missing", where, "font-is-not-installed-nearest",
                        ARGUMENTS(arg_words("font", text->font), arg_words("more", found->nearest)));
        else
            finding_add(&run->findings, "font-missing", where, "font-is-not-installed",
                        ARGUMENTS(arg_words("font", text->font)));
        break;
    case TYPEFACE_NO_STYLE:
        finding_add(&run->findings, "font-missing", where, "font-has-no-such-style",
                    ARGUMENTS(arg_words("font", text->font), arg_words("more", found->nearest)));
        break;
    case TYPEFACE_NO_HEIGHT:
        finding_add(&run->findings, "glyph-missing", where, "font-has-no-capitals",
                    ARGUMENTS(arg_words("font", text->font)));
        break;
    }
}

/* Each font is opened, and refused, once. */
static struct typeface *face_open(struct run *run, const char *where, const struct text_spec *text)
{
    struct text_face *face = face_known(run, text);
    if (face) return face->typeface;
    struct typeface_found found;
    face = arena_append(run->arena, &run->faces, &run->face_count, &run->face_capacity, sizeof *face);
    *face = (struct text_face){text->font, text->font_path,
                               typeface_open(text->font, text->font_path, run->arena, &found)};
    if (!face->typeface) tell_no_font(run, where, text, &found);
    return face->typeface;
}

void texts_drop(struct run *run)
{
    for (size_t i = 0; i < run->face_count; i++) typeface_free(run->faces[i].typeface);
    run->face_count = 0;
}

/* ---- words ---- */

static const struct fleet_row *row_of(const struct run *run, size_t vehicle)
{
    return run->job->fleet ? &run->job->fleet->rows[vehicle] : NULL;
}

static const char *words_for(const struct run *run, const struct text_spec *text, size_t vehicle,
                             struct arena *arena)
{
    return fleet_words(run->job->fleet, row_of(run, vehicle), text->words, arena);
}

/* " on vehicle 204", " on vehicles 204, 205 and 12 more", or nothing where there is no fleet. */
struct vehicles_told {
    struct text names;
    size_t count;
};
enum { VEHICLES_TOLD = 4 };

static void told_add(const struct run *run, struct vehicles_told *told, size_t vehicle)
{
    const struct fleet_row *row = row_of(run, vehicle);
    told->count++;
    if (row && told->count <= VEHICLES_TOLD)
        text_addf(&told->names, "%s%s", told->count > 1 ? ", " : "", row->name);
}

static const char *told_words(const struct run *run, const struct text_spec *text, struct vehicles_told *told)
{
    if (!run->job->fleet || !fleet_words_differ(text->words)) return "";
    int64_t more = told->count > VEHICLES_TOLD ? (int64_t)(told->count - VEHICLES_TOLD) : 0;
    return sentence_words(
        run->arena, "on-vehicles",
        ARGUMENTS(
            arg_count("count", (int64_t)told->count), arg_words("names", text_string(&told->names)),
            arg_words("more", more ? arena_format(run->arena, " and %lld more", (long long)more) : "")));
}

/* ---- one text on all vehicles ---- */

struct text_judge {
    struct run *run;
    const struct surface *surface;
    const struct text_spec *text;
    struct vehicles_told without, longer, narrower; /* vehicles with letters missing, too long, narrowed */
    struct text missing;                            /* letters */
    double over_mm, narrowest_percent;
    struct rect box;
};

static void judge_set(struct text_judge *j, const struct typeset *set, size_t vehicle)
{
    j->box = rect_is_empty(j->box)     ? set->box
             : rect_is_empty(set->box) ? j->box
                                       : rect_union(j->box, set->box);
    if (*set->missing) told_add(j->run, &j->without, vehicle);
    if (*set->missing && !strstr(text_string(&j->missing), set->missing)) text_add(&j->missing, set->missing);
    if (set->over_mm > 0) told_add(j->run, &j->longer, vehicle);
    if (set->over_mm <= 0 && set->narrowed_percent < 100) told_add(j->run, &j->narrower, vehicle);
    j->over_mm = fmax(j->over_mm, set->over_mm);
    j->narrowest_percent = fmin(j->narrowest_percent, set->narrowed_percent);
}

static void tell_with_box(struct text_judge *j, struct finding *finding)
{
    finding->has_box = !rect_is_empty(j->box), finding->box = j->box;
    finding->about = j->text->words;
}

static void judge_tell(struct text_judge *j)
{
    struct findings *findings = &j->run->findings;
    const char *where = j->surface->name;
    struct measure least = practice_value("text-least");
    if (j->without.count)
        tell_with_box(
            j, finding_add(findings, "glyph-missing", where, "glyph-missing",
                           ARGUMENTS(arg_words("words", j->text->words), arg_words("font", j->text->font),
                                     arg_words("letters", text_string(&j->missing)),
                                     arg_words("vehicles", told_words(j->run, j->text, &j->without)))));
    if (j->longer.count)
        tell_with_box(
            j, finding_add(findings, "text-long", where, "text-long",
                           ARGUMENTS(arg_words("words", j->text->words), arg_fixed("over_mm", j->over_mm, 0),
                                     arg_number("width_mm", j->text->width_mm),
                                     arg_number("narrowest", j->text->narrowest_percent),
                                     arg_words("vehicles", told_words(j->run, j->text, &j->longer)))));
    if (j->narrower.count)
        tell_with_box(
            j, finding_add(findings, "text-narrowed", where, "text-narrowed",
                           ARGUMENTS(arg_words("words", j->text->words),
                                     arg_fixed("percent", j->narrowest_percent, 0),
                                     arg_words("vehicles", told_words(j->run, j->text, &j->narrower)))));
    if (j->text->height_mm >= least.value) return;
    struct finding *small =
        finding_add(findings, "text-small", where, "text-small",
                    ARGUMENTS(arg_words("words", j->text->words), arg_number("height_mm", j->text->height_mm),
                              arg_number("least_mm", least.value)));
    tell_with_box(j, small);
    small->source = least.source;
}

/* Sets one text on every vehicle, for its boxes and what is wrong; the outlines are not kept. */
static struct rect text_measure(struct run *run, const struct surface *surface, const struct text_spec *text,
                                struct typeface *typeface, size_t vehicles)
{
    struct text_judge judge = {.run = run, .surface = surface, .text = text, .narrowest_percent = 100};
    judge.without.names = judge.longer.names = judge.narrower.names = judge.missing = text_new(run->arena);
    size_t count = fleet_words_differ(text->words) ? vehicles : 1;
    for (size_t v = 0; v < count; v++) {
        struct arena *scratch = arena_new(run->machine);
        struct typeset set;
        typeset_words(typeface, text, words_for(run, text, v, scratch), scratch, &set);
        judge_set(&judge, &set, v);
        arena_free(scratch);
    }
    judge_tell(&judge);
    return judge.box;
}

/* ---- the page ---- */

static struct rect page_media(const struct surface *surface)
{
    struct rect bleed = surface_bleed_box(surface);
    return rect_union(bleed, (struct rect){0, 0, surface->width_mm, surface->height_mm});
}

static struct pdf_vector page_for_vehicle(const struct run *run, const struct run_surface *s, size_t vehicle,
                                          struct arena *arena)
{
    const struct surface_spec *spec = s->surface->spec;
    struct pdf_fill *fills = arena_take_array(arena, spec->text_count, sizeof *fills);
    for (size_t i = 0; i < spec->text_count; i++) {
        const struct text_spec *text = &spec->texts[i];
        struct text path = text_new(arena);
        struct typeset set;
        if (s->texts->faces[i]) {
            typeset_words(s->texts->faces[i], text, words_for(run, text, vehicle, arena), arena, &set);
            path_operators(&set.outline, &path);
        }
        fills[i] = (struct pdf_fill){.path = {text_string(&path), path.length}, .spot = text->spot};
        memcpy(fills[i].cmyk_percent, text->colour_percent, sizeof text->colour_percent);
    }
    return (struct pdf_vector){.media = page_media(s->surface),
                               .trim = {0, 0, s->surface->width_mm, s->surface->height_mm},
                               .fills = fills,
                               .fill_count = spec->text_count};
}

/* ---- as artwork ---- */

static void facts_add_spots(const struct surface_spec *spec, struct arena *arena, struct artwork_facts *facts)
{
    facts->spots = arena_take_array(arena, spec->text_count, sizeof *facts->spots);
    for (size_t i = 0; i < spec->text_count; i++) {
        size_t k = 0;
        while (k < facts->spot_count && !string_equal(facts->spots[k], spec->texts[i].spot)) k++;
        if (spec->texts[i].spot && k == facts->spot_count)
            facts->spots[facts->spot_count++] = spec->texts[i].spot;
        facts->uses_cmyk |= !spec->texts[i].spot;
    }
}

/* What pdf_facts_load would find in the file, and the words, which no outline tells. */
static struct artwork_facts *facts_of_texts(const struct run *run, const struct run_surface *s)
{
    const struct surface_spec *spec = s->surface->spec;
    struct artwork_facts *facts = arena_take(run->arena, sizeof *facts);
    struct rect media = page_media(s->surface);
    *facts = (struct artwork_facts){.kind = ARTWORK_PDF,
                                    .media_mm = media,
                                    .bleed_mm = media,
                                    .trim_mm = {0, 0, s->surface->width_mm, s->surface->height_mm},
                                    .page_count = 1};
    facts_add_spots(spec, run->arena, facts);
    facts->lines = arena_take_array(run->arena, spec->text_count, sizeof *facts->lines);
    for (size_t i = 0; i < spec->text_count; i++)
        if (!rect_is_empty(s->texts->boxes[i]))
            facts->lines[facts->line_count++] =
                (struct text_line){.box = s->texts->boxes[i],
                                   .height_mm = spec->texts[i].height_mm,
                                   .words = words_for(run, &spec->texts[i], 0, run->arena)};
    return facts;
}

/* What the words of all vehicles are: it stands on papers, and another one makes another plan. */
static const char *texts_revision(const struct run *run, const struct surface_texts *texts, uint64_t page)
{
    const struct fleet *fleet = run->job->fleet;
    uint64_t hash = hash_bytes(page, texts->words, texts->vehicle_count * sizeof *texts->words);
    for (size_t v = 0; fleet && v < fleet->row_count; v++)
        hash = hash_bytes(hash, fleet->rows[v].id, strlen(fleet->rows[v].id) + 1);
    return arena_format(run->arena, "%08x", (unsigned)(hash >> 32));
}

static void texts_add_artwork(struct run *run, struct run_surface *s)
{
    struct arena *scratch = arena_new(run->machine);
    struct pdf_vector page = page_for_vehicle(run, s, 0, scratch);
    uint64_t print = pdf_vector_fingerprint(&page);
    arena_free(scratch);
    struct artwork_spec *spec = arena_take(run->arena, sizeof *spec);
    const char *name = arena_format(run->arena, "cache/text-%s-%08x%08x.pdf", s->surface->id,
                                    (unsigned)(print >> 32), (unsigned)print);
    *spec = (struct artwork_spec){.file = sentence_plain("text-of-the-job"),
                                  .path = path_join(run->arena, run->out, name),
                                  .place = s->surface->spec->texts[0].place,
                                  .page = 1,
                                  .scale = 1,
                                  .has_at = true,
                                  .revision = texts_revision(run, s->texts, print)};
    struct placed_art *placed = arena_take_array(run->arena, s->art.count + 1, sizeof *placed);
    memcpy(placed, s->art.placed, s->art.count * sizeof *placed);
    placed[s->art.count] = art_place(s->surface, spec, facts_of_texts(run, s));
    placed[s->art.count].file_hash = print;
    s->art.placed = placed, s->art.count++;
}

/* ---- a surface ---- */

static uint64_t words_differing(const struct run *run, const struct surface_spec *spec, size_t vehicle)
{
    struct arena *scratch = arena_new(run->machine);
    uint64_t hash = HASH_START;
    for (size_t i = 0; i < spec->text_count; i++) {
        if (!fleet_words_differ(spec->texts[i].words)) continue;
        const char *words = words_for(run, &spec->texts[i], vehicle, scratch);
        hash = hash_bytes(hash, words, strlen(words) + 1);
    }
    arena_free(scratch);
    return hash;
}

static void texts_compare(const struct run *run, const struct surface_spec *spec, struct surface_texts *texts)
{
    for (size_t v = 0; v < texts->vehicle_count; v++) {
        texts->words[v] = words_differing(run, spec, v);
        texts->like[v] = 0;
        while (texts->words[texts->like[v]] != texts->words[v]) texts->like[v]++;
    }
}

static struct surface_texts *texts_new(struct run *run, const struct surface *surface)
{
    const struct surface_spec *spec = surface->spec;
    struct surface_texts *texts = arena_take(run->arena, sizeof *texts);
    texts->vehicle_count = run->job->fleet ? run->job->fleet->row_count : 1;
    texts->faces = arena_take_array(run->arena, spec->text_count, sizeof *texts->faces);
    texts->boxes = arena_take_array(run->arena, spec->text_count, sizeof *texts->boxes);
    texts->words = arena_take_array(run->arena, texts->vehicle_count, sizeof *texts->words);
    texts->like = arena_take_array(run->arena, texts->vehicle_count, sizeof *texts->like);
    texts_compare(run, spec, texts);
    for (size_t i = 0; i < spec->text_count; i++) {
        texts->faces[i] = face_open(run, surface->name, &spec->texts[i]);
        if (texts->faces[i])
            texts->boxes[i] =
                text_measure(run, surface, &spec->texts[i], texts->faces[i], texts->vehicle_count);
    }
    return texts;
}

/* ---- which surface a text is on ---- */

/* Within the letter at its `at`, half as high as a capital. */
static struct point text_place(const struct text_spec *text)
{
    double aside = text->align == TEXT_LEFT ? 0.2 : text->align == TEXT_RIGHT ? -0.2 : 0;
    return (struct point){text->at_mm.x + aside * text->height_mm, text->at_mm.y + text->height_mm / 2};
}

/* The last piece there, which lies over the others; else the surface itself. */
static const struct surface *text_bearer(const struct run *run, const struct surface *host,
                                         const struct text_spec *text)
{
    for (size_t i = run->surface_count; i-- > 0;) {
        const struct surface *piece = run->surfaces[i].surface;
        if (piece->host == host && region_contains(&piece->covered, text_place(text))) return piece;
    }
    return host;
}

/* Leaves the surface, or gives the piece, the texts that are on it. */
static void texts_share(struct run *run, struct surface *surface)
{
    const struct surface *host = surface->host ? surface->host : surface;
    if (!host->spec->text_count || (!surface->host && !surface->spec->piece_count)) return;
    struct surface_spec *spec = arena_take(run->arena, sizeof *spec);
    struct text_spec *texts = arena_take_array(run->arena, host->spec->text_count, sizeof *texts);
    *spec = *surface->spec;
    spec->texts = texts, spec->text_count = 0;
    for (size_t i = 0; i < host->spec->text_count; i++)
        if (text_bearer(run, host, &host->spec->texts[i]) == surface)
            texts[spec->text_count++] = host->spec->texts[i];
    surface->spec = spec;
}

static bool texts_set_on(struct run *run, struct run_surface *s, struct error *error)
{
    const struct surface_spec *spec = s->surface->spec;
    if (!spec->text_count) return true;
    if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
    s->texts = texts_new(run, s->surface);
    if (!spec->artwork_count && !spec->bears_pieces && spec->cover.kind == COVER_ALL)
        finding_add(&run->findings, "text-alone", s->surface->name, "text-alone", NULL);
    texts_add_artwork(run, s);
    return true;
}

bool texts_set(struct run *run, struct error *error)
{
    for (size_t i = run->surface_count; i-- > 0;) /* pieces, which stand last, before what they lie on */
        texts_share(run, run->surfaces[i].surface);
    for (size_t i = 0; i < run->surface_count; i++)
        if (!texts_set_on(run, &run->surfaces[i], error)) return false;
    return true;
}

/* ---- files ---- */

static bool is_wanted_text(const struct run *run, const char *name)
{
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct run_surface *s = &run->surfaces[i];
        if (s->texts && s->art.count &&
            string_equal(path_name(s->art.placed[s->art.count - 1].spec->path), name))
            return true;
    }
    return false;
}

/* Of words of before. */
static void remove_old_texts(struct run *run)
{
    struct machine *m = run->machine;
    const char *folder = path_join(run->arena, run->out, "cache"), **names;
    if (run->lock < 0 || !m->list_folder(m, folder, run->arena, &names, NULL)) return;
    for (; *names; names++)
        if (str_starts(str_from(*names), "text-") && !is_wanted_text(run, *names))
            m->remove_file(m, path_join(run->arena, folder, *names), NULL);
}

static bool text_write(struct run *run, struct run_surface *s, struct error *error)
{
    struct placed_art *placed = &s->art.placed[s->art.count - 1];
    struct machine *m = run->machine;
    bool ok = true;
    if (!m->status(m, placed->spec->path).exists) {
        struct arena *scratch = arena_new(m);
        struct pdf_vector page = page_for_vehicle(run, s, 0, scratch);
        ok = pdf_vector_write(m, &page, placed->spec->path, scratch, error);
        arena_free(scratch);
    }
    placed->seen = m->status(m, placed->spec->path);
    return ok;
}

static bool has_text_file(const struct run_surface *s)
{
    return s->texts && s->art.count;
}

bool texts_are_written(const struct run *run)
{
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct run_surface *s = &run->surfaces[i];
        if (has_text_file(s) &&
            !run->machine->status(run->machine, s->art.placed[s->art.count - 1].spec->path).exists)
            return false;
    }
    return true;
}

bool texts_write(struct run *run, struct error *error)
{
    for (size_t i = 0; i < run->surface_count; i++)
        if (has_text_file(&run->surfaces[i]) && !text_write(run, &run->surfaces[i], error)) return false;
    remove_old_texts(run);
    return true;
}

/* ---- one vehicle's ---- */

static bool text_of_vehicle(struct run *run, const struct run_surface *s, size_t vehicle,
                            struct placed_art *placed, struct error *error)
{
    const struct placed_art *first = &s->art.placed[s->art.count - 1];
    *placed = *first;
    if (!vehicle) return true;
    struct artwork_spec *spec = arena_take(run->arena, sizeof *spec);
    const char *name = arena_format(run->arena, "cache/text-%s-vehicle-%zu.pdf", s->surface->id, vehicle + 1);
    *spec = *first->spec;
    spec->path = path_join(run->arena, run->out, name);
    placed->spec = spec;
    struct arena *scratch = arena_new(run->machine);
    struct pdf_vector page = page_for_vehicle(run, s, vehicle, scratch);
    bool ok = pdf_vector_write(run->machine, &page, spec->path, scratch, error);
    placed->file_hash = pdf_vector_fingerprint(&page);
    arena_free(scratch);
    return ok;
}

bool texts_for_vehicles(struct run *run, const struct run_surface *s, const size_t *vehicles, size_t count,
                        struct surface_art *art, struct error *error)
{
    size_t alike = s->art.count - 1;
    art->placed = arena_take_array(run->arena, alike + count, sizeof *art->placed);
    memcpy(art->placed, s->art.placed, alike * sizeof *art->placed);
    art->count = alike;
    bool ok = true;
    for (size_t i = 0; ok && i < count; i++)
        ok = text_of_vehicle(run, s, vehicles[i], &art->placed[art->count++], error);
    if (!ok) texts_drop_vehicles(run, s, art);
    return ok;
}

void texts_drop_vehicles(struct run *run, const struct run_surface *s, const struct surface_art *art)
{
    const char *first = s->art.placed[s->art.count - 1].spec->path;
    for (size_t i = s->art.count - 1; i < art->count; i++)
        if (art->placed[i].spec->path != first)
            run->machine->remove_file(run->machine, art->placed[i].spec->path, NULL);
}
