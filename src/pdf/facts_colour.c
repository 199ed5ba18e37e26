/* Colour spaces: ISO 32000-1, 8.6. */
#include "facts_build.h"
#include "pdf/facts.h"
#include "base/sentence.h"
#include "base/arena.h"
#include <string.h>

enum { NESTED_MOST = 8 };

static bool is_one_of(const char *name, const char *const *names)
{
    for (; *names; names++)
        if (!strcmp(name, *names)) return true;
    return false;
}

static bool is_process(const char *name)
{
    static const char *const process[] = {"Cyan", "Magenta", "Yellow", "Black", NULL};
    return is_one_of(name, process);
}

/* /All is every plate (registration), /None is nothing. */
static bool is_no_ink(const char *name)
{
    static const char *const none[] = {"All", "None", "", NULL};
    return is_one_of(name, none);
}

static bool in_array(fz_context *ctx, pdf_obj *array, const char *name)
{
    int count = pdf_array_len(ctx, array);
    for (int i = 0; i < count; i++)
        if (!strcmp(pdf_array_get_name(ctx, array, i), name)) return true;
    return false;
}

static struct space device(fz_context *ctx, enum colour_kind kind, const char *standing_in,
                           pdf_obj *resources)
{
    pdf_obj *spaces = pdf_dict_get(ctx, resources, PDF_NAME(ColorSpace));
    return (struct space){.kind = kind, .tagged = pdf_dict_gets(ctx, spaces, standing_in) != NULL};
}

static bool named_space(fz_context *ctx, const char *name, pdf_obj *resources, struct space *space)
{
    static const char *const grey[] = {"DeviceGray", "G", "CalGray", NULL};
    static const char *const rgb[] = {"DeviceRGB", "RGB", "CalRGB", NULL};
    static const char *const cmyk[] = {"DeviceCMYK", "CMYK", "CalCMYK", NULL};
    if (is_one_of(name, grey))
        *space = device(ctx, COLOUR_GREY, "DefaultGray", resources);
    else if (is_one_of(name, rgb))
        *space = device(ctx, COLOUR_RGB, "DefaultRGB", resources);
    else if (is_one_of(name, cmyk))
        *space = device(ctx, COLOUR_CMYK, "DefaultCMYK", resources);
    else if (!strcmp(name, "Pattern"))
        *space = (struct space){.kind = COLOUR_OTHER, .tagged = true, .pattern = true};
    else
        return false;
    return true;
}

static bool profile_readable(fz_context *ctx, pdf_obj *stream)
{
    fz_buffer *bytes = NULL;
    bool readable = false;
    fz_var(bytes);
    fz_var(readable);
    fz_try(ctx)
    {
        bytes = pdf_load_stream(ctx, stream);
        readable = bytes->len > 128 && !memcmp(bytes->data + 36, "acsp", 4); /* ICC.1, 7.2: file signature */
    }
    fz_always(ctx) fz_drop_buffer(ctx, bytes);
    fz_catch(ctx) readable = false;
    return readable;
}

static struct space icc_look(fz_context *ctx, struct builder *builder, pdf_obj *stream)
{
    int n = pdf_dict_get_int(ctx, stream, PDF_NAME(N));
    pdf_obj *alternate = pdf_dict_get(ctx, stream, PDF_NAME(Alternate));
    bool lab = pdf_name_eq(ctx, pdf_array_get(ctx, alternate, 0), PDF_NAME(Lab));
    struct space space = {.kind = lab      ? COLOUR_LAB
                                  : n == 1 ? COLOUR_GREY
                                  : n == 3 ? COLOUR_RGB
                                  : n == 4 ? COLOUR_CMYK
                                           : COLOUR_OTHER};
    space.tagged = profile_readable(ctx, stream);
    if (!space.tagged)
        names_add(builder->arena, &builder->remarks,
                  sentence_plain("embedded-colour-profile-cannot-be-read"));
    return space;
}

