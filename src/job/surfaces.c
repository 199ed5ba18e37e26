/* Surfaces: those of the vehicle's file, and what the job adds to them by name. */
#include "surfaces.h"
#include "texts.h"
#include "base/path.h"
#include "model/front.h"
#include "model/surface.h"
#include <string.h>

#define AT(field) offsetof(struct surface_spec, field)

/* Not a value of the enum: `panels` was not said; finish_surfaces puts the usual one. */
#define RUN_UNSAID ((enum panels_run)3)

enum { SURFACES_MOST = 100 };

static key_reader read_name, read_size, read_drawing, read_front, read_edge;

static const char *const fronts[] = {"left", "right", "up", "down", "away", "towards", NULL};
static const char *const runs[] = {"upright", "lying", "auto", NULL};
static const char *const starts[] = {"", "back", "front", "bottom", "top", NULL};

static const struct key drawing_keys[] = {
    {"file", FORM_PATH, AT(drawing), 0, 0, .help = "An SVG drawing; relative to this file.",
     .required = true},
    {"scale", FORM_SCALE, AT(drawing_scale), 0.01, 1000, .usual = "1",
     .help = "10 or 1:10: drawn at a tenth of its size."},
    {0},
};
const struct group drawing_group = {"drawing", drawing_keys};

#define BLEED_WORDS                                                                                          \
    "a length such as 50 mm, 0 or cut short, a group of edges {top, sill, front, rear, left, right}, or "    \
    "{cut-short: 7 mm}"
#define EDGE(name, field, help)                                                                              \
    {                                                                                                        \
        name, FORM_SPECIAL, offsetof(struct bleed_spec, field), 0, 1000, NULL, help,                         \
            .read = read_edge, .words = "a length such as 50 mm, or 0 or cut short",                         \
            .otherwise = "the general value"                                                                 \
    }
static const struct key bleed_keys[] = {
    EDGE("top", top_mm, "At the top edge."),
    EDGE("sill", sill_mm, "At the lower edge."),
    EDGE("front", front_mm, "At the edge towards the vehicle's front; stands above left and right."),
    EDGE("rear", rear_mm, "At the edge towards the vehicle's rear; stands above left and right."),
    EDGE("left", left_mm, "At the left edge as seen."),
    EDGE("right", right_mm, "At the right edge as seen."),
    {"cut-short", FORM_LENGTH, offsetof(struct bleed_spec, cut_short_mm), 1, 100,
     .help = "The film ends so far inside every edge, corners rounded, as on a pane.",
     .otherwise = "common practice cut-short on a surface of glass that writes no bleed of its own"},
    {0},
};
const struct group bleed_group = {"bleed", bleed_keys};

