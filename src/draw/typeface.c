/* Opens one font, by name or from a file, and refuses what fontconfig would put in its place. Called by whoever sets
 * words for printing. Each typeface has a font map of its own, so nothing of it outlives it. */
#include "typeface.h"
#include "letters.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include <fontconfig/fontconfig.h>
#include <pango/pangofc-fontmap.h>
#include <string.h>
#include <strings.h>

/* ---- a line ---- */

PangoLayout *typeface_layout(struct typeface *typeface, const char *words)
{
    PangoLayout *layout = pango_layout_new(typeface->context);
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_fallback_new(FALSE)); /* no letters of another font */
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_font_description(layout, typeface->description);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    pango_layout_set_text(layout, words, -1);
    return layout;
}

void typeface_add_outline(PangoLayout *layout, struct path *path, struct affine to)
{
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, NULL);
    cairo_t *cairo = cairo_create(surface);
    pango_cairo_layout_line_path(cairo, pango_layout_get_line_readonly(layout, 0));
    cairo_path_t *outline = cairo_copy_path(cairo);
    letters_add_path(path, outline, affine_then(affine_scale(1, -1), to));
    cairo_path_destroy(outline);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
}

/* ---- by name ---- */

static PangoFontFamily *typeface_family(PangoFontMap *map, const char *name)
{
    PangoFontFamily **families, *found = NULL;
    int count;
    pango_font_map_list_families(map, &families, &count);
    for (int i = 0; i < count && !found; i++)
        if (!strcasecmp(pango_font_family_get_name(families[i]), name)) found = families[i];
    g_free(families);
    return found;
}

/* The families that fontconfig makes up for names without a font, such as "Sans", are none. */
static bool typeface_is_alias(const char *name)
{
    static const char *const aliases[] = {"sans",      "serif",   "monospace", "sans-serif",
                                          "system-ui", "cursive", "fantasy"};
    for (size_t i = 0; i < sizeof aliases / sizeof *aliases; i++)
        if (!strcasecmp(name, aliases[i])) return true;
    return false;
}

static bool typeface_same_style(const PangoFontDescription *one, const PangoFontDescription *other)
{
    return pango_font_description_get_weight(one) == pango_font_description_get_weight(other) &&
           pango_font_description_get_style(one) == pango_font_description_get_style(other) &&
           pango_font_description_get_stretch(one) == pango_font_description_get_stretch(other);
}

/* Whether the family has a face of that style; its faces' names else. */
static bool typeface_has_style(PangoFontFamily *family, const PangoFontDescription *wanted,
                               struct arena *arena, const char **faces)
{
    PangoFontFace **list;
    int count;
    bool found = false;
    struct text names = text_new(arena);
    pango_font_family_list_faces(family, &list, &count);
    for (int i = 0; i < count; i++) {
        PangoFontDescription *face = pango_font_face_describe(list[i]);
        bool synthesized = pango_font_face_is_synthesized(list[i]);
        found |= !synthesized && typeface_same_style(face, wanted);
        if (!synthesized)
            text_addf(&names, "%s%s", names.length ? ", " : "", pango_font_face_get_face_name(list[i]));
        pango_font_description_free(face);
    }
    g_free(list);
    *faces = text_string(&names);
    return found;
}

static const char *typeface_nearest(PangoFontMap *map, const char *name, struct arena *arena)
{
    PangoFontFamily **families;
    int count;
    pango_font_map_list_families(map, &families, &count);
    const char **names = arena_take_array(arena, (size_t)count + 1, sizeof *names);
    size_t kept = 0;
    for (int i = 0; i < count; i++) {
        const char *family = pango_font_family_get_name(families[i]);
        if (!typeface_is_alias(family)) names[kept++] = arena_copy_string(arena, family);
    }
    g_free(families);
    const char *nearest = str_nearest(name, names);
    return nearest && *nearest ? nearest : NULL;
}

static bool typeface_by_name(struct typeface *typeface, const char *name, struct arena *arena,
                             struct typeface_found *found)
{
    PangoFontFamily *family = typeface_family(typeface->map, name);
    typeface->description = family ? pango_font_description_new() : pango_font_description_from_string(name);
    if (family) pango_font_description_set_family(typeface->description, pango_font_family_get_name(family));
    const char *part = pango_font_description_get_family(typeface->description);
    if (!family && part) family = typeface_family(typeface->map, part);
    if (!family || typeface_is_alias(pango_font_family_get_name(family))) {
        *found = (struct typeface_found){TYPEFACE_NO_FAMILY,
                                         typeface_nearest(typeface->map, part ? part : name, arena)};
        return false;
    }
    if (typeface_has_style(family, typeface->description, arena, &found->nearest)) return true;
    found->trouble = TYPEFACE_NO_STYLE;
    return false;
}

/* ---- from a file ---- */

static bool typeface_from_file(struct typeface *typeface, const char *path, struct typeface_found *found)
{
    FcConfig *config = FcConfigCreate();
    bool added = FcConfigAppFontAddFile(config, (const FcChar8 *)path);
    const FcFontSet *fonts = added ? FcConfigGetFonts(config, FcSetApplication) : NULL;
    if (fonts && fonts->nfont) {
        typeface->description = pango_fc_font_description_from_pattern(fonts->fonts[0], FALSE);
        pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(typeface->map), config);
    }
    FcConfigDestroy(config); /* the map holds it as long as it needs it */
    if (!typeface->description) found->trouble = TYPEFACE_NO_FILE;
    return typeface->description;
}

/* ---- opening ---- */

/* Of the H's outline itself: what a font says of its capitals in its tables may be another figure. */
static bool typeface_measure(struct typeface *typeface, struct arena *arena, struct typeface_found *found)
{
    PangoLayout *layout = typeface_layout(typeface, "H");
    bool there = !pango_layout_get_unknown_glyphs_count(layout);
    struct path path = path_new(arena);
    if (there) typeface_add_outline(layout, &path, affine_identity);
    struct rect box = path_box(&path);
    g_object_unref(layout);
    typeface->capital = box.y1 - box.y0;
    if (there && typeface->capital > 0) return true;
    found->trouble = TYPEFACE_NO_HEIGHT;
    return false;
}

struct typeface *typeface_open(const char *name, const char *path, struct arena *arena,
                               struct typeface_found *found)
{
    *found = (struct typeface_found){TYPEFACE_FINE, NULL};
    struct typeface *typeface = arena_take(arena, sizeof *typeface);
    typeface->map = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    bool ok =
        path ? typeface_from_file(typeface, path, found) : typeface_by_name(typeface, name, arena, found);
    if (ok) {
        typeface->context = letters_context(typeface->map);
        pango_font_description_set_absolute_size(typeface->description, TYPEFACE_EM * PANGO_SCALE);
        ok = typeface_measure(typeface, arena, found);
    }
    if (ok) return typeface;
    typeface_free(typeface);
    return NULL;
}

void typeface_free(struct typeface *typeface)
{
    if (!typeface) return;
    if (typeface->context) g_object_unref(typeface->context);
    if (typeface->description) pango_font_description_free(typeface->description);
    if (typeface->map) g_object_unref(typeface->map);
}
