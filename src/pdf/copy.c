/* Copies objects of a source PDF into the file being written, and mutes colorants that are not ink. Called
 * by embed.c and the writer of panels, in the reader child. */
#include "copy.h"
#include "base/sentence.h"
#include "base/arena.h"
#include <string.h>

enum { NESTED_MOST = 200, PIECE = 1 << 16 };

struct copier copier_new(fz_context *ctx, pdf_document *doc, struct out *out)
{
    struct copier copier = {.ctx = ctx, .doc = doc, .out = out, .length = pdf_xref_len(ctx, doc)};
    copier.numbers = arena_take_array(out->arena, (size_t)copier.length + 1, sizeof *copier.numbers);
    return copier;
}

static void copy_put_name(struct copier *copier, pdf_obj *obj)
{
    out_name(copier->out, pdf_to_name(copier->ctx, obj));
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
        copy_put_name(copier, key);
        out_add(copier->out, " ");
        put_nested(copier, pdf_dict_get_val(ctx, dict, i), depth + 1);
        out_add(copier->out, " ");
    }
}

/* ---- spot colours that are no ink ---- */

static bool copy_is_off(const struct copier *copier, const char *name)
{
    for (size_t i = 0; i < copier->spot_off_count; i++)
        if (copier->spots_off[i] && !strcmp(copier->spots_off[i], name)) return true;
    return false;
}

/* How many of a DeviceN space's colorants are off. */
static int count_off(const struct copier *copier, pdf_obj *names)
{
    int off = 0, count = pdf_array_len(copier->ctx, names);
    for (int i = 0; i < count; i++) off += copy_is_off(copier, pdf_array_get_name(copier->ctx, names, i));
    return off;
}

/* The tint transform of a space with inks beside those that are off. Nothing to do with functions of one
 * input, which no such space has. */
static void put_muted(struct copier *copier, pdf_obj *function, pdf_obj *names)
{
    struct muted *muted = arena_append(copier->out->arena, &copier->muted, &copier->muted_count,
                                       &copier->muted_capacity, sizeof *copier->muted);
    *muted = (struct muted){out_reserve(copier->out), function, names};
    out_addf(copier->out, " %d 0 R", muted->number);
}

/* A function that may have several inputs: sampled, or a program (7.10). */
static bool is_of_many(const struct copier *copier, pdf_obj *function)
{
    int type = pdf_dict_get_int(copier->ctx, function, PDF_NAME(FunctionType));
    return pdf_is_stream(copier->ctx, function) && (type == 0 || type == 4);
}

/* Entry `index` of a colour space's array; false: it is to be copied as it is. Colorants that are all off paint
 * nothing under the name None (8.6.6.5); others must not count in the tint transform. */
static bool put_silenced(struct copier *copier, pdf_obj *array, int index)
{
    fz_context *ctx = copier->ctx;
    if (!copier->spot_off_count || (index != 1 && index != 3)) return false;
    const char *family = pdf_array_get_name(ctx, array, 0);
    bool single = !strcmp(family, "Separation");
    if (single && index == 1 && copy_is_off(copier, pdf_array_get_name(ctx, array, 1)))
        return out_add(copier->out, " /None"), true;
    if (single || strcmp(family, "DeviceN")) return false;
    pdf_obj *names = pdf_array_get(ctx, array, 1), *function = pdf_array_get(ctx, array, 3);
    int count = pdf_array_len(ctx, names), off = count_off(copier, names);
    if (!off || (index == 3 && (off == count || !is_of_many(copier, function)))) return false;
    if (index == 3) return put_muted(copier, function, names), true;
    if (off < count) return false;
    out_add(copier->out, " [");
    for (int i = 0; i < count; i++) out_add(copier->out, " /None");
    return out_add(copier->out, " ]"), true;
}

static void put_array(struct copier *copier, pdf_obj *array, int depth)
{
    out_add(copier->out, "[");
    int count = pdf_array_len(copier->ctx, array);
    for (int i = 0; i < count; i++) {
        if (put_silenced(copier, array, i)) continue;
        if (i) out_add(copier->out, " ");
        put_nested(copier, pdf_array_get(copier->ctx, array, i), depth + 1);
    }
    out_add(copier->out, "]");
}

static void copy_put_string(struct copier *copier, pdf_obj *obj)
{
    size_t length;
    const char *bytes = pdf_to_string(copier->ctx, obj, &length);
    out_string(copier->out, bytes, length);
}

