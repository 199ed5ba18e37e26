/* The artworks inside the panel file, and all that they refer to, against the files they came from: object by
 * object, streams byte by byte as they are stored. */
#include "blend.h"
#include "layback.h"
#include "base/arena.h"
#include <math.h>
#include <string.h>

enum { NESTED_MOST = 200, PIECE = 1 << 16 };

/* One source file beside the panel file. */
struct pairing {
    fz_context *ctx;
    pdf_document *theirs, *ours;
    struct arena *arena;
    int *partners; /* by source number */
    int length;
    int *queue; /* source numbers paired and not compared yet */
    size_t queued, capacity, done;
};

/* ---- bytes ---- */

static bool same_streams(fz_context *ctx, fz_stream *one, fz_stream *other)
{
    for (;;) {
        size_t a = fz_available(ctx, one, PIECE), b = fz_available(ctx, other, PIECE), step = a < b ? a : b;
        if (!step) return a == b;
        if (memcmp(one->rp, other->rp, step)) return false;
        one->rp += step, other->rp += step;
    }
}

/* As stored; `fd` is a file instead of `theirs` where that is NULL. */
static bool same_stored(fz_context *ctx, pdf_obj *theirs, int fd, pdf_obj *ours)
{
    char name[40];
    format_into(name, sizeof name, "/proc/self/fd/%d", fd);
    fz_stream *found = NULL, *wanted = NULL;
    bool same = false;
    fz_var(found);
    fz_var(wanted);
    fz_var(same);
    fz_try(ctx)
    {
        found = pdf_open_raw_stream(ctx, ours);
        wanted = theirs ? pdf_open_raw_stream(ctx, theirs) : fz_open_file(ctx, name);
        same = same_streams(ctx, found, wanted);
    }
    fz_always(ctx)
    {
        fz_drop_stream(ctx, wanted);
        fz_drop_stream(ctx, found);
    }
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}

/* What several content streams are when joined, against the one they became. White space between them is not
 * theirs. */
static bool same_joined(fz_context *ctx, pdf_obj *contents, pdf_obj *form)
{
    fz_stream *found = NULL, *wanted = NULL;
    bool same = true;
    fz_var(found);
    fz_var(wanted);
    fz_var(same);
    fz_try(ctx)
    {
        found = pdf_open_stream(ctx, form);
        int count = pdf_array_len(ctx, contents);
        for (int i = 0; same && i < count; i++) {
            pdf_obj *part = pdf_array_get(ctx, contents, i);
            if (!pdf_is_stream(ctx, part)) continue;
            wanted = pdf_open_stream(ctx, part);
            for (int c; same && (c = fz_read_byte(ctx, wanted)) != EOF;) same = fz_read_byte(ctx, found) == c;
            fz_drop_stream(ctx, wanted);
            wanted = NULL;
            same = same && fz_read_byte(ctx, found) == '\n';
        }
        same = same && fz_read_byte(ctx, found) == EOF;
    }
    fz_always(ctx)
    {
        fz_drop_stream(ctx, wanted);
        fz_drop_stream(ctx, found);
    }
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}

/* ---- objects ---- */

static bool is_none(fz_context *ctx, pdf_obj *obj)
{
    return !obj || pdf_is_null(ctx, obj);
}

/* Pages and the catalogue stay behind: the artwork is what a page draws. */
static bool stays_behind(fz_context *ctx, pdf_obj *obj)
{
    static const char *const types[] = {"Page", "Pages", "Catalog", "StructTreeRoot"};
    const char *type = pdf_is_dict(ctx, obj) ? pdf_to_name(ctx, pdf_dict_get(ctx, obj, PDF_NAME(Type))) : "";
    for (size_t i = 0; i < sizeof types / sizeof *types; i++)
        if (!strcmp(type, types[i])) return true;
    return false;
}

static bool same_references(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours)
{
    fz_context *ctx = pairing->ctx;
    int number = pdf_to_num(ctx, theirs), partner = pdf_to_num(ctx, ours);
    if (number <= 0 || number >= pairing->length || stays_behind(ctx, theirs)) return is_none(ctx, ours);
    if (!pdf_is_indirect(ctx, ours)) return false;
    if (pairing->partners[number]) return pairing->partners[number] == partner;
    pairing->partners[number] = partner;
    *(int *)arena_append(pairing->arena, &pairing->queue, &pairing->queued, &pairing->capacity,
                         sizeof *pairing->queue) = number;
    return true;
}

static bool same_objects(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours, int depth);

