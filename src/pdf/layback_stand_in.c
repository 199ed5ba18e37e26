/* Large pictures take long to draw, and their bytes were compared before. Four grey fields in their place
 * show where they lie and how they are turned. */
#include "layback.h"

enum { SIDE = 2, SMALL_PIXELS = 64 * 64 };

static const unsigned char fields[SIDE * SIDE] = {40, 120, 200, 80};
static const unsigned char mask_rows[SIDE] = {0x80, 0x40};

void layback_draw_stand_in(fz_context *ctx, fz_device *device, struct affine to_pixels)
{
    fz_pixmap *pixels = NULL;
    fz_image *image = NULL;
    fz_var(pixels);
    fz_var(image);
    fz_try(ctx)
    {
        pixels = fz_new_pixmap(ctx, fz_device_gray(ctx), SIDE, SIDE, NULL, 0);
        for (int i = 0; i < SIDE * SIDE; i++)
            pixels->samples[i / SIDE * pixels->stride + i % SIDE] = fields[i];
        image = fz_new_image_from_pixmap(ctx, pixels, NULL);
        struct affine rows_down = {1, 0, 0, -1, 0, 1}; /* MuPDF's own pictures have their first row at 0 */
        fz_fill_image(ctx, device, image, mu_matrix(affine_then(rows_down, to_pixels)), 1,
                      fz_default_color_params);
    }
    fz_always(ctx)
    {
        fz_drop_image(ctx, image);
        fz_drop_pixmap(ctx, pixels);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static void replace(fz_context *ctx, pdf_document *doc, pdf_obj *image)
{
    bool mask = pdf_to_bool(ctx, pdf_dict_get(ctx, image, PDF_NAME(ImageMask)));
    pdf_dict_put_int(ctx, image, PDF_NAME(Width), SIDE);
    pdf_dict_put_int(ctx, image, PDF_NAME(Height), SIDE);
    pdf_dict_put_int(ctx, image, PDF_NAME(BitsPerComponent), mask ? 1 : 8);
    if (!mask) pdf_dict_put(ctx, image, PDF_NAME(ColorSpace), PDF_NAME(DeviceGray));
    if (pdf_is_array(ctx, pdf_dict_get(ctx, image, PDF_NAME(Mask)))) pdf_dict_del(ctx, image, PDF_NAME(Mask));
    pdf_dict_del(ctx, image, PDF_NAME(Decode));
    pdf_dict_del(ctx, image, PDF_NAME(DecodeParms));
    pdf_dict_del(ctx, image, PDF_NAME(Matte));
    fz_buffer *bytes =
        fz_new_buffer_from_copied_data(ctx, mask ? mask_rows : fields, mask ? SIDE : SIDE * SIDE);
    fz_try(ctx) pdf_update_stream(ctx, doc, image, bytes, 0);
    fz_always(ctx) fz_drop_buffer(ctx, bytes);
    fz_catch(ctx) fz_rethrow(ctx);
}

/* Small ones stay: icons and the like are drawn as quickly as stand-ins. */
static void replace_if_large(fz_context *ctx, pdf_document *doc, int number)
{
    pdf_obj *object = pdf_new_indirect(ctx, doc, number, 0);
    fz_try(ctx)
    {
        int64_t pixels = (int64_t)pdf_dict_get_int(ctx, object, PDF_NAME(Width)) *
                         pdf_dict_get_int(ctx, object, PDF_NAME(Height));
        if (pdf_is_stream(ctx, object) && pixels > SMALL_PIXELS &&
            pdf_name_eq(ctx, pdf_dict_get(ctx, object, PDF_NAME(Subtype)), PDF_NAME(Image)))
            replace(ctx, doc, object);
    }
    fz_always(ctx) pdf_drop_obj(ctx, object);
    fz_catch(ctx) fz_rethrow(ctx);
}

/* In both files alike: `number` and its partner are of one size. */
static void replace_embedded(fz_context *ctx, struct layback *lay, size_t file)
{
    pdf_document *theirs = lay->sources.files[file].doc;
    int length = pdf_xref_len(ctx, theirs);
    for (int number = 1; lay->partners[file] && number < length; number++) {
        if (!lay->partners[file][number]) continue;
        replace_if_large(ctx, theirs, number);
        replace_if_large(ctx, lay->doc, lay->partners[file][number]);
    }
}

void layback_stand_ins(struct mu *mu, struct layback *lay, bool embedded)
{
    for (size_t i = 0; i < lay->read.order.layer_count; i++)
        if (lay->artwork[i] && !lay->sources.of_layer[i]) replace(mu->ctx, lay->doc, lay->artwork[i]);
    for (size_t i = 0; embedded && i < lay->sources.file_count; i++) replace_embedded(mu->ctx, lay, i);
    fz_empty_store(mu->ctx); /* it may hold what the stand-ins replace */
}
