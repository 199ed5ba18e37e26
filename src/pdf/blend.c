/* Tells whether a page blends and in which space, and whether panel pages can keep that. Runs in the reader
 * child, for facts, the writing of panels and the lay-back check. */
#include "blend.h"
#include "base/sentence.h"
#include <string.h>

enum { DEPTH_MOST = 28 };

/* ---- does anything blend? ---- */

static bool blend_is_plain(fz_context *ctx, pdf_obj *mode)
{
    const char *name = pdf_to_name(ctx, mode);
    return !mode || !strcmp(name, "Normal") || !strcmp(name, "Compatible");
}

static bool below_one(fz_context *ctx, pdf_obj *value)
{
    return value && pdf_to_real(ctx, value) < 1;
}

static bool state_blends(fz_context *ctx, pdf_obj *state)
{
    pdf_obj *mode = pdf_dict_get(ctx, state, PDF_NAME(BM));
    if (pdf_is_array(ctx, mode)) mode = pdf_array_get(ctx, mode, 0);
    return !blend_is_plain(ctx, mode) || below_one(ctx, pdf_dict_get(ctx, state, PDF_NAME(ca))) ||
           below_one(ctx, pdf_dict_get(ctx, state, PDF_NAME(CA))) ||
           pdf_is_dict(ctx, pdf_dict_get(ctx, state, PDF_NAME(SMask)));
}

static bool resources_blend(fz_context *ctx, pdf_obj *resources, int depth);

/* A form, picture, pattern or drawn font. */
static bool object_blends(fz_context *ctx, pdf_obj *object, int depth)
{
    return pdf_is_dict(ctx, pdf_dict_get(ctx, object, PDF_NAME(SMask))) ||
           pdf_dict_get_int(ctx, object, PDF_NAME(SMaskInData)) > 0 ||
           pdf_name_eq(ctx, pdf_dict_getp(ctx, object, "Group/S"), PDF_NAME(Transparency)) ||
           state_blends(ctx, pdf_dict_get(ctx, object, PDF_NAME(ExtGState))) ||
           resources_blend(ctx, pdf_dict_get(ctx, object, PDF_NAME(Resources)), depth + 1);
}

static bool any_blends(fz_context *ctx, pdf_obj *objects, int depth)
{
    int count = pdf_dict_len(ctx, objects);
    for (int i = 0; i < count; i++)
        if (object_blends(ctx, pdf_dict_get_val(ctx, objects, i), depth)) return true;
    return false;
}

static bool search(fz_context *ctx, pdf_obj *resources, int depth)
{
    pdf_obj *states = pdf_dict_get(ctx, resources, PDF_NAME(ExtGState));
    int count = pdf_dict_len(ctx, states);
    for (int i = 0; i < count; i++)
        if (state_blends(ctx, pdf_dict_get_val(ctx, states, i))) return true;
    return any_blends(ctx, pdf_dict_get(ctx, resources, PDF_NAME(XObject)), depth) ||
           any_blends(ctx, pdf_dict_get(ctx, resources, PDF_NAME(Pattern)), depth) ||
           any_blends(ctx, pdf_dict_get(ctx, resources, PDF_NAME(Font)), depth);
}

/* Resources that lead back to themselves are looked through once. */
static bool resources_blend(fz_context *ctx, pdf_obj *resources, int depth)
{
    bool found = false;
    if (depth > DEPTH_MOST || !pdf_is_dict(ctx, resources) || pdf_mark_obj(ctx, resources)) return false;
    fz_var(found);
    fz_try(ctx) found = search(ctx, resources, depth);
    fz_always(ctx) pdf_unmark_obj(ctx, resources);
    fz_catch(ctx) fz_rethrow(ctx);
    return found;
}

bool blend_used(fz_context *ctx, const struct mu_page *page)
{
    return resources_blend(ctx, pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Resources)), 0);
}

/* ---- spaces ---- */

pdf_obj *blend_group(fz_context *ctx, const struct mu_page *page)
{
    pdf_obj *group = pdf_dict_get(ctx, page->object, PDF_NAME(Group));
    return pdf_name_eq(ctx, pdf_dict_get(ctx, group, PDF_NAME(S)), PDF_NAME(Transparency)) ? group : NULL;
}

static pdf_obj *default_for(fz_context *ctx, const struct mu_page *page, pdf_obj *space)
{
    static const char *const names[][2] = {
        {"DeviceGray", "DefaultGray"}, {"DeviceRGB", "DefaultRGB"}, {"DeviceCMYK", "DefaultCMYK"}};
    pdf_obj *resources = pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Resources));
    pdf_obj *spaces = pdf_dict_get(ctx, resources, PDF_NAME(ColorSpace));
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (!strcmp(pdf_to_name(ctx, space), names[i][0])) return pdf_dict_gets(ctx, spaces, names[i][1]);
    return NULL;
}