static int entries(fz_context *ctx, pdf_obj *dict, bool is_stream)
{
    return pdf_dict_len(ctx, dict) - (is_stream && pdf_dict_get(ctx, dict, PDF_NAME(Length)));
}

static bool same_dicts(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours, int depth, bool is_stream)
{
    fz_context *ctx = pairing->ctx;
    if (!pdf_is_dict(ctx, ours) || entries(ctx, theirs, is_stream) != entries(ctx, ours, is_stream))
        return false;
    int count = pdf_dict_len(ctx, theirs);
    for (int i = 0; i < count; i++) {
        pdf_obj *key = pdf_dict_get_key(ctx, theirs, i);
        if (is_stream && pdf_name_eq(ctx, key, PDF_NAME(Length))) continue;
        if (!same_objects(pairing, pdf_dict_get_val(ctx, theirs, i), pdf_dict_get(ctx, ours, key), depth + 1))
            return false;
    }
    return true;
}

static bool same_arrays(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours, int depth)
{
    fz_context *ctx = pairing->ctx;
    int count = pdf_array_len(ctx, theirs);
    if (!pdf_is_array(ctx, ours) || pdf_array_len(ctx, ours) != count) return false;
    for (int i = 0; i < count; i++)
        if (!same_objects(pairing, pdf_array_get(ctx, theirs, i), pdf_array_get(ctx, ours, i), depth + 1))
            return false;
    return true;
}

static bool same_strings(fz_context *ctx, pdf_obj *theirs, pdf_obj *ours)
{
    size_t one_length, other_length;
    if (!pdf_is_string(ctx, ours)) return false;
    const char *one = pdf_to_string(ctx, theirs, &one_length),
               *other = pdf_to_string(ctx, ours, &other_length);
    return one_length == other_length && !memcmp(one, other, one_length);
}

/* A real that is whole may be written as an integer. */
static bool objects_same_numbers(fz_context *ctx, pdf_obj *theirs, pdf_obj *ours)
{
    if (pdf_is_int(ctx, theirs) && pdf_is_int(ctx, ours))
        return pdf_to_int64(ctx, theirs) == pdf_to_int64(ctx, ours);
    return pdf_is_number(ctx, ours) && pdf_to_real(ctx, theirs) == pdf_to_real(ctx, ours);
}

static bool same_objects(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours, int depth)
{
    fz_context *ctx = pairing->ctx;
    if (depth > NESTED_MOST) return false;
    if (pdf_is_indirect(ctx, theirs)) return same_references(pairing, theirs, ours);
    if (is_none(ctx, theirs)) return is_none(ctx, ours);
    if (!ours || pdf_is_indirect(ctx, ours)) return false;
    if (pdf_is_dict(ctx, theirs)) return same_dicts(pairing, theirs, ours, depth, false);
    if (pdf_is_array(ctx, theirs)) return same_arrays(pairing, theirs, ours, depth);
    if (pdf_is_string(ctx, theirs)) return same_strings(ctx, theirs, ours);
    if (pdf_is_number(ctx, theirs)) return objects_same_numbers(ctx, theirs, ours);
    if (pdf_is_name(ctx, theirs))
        return pdf_is_name(ctx, ours) && !strcmp(pdf_to_name(ctx, theirs), pdf_to_name(ctx, ours));
    return pdf_is_bool(ctx, theirs) && pdf_is_bool(ctx, ours) &&
           pdf_to_bool(ctx, theirs) == pdf_to_bool(ctx, ours);
}

/* A layer (optional content) must print here when it prints there. */
static bool same_layer_state(const struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours)
{
    fz_context *ctx = pairing->ctx;
    if (!pdf_name_eq(ctx, pdf_dict_get(ctx, theirs, PDF_NAME(Type)), PDF_NAME(OCG))) return true;
    return pdf_is_ocg_hidden(ctx, pairing->theirs, NULL, "Print", theirs) ==
           pdf_is_ocg_hidden(ctx, pairing->ours, NULL, "Print", ours);
}

static bool objects_same_pair(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours)
{
    fz_context *ctx = pairing->ctx;
    bool is_stream = pdf_is_stream(ctx, theirs);
    if (is_stream != (bool)pdf_is_stream(ctx, ours)) return false;
    pdf_obj *one = pdf_resolve_indirect_chain(ctx, theirs), *other = pdf_resolve_indirect_chain(ctx, ours);
    if (!is_stream) return same_objects(pairing, one, other, 0) && same_layer_state(pairing, theirs, ours);
    return same_dicts(pairing, one, other, 0, true) && same_stored(ctx, theirs, -1, ours);
}

