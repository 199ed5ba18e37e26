/* Puts an artwork page or picture into the panel file as a form or image, with its group, profile and
 * layers. Called by the writer of panels, in the reader child; objects are copied by copy.c. */
#include "embed.h"
#include "blend.h"
#include "steps.h"
#include "base/arena.h"
#include <errno.h>
#include <string.h>
#include <unistd.h>

/* ---- a page ---- */

static pdf_obj *only_stream(fz_context *ctx, pdf_obj *contents)
{
    if (pdf_is_array(ctx, contents) && pdf_array_len(ctx, contents) == 1)
        contents = pdf_array_get(ctx, contents, 0);
    return pdf_is_stream(ctx, contents) ? contents : NULL;
}

/* Several content streams count as one with white space between (7.8.2). */
static void put_joined(struct copier *copier, pdf_obj *contents)
{
    fz_context *ctx = copier->ctx;
    fz_buffer *joined = fz_new_buffer(ctx, 1024), *part = NULL;
    fz_var(part);
    fz_try(ctx)
    {
        int count = pdf_array_len(ctx, contents);
        for (int i = 0; i < count; i++) {
            if (!pdf_is_stream(ctx, pdf_array_get(ctx, contents, i))) continue;
            part = pdf_load_stream(ctx, pdf_array_get(ctx, contents, i));
            fz_append_buffer(ctx, joined, part);
            fz_append_byte(ctx, joined, '\n');
            fz_drop_buffer(ctx, part);
            part = NULL;
        }
        out_deflated(copier->out, joined->data, joined->len);
    }
    fz_always(ctx)
    {
        fz_drop_buffer(ctx, part);
        fz_drop_buffer(ctx, joined);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static void put_entry(struct copier *copier, const char *key, pdf_obj *value)
{
    if (!value) return;
    out_addf(copier->out, " /%s ", key);
    copier_put(copier, value);
}

/* A page's group is isolated whatever it says (11.4.7); a form's is only when it says so. */
static void put_own_group(struct copier *copier, const struct mu_page *page)
{
    out_add(copier->out, " /Group << /S /Transparency /I true");
    put_entry(copier, "CS", blend_group_space(copier->ctx, page));
    put_entry(copier, "K", pdf_dict_get(copier->ctx, blend_group(copier->ctx, page), PDF_NAME(K)));
    out_add(copier->out, " >>");
}

void embed_page_group(struct copier *copier, const struct mu_page *page, bool knocks_out)
{
    fz_context *ctx = copier->ctx;
    pdf_obj *group = blend_group(ctx, page);
    out_add(copier->out, " /Group << /S /Transparency");
    put_entry(copier, "CS", blend_group_space(ctx, page));
    put_entry(copier, "I", pdf_dict_get(ctx, group, PDF_NAME(I)));
    if (knocks_out) put_entry(copier, "K", pdf_dict_get(ctx, group, PDF_NAME(K)));
    out_add(copier->out, " >>");
}

static void embed_put_content(struct copier *copier, pdf_obj *contents)
{
    fz_context *ctx = copier->ctx;
    pdf_obj *stream = only_stream(ctx, contents);
    if (!stream) {
        put_joined(copier, contents);
        return;
    }
    put_entry(copier, "Filter", pdf_dict_get(ctx, stream, PDF_NAME(Filter)));
    put_entry(copier, "DecodeParms", pdf_dict_get(ctx, stream, PDF_NAME(DecodeParms)));
    out_stream(copier->out);
    copier_raw(copier, stream);
    out_end_stream(copier->out);
}

int embed_page(struct copier *copier, const struct mu_page *page, bool is_group)
{
    fz_context *ctx = copier->ctx;
    struct out *out = copier->out;
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "<< /Type /XObject /Subtype /Form /BBox [");
    out_numbers(out, (double[]){page->media.x0, page->media.y0, page->media.x1, page->media.y1}, 4, 6);
    out_add(out, "] /Resources ");
    pdf_obj *resources = pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Resources));
    if (pdf_is_dict(ctx, resources))
        copier_put(copier, resources);
    else
        out_add(out, "<< >>");
    if (is_group) put_own_group(copier, page);
    embed_put_content(copier, pdf_dict_get(ctx, page->object, PDF_NAME(Contents)));
    return number;
}

/* ---- a picture ---- */

int embed_profile(struct out *out, const unsigned char *profile, size_t size)
{
    /* ICC.1, 7.2.8: the colour space of the data, at byte 16 */
    const char *space = size >= 20 ? (const char *)profile + 16 : "CMYK";
    int components = !memcmp(space, "GRAY", 4) ? 1 : !memcmp(space, "CMYK", 4) ? 4 : 3;
    int number = out_reserve(out);
    out_begin(out, number);
    out_addf(out, "<< /N %d", components);
    out_deflated(out, profile, size);
    return number;
}

static int samples_of(enum colour_kind colour)
{
    return colour == COLOUR_GREY ? 1 : colour == COLOUR_CMYK ? 4 : 3;
}

/* Lab as the packer gets it: D50 as in ICC, a and b from -128 (8.6.5.4). */
static void put_space(struct out *out, const struct pdf_picture *picture, int profile)
{
    if (picture->colour == COLOUR_LAB)
        out_add(out, "[/Lab << /WhitePoint [0.9642 1 0.8249] /Range [-128 127 -128 127] >>]");
    else if (profile)
        out_addf(out, "[/ICCBased %d 0 R]", profile);
    else
        out_add(out, picture->colour == COLOUR_GREY   ? "/DeviceGray"
                     : picture->colour == COLOUR_CMYK ? "/DeviceCMYK"
                                                      : "/DeviceRGB");
}

