/* Writes what the page's editor needs of a job and its shop as JSON: keys, the file as written, surfaces,
 * printing conditions. Called by web. */
#include "answer/answer.h"
#include "base/json.h"
#include "base/path.h"
#include "job/edit.h"
#include "job/job.h"
#include "run/desk.h"
#include "run/run.h"

/* ---- the schema ---- */

static void key_json(struct json *json, const struct job_key *key)
{
    json_open_object_inline(json, NULL);
    json_string(json, "group", key->group);
    json_string(json, "name", key->name);
    json_string(json, "form", key->form);
    json_bool(json, "required", key->required);
    if (key->ranged) json_number(json, "least", key->least, 6);
    if (key->ranged) json_number(json, "most", key->most, 6);
    json_string(json, "range", key->range);
    json_string(json, "usual", key->usual);
    json_string(json, "help", key->help);
    if (!key->choices) {
        json_null(json, "choices");
    } else {
        json_open_list_inline(json, "choices");
        for (const char *const *at = key->choices; *at; at++)
            if (**at) json_string(json, NULL, *at);
        json_close(json);
    }
    json_close(json);
}

static void kind_json(struct json *json, enum feature_kind kind)
{
    const struct feature_type *type = &feature_types[kind];
    json_open_object(json, NULL);
    json_string(json, "name", feature_kind_name(kind));
    json_string(json, "help", type->help);
    json_string(json, "film", feature_film_words(kind));
    json_string(json, "seams", feature_seams_words(kind));
    json_string(json, "list", type->of_artwork ? "keep-whole" : "features");
    json_string(json, "form", type->is_line ? "line" : "box");
    json_open_list(json, "keys");
    for (const struct feature_key *key = type->keys; key->name; key++) {
        if (type->is_line && string_equal(key->name, "line")) continue; /* its place has fields of its own */
        json_open_object_inline(json, NULL);
        json_string(json, "name", key->name);
        json_string(json, "words", key->words);
        json_string(json, "example", key->example);
        json_bool(json, "needed", key->needed);
        json_close(json);
    }
    json_close(json);
    json_close(json);
}

void answer_keys(struct text *out)
{
    struct json json = json_new(out);
    struct job_key key;
    json_open_object(&json, NULL);
    json_open_list(&json, "keys");
    for (size_t i = 0; job_key_at(i, out->arena, &key); i++) key_json(&json, &key);
    json_close(&json);
    json_open_list(&json, "kinds");
    for (int kind = 0; kind < FEATURE_COUNT; kind++) kind_json(&json, (enum feature_kind)kind);
    json_close(&json);
    json_close(&json);
}

bool answer_written(struct str yaml, const char *fingerprint, struct text *out, struct error *error)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "fingerprint", fingerprint);
    if (!job_written_json(yaml, out->arena, &json, "tree", error)) return false;
    json_close(&json);
    return true;
}

/* ---- surfaces ---- */

static void ring_place_words(struct text *path, char command, struct point place)
{
    text_add_char(path, command);
    text_add_number(path, place.x, 1);
    text_add_char(path, ' ');
    text_add_number(path, place.y, 1);
}

static void ring_words(struct text *path, const struct polygon *ring)
{
    for (size_t i = 0; i < ring->count; i++) ring_place_words(path, i ? 'L' : 'M', ring->points[i]);
    if (ring->count) text_add_char(path, 'Z');
}

static void rings_words_json(struct json *json, const char *key, const struct polygon *rings, size_t count)
{
    struct text path = text_new(json->out->arena);
    for (size_t i = 0; i < count; i++) ring_words(&path, &rings[i]);
    json_string(json, key, count ? text_string(&path) : NULL);
}

