/* The texts of a surface, and whether the fields in them are columns of the fleet. */
#include "texts.h"
#include "base/path.h"
#include "base/text.h"
#include "model/fleet.h"
#include <string.h>

#define AT(field) offsetof(struct text_spec, field)

static key_reader texts_read_at, texts_read_font, texts_read_colour;

static const char *const aligns[] = {"left", "centre", "right", NULL};

static const struct key text_keys[] = {
    {"words", FORM_TEXT, AT(words), 0, 0,
     .help = "What it says; `{unit}` stands for the column `unit` of the fleet, `{{` for a brace.",
     .required = true},
    {"at", FORM_SPECIAL, AT(at_mm), -60000, 60000,
     .help = "On the base line: where the text begins, has its middle or ends.", .required = true,
     .read = texts_read_at, .words = "a point [x, y] such as [1200, 300]"},
    {"height", FORM_LENGTH, AT(height_mm), 1, 5000, .help = "Height of its capitals.", .required = true},
    {"align", FORM_CHOICE, AT(align), 0, 0, .usual = "left", .help = "What of the text lies at `at`.",
     .choices = aligns},
    {"font", FORM_SPECIAL, AT(font), 0, 0, .usual = "DejaVu Sans Bold",
     .help = "Family, with its style, or a font file, relative to this file; never another one in its place.",
     .read = texts_read_font,
     .words = "the name of a font such as DejaVu Sans Bold, or a file .ttf, .otf, .ttc or .otc"},
    {"colour", FORM_SPECIAL, AT(colour_percent), 0, 100, .of = FORM_PERCENT,
     .help = "Cyan, magenta, yellow and black of the printing condition.", .read = texts_read_colour,
     .words = "four percentages [C, M, Y, K] such as [0, 0, 0, 100]", .otherwise = "[0, 0, 0, 100]"},
    {"spot", FORM_TEXT, AT(spot), 0, 0,
     .help = "Name of the spot colour that it is printed in; `colour` is what stands in for it.",
     .otherwise = "none: printed in `colour`"},
    {"width", FORM_LENGTH, AT(width_mm), 1, 60000,
     .help = "What it has to fit: longer text is made narrower.", .otherwise = "as long as it comes"},
    {"narrowest", FORM_PERCENT, AT(narrowest_percent), 30, 100,
     .help = "Down to what share of its own width it may be made narrower.", .practice = "text-narrowest"},
    {0},
};
const struct group text_group = {"text", text_keys};

static void texts_read_at(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    struct text_spec *text = target;
    double at[2];
    if (read_numbers(reading, node, &(struct number_list){FORM_LENGTH, key->least, key->most, key->words, 2},
                     at))
        text->at_mm = (struct point){at[0], at[1]};
}

static bool texts_is_font_file(struct reading *reading, const char *name)
{
    static const char *const endings[] = {"ttf", "otf", "ttc", "otc"};
    const char *ending = path_ending(reading->arena, name);
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++)
        if (!strcmp(ending, endings[i])) return true;
    return false;
}

static void texts_read_font(struct reading *reading, const struct key *key, const struct node *node,
                            void *target)
{
    struct text_spec *text = target;
    const char *font;
    text->font_path = NULL;
    if (!read_text(reading, node, key->words, &font)) return;
    if (texts_is_font_file(reading, font) && !read_path(reading, node, &font)) return;
    text->font = font;
    if (texts_is_font_file(reading, font)) text->font_path = path_join(reading->arena, reading->folder, font);
    if (!str_trim(str_from(font)).length) keep_text(reading, key, node, false, target);
}

static void texts_read_colour(struct reading *reading, const struct key *key, const struct node *node,
                              void *target)
{
    struct text_spec *text = target;
    double colour[4];
    if (read_numbers(reading, node, &(struct number_list){key->of, key->least, key->most, key->words, 4},
                     colour))
        memcpy(text->colour_percent, colour, sizeof colour);
}

