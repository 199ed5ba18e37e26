#include "copy.h"
#include "base/arena.h"
#include <string.h>

enum { NESTED_MOST = 200, PIECE = 1 << 16 };

struct copier copier_new(fz_context *ctx, pdf_document *doc, struct out *out)
{
    struct copier copier = {.ctx = ctx, .doc = doc, .out = out, .length = pdf_xref_len(ctx, doc)};
    copier.numbers = arena_take_array(out->arena, (size_t)copier.length + 1, sizeof *copier.numbers);
    return copier;
}

static void put_name(struct copier *copier, pdf_obj *obj)
{
    out_add(copier->out, "/");
    for (const char *c = pdf_to_name(copier->ctx, obj); *c; c++) {
        bool plain = *c > 32 && *c < 127 && !strchr("#()<>[]{}/%", *c);
        if (plain)
            out_bytes(copier->out, c, 1);
        else
            out_addf(copier->out, "#%02x", (unsigned)(unsigned char)*c);
    }
}

/* MuPDF's %g is the shortest plain decimal that reads back as the same float. */
static void put_real(struct copier *copier, pdf_obj *obj)
{
    char number[64];
    fz_snprintf(number, sizeof number, "%g", pdf_to_real(copier->ctx, obj));
    out_add(copier->out, number);
}

/* Pages and the catalogue stay behind: the artwork is what a page draws, not where it stood. */
static bool left_out(fz_context *ctx, pdf_obj *obj)
{
    static const char *const types[] = {"Page", "Pages", "Catalog", "StructTreeRoot"};
    const char *type = pdf_to_name(ctx, pdf_dict_get(ctx, obj, PDF_NAME(Type)));
    for (size_t i = 0; i < sizeof types / sizeof *types; i++)
        if (!strcmp(type, types[i])) return true;
    return false;
}

static void put_reference(struct copier *copier, pdf_obj *obj)
{
    int number = pdf_to_num(copier->ctx, obj);
    if (number <= 0 || number >= copier->length) {
        out_add(copier->out, "null");
        return;
    }
    int *mine = &copier->numbers[number];
    if (!*mine && left_out(copier->ctx, obj)) *mine = -1;
    if (!*mine) {
        *mine = out_reserve(copier->out);
        *(int *)arena_append(copier->out->arena, &copier->queue, &copier->queued, &copier->capacity,
                             sizeof *copier->queue) = number;
    }
    if (*mine > 0)
        out_addf(copier->out, "%d 0 R", *mine);
    else
        out_add(copier->out, "null");
}

static void put_nested(struct copier *copier, pdf_obj *obj, int depth);

static void put_entries(struct copier *copier, pdf_obj *dict, int depth, bool is_stream)
{
    fz_context *ctx = copier->ctx;
    int count = pdf_dict_len(ctx, dict);
    for (int i = 0; i < count; i++) {
        pdf_obj *key = pdf_dict_get_key(ctx, dict, i);
        if (is_stream && pdf_name_eq(ctx, key, PDF_NAME(Length))) continue;
        put_name(copier, key);
        out_add(copier->out, " ");
        put_nested(copier, pdf_dict_get_val(ctx, dict, i), depth + 1);
        out_add(copier->out, " ");
    }
}

static bool is_off(const struct copier *copier, pdf_obj *array)
{
    if (!copier->spot_off_count || strcmp(pdf_array_get_name(copier->ctx, array, 0), "Separation"))
        return false;
    const char *name = pdf_array_get_name(copier->ctx, array, 1);
    for (size_t i = 0; i < copier->spot_off_count; i++)
        if (copier->spots_off[i] && !strcmp(copier->spots_off[i], name)) return true;
    return false;
}

static void put_array(struct copier *copier, pdf_obj *array, int depth)
{
    bool off = is_off(copier, array);
    out_add(copier->out, off ? "[/Separation /None" : "[");
    int count = pdf_array_len(copier->ctx, array);
    for (int i = off ? 2 : 0; i < count; i++) {
        if (i) out_add(copier->out, " ");
        put_nested(copier, pdf_array_get(copier->ctx, array, i), depth + 1);
    }
    out_add(copier->out, "]");
}

static void put_string(struct copier *copier, pdf_obj *obj)
{
    size_t length;
    const char *bytes = pdf_to_string(copier->ctx, obj, &length);
    out_string(copier->out, bytes, length);
}

static void put_nested(struct copier *copier, pdf_obj *obj, int depth)
{
    fz_context *ctx = copier->ctx;
    if (depth > NESTED_MOST) fz_throw(ctx, FZ_ERROR_GENERIC, "objects are nested too deeply");
    if (pdf_is_indirect(ctx, obj))
        put_reference(copier, obj);
    else if (pdf_is_bool(ctx, obj))
        out_add(copier->out, pdf_to_bool(ctx, obj) ? "true" : "false");
    else if (pdf_is_int(ctx, obj))
        out_addf(copier->out, "%lld", (long long)pdf_to_int64(ctx, obj));
    else if (pdf_is_real(ctx, obj))
        put_real(copier, obj);
    else if (pdf_is_string(ctx, obj))
        put_string(copier, obj);
    else if (pdf_is_name(ctx, obj))
        put_name(copier, obj);
    else if (pdf_is_array(ctx, obj))
        put_array(copier, obj, depth);
    else if (pdf_is_dict(ctx, obj)) {
        out_add(copier->out, "<< ");
        put_entries(copier, obj, depth, false);
        out_add(copier->out, ">>");
    } else
        out_add(copier->out, "null");
}

void copier_put(struct copier *copier, pdf_obj *obj)
{
    put_nested(copier, obj, 0);
}

void copier_raw(struct copier *copier, pdf_obj *stream)
{
    fz_context *ctx = copier->ctx;
    unsigned char *piece = arena_take(copier->out->arena, PIECE);
    fz_stream *bytes = pdf_open_raw_stream(ctx, stream);
    fz_try(ctx) for (size_t got; (got = fz_read(ctx, bytes, piece, PIECE));)
        out_bytes(copier->out, piece, got);
    fz_always(ctx) fz_drop_stream(ctx, bytes);
    fz_catch(ctx) fz_rethrow(ctx);
}

static void copy_one(struct copier *copier, int number)
{
    fz_context *ctx = copier->ctx;
    pdf_obj *reference = pdf_new_indirect(ctx, copier->doc, number, 0);
    fz_try(ctx)
    {
        pdf_obj *obj = pdf_resolve_indirect_chain(ctx, reference);
        out_begin(copier->out, copier->numbers[number]);
        if (pdf_is_stream(ctx, reference)) {
            out_add(copier->out, "<< ");
            put_entries(copier, obj, 0, true);
            out_stream(copier->out);
            copier_raw(copier, reference);
            out_end_stream(copier->out);
        } else {
            copier_put(copier, obj);
            out_end(copier->out);
        }
    }
    fz_always(ctx) pdf_drop_obj(ctx, reference);
    fz_catch(ctx) fz_rethrow(ctx);
}

void copier_drain(struct copier *copier)
{
    while (copier->done < copier->queued) copy_one(copier, copier->queue[copier->done++]);
}