static const char *const difficulties[] = {"normal", "easy", "hard", NULL};
static const struct key surface_keys[] = {
    {"name", FORM_SPECIAL, AT(name), 0, 0, .help = "Its name in file names and panels.", .required = true,
     .read = read_name, .words = NAME_WORDS},
    {"size", FORM_SPECIAL, AT(width_mm), 10, 60000, .help = "A plain rectangle; or else `drawing`.",
     .read = read_size, .words = "width and height such as [5400, 1900]"},
    {"drawing", FORM_SPECIAL, 0, 0, 0, .help = "Measured drawing; or else `size`.", .read = read_drawing,
     .words = "a group such as {file: surfaces/left.svg, scale: 10}"},
    {"front", FORM_SPECIAL, AT(front), 0, 0,
     .help =
         "Where the vehicle's front is in this view: left, right (sides), up, down (from above), away (the "
         "rear), "
         "towards (the front face).",
     .read = read_front, .words = "one of left, right, up, down, away, towards",
     .otherwise = "by the surface's name (left, right, rear, back, tail, front; driver, passenger, nearside, "
                  "offside by "
                  "the shop's `drives-on`; up for roof, bonnet, hood), else left"},
    {"panels", FORM_CHOICE, AT(panels), 0, 0, .help = "Film runs up the surface, along it, or as is best.",
     .choices = runs, .otherwise = "upright on a van, box, bus or trailer, else auto"},
    {"condition", FORM_SPECIAL, AT(condition), 0, 0, .help = "Another printing condition than the job's.",
     .read = read_condition_name, .words = "the name of a condition of the shop"},
    {"overlap", FORM_LENGTH, AT(overlap_mm), 0, 100, .help = "Another overlap than the job's.",
     .measured = true},
    {"bleed", FORM_SPECIAL, AT(bleed), 0, 1000, .help = "Another bleed than the job's: see bleed.",
     .read = read_bleed, .words = BLEED_WORDS},
    {"glass", FORM_YES_NO, AT(glass), 0, 0, .usual = "false",
     .help = "A pane: one piece, no seam in it, no stretch."},
    {"even", FORM_YES_NO, AT(even), 0, 0, .usual = "false", .help = "Seams at equal spacing."},
    {"mixed-widths", FORM_YES_NO, AT(mixed_widths), 0, 0, .usual = "false",
     .help = "Each panel may come from the roll width that suits it."},
    {"least-panel", FORM_LENGTH, AT(least_panel_mm), 10, 10000, .help = "Narrowest panel allowed.",
     .measured = true, .otherwise = "common practice least-panel, with a finding"},
    {"start-from", FORM_CHOICE, AT(start_from), 0, 0, .help = "Where installing begins.", .choices = starts,
     .otherwise = "from what lies under: the back and the bottom"},
    {"old-film", FORM_YES_NO, AT(old_film), 0, 0, .usual = "false", .help = "Old film is removed first."},
    {"old-film-age", FORM_YEARS, AT(old_film_age_y), 0, 40, .help = "How long it has been on.",
     .otherwise = "as the job says"},
    {"edge-seal", FORM_YES_NO, AT(edge_seal), 0, 0, .usual = "false",
     .help = "Edges are sealed after installing."},
    {"difficulty", FORM_CHOICE, AT(difficulty), 0, 0, .usual = "normal",
     .help = "How hard it is to work on: its hours at the vehicle.", .choices = difficulties},
    {"features", FORM_SPECIAL, 0, 0, 0, .help = "Handles, openings, gaps, recesses ...: see features.",
     .read = read_features, .words = "a list of features, each a group"},
    {"artwork", FORM_SPECIAL, 0, 0, 0, .help = "What is printed, later over earlier: see artwork.",
     .read = read_artwork, .words = "a list of artworks, each a path or a group"},
    {"text", FORM_SPECIAL, 0, 0, 0,
     .help = "Words set on it, over the artwork; a fleet's differ by vehicle: see text.",
     .read = read_surface_texts,
     .words = "a list of groups such as {words: \"{unit}\", at: [1200, 300], height: 80}"},
    {"artwork-follows", FORM_YES_NO, AT(artwork_follows), 0, 0, .usual = "false",
     .help =
         "Without artwork, where other surfaces have some: planned and priced as if it were there already."},
    {"covered", FORM_PERCENT, AT(covered_percent), 1, 100,
     .help = "While its artwork follows: so much of the surface will be covered, for the quote. Says that "
             "artwork follows.",
     .otherwise = "all of it"},
    {"cover", FORM_SPECIAL, AT(cover), 0, 0, .help = "What part of the surface is covered: see cover.",
     .read = read_cover,
     .words = "a group such as {behind: 2100}, {outline: half.svg} or {silhouette: 10 mm}",
     .otherwise = "all of it"},
    {"pieces", FORM_SPECIAL, 0, 0, 0,
     .help = "Graphics that are cut to their own outline and lie on the surface: see pieces.",
     .read = read_pieces, .words = "a list of groups {name, artwork, at, cut}"},
    {"keep-whole", FORM_SPECIAL, 0, 0, 0, .help = "Artwork that no seam may cut: see keep-whole.",
     .read = read_keep_whole, .words = "a list of groups {box, name}"},
    {"seams", FORM_SPECIAL, 0, -60000, 60000, .help = "Seams fixed by hand, then only checked: see seams.",
     .read = read_fixed_seams, .words = "a list of lengths or groups such as [1350, {at: 2690, over: left}]",
     .otherwise = "found by the planner"},
    {0},
};
const struct group surface_group = {"surfaces", surface_keys};