static bool put_file(struct out *out, int fd)
{
    enum { PIECE = 1 << 16 };
    char *piece = arena_take(out->arena, PIECE);
    for (off_t at = 0;;) {
        ssize_t step = pread(fd, piece, PIECE, at);
        if (step < 0 && errno == EINTR) continue;
        if (step < 0)
            return error_set(out->error, FAILURE_MACHINE, "picture-cannot-be-read",
                             ARGUMENTS(arg_words("why", strerror(errno))));
        if (!step) return true;
        out_bytes(out, piece, (size_t)step);
        at += step;
    }
}

int embed_picture(struct out *out, const struct pdf_picture *picture, int fd)
{
    int profile = picture->profile_size && picture->colour != COLOUR_LAB
                      ? embed_profile(out, picture->profile, picture->profile_size)
                      : 0;
    int number = out_reserve(out), samples = samples_of(picture->colour);
    out_begin(out, number);
    out_addf(out, "<< /Type /XObject /Subtype /Image /Width %d /Height %d /BitsPerComponent %d /ColorSpace ",
             picture->width_px, picture->height_px, picture->jpeg ? 8 : picture->bits);
    put_space(out, picture, profile);
    if (picture->inverted) {
        out_add(out, " /Decode [");
        for (int i = 0; i < samples; i++) out_add(out, i ? " 1 0" : "1 0");
        out_add(out, "]");
    }
    if (picture->jpeg)
        out_add(out, " /Filter /DCTDecode");
    else
        out_addf(out,
                 " /Filter /FlateDecode /DecodeParms << /Predictor 15 /Colors %d /BitsPerComponent %d "
                 "/Columns %d >>",
                 samples, picture->bits, picture->width_px);
    out_stream(out);
    bool ok = put_file(out, fd);
    out_end_stream(out);
    return ok ? number : 0;
}

/* ---- layers ---- */

static bool lists(fz_context *ctx, pdf_obj *array, pdf_obj *layer)
{
    int count = pdf_array_len(ctx, array);
    for (int i = 0; i < count; i++)
        if (!pdf_objcmp(ctx, pdf_array_get(ctx, array, i), layer)) return true;
    return false;
}

/* 8.11.4.3: BaseState, then ON and OFF. */
static bool off_by_default(fz_context *ctx, pdf_obj *config, pdf_obj *layer)
{
    bool base_off = !strcmp(pdf_to_name(ctx, pdf_dict_gets(ctx, config, "BaseState")), "OFF");
    bool off = base_off && !lists(ctx, pdf_dict_gets(ctx, config, "ON"), layer);
    return off || lists(ctx, pdf_dict_gets(ctx, config, "OFF"), layer);
}

static pdf_obj *properties(struct copier *copier)
{
    return pdf_dict_getp(copier->ctx, pdf_trailer(copier->ctx, copier->doc), "Root/OCProperties");
}

enum which { ALL, OFF, OFF_AND_STEPS };

static bool is_listed(fz_context *ctx, pdf_obj *config, pdf_obj *layer, enum which which)
{
    const char *group, *type;
    return which == ALL || off_by_default(ctx, config, layer) ||
           (which == OFF_AND_STEPS && step_of_layer(ctx, layer, &group, &type));
}

static void put_layers(struct out *out, struct copier *copiers, size_t count, enum which which)
{
    for (size_t i = 0; i < count; i++) {
        fz_context *ctx = copiers[i].ctx;
        pdf_obj *held = properties(&copiers[i]), *layers = pdf_dict_gets(ctx, held, "OCGs");
        pdf_obj *config = pdf_dict_gets(ctx, held, "D");
        int layer_count = pdf_array_len(ctx, layers);
        for (int j = 0; j < layer_count; j++) {
            pdf_obj *layer = pdf_array_get(ctx, layers, j);
            if (!is_listed(ctx, config, layer, which)) continue;
            copier_put(&copiers[i], layer);
            out_add(out, " ");
        }
    }
}

/* Which usages (view, print) switch layers by themselves. */
static void put_automatic(struct out *out, struct copier *copiers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        fz_context *ctx = copiers[i].ctx;
        pdf_obj *usages = pdf_dict_getp(ctx, properties(&copiers[i]), "D/AS");
        int usage_count = pdf_array_len(ctx, usages);
        for (int j = 0; j < usage_count; j++) {
            copier_put(&copiers[i], pdf_array_get(ctx, usages, j));
            out_add(out, " ");
        }
    }
}

static void put_intent(struct copier *copiers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        pdf_obj *intent = pdf_dict_getp(copiers[i].ctx, properties(&copiers[i]), "D/Intent");
        if (!intent) continue;
        put_entry(&copiers[i], "Intent", intent);
        return;
    }
}

int embed_layers(struct out *out, struct copier *copiers, size_t count, const struct pdf_panels_order *order,
                 const struct cut_objects *cuts)
{
    bool any = order->cut_layer_count;
    for (size_t i = 0; i < count; i++) any = any || pdf_is_dict(copiers[i].ctx, properties(&copiers[i]));
    if (!any) return 0;
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "<< /OCGs [");
    put_layers(out, copiers, count, ALL);
    cut_layers_put(out, order, cuts);
    out_add(out, "] /D << /OFF [");
    put_layers(out, copiers, count, order->steps_off ? OFF_AND_STEPS : OFF);
    out_add(out, "] /AS [");
    put_automatic(out, copiers, count);
    cut_layers_put_automatic(out, order, cuts);
    out_add(out, "]");
    put_intent(copiers, count);
    out_add(out, " >> >>");
    out_end(out);
    return number;
}