static void put_nested(struct copier *copier, pdf_obj *obj, int depth)
{
    fz_context *ctx = copier->ctx;
    if (depth > NESTED_MOST) fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("objects-too-deep"));
    if (pdf_is_indirect(ctx, obj))
        put_reference(copier, obj);
    else if (pdf_is_bool(ctx, obj))
        out_add(copier->out, pdf_to_bool(ctx, obj) ? "true" : "false");
    else if (pdf_is_int(ctx, obj))
        out_addf(copier->out, "%lld", (long long)pdf_to_int64(ctx, obj));
    else if (pdf_is_real(ctx, obj))
        put_real(copier, obj);
    else if (pdf_is_string(ctx, obj))
        copy_put_string(copier, obj);
    else if (pdf_is_name(ctx, obj))
        copy_put_name(copier, obj);
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

/* The function's entries but Length and `but` (ended by NULL). */
static void put_entries_but(struct copier *copier, pdf_obj *dict, const char *const *but)
{
    fz_context *ctx = copier->ctx;
    int count = pdf_dict_len(ctx, dict);
    for (int i = 0; i < count; i++) {
        pdf_obj *key = pdf_dict_get_key(ctx, dict, i);
        bool left = pdf_name_eq(ctx, key, PDF_NAME(Length));
        for (size_t k = 0; but[k]; k++) left |= !strcmp(pdf_to_name(ctx, key), but[k]);
        if (left) continue;
        copy_put_name(copier, key);
        out_add(copier->out, " ");
        put_nested(copier, pdf_dict_get_val(ctx, dict, i), 1);
        out_add(copier->out, " ");
    }
}

/* Sampled: of an input that is off, the samples where it is least are taken, by its Encode (7.10.2). */
static void put_sampled(struct copier *copier, const struct muted *muted)
{
    fz_context *ctx = copier->ctx;
    pdf_obj *encode = pdf_dict_gets(ctx, muted->function, "Encode");
    pdf_obj *sizes = pdf_dict_get(ctx, muted->function, PDF_NAME(Size));
    int count = pdf_array_len(ctx, muted->names);
    put_entries_but(copier, muted->function, (const char *const[]){"Encode", NULL});
    out_add(copier->out, "/Encode [");
    for (int i = 0; i < count; i++) {
        double low = encode ? (double)pdf_array_get_real(ctx, encode, 2 * i) : 0;
        double high = encode ? (double)pdf_array_get_real(ctx, encode, 2 * i + 1)
                             : (double)(pdf_array_get_int(ctx, sizes, i) - 1);
        double pair[] = {low, copy_is_off(copier, pdf_array_get_name(ctx, muted->names, i)) ? low : high};
        out_add(copier->out, " ");
        out_numbers(copier->out, pair, 2, 6);
    }
    out_add(copier->out, " ]");
    out_stream(copier->out);
    copier_raw(copier, muted->function);
    out_end_stream(copier->out);
}

/* A program (type 4): it begins by writing 0 over each input that is off. (A Domain of one value would say the
 * same, but Ghostscript does not clip inputs of programs to theirs.) */
static void put_program(struct copier *copier, const struct muted *muted)
{
    fz_context *ctx = copier->ctx;
    struct text program = text_new(copier->out->arena);
    int count = pdf_array_len(ctx, muted->names);
    fz_buffer *own = pdf_load_stream(ctx, muted->function);
    const unsigned char *from = memchr(own->data, '{', own->len);
    size_t skipped = from ? (size_t)(from - own->data) + 1 : own->len;
    text_add(&program, "{");
    for (int i = 0; i < count; i++)
        if (copy_is_off(copier, pdf_array_get_name(ctx, muted->names, i)))
            text_say(&program, "count-1-roll-pop-0-count", ARGUMENTS(arg_count("count", count - i)));
    text_add(&program, " ");
    text_add_bytes(&program, (const char *)own->data + skipped, own->len - skipped);
    fz_drop_buffer(ctx, own);
    put_entries_but(copier, muted->function, (const char *const[]){"Filter", "DecodeParms", NULL});
    out_deflated(copier->out, text_string(&program), program.length);
}

static void copy_muted(struct copier *copier, const struct muted *muted)
{
    bool sampled = pdf_dict_get_int(copier->ctx, muted->function, PDF_NAME(FunctionType)) == 0;
    out_begin(copier->out, muted->number);
    out_add(copier->out, "<< ");
    (sampled ? put_sampled : put_program)(copier, muted);
}

void copier_drain(struct copier *copier)
{
    while (copier->done < copier->queued || copier->muted_done < copier->muted_count)
        if (copier->done < copier->queued)
            copy_one(copier, copier->queue[copier->done++]);
        else
            copy_muted(copier, &copier->muted[copier->muted_done++]);
}