static const struct bleed_spec bleed_unsaid = {-1, -1, -1, -1, -1, -1, -1, 0};

/* ---- finding by name ---- */

static const char *nearest_surface(struct reading *reading, const char *name)
{
    const struct job *job = reading->job;
    const char **names = arena_take_array(reading->arena, job->surface_count + 1, sizeof *names);
    size_t count = 0;
    for (size_t i = 0; i < job->surface_count; i++)
        if (job->surfaces[i].name && strcmp(job->surfaces[i].name, name))
            names[count++] = job->surfaces[i].name;
    return suggestion(reading, name, names);
}

/* The `-` that parts two surfaces may be any, names may hold some themselves. */
void read_surface_pair(struct reading *reading, const struct key *key, const struct node *node,
                       const char **one_name, const char **other_name)
{
    const char *pair;
    if (!read_text(reading, node, key->words, &pair)) return;
    for (const char *dash = strchr(pair, '-'); dash; dash = strchr(dash + 1, '-')) {
        const struct surface_spec *one =
            surface_find(reading->job, arena_copy(reading->arena, pair, (size_t)(dash - pair)));
        const struct surface_spec *other = surface_find(reading->job, dash + 1);
        if (!one || !other || one == other) continue;
        *one_name = one->name, *other_name = other->name;
        return;
    }
    report_add(reading->report, place_of(reading, node), "does-not-name-two-surfaces-write",
               ARGUMENTS(arg_words("key", node->key ? node->key : "surfaces"), arg_words("pair", pair),
                         arg_words("right", key->words)));
}

/* ---- keys ---- */

static void read_name(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    read_file_name(reading, key, node, &((struct surface_spec *)target)->name);
}

static void read_size(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct surface_spec *surface = target;
    double size[2];
    if (!read_numbers(reading, node, &(struct number_list){FORM_LENGTH, key->least, key->most, key->words, 2},
                      size))
        return;
    surface->width_mm = size[0], surface->height_mm = size[1];
}

static void read_drawing(struct reading *reading, const struct key *key, const struct node *node,
                         void *target)
{
    struct surface_spec *surface = target;
    (void)key;
    read_usual(reading, &drawing_group, surface);
    if (node->kind == NODE_TEXT)
        read_path(reading, node, &surface->drawing);
    else
        read_group(reading, &drawing_group, node, surface);
    if (surface->drawing)
        surface->drawing_path = path_join(reading->arena, reading->folder, surface->drawing);
}

static void read_front(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct surface_spec *surface = target;
    int front;
    (void)key;
    if (!read_choice(reading, node, fronts, &front)) return;
    surface->front = (enum front)front;
    surface->has_front = true;
}

static void read_edge(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    double *edge = (double *)(void *)((char *)target + key->at);
    if (node->kind == NODE_TEXT && !strcmp(node->text, "cut short"))
        *edge = 0;
    else
        read_number(reading, node, FORM_LENGTH, key->least, key->most, edge);
}

void read_bleed(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct bleed_spec *bleed = (struct bleed_spec *)(void *)((char *)target + key->at);
    static const struct key all = EDGE("bleed", all_mm, "");
    if (node->kind == NODE_GROUP)
        read_group(reading, &bleed_group, node, bleed);
    else if (node->kind == NODE_LIST)
        wrong_shape(reading, node, key->words);
    else
        read_edge(reading, &all, node, bleed);
}

/* ---- the list ---- */

static void start_surface(struct reading *reading, const struct node *node, struct surface_spec *surface)
{
    *surface =
        (struct surface_spec){.place = place_of(reading, node), .bleed = bleed_unsaid, .panels = RUN_UNSAID};
    read_usual(reading, &surface_group, surface);
    surface->panels = RUN_UNSAID;
}

