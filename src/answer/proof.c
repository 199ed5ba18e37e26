/* Writes a proof as JSON. Called by cli, for OUT/proof.json and `--json`. */
#include "answer/answer.h"
#include "base/json.h"
#include "base/sentence.h"
#include "model/proof.h"
#include "run/run.h"

static void proof_box_json(struct json *json, const struct rect *r)
{
    const double ends[] = {r->x0, r->y0, r->x1, r->y1};
    json_numbers(json, "box_mm", ends, 4, 1);
}

static void proof_colours_json(struct json *json, const struct proof_surface *s)
{
    json_open_list(json, "colours");
    for (size_t i = 0; i < s->colour_count; i++) {
        const struct proof_colour *c = &s->colours[i];
        const double at[] = {c->at.x, c->at.y}, rgb[] = {c->rgb[0], c->rgb[1], c->rgb[2]};
        json_open_object_inline(json, NULL);
        json_numbers(json, "cmyk_percent", c->percent, PROCESS_INKS, 0);
        json_number(json, "share_percent", c->share_percent, 1);
        json_numbers(json, "at_mm", at, 2, 0);
        json_numbers(json, "shown_rgb", rgb, 3, 0);
        json_close(json);
    }
    json_close(json);
    json_open_list_inline(json, "spots");
    for (size_t i = 0; i < s->spot_count; i++) json_string(json, NULL, s->spots[i]);
    json_close(json);
}

static void proof_lettering_json(struct json *json, const struct proof_surface *s)
{
    json_open_list(json, "lettering");
    for (size_t i = 0; i < s->plan->lettering_count; i++) {
        const struct lettering *l = &s->plan->letterings[i];
        bool named = l->words && *l->words;
        json_open_object_inline(json, NULL);
        json_string(json, "words", named ? l->words : NULL);
        json_bool(json, "drawn_as_shapes", !named);
        proof_box_json(json, &l->box);
        json_close(json);
    }
    json_close(json);
}

static void proof_vehicles_json(struct json *json, const struct proof_surface *s)
{
    if (!s->word_count) return;
    json_open_list(json, "vehicles");
    for (size_t i = 0; i < s->word_count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "vehicle", s->words[i].vehicle);
        json_string(json, "words", s->words[i].words);
        json_close(json);
    }
    json_close(json);
}

static void proof_bare_json(struct json *json, const struct proof_surface *s)
{
    json_open_list(json, "not_covered");
    for (size_t i = 0; i < s->bare_count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "name", s->bare[i].name);
        proof_box_json(json, &s->bare[i].box);
        json_string(json, "why", s->bare[i].why);
        json_close(json);
    }
    json_close(json);
}

static void proof_surface_json(struct json *json, const struct proof_surface *s)
{
    const struct surface *surface = s->plan->surface;
    json_open_object(json, NULL);
    json_string(json, "name", surface->name);
    json_number(json, "width_mm", surface->width_mm, 1);
    json_number(json, "height_mm", surface->height_mm, 1);
    json_string(json, "film", s->film);
    json_string(json, "laminate", s->laminate);
    json_bool(json, "artwork", s->art->count > 0);
    json_bool(json, "colours_known", s->colours_known);
    proof_colours_json(json, s);
    proof_lettering_json(json, s);
    proof_vehicles_json(json, s);
    proof_bare_json(json, s);
    json_close(json);
}

static void proof_files_json(struct json *json, const struct proof *proof)
{
    json_open_list(json, "files");
    for (size_t i = 0; i < proof->file_count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "file", proof->files[i].file);
        json_string(json, "revision", proof->files[i].revision);
        json_string(json, "sha256", proof->files[i].sha256);
        json_close(json);
    }
    json_close(json);
}

/* All that can be read as words, in the order of the surfaces. */
static void proof_words_json(struct json *json, const struct proof *proof)
{
    json_open_list(json, "lettering");
    for (size_t i = 0; i < proof->surface_count; i++)
        for (size_t k = 0; k < proof->surfaces[i].plan->lettering_count; k++) {
            const char *words = proof->surfaces[i].plan->letterings[k].words;
            if (words && *words) json_string(json, NULL, words);
        }
    json_close(json);
}

static void proof_approval_json(struct json *json, const struct proof *proof)
{
    const struct proof_approval *a = proof->approval;
    if (!a) {
        json_null(json, "approved");
        return;
    }
    json_open_object_inline(json, "approved");
    json_string(json, "letters", a->letters);
    json_string(json, "how", a->how);
    json_string(json, "who", a->who);
    json_string(json, "at", zone_iso(proof->zone, a->at, json->out->arena));
    json_close(json);
}

void answer_proof(const struct proof *proof, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-proof/1");
    json_string(&json, "job", proof->job->number);
    json_string(&json, "title", proof->job->title);
    json_whole(&json, "version", proof->version);
    json_string(&json, "letters", proof->letters);
    json_string(&json, "fingerprint", proof->fingerprint);
    json_string(&json, "basis", proof->basis);
    proof_approval_json(&json, proof);
    proof_files_json(&json, proof);
    proof_words_json(&json, proof);
    json_open_list(&json, "surfaces");
    for (size_t i = 0; i < proof->surface_count; i++) proof_surface_json(&json, &proof->surfaces[i]);
    json_close(&json);
    json_close(&json);
}

bool answer_write_proof(struct run *run, struct error *error)
{
    struct text text = text_new(run->arena);
    answer_proof(run->proof, &text);
    return run_write_file(run, "proof.json", (struct str){text_string(&text), text.length}, error);
}
