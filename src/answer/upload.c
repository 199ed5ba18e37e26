/* Describes an uploaded artwork file as JSON before it is placed on a surface. Called by web. */
#include "answer/answer.h"
#include "base/arena.h"
#include "base/json.h"
#include "run/upload.h"

static void rect_or_null(struct json *json, const char *key, struct rect r)
{
    if (rect_is_empty(r)) {
        json_null(json, key);
        return;
    }
    json_numbers(json, key, (const double[]){r.x0, r.y0, r.x1, r.y1}, 4, 3);
}

static void number_or_null(struct json *json, const char *key, double value)
{
    if (value > 0)
        json_number(json, key, value, 3);
    else
        json_null(json, key);
}

/* The colours of a PDF's page, in words. */
static const char *page_colours(const struct artwork_facts *f, struct arena *arena)
{
    const char *const names[] = {f->uses_cmyk ? "CMYK" : NULL, f->uses_rgb ? "RGB" : NULL,
                                 f->uses_lab ? "LAB" : NULL, f->spot_count ? "spot" : NULL};
    struct text words = text_new(arena);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (names[i]) text_addf(&words, "%s%s", words.length ? ", " : "", names[i]);
    return words.length ? text_string(&words) : NULL;
}

static const char *colours(const struct artwork_facts *f, struct arena *arena)
{
    static const char *const names[] = {"GREY", "RGB", "CMYK", "LAB", "SPOT", "OTHER"};
    return f->kind == ARTWORK_PDF ? page_colours(f, arena) : names[f->colour];
}

static void sizes_json(struct json *json, const struct artwork_facts *f)
{
    number_or_null(json, "width_mm", rect_width(f->trim_mm));
    number_or_null(json, "height_mm", rect_height(f->trim_mm));
    rect_or_null(json, "trim_mm", f->trim_mm);
    rect_or_null(json, "bleed_mm", f->bleed_mm);
    rect_or_null(json, "media_mm", f->media_mm);
    number_or_null(json, "width_px", f->width_px);
    number_or_null(json, "height_px", f->height_px);
    number_or_null(json, "x_ppi", f->x_ppi);
    number_or_null(json, "y_ppi", f->y_ppi);
    number_or_null(json, "bits", f->bits);
}

static void facts_json(struct json *json, const char *file, const struct artwork_facts *f,
                       struct arena *arena)
{
    static const char *const kinds[] = {"PDF", "TIFF", "JPEG", "PNG"};
    bool usable = f->state == ARTWORK_FINE;
    json_string(json, "file", file);
    json_string(json, "kind", f->state == ARTWORK_DAMAGED ? NULL : kinds[f->kind]);
    json_bool(json, "usable", usable);
    json_string(json, "trouble", usable ? NULL : f->trouble);
    number_or_null(json, "pages", f->page_count);
    sizes_json(json, f);
    json_string(json, "colour", usable ? colours(f, arena) : NULL);
    json_bool(json, "profile", f->tagged);
    json_string(json, "output_intent", f->output_intent);
    json_open_list_inline(json, "spots");
    for (size_t i = 0; i < f->spot_count; i++) json_string(json, NULL, f->spots[i]);
    json_close(json);
}

void answer_upload(const struct upload_facts *upload, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    facts_json(&json, upload->file, &upload->artwork, out->arena);
    answer_findings(&json, &upload->findings);
    json_close(&json);
}
