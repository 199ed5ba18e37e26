/* Letters: cleaned, measured, broken into lines and cut while the drawing is made, so that every back-end
 * gets the same single lines at the same places. */
#include "letters.h"
#include "base/arena.h"
#include "base/str.h"
#include <assert.h>
#include <string.h>

#define ELLIPSIS "\xe2\x80\xa6"

struct letters_clean {
    char bytes[WORDS_MOST + 4];
};

/* Bytes of the well-formed UTF-8 character at `s`, 0 when it is none. */
static size_t character_bytes(const char *s)
{
    unsigned char lead = (unsigned char)*s;
    size_t bytes = lead < 0x80 ? 1 : lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
    if (strnlen(s, bytes) < bytes) return 0;
    return str_is_utf8((struct str){s, bytes}) ? bytes : 0;
}

static void clean_words(struct letters_clean *clean, const char *words, bool keep_newlines)
{
    size_t length = 0;
    while (words && *words && length < WORDS_MOST) {
        size_t bytes = character_bytes(words);
        unsigned char lead = (unsigned char)*words;
        if (bytes == 1 && (lead < 0x20 || lead == 0x7f))
            clean->bytes[length++] = keep_newlines && lead == '\n' ? '\n' : ' ';
        else if (!bytes)
            clean->bytes[length++] = '?';
        else
            for (size_t i = 0; i < bytes; i++) clean->bytes[length++] = words[i];
        words += bytes ? bytes : 1;
    }
    clean->bytes[length] = 0;
}

/* Hinting off in both ways: letters then have the same widths at every size and on every back-end. */
PangoContext *letters_context(PangoFontMap *map)
{
    PangoContext *context = pango_font_map_create_context(map);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(context, 72);
    pango_context_set_round_glyph_positions(context, FALSE);
    pango_context_set_language(context, pango_language_from_string("en"));
    return context;
}

