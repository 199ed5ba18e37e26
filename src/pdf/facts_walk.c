/* Walks what a page draws, as a PDF interpreter would, and notes what is used and how large it comes out.
 * Forms, patterns and soft masks are followed, each with its own resources and place. */
#include "facts_build.h"
#include "base/sentence.h"
#include "pdf/facts.h"
#include "base/arena.h"
#include "base/units.h"
#include <math.h>
#include <string.h>

/* Bounds: forms inside forms, forms drawn in all (a form drawing another twice, and so on, doubles with
 * each level), saved graphics states. */
enum { NESTED_MOST = 28, DRAWN_MOST = 50000, STATES_MOST = 2000 };

struct walk_paint {
    pdf_obj *space; /* borrowed; NULL: `device` */
    pdf_obj *resources;
    const char *device;
    pdf_obj *pattern;
    float sum; /* of the values */
    int count; /* of values */
    bool used;
};

struct graphics_state {
    struct affine ctm; /* to page millimetres */
    struct walk_paint fill, stroke;
    bool overprint_fill, overprint_stroke;
    pdf_obj *font;
    int text_mode;
};

struct page_walk {
    pdf_processor super; /* first: MuPDF's calls come with this address */
    pdf_document *doc;
    struct builder *builder;
    pdf_obj *resources; /* of the stream at work */
    struct affine base; /* of the stream at work: patterns are placed by it */
    struct graphics_state states[STATES_MOST];
    size_t depth, lost; /* states[depth] is the current one; `lost`: saved beyond STATES_MOST */
    size_t floor;       /* Q does not go below this */
    int nested;
    int drawn;
    bool in_glyph;
    pdf_obj *path[NESTED_MOST]; /* the streams at work, to find loops */
    int *done; /* object numbers of patterns, fonts and soft masks that were walked; see first_number */
    size_t done_count, done_capacity;
};

static struct page_walk *walk_of(pdf_processor *processor)
{
    return (struct page_walk *)processor;
}

static struct graphics_state *now(struct page_walk *walk)
{
    return &walk->states[walk->depth];
}

static pdf_obj *resource(fz_context *ctx, const struct page_walk *walk, pdf_obj *kind, const char *name)
{
    return pdf_dict_gets(ctx, pdf_dict_get(ctx, walk->resources, kind), name);
}

/* Negative for resources whose pictures were left out. */
static bool first_number(struct page_walk *walk, int number)
{
    for (size_t i = 0; i < walk->done_count; i++)
        if (walk->done[i] == number) return false;
    *(int *)arena_append(walk->builder->arena, &walk->done, &walk->done_count, &walk->done_capacity,
                         sizeof *walk->done) = number;
    return true;
}

/* True the first time. Objects without a number are walked each time; the bounds hold them. */
static bool first_time(fz_context *ctx, struct page_walk *walk, pdf_obj *object)
{
    int number = pdf_to_num(ctx, object);
    return !number || first_number(walk, number);
}

static bool at_work(fz_context *ctx, const struct page_walk *walk, pdf_obj *stream)
{
    for (int i = 0; i < walk->nested; i++)
        if (walk->path[i] == stream || !pdf_objcmp_resolve(ctx, walk->path[i], stream)) return true;
    return false;
}

/* A large picture's bytes need not come in to be told of: MuPDF would load them, packed as they are, with the
 * picture's entries. Into others than Flate's it looks, so those stay. */
static void leave_bytes_out(fz_context *ctx, pdf_document *doc, pdf_obj *image)
{
    enum { LARGE_BYTES = 1 << 20 };
    pdf_obj *filter = pdf_dict_get(ctx, image, PDF_NAME(Filter));
    if (pdf_array_len(ctx, filter) == 1) filter = pdf_array_get(ctx, filter, 0);
    if (!pdf_is_stream(ctx, image) || !pdf_name_eq(ctx, filter, PDF_NAME(FlateDecode)) ||
        !pdf_name_eq(ctx, pdf_dict_get(ctx, image, PDF_NAME(Subtype)), PDF_NAME(Image)) ||
        pdf_dict_get_int(ctx, image, PDF_NAME(Length)) < LARGE_BYTES)
        return;
    fz_buffer *none = fz_new_buffer(ctx, 1);
    fz_try(ctx) pdf_update_stream(ctx, doc, image, none, 1);
    fz_always(ctx) fz_drop_buffer(ctx, none);
    fz_catch(ctx) fz_rethrow(ctx);
}

