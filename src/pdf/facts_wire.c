/* Facts on the way from the reader to its parent. */
#include "facts_wire.h"
#include "base/arena.h"
#include "base/wire.h"

static void facts_put_rect(struct text *out, struct rect r)
{
    wire_put_f64(out, r.x0), wire_put_f64(out, r.y0), wire_put_f64(out, r.x1), wire_put_f64(out, r.y1);
}

static struct rect facts_get_rect(struct wire_in *in)
{
    struct rect r;
    r.x0 = wire_get_f64(in), r.y0 = wire_get_f64(in), r.x1 = wire_get_f64(in), r.y1 = wire_get_f64(in);
    return r;
}

static void put_names(struct text *out, const char **names, size_t count)
{
    wire_put_u32(out, (uint32_t)count);
    for (size_t i = 0; i < count; i++) wire_put_string(out, names[i]);
}

static const char **get_names(struct wire_in *in, struct arena *arena, size_t *count)
{
    *count = wire_get_count(in, sizeof(uint32_t));
    const char **names = arena_take_array(arena, *count, sizeof *names);
    for (size_t i = 0; i < *count; i++) {
        names[i] = wire_get_string(in, arena);
        if (!names[i]) names[i] = "";
    }
    return names;
}

static void put_images(struct text *out, const struct artwork_facts *facts)
{
    wire_put_u32(out, (uint32_t)facts->image_count);
    for (const struct image_facts *image = facts->images; image < facts->images + facts->image_count;
         image++) {
        facts_put_rect(out, image->box);
        wire_put_u32(out, (uint32_t)image->width_px), wire_put_u32(out, (uint32_t)image->height_px);
        wire_put_u32(out, (uint32_t)image->bits), wire_put_u32(out, image->colour);
        wire_put_u32(out, image->tagged), wire_put_f64(out, image->ppi_on_page);
    }
}

static void get_images(struct wire_in *in, struct arena *arena, struct artwork_facts *facts)
{
    facts->image_count = wire_get_count(in, 5 * sizeof(double));
    facts->images = arena_take_array(arena, facts->image_count, sizeof *facts->images);
    for (struct image_facts *image = facts->images; image < facts->images + facts->image_count; image++) {
        image->box = facts_get_rect(in);
        image->width_px = (int)wire_get_u32(in), image->height_px = (int)wire_get_u32(in);
        image->bits = (int)wire_get_u32(in), image->colour = (enum colour_kind)wire_get_u32(in);
        image->tagged = wire_get_u32(in), image->ppi_on_page = wire_get_f64(in);
    }
}

static void put_lines(struct text *out, const struct artwork_facts *facts)
{
    wire_put_u32(out, (uint32_t)facts->line_count);
    for (const struct text_line *line = facts->lines; line < facts->lines + facts->line_count; line++) {
        facts_put_rect(out, line->box);
        wire_put_f64(out, line->height_mm);
        wire_put_string(out, line->words);
        wire_put_u32(out, line->outlined);
        wire_put_u32(out, line->mirrored);
    }
}

static void get_lines(struct wire_in *in, struct arena *arena, struct artwork_facts *facts)
{
    facts->line_count = wire_get_count(in, 5 * sizeof(double));
    facts->lines = arena_take_array(arena, facts->line_count, sizeof *facts->lines);
    for (struct text_line *line = facts->lines; line < facts->lines + facts->line_count; line++) {
        line->box = facts_get_rect(in);
        line->height_mm = wire_get_f64(in);
        line->words = wire_get_string(in, arena);
        if (!line->words) line->words = "";
        line->outlined = wire_get_u32(in);
        line->mirrored = wire_get_u32(in);
    }
}

static void put_annotations(struct text *out, const struct artwork_facts *facts)
{
    wire_put_u32(out, (uint32_t)facts->annotation_count);
    for (size_t i = 0; i < facts->annotation_count; i++) {
        facts_put_rect(out, facts->annotations[i].box);
        wire_put_string(out, facts->annotations[i].kind);
        wire_put_string(out, facts->annotations[i].words);
    }
}

static void get_annotations(struct wire_in *in, struct arena *arena, struct artwork_facts *facts)
{
    facts->annotation_count = wire_get_count(in, 4 * sizeof(double));
    facts->annotations = arena_take_array(arena, facts->annotation_count, sizeof *facts->annotations);
    for (size_t i = 0; i < facts->annotation_count; i++) {
        struct annotation_facts *annotation = &facts->annotations[i];
        annotation->box = facts_get_rect(in);
        annotation->kind = wire_get_string(in, arena), annotation->words = wire_get_string(in, arena);
        if (!annotation->kind) annotation->kind = "";
        if (!annotation->words) annotation->words = "";
    }
}