static bool measured_elsewhere(const struct reading *reading, const struct surface_spec *surface)
{
    return !string_equal(surface->place.file, reading->file);
}

/* What the job says about a surface of the vehicle goes over what the vehicle's file says; its measures stay.
 */
static void add_to_measured(struct reading *reading, const struct node *node, struct surface_spec *surface)
{
    if (node_find(node, "size") || node_find(node, "drawing"))
        report_add(reading->report, place_of(reading, node), "is-measured-in-take-size-and",
                   ARGUMENTS(arg_words("surface", surface->name), arg_words("file", surface->place.file),
                             arg_count("line", surface->place.line)));
    read_group(reading, &surface_group, node, surface);
}

static void check_measured(struct reading *reading, const struct node *node,
                           const struct surface_spec *surface)
{
    bool sized = node_find(node, "size"), drawn = node_find(node, "drawing");
    if (node->kind != NODE_GROUP || sized != drawn) return;
    const char *name = surface->name ? surface->name : "";
    if (sized)
        report_add(reading->report, place_of(reading, node), "surface-has-both-size-and-drawing",
                   ARGUMENTS(arg_words("name", name)));
    else
        report_add(reading->report, place_of(reading, node), "surface-has-neither-size-nor-drawing",
                   ARGUMENTS(arg_words("name", name),
                             arg_words("nearest_surface", nearest_surface(reading, name)),
                             arg_flag("surfaces", reading->job->surface_count > 1)));
}

static void add_surface(struct reading *reading, const struct node *node)
{
    struct job *job = reading->job;
    const struct node *name = node_find(node, "name");
    struct surface_spec *known = name && name->kind == NODE_TEXT ? surface_find(job, name->text) : NULL;
    if (known && measured_elsewhere(reading, known)) {
        add_to_measured(reading, node, known);
        return;
    }
    if (known)
        report_add(reading->report, place_of(reading, name), "is-name-of-another-surface-line",
                   ARGUMENTS(arg_words("name", name->text), arg_count("line", known->place.line)));
    struct surface_spec *surface =
        append(reading, &job->surfaces, &job->surface_count, sizeof *job->surfaces);
    start_surface(reading, node, surface);
    read_group(reading, &surface_group, node, surface);
    check_measured(reading, node, surface);
}

void read_surfaces(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)target;
    if (!is_list(reading, node, key->words)) return;
    if (node->count > SURFACES_MOST) {
        report_add(
            reading->report, place_of(reading, node), "surfaces-one-job-has-at-most",
            ARGUMENTS(arg_count("node_count", (int64_t)node->count), arg_count("most", SURFACES_MOST)));
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (entry->kind != NODE_REFUSED) add_surface(reading, entry);
}

void read_quick_artwork(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)target;
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node, key->words);
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        struct surface_spec *surface = surface_find(reading->job, entry->key);
        if (surface)
            add_artworks(reading, entry, surface);
        else
            report_add(reading->report, (struct place){reading->file, entry->key_line, entry->key_column},
                       "is-not-surface-of-vehicle-or",
                       ARGUMENTS(arg_part("key", entry->key, NAME_MOST),
                                 arg_words("nearest_surface", nearest_surface(reading, entry->key))));
    }
}

/* ---- when all is read ---- */

static bool lies_outside(const struct surface_spec *surface, struct rect box)
{
    return box.x1 < 0 || box.y1 < 0 || box.x0 > surface->width_mm || box.y0 > surface->height_mm;
}

static bool reaches_out(const struct surface_spec *surface, struct rect box, double times)
{
    return box.x1 > surface->width_mm * times || box.y1 > surface->height_mm * times;
}