/* The lines in which the rings end film within the surface: what runs along its outline is left out. */
static void inner_edge_json(struct json *json, const char *key, const struct surface *surface)
{
    static const double near_mm = 0.15;
    const struct region *covered = &surface->covered, outline = {(struct polygon *)&surface->outline, 1};
    struct text path = text_new(json->out->arena);
    bool any = false;
    for (size_t r = 0; r < covered->count; r++) {
        const struct polygon *ring = &covered->rings[r];
        bool on = false;
        for (size_t i = 0; i < ring->count; i++) {
            struct point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
            if (region_distance(&outline, (struct point){(a.x + b.x) / 2, (a.y + b.y) / 2}) > near_mm) {
                if (!on) ring_place_words(&path, 'M', a);
                ring_place_words(&path, 'L', b);
                on = any = true;
            } else
                on = false;
        }
    }
    json_string(json, key, any ? text_string(&path) : NULL);
}

static void four_json(struct json *json, const char *key, double a, double b, double c, double d)
{
    json_numbers(json, key, (const double[]){a, b, c, d}, 4, 1);
}

/* Where job.yaml has the feature; NULL when another file has it. `nth` counts those of its list. */
static const char *path_of_feature(const struct run *run, const struct surface *surface,
                                   const struct feature *feature, size_t nth[2], struct arena *arena)
{
    bool whole = feature_types[feature->kind].of_artwork;
    if (surface->piece || !string_equal(feature->place.file, path_name(run->job->file))) return NULL;
    return arena_format(arena, "surfaces.%s.%s.%zu", surface->name, whole ? "keep-whole" : "features",
                        nth[whole]++);
}

/* All that are on the vehicle, covered or not; of a piece those that it lies on. */
static void features_json(struct json *json, const struct run *run, const struct surface *surface)
{
    size_t nth[2] = {0, 0}, count = surface->piece ? surface->feature_count : surface->told_count;
    json_open_list(json, "features");
    for (size_t i = 0; i < count; i++) {
        const struct feature *f = surface->piece ? &surface->features[i] : &surface->told[i];
        json_open_object_inline(json, NULL);
        json_string(json, "kind", feature_kind_name(f->kind));
        json_string(json, "name", f->name);
        if (feature_types[f->kind].is_line)
            four_json(json, "line_mm", f->from.x, f->from.y, f->to.x, f->to.y);
        else
            four_json(json, "box_mm", f->box.x0, f->box.y0, f->box.x1, f->box.y1);
        json_string(json, "path", path_of_feature(run, surface, f, nth, json->out->arena));
        json_close(json);
    }
    json_close(json);
}

/* ---- what has a shape ---- */

/* Where job.yaml has the piece; NULL when another file has it, or when it is the other side's of one. */
static const char *path_of_piece(const struct run *run, const struct surface *surface, struct arena *arena)
{
    if (!surface->host || !surface->host->spec) return NULL;
    const struct surface_spec *host = surface->host->spec;
    if (!string_equal(surface->piece->place.file, path_name(run->job->file))) return NULL;
    for (size_t i = 0; i < host->piece_count; i++)
        if (&host->pieces[i] == surface->piece)
            return arena_format(arena, "surfaces.%s.pieces.%zu", surface->host->name, i);
    return NULL;
}

/* The line of a covered region that is said by one number, which may be moved. */
static void cover_line_json(struct json *json, const struct run *run, const struct surface *surface)
{
    const struct cover_spec *cover = &surface->spec->cover;
    bool line = cover->kind == COVER_BEHIND || cover->kind == COVER_BEFORE;
    if (surface->piece || !line || !string_equal(cover->place.file, path_name(run->job->file))) return;
    json_open_object_inline(json, "cover_line");
    json_number(json, "at_mm", cover->at_mm, 1);
    json_bool(json, "upright", surface->front == FRONT_LEFT || surface->front == FRONT_RIGHT);
    json_string(json, "path",
                arena_format(json->out->arena, "surfaces.%s.cover.%s", surface->name,
                             cover->kind == COVER_BEHIND ? "behind" : "before"));
    json_close(json);
}