static bool same_next(struct pairing *pairing)
{
    fz_context *ctx = pairing->ctx;
    int number = pairing->queue[pairing->done++];
    pdf_obj *theirs = NULL, *ours = NULL;
    bool same = false;
    fz_var(theirs);
    fz_var(ours);
    fz_var(same);
    fz_try(ctx)
    {
        theirs = pdf_new_indirect(ctx, pairing->theirs, number, 0);
        ours = pdf_new_indirect(ctx, pairing->ours, pairing->partners[number], 0);
        same = objects_same_pair(pairing, theirs, ours);
    }
    fz_always(ctx)
    {
        pdf_drop_obj(ctx, ours);
        pdf_drop_obj(ctx, theirs);
    }
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}

/* ---- a page and its form ---- */

static bool same_space(struct pairing *pairing, const struct mu_page *page, pdf_obj *ours)
{
    return same_objects(pairing, blend_group_space(pairing->ctx, page),
                        pdf_dict_get(pairing->ctx, ours, PDF_NAME(CS)), 0);
}

static bool same_knockout(struct pairing *pairing, const struct mu_page *page, pdf_obj *ours)
{
    return same_objects(pairing, pdf_dict_get(pairing->ctx, blend_group(pairing->ctx, page), PDF_NAME(K)),
                        pdf_dict_get(pairing->ctx, ours, PDF_NAME(K)), 0);
}

static bool is_group(fz_context *ctx, pdf_obj *group)
{
    return pdf_name_eq(ctx, pdf_dict_get(ctx, group, PDF_NAME(S)), PDF_NAME(Transparency));
}

/* 11.4.7: a page's group is isolated; a form's must say so. `wanted`: the form must be a group. */
static bool same_form_group(struct pairing *pairing, const struct mu_page *page, pdf_obj *ours, bool wanted)
{
    if (!wanted) return !ours;
    return is_group(pairing->ctx, ours) && pdf_dict_get_bool(pairing->ctx, ours, PDF_NAME(I)) &&
           same_knockout(pairing, page, ours) && same_space(pairing, page, ours);
}

static bool same_content(struct pairing *pairing, pdf_obj *contents, pdf_obj *form)
{
    fz_context *ctx = pairing->ctx;
    bool one = pdf_is_array(ctx, contents) && pdf_array_len(ctx, contents) == 1;
    pdf_obj *stream = one ? pdf_array_get(ctx, contents, 0) : contents;
    if (!pdf_is_stream(ctx, stream)) return same_joined(ctx, contents, form);
    return same_objects(pairing, pdf_dict_get(ctx, stream, PDF_NAME(Filter)),
                        pdf_dict_get(ctx, form, PDF_NAME(Filter)), 0) &&
           same_objects(pairing, pdf_dict_get(ctx, stream, PDF_NAME(DecodeParms)),
                        pdf_dict_get(ctx, form, PDF_NAME(DecodeParms)), 0) &&
           same_stored(ctx, stream, -1, form);
}

static bool same_resources(struct pairing *pairing, pdf_obj *theirs, pdf_obj *ours)
{
    fz_context *ctx = pairing->ctx;
    if (pdf_is_dict(ctx, theirs)) return same_objects(pairing, theirs, ours, 0);
    return pdf_is_dict(ctx, ours) && !pdf_dict_len(ctx, ours);
}

static bool same_form(struct pairing *pairing, const struct mu_page *page, pdf_obj *form, bool must_be_group)
{
    fz_context *ctx = pairing->ctx;
    fz_rect found = pdf_dict_get_rect(ctx, form, PDF_NAME(BBox));
    struct rect media = page->media;
    const double most = 0.001; /* units */
    return pdf_name_eq(ctx, pdf_dict_get(ctx, form, PDF_NAME(Subtype)), PDF_NAME(Form)) &&
           !pdf_dict_get(ctx, form, PDF_NAME(Matrix)) && fabs(found.x0 - media.x0) <= most &&
           fabs(found.y0 - media.y0) <= most && fabs(found.x1 - media.x1) <= most &&
           fabs(found.y1 - media.y1) <= most &&
           same_resources(pairing, pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Resources)),
                          pdf_dict_get(ctx, form, PDF_NAME(Resources))) &&
           same_form_group(pairing, page, pdf_dict_get(ctx, form, PDF_NAME(Group)), must_be_group) &&
           same_content(pairing, pdf_dict_get(ctx, page->object, PDF_NAME(Contents)), form);
}