/* Nothing on it fits, and all of it fits ten times its size: the size was taken in centimetres. */
static bool has_size_in_centimetres(const struct surface_spec *surface)
{
    bool outside = surface->seam_count > 0;
    if (!surface_is_on_the_road(surface->width_mm * 10, surface->height_mm * 10)) return false;
    for (size_t i = 0; i < surface->feature_count; i++) {
        struct rect box = surface->features[i].box;
        if (!reaches_out(surface, box, 1) || reaches_out(surface, box, 10)) return false;
        outside |= lies_outside(surface, box);
    }
    for (size_t i = 0; i < surface->seam_count; i++) {
        struct rect box = rect_of(surface->seams[i].at_mm, 0, 0, 0);
        if (surface->panels == RUN_LYING) box = rect_of(0, surface->seams[i].at_mm, 0, 0);
        if (!reaches_out(surface, box, 1) || reaches_out(surface, box, 10)) return false;
    }
    return outside;
}

static void report_centimetres(struct reading *reading, const struct surface_spec *surface)
{
    report_add(reading->report, surface->place, "everything-on-surface-lies-beyond-its",
               ARGUMENTS(arg_words("surface", surface->name), arg_number("width_mm", surface->width_mm),
                         arg_number("height_mm", surface->height_mm),
                         arg_number("width_mm_2", surface->width_mm * 10),
                         arg_number("height_mm_2", surface->height_mm * 10)));
}

/* Of a plain rectangle: the drawn ones are checked when they are read. */
static void check_inside(struct reading *reading, const struct surface_spec *surface)
{
    if (has_size_in_centimetres(surface)) {
        report_centimetres(reading, surface);
        return;
    }
    for (size_t i = 0; i < surface->feature_count; i++)
        if (lies_outside(surface, surface->features[i].box))
            report_add(reading->report, surface->features[i].place, "this-lies-outside-surface-which-is",
                       ARGUMENTS(arg_words("feature_kind", feature_kind_name(surface->features[i].kind)),
                                 arg_words("surface", surface->name),
                                 arg_number("width_mm", surface->width_mm),
                                 arg_number("height_mm", surface->height_mm)));
    double along = surface->panels == RUN_UPRIGHT           ? surface->width_mm
                   : surface->panels == RUN_LYING           ? surface->height_mm
                   : surface->width_mm > surface->height_mm ? surface->width_mm
                                                            : surface->height_mm;
    for (size_t i = 0; i < surface->seam_count; i++)
        if (surface->seams[i].at_mm <= 0 || surface->seams[i].at_mm >= along)
            report_add(reading->report, surface->seams[i].place, "seam-at-is-not-within-surface",
                       ARGUMENTS(arg_number("at", surface->seams[i].at_mm),
                                 arg_words("surface", surface->name), arg_number("along", along)));
}

/* left and right belong to upright panels, upper and lower to lying ones. */
static void surfaces_check_over(struct reading *reading, const struct surface_spec *surface)
{
    for (size_t i = 0; i < surface->seam_count && surface->panels != RUN_AUTO; i++) {
        const char *over = surface->seams[i].over;
        if (!over) continue;
        bool upright = !strcmp(over, "left") || !strcmp(over, "right");
        if (upright != (surface->panels == RUN_UPRIGHT))
            report_add(reading->report, surface->seams[i].place, "over-does-not-suit-panels-write",
                       ARGUMENTS(arg_words("over", over),
                                 arg_words("panels_run", panels_run_name(surface->panels)),
                                 arg_flag("upright", upright)));
    }
}

void finish_surfaces(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    bool upright = job->vehicle_type && strcmp(job->vehicle_type, "car");
    for (size_t i = 0; i < job->surface_count; i++) {
        struct surface_spec *surface = &job->surfaces[i];
        if (surface->panels == RUN_UNSAID) surface->panels = upright ? RUN_UPRIGHT : RUN_AUTO;
        if (reading->mixed_widths) surface->mixed_widths = true;
        if (!surface->name) continue; /* said already */
        enum road_side road = job->shop ? job->shop->drives_on : ROAD_UNSAID;
        if (!surface->has_front) surface->front = front_of_name(surface->name, road).front;
        surfaces_check_over(reading, surface);
        if (surface->width_mm > 0) check_inside(reading, surface);
    }
    finish_pieces(reading);
    if (!job->surface_count && !reading->report->errors)
        report_add(reading->report, place_of(reading, root), "no-surfaces-list-them-under-surfaces", NULL);
}