enum flag {
    FLAG_RGB = 1,
    FLAG_RGB_UNTAGGED = 2,
    FLAG_CMYK = 4,
    FLAG_LAB = 8,
    FLAG_TRANSPARENCY = 16,
    FLAG_OVERPRINT = 32,
    FLAG_WHITE = 64,
    FLAG_TRANSFER = 128,
    FLAG_MARKS = 256,
};

static uint32_t flag_if(bool is, enum flag flag)
{
    return is ? (uint32_t)flag : 0;
}

static uint32_t flags_of(const struct artwork_facts *facts)
{
    return flag_if(facts->uses_rgb, FLAG_RGB) | flag_if(facts->uses_rgb_untagged, FLAG_RGB_UNTAGGED) |
           flag_if(facts->uses_cmyk, FLAG_CMYK) | flag_if(facts->uses_lab, FLAG_LAB) |
           flag_if(facts->uses_transparency, FLAG_TRANSPARENCY) | flag_if(facts->overprints, FLAG_OVERPRINT) |
           flag_if(facts->white_overprints, FLAG_WHITE) | flag_if(facts->has_transfer, FLAG_TRANSFER) |
           flag_if(facts->marks_in_bleed, FLAG_MARKS);
}

static void set_flags(struct artwork_facts *facts, uint32_t flags)
{
    facts->uses_rgb = flags & FLAG_RGB;
    facts->uses_rgb_untagged = flags & FLAG_RGB_UNTAGGED;
    facts->uses_cmyk = flags & FLAG_CMYK;
    facts->uses_lab = flags & FLAG_LAB;
    facts->uses_transparency = flags & FLAG_TRANSPARENCY;
    facts->overprints = flags & FLAG_OVERPRINT;
    facts->white_overprints = flags & FLAG_WHITE;
    facts->has_transfer = flags & FLAG_TRANSFER;
    facts->marks_in_bleed = flags & FLAG_MARKS;
}

void facts_put(struct text *out, const struct artwork_facts *facts)
{
    wire_put_u32(out, facts->state);
    wire_put_string(out, facts->trouble);
    facts_put_rect(out, facts->media_mm), facts_put_rect(out, facts->trim_mm),
        facts_put_rect(out, facts->bleed_mm);
    wire_put_u32(out, (uint32_t)facts->page_count);
    wire_put_u32(out, flags_of(facts));
    wire_put_string(out, facts->blend_space);
    wire_put_string(out, facts->output_intent);
    wire_put_bytes(out, facts->output_intent_profile, facts->output_intent_profile_size);
    put_images(out, facts);
    put_lines(out, facts);
    put_annotations(out, facts);
    put_names(out, facts->spots, facts->spot_count);
    put_names(out, facts->fonts_missing, facts->fonts_missing_count);
    put_names(out, facts->layers_hidden, facts->layers_hidden_count);
    put_names(out, facts->steps, facts->step_count);
    put_names(out, facts->remarks, facts->remark_count);
}

/* What a sound reader says; one that a hostile file took over may say anything. */
static bool facts_can_be(const struct artwork_facts *facts)
{
    if (facts->state > ARTWORK_NO_SUCH_PAGE || facts->page_count < 0) return false;
    if (facts->state != ARTWORK_FINE && !facts->trouble) return false;
    for (size_t i = 0; i < facts->image_count; i++) {
        const struct image_facts *image = &facts->images[i];
        if (image->colour > COLOUR_OTHER || image->width_px < 0 || image->height_px < 0 || image->bits < 0)
            return false;
    }
    return true;
}

bool facts_get(struct wire_in *in, struct arena *arena, struct artwork_facts *facts)
{
    *facts = (struct artwork_facts){.kind = ARTWORK_PDF, .state = (enum artwork_state)wire_get_u32(in)};
    facts->trouble = wire_get_string(in, arena);
    facts->media_mm = facts_get_rect(in), facts->trim_mm = facts_get_rect(in),
    facts->bleed_mm = facts_get_rect(in);
    facts->page_count = (int)wire_get_u32(in);
    set_flags(facts, wire_get_u32(in));
    facts->blend_space = wire_get_string(in, arena);
    facts->output_intent = wire_get_string(in, arena);
    struct str profile = wire_get_bytes(in);
    facts->output_intent_profile_size = profile.length;
    if (profile.length)
        facts->output_intent_profile = (unsigned char *)arena_copy(arena, profile.bytes, profile.length);
    get_images(in, arena, facts);
    get_lines(in, arena, facts);
    get_annotations(in, arena, facts);
    facts->spots = get_names(in, arena, &facts->spot_count);
    facts->fonts_missing = get_names(in, arena, &facts->fonts_missing_count);
    facts->layers_hidden = get_names(in, arena, &facts->layers_hidden_count);
    facts->steps = get_names(in, arena, &facts->step_count);
    facts->remarks = get_names(in, arena, &facts->remark_count);
    return !in->bad && facts_can_be(facts);
}