/* Once for all that share the resources, or draw the stream that they are inside of: there may be thousands
 * of either. */
static void leave_pictures_out(fz_context *ctx, struct page_walk *walk, pdf_obj *stream, pdf_obj *resources)
{
    int number = pdf_to_num(ctx, resources) ? pdf_to_num(ctx, resources) : pdf_to_num(ctx, stream);
    if (number && !first_number(walk, -number)) return;
    pdf_obj *objects = pdf_dict_get(ctx, resources, PDF_NAME(XObject));
    int count = pdf_dict_len(ctx, objects);
    for (int i = 0; i < count; i++) {
        pdf_obj *object = pdf_dict_get_val(ctx, objects, i);
        leave_bytes_out(ctx, walk->doc, pdf_dict_get(ctx, object, PDF_NAME(SMask)));
        leave_bytes_out(ctx, walk->doc, object);
    }
}

/* Runs a content stream with its own resources and place, and comes back to where we were. */
static void walk_enter(fz_context *ctx, struct page_walk *walk, pdf_obj *stream, pdf_obj *resources,
                       struct affine ctm)
{
    if (at_work(ctx, walk, stream))
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("drawing-in-itself"));
    if (walk->nested >= NESTED_MOST || walk->depth + 1 >= STATES_MOST) return;
    if (++walk->drawn > DRAWN_MOST) {
        char words[120];
        sentence_into(words, sizeof words, "drawings-too-many", ARGUMENTS(arg_count("most", DRAWN_MOST)));
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", words);
    }
    pdf_obj *outer_resources = walk->resources;
    struct affine outer_base = walk->base;
    size_t outer_depth = walk->depth, outer_floor = walk->floor, outer_lost = walk->lost;
    walk->path[walk->nested++] = stream;
    walk->states[walk->depth + 1] = *now(walk);
    walk->floor = ++walk->depth;
    walk->lost = 0;
    walk->resources = resources ? resources : outer_resources;
    now(walk)->ctm = walk->base = ctm;
    fz_try(ctx)
    {
        if (resources) leave_pictures_out(ctx, walk, stream, resources);
        pdf_process_contents(ctx, &walk->super, walk->doc, walk->resources, stream, NULL);
    }
    fz_always(ctx)
    {
        walk->nested--;
        walk->resources = outer_resources;
        walk->base = outer_base;
        walk->depth = outer_depth;
        walk->floor = outer_floor;
        walk->lost = outer_lost;
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static struct affine form_place(fz_context *ctx, pdf_obj *form, struct affine ctm)
{
    return affine_then(mu_affine(pdf_dict_get_matrix(ctx, form, PDF_NAME(Matrix))), ctm);
}

static void enter_form(fz_context *ctx, struct page_walk *walk, pdf_obj *form, struct affine ctm)
{
    walk_enter(ctx, walk, form, pdf_dict_get(ctx, form, PDF_NAME(Resources)), form_place(ctx, form, ctm));
}

/* ---- what is painted ---- */

static void use_pattern(fz_context *ctx, struct page_walk *walk, struct walk_paint *paint)
{
    pdf_obj *shading = pdf_dict_get(ctx, paint->pattern, PDF_NAME(Shading));
    if (shading)
        space_use(walk->builder,
                  space_read(ctx, walk->builder, pdf_dict_get(ctx, shading, PDF_NAME(ColorSpace)),
                             paint->resources));
    else if (pdf_is_stream(ctx, paint->pattern) &&
             (first_time(ctx, walk, paint->pattern) || at_work(ctx, walk, paint->pattern)))
        enter_form(ctx, walk, paint->pattern, walk->base);
}

static struct space paint_space(fz_context *ctx, struct page_walk *walk, const struct walk_paint *paint)
{
    if (paint->space) return space_read(ctx, walk->builder, paint->space, paint->resources);
    return space_named(ctx, paint->device, paint->resources);
}

/* White: no ink in spots and CMYK, all light in RGB and grey. */
static bool walk_is_white(const struct walk_paint *paint, struct space space)
{
    if (paint->pattern || !paint->count) return false;
    if (space.kind == COLOUR_CMYK || space.kind == COLOUR_SPOT) return paint->sum <= 0;
    return (space.kind == COLOUR_RGB || space.kind == COLOUR_GREY) && paint->sum >= (float)paint->count;
}

static void use_paint(fz_context *ctx, struct page_walk *walk, struct walk_paint *paint, bool overprints)
{
    struct artwork_facts *facts = &walk->builder->facts;
    if (walk->super.hidden) return;
    facts->overprints |= overprints;
    if (paint->used && (!overprints || facts->white_overprints)) return;
    struct space space = paint_space(ctx, walk, paint);
    facts->white_overprints |= overprints && walk_is_white(paint, space);
    if (paint->used) return;
    paint->used = true;
    bool coloured_pattern = paint->pattern && pdf_dict_get_int(ctx, paint->pattern, PDF_NAME(PaintType)) != 2;
    if (!coloured_pattern) space_use(walk->builder, space);
    if (paint->pattern) use_pattern(ctx, walk, paint);
}

static void walk_fill(fz_context *ctx, pdf_processor *processor)
{
    struct page_walk *walk = walk_of(processor);
    use_paint(ctx, walk, &now(walk)->fill, now(walk)->overprint_fill);
}

static void stroke(fz_context *ctx, pdf_processor *processor)
{
    struct page_walk *walk = walk_of(processor);
    use_paint(ctx, walk, &now(walk)->stroke, now(walk)->overprint_stroke);
}

static void fill_and_stroke(fz_context *ctx, pdf_processor *processor)
{
    walk_fill(ctx, processor);
    stroke(ctx, processor);
}

/* ---- colour operators ---- */

static void set_device(pdf_processor *p, bool fills, const char *device, float sum, int count)
{
    struct page_walk *walk = walk_of(p);
    struct walk_paint *paint = fills ? &now(walk)->fill : &now(walk)->stroke;
    *paint = (struct walk_paint){.device = device, .resources = walk->resources, .sum = sum, .count = count};
}

static void op_g(fz_context *ctx, pdf_processor *p, float g)
{
    (void)ctx;
    set_device(p, true, "DeviceGray", g, 1);
}
static void op_G(fz_context *ctx, pdf_processor *p, float g)
{
    (void)ctx;
    set_device(p, false, "DeviceGray", g, 1);
}
static void op_rg(fz_context *ctx, pdf_processor *p, float r, float g, float b)
{
    (void)ctx;
    set_device(p, true, "DeviceRGB", r + g + b, 3);
}
static void op_RG(fz_context *ctx, pdf_processor *p, float r, float g, float b)
{
    (void)ctx;
    set_device(p, false, "DeviceRGB", r + g + b, 3);
}
static void op_k(fz_context *ctx, pdf_processor *p, float c, float m, float y, float k)
{
    (void)ctx;
    set_device(p, true, "DeviceCMYK", c + m + y + k, 4);
}
static void op_K(fz_context *ctx, pdf_processor *p, float c, float m, float y, float k)
{
    (void)ctx;
    set_device(p, false, "DeviceCMYK", c + m + y + k, 4);
}

static void set_space(fz_context *ctx, struct page_walk *walk, struct walk_paint *paint, const char *name)
{
    *paint = (struct walk_paint){.space = resource(ctx, walk, PDF_NAME(ColorSpace), name),
                                 .resources = walk->resources};
    if (paint->space) return;
    static const char *const device[] = {"DeviceGray", "DeviceRGB", "DeviceCMYK", "Pattern"};
    paint->device = "DeviceGray";
    for (size_t i = 0; i < sizeof device / sizeof *device; i++)
        if (!strcmp(name, device[i])) paint->device = device[i];
}
static void op_cs(fz_context *ctx, pdf_processor *p, const char *name, fz_colorspace *cs)
{
    (void)cs;
    set_space(ctx, walk_of(p), &now(walk_of(p))->fill, name);
}
static void op_CS(fz_context *ctx, pdf_processor *p, const char *name, fz_colorspace *cs)
{
    (void)cs;
    set_space(ctx, walk_of(p), &now(walk_of(p))->stroke, name);
}

static void set_values(struct walk_paint *paint, int n, const float *values)
{
    paint->pattern = NULL;
    paint->used = false;
    paint->count = n;
    paint->sum = 0;
    for (int i = 0; i < n; i++) paint->sum += values[i];
}
static void op_sc(fz_context *ctx, pdf_processor *p, int n, float *values)
{
    (void)ctx;
    set_values(&now(walk_of(p))->fill, n, values);
}
static void op_SC(fz_context *ctx, pdf_processor *p, int n, float *values)
{
    (void)ctx;
    set_values(&now(walk_of(p))->stroke, n, values);
}

static void set_pattern(fz_context *ctx, struct page_walk *walk, struct walk_paint *paint, const char *name)
{
    paint->pattern = resource(ctx, walk, PDF_NAME(Pattern), name);
    paint->resources = walk->resources;
    paint->used = false;
}
static void op_sc_pattern(fz_context *ctx, pdf_processor *p, const char *name, pdf_pattern *pattern, int n,
                          float *values)
{
    (void)pattern, (void)n, (void)values;
    set_pattern(ctx, walk_of(p), &now(walk_of(p))->fill, name);
}
static void op_SC_pattern(fz_context *ctx, pdf_processor *p, const char *name, pdf_pattern *pattern, int n,
                          float *values)
{
    (void)pattern, (void)n, (void)values;
    set_pattern(ctx, walk_of(p), &now(walk_of(p))->stroke, name);
}
static void op_sc_shade(fz_context *ctx, pdf_processor *p, const char *name, fz_shade *shade)
{
    (void)shade;
    set_pattern(ctx, walk_of(p), &now(walk_of(p))->fill, name);
}
static void op_SC_shade(fz_context *ctx, pdf_processor *p, const char *name, fz_shade *shade)
{
    (void)shade;
    set_pattern(ctx, walk_of(p), &now(walk_of(p))->stroke, name);
}

static void op_sh(fz_context *ctx, pdf_processor *p, const char *name, fz_shade *shade)
{
    (void)shade;
    struct page_walk *walk = walk_of(p);
    if (p->hidden) return;
    pdf_obj *shading = resource(ctx, walk, PDF_NAME(Shading), name);
    space_use(walk->builder, space_read(ctx, walk->builder, pdf_dict_get(ctx, shading, PDF_NAME(ColorSpace)),
                                        walk->resources));
}

/* ---- graphics state ---- */

static void op_q(fz_context *ctx, pdf_processor *p)
{
    (void)ctx;
    struct page_walk *walk = walk_of(p);
    if (walk->depth + 1 >= STATES_MOST - NESTED_MOST) {
        walk->lost++;
        return;
    }
    walk->states[walk->depth + 1] = *now(walk);
    walk->depth++;
}

static void op_Q(fz_context *ctx, pdf_processor *p)
{
    (void)ctx;
    struct page_walk *walk = walk_of(p);
    if (walk->lost)
        walk->lost--;
    else if (walk->depth > walk->floor)
        walk->depth--;
}

static void op_cm(fz_context *ctx, pdf_processor *p, float a, float b, float c, float d, float e, float f)
{
    (void)ctx;
    struct graphics_state *state = now(walk_of(p));
    state->ctm = affine_then((struct affine){a, b, c, d, e, f}, state->ctm);
}

static bool walk_is_named(fz_context *ctx, pdf_obj *obj, const char *one, const char *other)
{
    return pdf_is_name(ctx, obj) &&
           (!strcmp(pdf_to_name(ctx, obj), one) || !strcmp(pdf_to_name(ctx, obj), other));
}

/* Table 58: transfer functions and halftones that are not the device's own. */
static bool has_transfer(fz_context *ctx, pdf_obj *gs)
{
    pdf_obj *tr = pdf_dict_gets(ctx, gs, "TR"), *tr2 = pdf_dict_gets(ctx, gs, "TR2"),
            *ht = pdf_dict_gets(ctx, gs, "HT");
    if (tr2) tr = tr2; /* TR2 takes precedence */
    return (tr && !walk_is_named(ctx, tr, "Identity", "Default")) ||
           (ht && !walk_is_named(ctx, ht, "Default", "Default"));
}

static bool is_transparent(fz_context *ctx, pdf_obj *gs)
{
    pdf_obj *ca = pdf_dict_gets(ctx, gs, "ca"), *CA = pdf_dict_gets(ctx, gs, "CA"),
            *bm = pdf_dict_gets(ctx, gs, "BM"), *mask = pdf_dict_get(ctx, gs, PDF_NAME(SMask));
    return (ca && pdf_to_real(ctx, ca) < 1) || (CA && pdf_to_real(ctx, CA) < 1) ||
           (bm && !walk_is_named(ctx, bm, "Normal", "Compatible")) || pdf_is_dict(ctx, mask);
}

static void op_gs_begin(fz_context *ctx, pdf_processor *p, const char *name, pdf_obj *gs)
{
    (void)name;
    struct page_walk *walk = walk_of(p);
    struct graphics_state *state = now(walk);
    pdf_obj *OP = pdf_dict_gets(ctx, gs, "OP"), *op = pdf_dict_gets(ctx, gs, "op");
    if (OP) state->overprint_stroke = pdf_to_bool(ctx, OP);
    if (op || OP) state->overprint_fill = pdf_to_bool(ctx, op ? op : OP);
    if (p->hidden) return;
    struct artwork_facts *facts = &walk->builder->facts;
    facts->has_transfer |= has_transfer(ctx, gs);
    facts->uses_transparency |= is_transparent(ctx, gs);
    pdf_obj *group = pdf_dict_get(ctx, pdf_dict_get(ctx, gs, PDF_NAME(SMask)), PDF_NAME(G));
    if (group && (first_time(ctx, walk, group) || at_work(ctx, walk, group)))
        enter_form(ctx, walk, group, state->ctm);
}

/* ---- letters ---- */

static bool is_embedded(fz_context *ctx, pdf_obj *descriptor)
{
    return pdf_dict_get(ctx, descriptor, PDF_NAME(FontFile)) ||
           pdf_dict_get(ctx, descriptor, PDF_NAME(FontFile2)) ||
           pdf_dict_get(ctx, descriptor, PDF_NAME(FontFile3));
}

/* Type 3 letters are drawings: their colours count. Where a picture in one lands is not followed. */
static void walk_letters(fz_context *ctx, struct page_walk *walk, pdf_obj *font)
{
    if (walk->in_glyph) return;
    walk->in_glyph = true;
    pdf_obj *letters = pdf_dict_get(ctx, font, PDF_NAME(CharProcs));
    fz_try(ctx)
    {
        int count = pdf_dict_len(ctx, letters);
        for (int i = 0; i < count; i++)
            walk_enter(ctx, walk, pdf_dict_get_val(ctx, letters, i),
                       pdf_dict_get(ctx, font, PDF_NAME(Resources)), now(walk)->ctm);
    }
    fz_always(ctx) walk->in_glyph = false;
    fz_catch(ctx) fz_rethrow(ctx);
}

static void use_font(fz_context *ctx, struct page_walk *walk, pdf_obj *font)
{
    if (!font || walk->super.hidden || !first_time(ctx, walk, font)) return;
    pdf_obj *subtype = pdf_dict_get(ctx, font, PDF_NAME(Subtype)), *held = font;
    if (pdf_name_eq(ctx, subtype, PDF_NAME(Type3))) {
        walk_letters(ctx, walk, font);
        return;
    }
    if (pdf_name_eq(ctx, subtype, PDF_NAME(Type0)))
        held = pdf_array_get(ctx, pdf_dict_get(ctx, font, PDF_NAME(DescendantFonts)), 0);
    if (is_embedded(ctx, pdf_dict_get(ctx, held, PDF_NAME(FontDescriptor)))) return;
    const char *name = pdf_dict_get_name(ctx, font, PDF_NAME(BaseFont));
    names_add(walk->builder->arena, &walk->builder->fonts, *name ? name : "(without a name)");
}

static void op_Tf(fz_context *ctx, pdf_processor *p, const char *name, pdf_font_desc *font, float size)
{
    (void)font, (void)size;
    now(walk_of(p))->font = resource(ctx, walk_of(p), PDF_NAME(Font), name);
}

static void op_Tr(fz_context *ctx, pdf_processor *p, int mode)
{
    (void)ctx;
    now(walk_of(p))->text_mode = mode;
}

/* Table 106: modes 3 and 7 show nothing. */
static void walk_show_text(fz_context *ctx, pdf_processor *p)
{
    struct page_walk *walk = walk_of(p);
    int mode = now(walk)->text_mode & 3;
    if (mode == 3) return;
    if (mode != 1) walk_fill(ctx, p);
    if (mode) stroke(ctx, p);
    use_font(ctx, walk, now(walk)->font);
}
static void op_TJ(fz_context *ctx, pdf_processor *p, pdf_obj *array)
{
    (void)array;
    walk_show_text(ctx, p);
}
static void op_Tj(fz_context *ctx, pdf_processor *p, char *text, size_t length)
{
    (void)text;
    if (length) walk_show_text(ctx, p);
}
static void op_dquote(fz_context *ctx, pdf_processor *p, float aw, float ac, char *text, size_t length)
{
    (void)aw, (void)ac;
    op_Tj(ctx, p, text, length);
}

/* ---- pictures and forms ---- */

static void note_image(struct page_walk *walk, struct image_facts image)
{
    struct affine m = now(walk)->ctm;
    double across = hypot(m.a, m.b), up = hypot(m.c, m.d);
    if (walk->in_glyph || !(across > 1e-6) || !(up > 1e-6) || !affine_is_finite(m)) return;
    struct builder *builder = walk->builder;
    if (builder->image_count == PDF_IMAGES_MOST) {
        builder->images_cut = true;
        return;
    }
    image.box = affine_apply_rect(m, (struct rect){0, 0, 1, 1});
    image.ppi_on_page = fmin(image.width_px * MM_PER_INCH / across, image.height_px * MM_PER_INCH / up);
    *(struct image_facts *)arena_append(builder->arena, &builder->images, &builder->image_count,
                                        &builder->image_capacity, sizeof image) = image;
}

static enum colour_kind walk_kind_of(fz_context *ctx, fz_colorspace *space)
{
    switch (fz_colorspace_type(ctx, space)) {
    case FZ_COLORSPACE_GRAY:
        return COLOUR_GREY;
    case FZ_COLORSPACE_RGB:
    case FZ_COLORSPACE_BGR:
        return COLOUR_RGB;
    case FZ_COLORSPACE_CMYK:
        return COLOUR_CMYK;
    case FZ_COLORSPACE_LAB:
        return COLOUR_LAB;
    case FZ_COLORSPACE_SEPARATION:
        return COLOUR_SPOT;
    default:
        return COLOUR_OTHER;
    }
}

/* The space of a picture: as its dictionary says, or (JPEG 2000) as its own data says. */
static struct space image_space(fz_context *ctx, struct page_walk *walk, pdf_obj *named,
                                const fz_image *image)
{
    if (named) return space_read(ctx, walk->builder, named, walk->resources);
    struct space space = {.kind = image->colorspace ? walk_kind_of(ctx, image->colorspace) : COLOUR_GREY};
    return space;
}

static struct image_facts image_facts_of(const fz_image *image, struct space space)
{
    return (struct image_facts){.width_px = image->w,
                                .height_px = image->h,
                                .bits = image->bpc,
                                .colour = space.kind,
                                .tagged = space.tagged};
}

static void use_image(fz_context *ctx, pdf_processor *p, const fz_image *image, pdf_obj *named_space)
{
    struct page_walk *walk = walk_of(p);
    if (p->hidden) return;
    if (image->imagemask) {
        walk_fill(ctx, p);
        note_image(walk, image_facts_of(image, (struct space){.kind = COLOUR_GREY, .tagged = true}));
        return;
    }
    struct space space = image_space(ctx, walk, named_space, image);
    space_use(walk->builder, space);
    note_image(walk, image_facts_of(image, space));
    if (!image->mask) return;
    walk->builder->facts.uses_transparency |= !image->mask->imagemask;
    note_image(walk, image_facts_of(image->mask, (struct space){.kind = COLOUR_GREY, .tagged = true}));
}

static void op_Do_image(fz_context *ctx, pdf_processor *p, const char *name, fz_image *image)
{
    pdf_obj *object = resource(ctx, walk_of(p), PDF_NAME(XObject), name);
    use_image(ctx, p, image, pdf_dict_get(ctx, object, PDF_NAME(ColorSpace)));
}

static void op_BI(fz_context *ctx, pdf_processor *p, fz_image *image, const char *name)
{
    pdf_obj *space = name ? resource(ctx, walk_of(p), PDF_NAME(ColorSpace), name) : NULL;
    use_image(ctx, p, image, space);
}

static void op_Do_form(fz_context *ctx, pdf_processor *p, const char *name, pdf_obj *form, pdf_obj *resources)
{
    (void)name, (void)resources;
    struct page_walk *walk = walk_of(p);
    if (!p->hidden) enter_form(ctx, walk, form, now(walk)->ctm);
}

static void set_operators(pdf_processor *p)
{
    p->usage = "Print";
    p->op_q = op_q, p->op_Q = op_Q, p->op_cm = op_cm, p->op_gs_begin = op_gs_begin;
    p->op_f = p->op_F = p->op_fstar = walk_fill;
    p->op_S = p->op_s = stroke;
    p->op_B = p->op_Bstar = p->op_b = p->op_bstar = fill_and_stroke;
    p->op_g = op_g, p->op_rg = op_rg, p->op_k = op_k, p->op_G = op_G, p->op_RG = op_RG, p->op_K = op_K;
    p->op_cs = op_cs, p->op_CS = op_CS, p->op_sc_color = op_sc, p->op_SC_color = op_SC;
    p->op_sc_pattern = op_sc_pattern, p->op_SC_pattern = op_SC_pattern;
    p->op_sc_shade = op_sc_shade, p->op_SC_shade = op_SC_shade, p->op_sh = op_sh;
    p->op_Tf = op_Tf, p->op_Tr = op_Tr, p->op_TJ = op_TJ, p->op_Tj = op_Tj, p->op_squote = op_Tj;
    p->op_dquote = op_dquote;
    p->op_Do_image = op_Do_image, p->op_BI = op_BI, p->op_Do_form = op_Do_form;
}

void walk_page(struct mu *mu, pdf_document *doc, const struct mu_page *page, struct builder *builder)
{
    fz_context *ctx = mu->ctx;
    struct page_walk *walk = pdf_new_processor(ctx, sizeof *walk);
    set_operators(&walk->super);
    walk->doc = doc;
    walk->builder = builder;
    walk->states[0].ctm = walk->base = page->to_mm;
    walk->states[0].fill = walk->states[0].stroke = (struct walk_paint){.device = "DeviceGray"};
    walk->resources = pdf_dict_get_inheritable(ctx, page->object, PDF_NAME(Resources));
    pdf_obj *contents = pdf_dict_get(ctx, page->object, PDF_NAME(Contents));
    fz_try(ctx)
    {
        leave_pictures_out(ctx, walk, contents, walk->resources);
        if (contents) pdf_process_contents(ctx, &walk->super, doc, walk->resources, contents, NULL);
        pdf_close_processor(ctx, &walk->super);
    }
    fz_always(ctx) pdf_drop_processor(ctx, &walk->super);
    fz_catch(ctx) fz_rethrow(ctx);
}