static PangoLayout *layout_new(cairo_t *cairo, double size_mm, bool bold)
{
    PangoContext *context = letters_context(pango_cairo_font_map_get_default());
    if (cairo) pango_cairo_update_context(cairo, context);
    PangoLayout *layout = pango_layout_new(context);
    g_object_unref(context);
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, "DejaVu Sans");
    pango_font_description_set_weight(font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(font, size_mm * LETTERS_SCALE * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    return layout;
}

PangoLayout *letters_layout(cairo_t *cairo, double size_mm, bool bold, const char *words)
{
    PangoLayout *layout = layout_new(cairo, size_mm, bold);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    pango_layout_set_text(layout, words, -1);
    return layout;
}

static double clean_width(struct letters letters, const char *words)
{
    PangoLayout *layout = letters_layout(NULL, letters.size_mm, letters.bold, words);
    PangoRectangle logical;
    pango_layout_line_get_extents(pango_layout_get_line_readonly(layout, 0), NULL, &logical);
    g_object_unref(layout);
    return logical.width / (LETTERS_SCALE * PANGO_SCALE);
}

double draw_text_width(struct letters letters, const char *words)
{
    struct letters_clean clean;
    clean_words(&clean, words, false);
    return clean_width(letters, clean.bytes);
}

double letters_leading(struct letters letters)
{
    return letters.size_mm * 1.32;
}

/* `words` cut to `bytes`, back to the start of a character and before blanks, and an ellipsis. */
static const char *cut_at(struct arena *arena, const char *words, size_t bytes)
{
    while (bytes && ((unsigned char)words[bytes] & 0xc0) == 0x80) bytes--;
    while (bytes && words[bytes - 1] == ' ') bytes--;
    return arena_format(arena, "%.*s" ELLIPSIS, (int)bytes, words);
}

/* The longest beginning that fits most_mm with an ellipsis; the words themselves when they fit. */
static const char *cut_to_fit(struct arena *arena, struct letters letters, const char *words)
{
    if (letters.most_mm <= 0 || clean_width(letters, words) <= letters.most_mm) return words;
    size_t fits = 0, too_long = strlen(words);
    while (too_long - fits > 1) {
        size_t middle = (fits + too_long) / 2;
        if (clean_width(letters, cut_at(arena, words, middle)) <= letters.most_mm)
            fits = middle;
        else
            too_long = middle;
    }
    return cut_at(arena, words, fits);
}

static double letters_put_line(struct drawing *drawing, struct point at, struct letters letters,
                               const char *words)
{
    words = cut_to_fit(drawing->arena, letters, words);
    double width = clean_width(letters, words);
    if (!*words) return 0;
    if (letters.align == ALIGN_CENTRE) at.x -= width / 2;
    if (letters.align == ALIGN_RIGHT) at.x -= width;
    drawing_add(drawing, COMMAND_WORDS)->words = (struct command_words){
        .at = at,
        .width = width,
        .size_mm = letters.size_mm,
        .bold = letters.bold,
        .paint = paint_shows(letters.paint) ? letters.paint : paint_grey(0),
        .words = arena_copy_string(drawing->arena, words),
    };
    return width;
}

double draw_text(struct drawing *drawing, struct point at, struct letters letters, const char *words)
{
    struct letters_clean clean;
    clean_words(&clean, words, false);
    return letters_put_line(drawing, at, letters, clean.bytes);
}

static PangoLayout *paragraph_layout(struct letters letters, const char *words)
{
    assert(letters.most_mm > 0);
    PangoLayout *layout = layout_new(NULL, letters.size_mm, letters.bold);
    pango_layout_set_width(layout, (int)(letters.most_mm * LETTERS_SCALE * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_text(layout, words, -1);
    return layout;
}

static size_t paragraph_lines(PangoLayout *layout, size_t most_lines)
{
    size_t lines = (size_t)pango_layout_get_line_count(layout);
    return most_lines && lines > most_lines ? most_lines : lines;
}

double draw_paragraph_height(struct letters letters, size_t most_lines, const char *words)
{
    struct letters_clean clean;
    clean_words(&clean, words, true);
    PangoLayout *layout = paragraph_layout(letters, clean.bytes);
    size_t lines = paragraph_lines(layout, most_lines);
    g_object_unref(layout);
    return (double)lines * letters_leading(letters);
}

/* Line `index` as words of its own; the last line allowed takes all that is left. */
static const char *paragraph_line(struct arena *arena, PangoLayout *layout, const char *words, size_t index,
                                  bool rest)
{
    const PangoLayoutLine *line = pango_layout_get_line_readonly(layout, (int)index);
    struct str slice = {words + line->start_index,
                        rest ? strlen(words + line->start_index) : (size_t)line->length};
    slice = str_trim(slice);
    char *copy = arena_copy(arena, slice.bytes, slice.length);
    for (char *c = copy; *c; c++)
        if (*c == '\n') *c = ' ';
    return copy;
}

double draw_paragraph(struct drawing *drawing, struct point at, struct letters letters, size_t most_lines,
                      const char *words)
{
    struct letters_clean clean;
    clean_words(&clean, words, true);
    PangoLayout *layout = paragraph_layout(letters, clean.bytes);
    size_t lines = paragraph_lines(layout, most_lines);
    bool cut = lines < (size_t)pango_layout_get_line_count(layout);
    double width = letters.most_mm, leading = letters_leading(letters);
    double x = letters.align == ALIGN_LEFT     ? at.x
               : letters.align == ALIGN_CENTRE ? at.x + width / 2
                                               : at.x + width;
    for (size_t i = 0; i < lines; i++) {
        bool rest = cut && i + 1 == lines;
        struct letters line = letters;
        if (!rest) line.most_mm = 0; /* pango has fitted it */
        letters_put_line(drawing, (struct point){x, at.y + letters.size_mm + (double)i * leading}, line,
                         paragraph_line(drawing->arena, layout, clean.bytes, i, rest));
    }
    g_object_unref(layout);
    return (double)lines * leading;
}

/* cairo keeps coordinates in 1/256 of a unit: at this many units a millimetre that is 0.1 micrometre. */
#define OUTLINE_UNITS 40.0

void letters_add_path(struct path *path, const cairo_path_t *from, struct affine back)
{
    for (int i = 0; i < from->num_data; i += from->data[i].header.length) {
        const cairo_path_data_t *d = &from->data[i];
        struct point p[3] = {{0, 0}, {0, 0}, {0, 0}};
        for (int j = 1; j < d->header.length; j++)
            p[j - 1] = affine_apply(back, (struct point){d[j].point.x, d[j].point.y});
        switch (d->header.type) {
        case CAIRO_PATH_MOVE_TO:
            path_move(path, p[0].x, p[0].y);
            break;
        case CAIRO_PATH_LINE_TO:
            path_line(path, p[0].x, p[0].y);
            break;
        case CAIRO_PATH_CURVE_TO:
            path_curve(path, p[0], p[1], p[2]);
            break;
        case CAIRO_PATH_CLOSE_PATH:
            path_close(path);
            break;
        }
    }
}

struct path letters_outline(struct arena *arena, const struct command_words *words)
{
    double scale = OUTLINE_UNITS;
    /* Without bounds: cairo leaves out letters that lie more than ten ems beyond a surface. */
    cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, NULL);
    cairo_t *cairo = cairo_create(surface);
    PangoLayout *layout =
        letters_layout(cairo, words->size_mm * scale / LETTERS_SCALE, words->bold, words->words);
    pango_cairo_layout_line_path(cairo, pango_layout_get_line_readonly(layout, 0));
    cairo_path_t *outline = cairo_copy_path(cairo);
    struct path path = path_new(arena);
    letters_add_path(&path, outline, (struct affine){1 / scale, 0, 0, 1 / scale, words->at.x, words->at.y});
    cairo_path_destroy(outline);
    g_object_unref(layout);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    return path;
}

void drawing_outline(struct drawing *drawing)
{
    for (size_t i = 0; i < drawing->count; i++) {
        struct command *c = &drawing->commands[i];
        if (c->kind == COMMAND_WORDS && !c->path.count) c->path = letters_outline(drawing->arena, &c->words);
    }
}