/* What of it film covers, along what it is cut; of a piece also where it lies, and where that is written. */
static void shape_place_json(struct json *json, const struct run *run, const struct surface *surface)
{
    const struct region *covered = &surface->covered, *cut = &surface->cut;
    rings_words_json(json, "covered", covered->rings, covered->count);
    inner_edge_json(json, "edge", surface);
    rings_words_json(json, "cut", cut->rings, surface->contour_cut ? cut->count : 0);
    json_string(json, "host", surface->host ? surface->host->name : NULL);
    cover_line_json(json, run, surface);
    if (!surface->piece) return;
    struct rect box = surface_size_box(surface);
    json_numbers(json, "at_mm", (const double[]){surface->piece->at_mm.x, surface->piece->at_mm.y}, 2, 1);
    four_json(json, "box_mm", box.x0, box.y0, box.x1, box.y1);
    json_string(json, "path", path_of_piece(run, surface, json->out->arena));
}

static void surface_json(struct json *json, const struct run *run, size_t number, const char *preview)
{
    const struct run_surface *s = &run->surfaces[number];
    const struct surface *surface = s->surface;
    json_open_object(json, NULL);
    json_string(json, "name", surface->name);
    json_whole(json, "number", (int64_t)number);
    json_number(json, "width_mm", surface->width_mm, 1);
    json_number(json, "height_mm", surface->height_mm, 1);
    json_string(json, "front", front_name(surface->front));
    rings_words_json(json, "outline", &surface->outline, 1);
    shape_place_json(json, run, surface);
    if (s->preview) {
        const struct rect *box = &s->preview->box;
        json_string(json, "preview", preview);
        four_json(json, "preview_mm", box->x0, box->y0, box->x1, box->y1);
    } else {
        json_null(json, "preview");
        json_null(json, "preview_mm");
    }
    features_json(json, run, surface);
    json_close(json);
}

void answer_surfaces(struct json *json, const struct run *run, const char *const *previews)
{
    json_open_list(json, "surfaces");
    for (size_t i = 0; i < run->surface_count; i++) surface_json(json, run, i, previews[i]);
    json_close(json);
}

/* ---- printing conditions ---- */

static void condition_json(struct json *json, const struct shop_condition *found)
{
    const struct condition *c = found->condition;
    json_open_object(json, NULL);
    json_string(json, "name", c->name);
    json_string(json, "printer", c->printer->name);
    json_string(json, "film", c->film->name);
    json_string(json, "laminate", c->laminate ? c->laminate->name : NULL);
    json_string(json, "ink", c->ink->name);
    json_string(json, "mode", c->mode);
    json_string(json, "intent", intent_name(c->intent));
    json_number(json, "ink_limit_percent", c->ink_limit_percent.value, 0);
    json_bool(json, "ink_limit_usual", !measure_is_written(c->ink_limit_percent));
    json_string(json, "profile", found->profile);
    json_string(json, "profile_fingerprint", found->profile_fingerprint);
    answer_findings(json, &found->findings);
    json_close(json);
}

static void names_json(struct json *json, const char *key, const struct film *films, size_t count)
{
    json_open_list(json, key);
    for (size_t i = 0; i < count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "name", films[i].name);
        json_open_list_inline(json, "widths_mm");
        for (size_t k = 0; k < films[i].width_count; k++) json_number(json, NULL, films[i].widths_mm[k], 1);
        json_close(json);
        json_close(json);
    }
    json_close(json);
}

void answer_goods(struct json *json, const struct shop *shop)
{
    names_json(json, "films", shop ? shop->films : NULL, shop ? shop->film_count : 0);
    names_json(json, "laminates", shop ? shop->laminates : NULL, shop ? shop->laminate_count : 0);
    json_open_list_inline(json, "inks");
    for (size_t i = 0; shop && i < shop->ink_count; i++) json_string(json, NULL, shop->inks[i].name);
    json_close(json);
}

void answer_conditions(const struct shop_conditions *shop, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "trouble", shop->trouble);
    json_open_list(&json, "conditions");
    for (size_t i = 0; i < shop->count; i++) condition_json(&json, &shop->items[i]);
    json_close(&json);
    json_close(&json);
}