static struct space icc_space(fz_context *ctx, struct builder *builder, pdf_obj *stream)
{
    int number = pdf_to_num(ctx, stream);
    for (size_t i = 0; i < builder->profile_count; i++)
        if (builder->profiles[i].number == number) return builder->profiles[i].space;
    struct space space = icc_look(ctx, builder, stream);
    if (builder->profile_count < SEEN_PROFILES)
        builder->profiles[builder->profile_count++] = (struct seen_profile){number, space};
    return space;
}

static struct space ink_space(fz_context *ctx, struct builder *builder, pdf_obj *array)
{
    pdf_obj *names = pdf_array_get(ctx, array, 1);
    pdf_obj *components = pdf_dict_getp(ctx, pdf_array_get(ctx, array, 4), "Process/Components");
    int count = pdf_is_array(ctx, names) ? pdf_array_len(ctx, names) : 1;
    struct space space = {.kind = COLOUR_SPOT, .tagged = true, .process_only = true};
    for (int i = 0; i < count; i++) {
        const char *name = pdf_to_name(ctx, pdf_is_array(ctx, names) ? pdf_array_get(ctx, names, i) : names);
        if (is_no_ink(name) || is_process(name) || in_array(ctx, components, name)) continue;
        names_add(builder->arena, &builder->spots, name);
        space.process_only = false;
    }
    return space;
}

static struct space read_nested(fz_context *ctx, struct builder *builder, pdf_obj *obj, pdf_obj *resources,
                                int depth)
{
    struct space space = {.kind = COLOUR_OTHER, .tagged = true};
    if (depth > NESTED_MOST || !obj) return space;
    if (pdf_is_name(ctx, obj)) {
        if (named_space(ctx, pdf_to_name(ctx, obj), resources, &space)) return space;
        pdf_obj *spaces = pdf_dict_get(ctx, resources, PDF_NAME(ColorSpace));
        return read_nested(ctx, builder, pdf_dict_get(ctx, spaces, obj), resources, depth + 1);
    }
    const char *family = pdf_array_get_name(ctx, obj, 0);
    pdf_obj *second = pdf_array_get(ctx, obj, 1);
    if (!strcmp(family, "ICCBased")) return icc_space(ctx, builder, second);
    if (!strcmp(family, "Indexed") || !strcmp(family, "I"))
        return read_nested(ctx, builder, second, resources, depth + 1);
    if (!strcmp(family, "Separation") || !strcmp(family, "DeviceN")) return ink_space(ctx, builder, obj);
    if (!strcmp(family, "CalRGB")) return (struct space){.kind = COLOUR_RGB, .tagged = true};
    if (!strcmp(family, "CalGray")) return (struct space){.kind = COLOUR_GREY, .tagged = true};
    if (!strcmp(family, "Lab")) return (struct space){.kind = COLOUR_LAB, .tagged = true};
    if (!strcmp(family, "Pattern") && second) {
        space = read_nested(ctx, builder, second, resources, depth + 1);
        space.pattern = true;
        return space;
    }
    named_space(ctx, family, resources, &space);
    return space;
}

struct space space_read(fz_context *ctx, struct builder *builder, pdf_obj *space, pdf_obj *resources)
{
    return read_nested(ctx, builder, space, resources, 0);
}

struct space space_named(fz_context *ctx, const char *name, pdf_obj *resources)
{
    struct space space = {.kind = COLOUR_OTHER, .tagged = true};
    named_space(ctx, name, resources, &space);
    return space;
}

void space_use(struct builder *builder, struct space space)
{
    struct artwork_facts *facts = &builder->facts;
    facts->uses_rgb |= space.kind == COLOUR_RGB;
    facts->uses_rgb_untagged |= space.kind == COLOUR_RGB && !space.tagged;
    facts->uses_cmyk |= space.kind == COLOUR_CMYK || (space.kind == COLOUR_SPOT && space.process_only);
    facts->uses_lab |= space.kind == COLOUR_LAB;
}