/* ---- a picture ---- */

static bool same_picture(fz_context *ctx, const struct pdf_picture *picture, int fd, pdf_obj *image)
{
    pdf_obj *filter = pdf_dict_get(ctx, image, PDF_NAME(Filter)),
            *decode = pdf_dict_get(ctx, image, PDF_NAME(Decode));
    pdf_obj *packing = pdf_dict_get(ctx, image, PDF_NAME(DecodeParms));
    if (pdf_dict_get_int(ctx, image, PDF_NAME(Width)) != picture->width_px ||
        pdf_dict_get_int(ctx, image, PDF_NAME(Height)) != picture->height_px ||
        pdf_dict_get_int(ctx, image, PDF_NAME(BitsPerComponent)) != (picture->jpeg ? 8 : picture->bits) ||
        (pdf_array_get_real(ctx, decode, 0) == 1) != picture->inverted ||
        !pdf_name_eq(ctx, filter, picture->jpeg ? PDF_NAME(DCTDecode) : PDF_NAME(FlateDecode)) ||
        (!picture->jpeg && pdf_dict_get_int(ctx, packing, PDF_NAME(Columns)) != picture->width_px))
        return false;
    return same_stored(ctx, NULL, fd, image);
}

/* ---- all of them ---- */

static struct pairing pairing_of(struct mu *mu, struct layback *lay, const struct source_page *source)
{
    size_t file = (size_t)(source->source - lay->sources.files);
    int length = pdf_xref_len(mu->ctx, source->source->doc);
    if (!lay->partners[file])
        lay->partners[file] = arena_take_array(lay->arena, (size_t)length + 1, sizeof **lay->partners);
    return (struct pairing){.ctx = mu->ctx,
                            .theirs = source->source->doc,
                            .ours = lay->doc,
                            .arena = lay->arena,
                            .partners = lay->partners[file],
                            .length = length};
}

static bool same_rest(struct pairing *pairing)
{
    while (pairing->done < pairing->queued)
        if (!same_next(pairing)) return false;
    return true;
}

static bool same_layer(struct mu *mu, struct layback *lay, size_t index)
{
    const struct source_page *source = lay->sources.of_layer[index];
    pdf_obj *object = lay->artwork[index];
    if (!source)
        return same_picture(mu->ctx, lay->read.order.layers[index].picture, lay->read.layer_fds[index],
                            object);
    struct pairing pairing = pairing_of(mu, lay, source);
    return same_form(&pairing, &source->page, object,
                     blend_form_is_group(&lay->read, &lay->sources, index)) &&
           same_rest(&pairing);
}

/* The page's group must be that of the artwork whose rules it is painted by (blend.h). */
static bool same_page_group(struct mu *mu, struct layback *lay, size_t index)
{
    fz_context *ctx = mu->ctx;
    bool used[PDF_LAYERS_MOST] = {0};
    for (size_t i = 0; i < lay->found[index].count; i++) used[lay->found[index].items[i].layer] = true;
    const struct source_page *source = blend_of_page(ctx, &lay->read, &lay->sources, used);
    struct mu_page page;
    int count;
    mu_page_find(mu, lay->doc, (int)index + 1, &page, &count);
    pdf_obj *ours = pdf_dict_get(ctx, page.object, PDF_NAME(Group));
    if (!source) return !ours;
    size_t layer = 0;
    while (lay->sources.of_layer[layer] != source) layer++;
    bool said_by_form = blend_form_is_group(&lay->read, &lay->sources, layer);
    struct pairing pairing = pairing_of(mu, lay, source);
    return is_group(ctx, ours) && same_space(&pairing, &source->page, ours) &&
           (said_by_form ? !pdf_dict_get(ctx, ours, PDF_NAME(K))
                         : same_knockout(&pairing, &source->page, ours)) &&
           same_rest(&pairing);
}

bool layback_objects(struct mu *mu, struct layback *lay)
{
    for (size_t i = 0; i < lay->read.order.layer_count; i++)
        if (lay->artwork[i] && !same_layer(mu, lay, i))
            return layback_differs(lay, "is-not-in-panel-file-as",
                                   ARGUMENTS(arg_words("subject", lay->read.order.layers[i].subject)));
    for (size_t i = 0; i < lay->read.order.page_count; i++)
        if (!same_page_group(mu, lay, i))
            return layback_differs(lay, "panel-its-page-blends-by-other",
                                   ARGUMENTS(arg_words("pages", lay->read.order.pages[i].id)));
    return true;
}