static void texts_add(struct reading *reading, const struct node *node, struct surface_spec *surface)
{
    struct text_spec text = {.place = place_of(reading, node), .colour_percent = {0, 0, 0, 100}};
    size_t before = reading->report->errors;
    read_usual(reading, &text_group, &text);
    read_group(reading, &text_group, node, &text);
    if (reading->report->errors == before)
        *(struct text_spec *)append(reading, &surface->texts, &surface->text_count, sizeof text) = text;
}

void read_surface_texts(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct surface_spec *surface = target;
    if (!is_list(reading, node, key->words)) return;
    if (surface->text_count + node->count > SURFACE_TEXTS_MOST) {
        report_add(reading->report, place_of(reading, node), "texts-one-surface-takes-at-most",
                   ARGUMENTS(arg_count("texts", (int64_t)(surface->text_count + node->count)),
                             arg_count("most", SURFACE_TEXTS_MOST)));
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (entry->kind != NODE_REFUSED) texts_add(reading, entry, surface);
}

/* ---- fields ---- */

/* The nearest column, else all of them. */
static const char *texts_column_help(struct reading *reading, const char *field)
{
    const struct fleet *fleet = reading->job->fleet;
    const char **names = arena_take_array(reading->arena, fleet->column_count + 1, sizeof *names);
    memcpy(names, fleet->columns, fleet->column_count * sizeof *names);
    const char *nearest = suggestion(reading, field, names);
    if (*nearest) return nearest;
    struct text list = text_new(reading->arena);
    for (size_t i = 0; i < fleet->column_count; i++) text_addf(&list, "%s`%s`", i ? ", " : "", names[i]);
    return sentence_words(reading->arena, "fleet-columns-are",
                          ARGUMENTS(arg_part("columns", text_string(&list), 300)));
}

static void texts_refuse_field(struct reading *reading, const struct text_spec *text, struct str field)
{
    const struct fleet *fleet = reading->job->fleet;
    const char *name = arena_copy(reading->arena, field.bytes, field.length);
    if (fleet)
        report_add(reading->report, text->place, "field-is-no-column",
                   ARGUMENTS(arg_words("field", name), arg_words("file", fleet->file),
                             arg_words("help", texts_column_help(reading, name))));
    else
        report_add(reading->report, text->place, "field-without-fleet", ARGUMENTS(arg_words("field", name)));
}

static void texts_check_fields(struct reading *reading, const struct text_spec *text)
{
    struct str field;
    const char *words = text->words;
    while (fleet_next_field(&words, &field))
        if (fleet_column(reading->job->fleet, field) == SIZE_MAX) texts_refuse_field(reading, text, field);
    if (*words)
        report_add(reading->report, text->place, "field-is-not-closed",
                   ARGUMENTS(arg_part("rest", words, 40)));
}

/* A cell that was left empty leaves a vehicle without its number. */
static void texts_remark_empty(struct reading *reading, const struct text_spec *text)
{
    const struct fleet *fleet = reading->job->fleet;
    const struct fleet_row *first = NULL;
    int64_t count = 0;
    for (size_t i = 0; fleet && i < fleet->row_count; i++) {
        const char *words = fleet_words(fleet, &fleet->rows[i], text->words, reading->arena);
        if (str_trim(str_from(words)).length) continue;
        if (!count++) first = &fleet->rows[i];
    }
    if (first)
        report_remark(reading->report, text->place, "text-is-empty-on-vehicles",
                      ARGUMENTS(arg_words("words", text->words), arg_count("count", count),
                                arg_words("first", first->name), arg_words("file", fleet->file),
                                arg_count("line", first->line)));
}

void texts_finish(struct reading *reading)
{
    const struct job *job = reading->job;
    bool differ = false;
    if (reading->report->errors && !job->fleet) return; /* the fleet's own mistakes come first */
    for (size_t i = 0; i < job->surface_count; i++)
        for (size_t k = 0; k < job->surfaces[i].text_count; k++) {
            differ |= fleet_words_differ(job->surfaces[i].texts[k].words);
            texts_check_fields(reading, &job->surfaces[i].texts[k]);
            texts_remark_empty(reading, &job->surfaces[i].texts[k]);
        }
    if (job->fleet && !differ)
        report_remark(reading->report, (struct place){.file = job->fleet->file, .line = 1},
                      "fleet-columns-are-not-used", NULL);
}
