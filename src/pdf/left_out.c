/* Mutes the line that a piece is cut along in an opened artwork: panels carry it on a layer of their own. Called for
 * whatever is written from the artwork or compared with it. */
#include "left_out.h"
#include "steps.h"
#include <string.h>
#include <strings.h>

enum { NESTED_MOST = 100 };

/* ---- spot colours ---- */

static bool left_out_is_spot(fz_context *ctx, pdf_obj *name, const char *spot)
{
    return pdf_is_name(ctx, name) && !strcasecmp(pdf_to_name(ctx, name), spot);
}

static void space_mute(fz_context *ctx, pdf_obj *space, const char *spot)
{
    const char *family = pdf_array_get_name(ctx, space, 0);
    pdf_obj *names = pdf_array_get(ctx, space, 1);
    if (!strcmp(family, "Separation") && left_out_is_spot(ctx, names, spot))
        pdf_array_put(ctx, space, 1, PDF_NAME(None));
    if (strcmp(family, "DeviceN") != 0) return;
    int count = pdf_array_len(ctx, names);
    for (int i = 0; i < count; i++)
        if (!left_out_is_spot(ctx, pdf_array_get(ctx, names, i), spot)) return;
    for (int i = 0; i < count; i++) pdf_array_put(ctx, names, i, PDF_NAME(None));
}

/* Within one object; what it refers to comes by its own number. */
static void spaces_mute(fz_context *ctx, pdf_obj *obj, const char *spot, int depth)
{
    if (depth > NESTED_MOST) return;
    bool array = pdf_is_array(ctx, obj), dict = pdf_is_dict(ctx, obj);
    int count = array ? pdf_array_len(ctx, obj) : dict ? pdf_dict_len(ctx, obj) : 0;
    if (array && count >= 4) space_mute(ctx, obj, spot);
    for (int i = 0; i < count; i++) {
        pdf_obj *part = array ? pdf_array_get(ctx, obj, i) : pdf_dict_get_val(ctx, obj, i);
        if (!pdf_is_indirect(ctx, part)) spaces_mute(ctx, part, spot, depth + 1);
    }
}

/* An object that cannot be read is drawn by nobody. */
static void objects_mute(fz_context *ctx, pdf_document *doc, const char *spot)
{
    int count = pdf_xref_len(ctx, doc);
    for (int i = 1; i < count; i++) {
        pdf_obj *obj = NULL;
        fz_var(obj);
        fz_try(ctx)
        {
            obj = pdf_load_object(ctx, doc, i);
            spaces_mute(ctx, obj, spot, 0);
        }
        fz_always(ctx) pdf_drop_obj(ctx, obj);
        fz_catch(ctx) continue;
    }
}

/* ---- layers ---- */

static bool layer_is_left_out(fz_context *ctx, pdf_obj *layer, const struct pdf_left_out *left_out)
{
    const char *group, *type;
    if (left_out->layer)
        return !strcasecmp(pdf_dict_get_text_string(ctx, layer, PDF_NAME(Name)), left_out->layer);
    return step_of_layer(ctx, layer, &group, &type) && step_is_named(group, type, left_out->step);
}

/* By its usage too, which counts for more than what is set (8.11.4.4). */
static void layer_turn_off(fz_context *ctx, pdf_obj *config, pdf_obj *layer)
{
    pdf_obj *usage = pdf_dict_put_dict(ctx, layer, PDF_NAME(Usage), 2);
    pdf_dict_puts_drop(ctx, pdf_dict_puts_dict(ctx, usage, "Print", 1), "PrintState",
                       pdf_new_name(ctx, "OFF"));
    pdf_dict_puts_drop(ctx, pdf_dict_puts_dict(ctx, usage, "View", 1), "ViewState", pdf_new_name(ctx, "OFF"));
    if (!pdf_is_dict(ctx, config)) return;
    pdf_obj *off = pdf_dict_get(ctx, config, PDF_NAME(OFF));
    if (!off) off = pdf_dict_put_array(ctx, config, PDF_NAME(OFF), 1);
    pdf_array_push(ctx, off, layer);
}

static void layers_turn_off(fz_context *ctx, pdf_document *doc, const struct pdf_left_out *left_out)
{
    pdf_obj *held = pdf_dict_getp(ctx, pdf_trailer(ctx, doc), "Root/OCProperties");
    pdf_obj *layers = pdf_dict_gets(ctx, held, "OCGs"), *config = pdf_dict_gets(ctx, held, "D");
    int count = pdf_array_len(ctx, layers);
    for (int i = 0; i < count; i++) {
        pdf_obj *layer = pdf_array_get(ctx, layers, i);
        if (layer_is_left_out(ctx, layer, left_out)) layer_turn_off(ctx, config, layer);
    }
}

void left_out_mute(fz_context *ctx, pdf_document *doc, const struct pdf_left_out *left_out)
{
    if (left_out->spot) objects_mute(ctx, doc, left_out->spot);
    if (left_out->layer || left_out->step) layers_turn_off(ctx, doc, left_out);
}