pdf_obj *blend_group_space(fz_context *ctx, const struct mu_page *page)
{
    pdf_obj *space = pdf_dict_get(ctx, blend_group(ctx, page), PDF_NAME(CS));
    if (pdf_is_array(ctx, space) && pdf_array_len(ctx, space) == 1) space = pdf_array_get(ctx, space, 0);
    pdf_obj *usual = default_for(ctx, page, space);
    return usual ? usual : space;
}

/* Of the paper's inks: nothing is converted on the way to it. */
static bool is_of_inks(fz_context *ctx, pdf_obj *space)
{
    return !space || pdf_name_eq(ctx, space, PDF_NAME(DeviceCMYK));
}

static const char *space_words(fz_context *ctx, pdf_obj *space)
{
    if (pdf_name_eq(ctx, space, PDF_NAME(DeviceGray)) || pdf_name_eq(ctx, space, PDF_NAME(DeviceRGB)))
        return pdf_to_name(ctx, space);
    if (!pdf_name_eq(ctx, pdf_array_get(ctx, space, 0), PDF_NAME(ICCBased)))
        return sentence_plain("space-of-its-own");
    int samples = pdf_dict_get_int(ctx, pdf_array_get(ctx, space, 1), PDF_NAME(N));
    return samples == 1 ? "a profile's grey" : samples == 4 ? "another profile's CMYK" : "a profile's RGB";
}

const char *blend_space(fz_context *ctx, const struct mu_page *page)
{
    pdf_obj *space = blend_group_space(ctx, page);
    return is_of_inks(ctx, space) || !blend_used(ctx, page) ? NULL : space_words(ctx, space);
}

static bool same_profiles(fz_context *ctx, pdf_obj *one, pdf_obj *other)
{
    fz_buffer *a = NULL, *b = NULL;
    bool same = false;
    fz_var(a);
    fz_var(b);
    fz_var(same);
    fz_try(ctx)
    {
        a = pdf_load_stream(ctx, one), b = pdf_load_stream(ctx, other);
        same = a->len == b->len && !memcmp(a->data, b->data, a->len);
    }
    fz_always(ctx) fz_drop_buffer(ctx, a), fz_drop_buffer(ctx, b);
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}

/* In one file or in two. */
static bool same_spaces(fz_context *ctx, pdf_obj *one, pdf_obj *other)
{
    if (is_of_inks(ctx, one) || is_of_inks(ctx, other)) return is_of_inks(ctx, one) && is_of_inks(ctx, other);
    if (pdf_is_name(ctx, one))
        return pdf_is_name(ctx, other) && !strcmp(pdf_to_name(ctx, one), pdf_to_name(ctx, other));
    pdf_obj *mine = pdf_array_get(ctx, one, 1), *yours = pdf_array_get(ctx, other, 1);
    return pdf_name_eq(ctx, pdf_array_get(ctx, one, 0), PDF_NAME(ICCBased)) &&
           pdf_name_eq(ctx, pdf_array_get(ctx, other, 0), PDF_NAME(ICCBased)) && pdf_is_stream(ctx, mine) &&
           pdf_is_stream(ctx, yours) && same_profiles(ctx, mine, yours);
}

/* ---- on panel pages ---- */

bool blend_form_is_group(const struct order_read *read, const struct sources *sources, size_t layer)
{
    const struct source_page *page = sources->of_layer[layer];
    return page && read->order.layer_count > 1 && page->blends;
}

/* A page drawn with another one keeps its place beside it when both blend, and in one space. */
static bool agree(fz_context *ctx, const struct source_page *one, const struct source_page *other)
{
    return one->blends && other->blends &&
           same_spaces(ctx, blend_group_space(ctx, &one->page), blend_group_space(ctx, &other->page));
}

const struct source_page *blend_of_page(fz_context *ctx, const struct order_read *read,
                                        const struct sources *sources, const bool *used)
{
    const struct source_page *first = NULL;
    for (size_t i = 0; i < read->order.layer_count; i++) {
        const struct source_page *page = sources->of_layer[i];
        if (!used[i] || (first && page == first)) continue;
        if (!page || (first && !agree(ctx, first, page))) return NULL;
        first = page;
    }
    return first && blend_group(ctx, &first->page) ? first : NULL;
}
