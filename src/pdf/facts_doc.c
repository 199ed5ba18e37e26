/* What holds for the whole document: layers that are off, and what it was made for. */
#include "facts_build.h"
#include "steps.h"
#include "pdf/facts.h"
#include "base/sentence.h"
#include "base/arena.h"
#include <string.h>

enum { PROFILE_MOST = 32 << 20 };

static void read_layers(fz_context *ctx, pdf_document *doc, struct builder *builder)
{
    pdf_obj *layers = pdf_dict_getp(ctx, pdf_trailer(ctx, doc), "Root/OCProperties/OCGs");
    int count = pdf_array_len(ctx, layers);
    for (int i = 0; i < count; i++) {
        pdf_obj *layer = pdf_array_get(ctx, layers, i);
        const char *name = pdf_dict_get_text_string(ctx, layer, PDF_NAME(Name)), *group, *type;
        if (pdf_is_ocg_hidden(ctx, doc, NULL, "Print", layer))
            names_add(builder->arena, &builder->layers, name);
        else if (step_of_layer(ctx, layer, &group, &type))
            names_add(builder->arena, &builder->steps,
                      arena_format(builder->arena, "%s%s%s, layer %s", group, *type ? " " : "", type, name));
    }
}

static void document_read_profile(fz_context *ctx, pdf_obj *stream, struct builder *builder)
{
    fz_buffer *bytes = NULL;
    fz_var(bytes);
    fz_try(ctx)
    {
        bytes = pdf_load_stream(ctx, stream);
        if (bytes->len && bytes->len <= PROFILE_MOST) {
            builder->facts.output_intent_profile =
                (unsigned char *)arena_copy(builder->arena, (const char *)bytes->data, bytes->len);
            builder->facts.output_intent_profile_size = bytes->len;
        }
    }
    fz_always(ctx) fz_drop_buffer(ctx, bytes);
    fz_catch(ctx)
        names_add(builder->arena, &builder->remarks, sentence_plain("profile-in-files-output-intent-cannot"));
}

/* ISO 32000-1, 14.11.5: the identifier, else what it says of itself. Intents for print come first. */
static void read_intent(fz_context *ctx, pdf_document *doc, struct builder *builder)
{
    pdf_obj *intents = pdf_dict_getp(ctx, pdf_trailer(ctx, doc), "Root/OutputIntents");
    int count = pdf_array_len(ctx, intents);
    pdf_obj *intent = pdf_array_get(ctx, intents, 0);
    for (int i = count - 1; i >= 0; i--) {
        pdf_obj *other = pdf_array_get(ctx, intents, i);
        if (!strcmp(pdf_to_name(ctx, pdf_dict_get(ctx, other, PDF_NAME(S))), "GTS_PDFX")) intent = other;
    }
    if (!intent) return;
    const char *identifier = pdf_to_text_string(ctx, pdf_dict_gets(ctx, intent, "OutputConditionIdentifier"));
    if (!*identifier) identifier = pdf_to_text_string(ctx, pdf_dict_gets(ctx, intent, "OutputCondition"));
    if (!*identifier) identifier = pdf_to_text_string(ctx, pdf_dict_gets(ctx, intent, "Info"));
    builder->facts.output_intent =
        arena_copy_string(builder->arena, *identifier ? identifier : "(without a name)");
    pdf_obj *profile = pdf_dict_get(ctx, intent, PDF_NAME(DestOutputProfile));
    if (profile) document_read_profile(ctx, profile, builder);
}

void document_read(struct mu *mu, pdf_document *doc, struct builder *builder)
{
    read_layers(mu->ctx, doc, builder);
    read_intent(mu->ctx, doc, builder);
}

/* Flags of table 165: bit 2 hides, bit 3 prints. A link and a popup never print. */
static bool prints(fz_context *ctx, pdf_obj *annotation)
{
    enum { HIDDEN = 2, PRINT = 4 };
    const char *kind = pdf_to_name(ctx, pdf_dict_get(ctx, annotation, PDF_NAME(Subtype)));
    int flags = pdf_dict_get_int(ctx, annotation, PDF_NAME(F));
    return (flags & PRINT) && !(flags & HIDDEN) && strcmp(kind, "Link") != 0 && strcmp(kind, "Popup") != 0;
}

static const char *annotation_words(fz_context *ctx, pdf_obj *annotation, struct arena *arena)
{
    enum { WORDS_MOST = 80 };
    pdf_obj *words = pdf_dict_get(ctx, annotation, PDF_NAME(Contents));
    if (!words) words = pdf_dict_get(ctx, annotation, PDF_NAME(V)); /* a field's value */
    const char *text = pdf_is_string(ctx, words) ? pdf_to_text_string(ctx, words) : "";
    size_t length = strlen(text);
    if (length <= WORDS_MOST) return arena_copy_string(arena, text);
    for (length = WORDS_MOST; length && ((unsigned char)text[length] & 0xC0) == 0x80;) length--;
    return arena_copy(arena, text, length);
}

void annotations_read(struct mu *mu, const struct mu_page *page, struct builder *builder)
{
    fz_context *ctx = mu->ctx;
    pdf_obj *annotations = pdf_dict_get(ctx, page->object, PDF_NAME(Annots));
    int count = pdf_array_len(ctx, annotations);
    for (int i = 0; i < count && builder->annotation_count < PDF_NAMES_MOST; i++) {
        pdf_obj *one = pdf_array_get(ctx, annotations, i);
        if (!prints(ctx, one)) continue;
        fz_rect r = pdf_dict_get_rect(ctx, one, PDF_NAME(Rect));
        struct annotation_facts facts = {
            .box = affine_apply_rect(page->to_mm, (struct rect){r.x0, r.y0, r.x1, r.y1}),
            .kind = arena_copy_string(builder->arena,
                                      pdf_to_name(ctx, pdf_dict_get(ctx, one, PDF_NAME(Subtype)))),
            .words = annotation_words(ctx, one, builder->arena)};
        *(struct annotation_facts *)arena_append(builder->arena, &builder->annotations,
                                                 &builder->annotation_count, &builder->annotation_capacity,
                                                 sizeof facts) = facts;
    }
}
