/* The artwork of a surface and the seams fixed by hand. */
#include "surfaces.h"
#include "base/path.h"
#include <string.h>

#define ART(field) offsetof(struct artwork_spec, field)

static key_reader read_at, read_over;

static const char *const fits[] = {"", "outline", "bleed", NULL};

static const struct key artwork_keys[] = {
    {"file", FORM_PATH, ART(file), 0, 0, .help = "PDF, TIFF, JPEG or PNG; relative to this file.",
     .required = true},
    {"revision", FORM_TEXT, ART(revision), 0, 0,
     .help = "What the customer calls this state of the file, such as B or 2027-02-18; on sheet and order."},
    {"page", FORM_WHOLE, ART(page), 1, 10000, .usual = "1", .help = "Page of a PDF."},
    {"scale", FORM_SCALE, ART(scale), 0.01, 1000, .usual = "1",
     .help = "10 or 1:10: drawn at a tenth of its size."},
    {"at", FORM_SPECIAL, ART(at_mm), -60000, 60000,
     .help = "Where the lower left corner of its trim box, or of the picture, lands on the surface.",
     .read = read_at, .words = "a point [x, y] such as [1200, 300]"},
    {"fit", FORM_CHOICE, ART(fit), 0, 0,
     .help =
         "Fills the outline, or outline and bleed: uniform, centred, cropped; stands above `scale` and `at`.",
     .choices = fits, .otherwise = "placed by `scale` and `at`"},
    {"resolution", FORM_NUMBER, ART(resolution_ppi), 1, 2400,
     .help = "A picture's pixels per inch on the vehicle.", .otherwise = "its own resolution times `scale`"},
    {"width", FORM_LENGTH, ART(width_mm), 1, 60000, .help = "Width of the picture on the vehicle.",
     .otherwise = "its own size times `scale`"},
    {"profile", FORM_PATH, ART(profile_path), 0, 0,
     .help = "ICC profile that a picture without one was made for."},
    {0},
};
const struct group artwork_group = {"artwork", artwork_keys};

static const struct key seam_keys[] = {
    {"at", FORM_LENGTH, offsetof(struct fixed_seam, at_mm), -60000, 60000,
     .help = "Where the visible line is: from the left for upright panels, from below for lying ones.",
     .required = true},
    {"over", FORM_SPECIAL, offsetof(struct fixed_seam, over), 0, 0, .help = "Which of both panels lies over.",
     .read = read_over, .words = "one of left, right, upper, lower",
     .otherwise = "the one nearer the front, or the upper"},
    {0},
};
const struct group seam_group = {"seams", seam_keys};

static void read_at(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct artwork_spec *artwork = target;
    double v[2];
    if (!read_numbers(reading, node, &(struct number_list){FORM_LENGTH, key->least, key->most, key->words, 2},
                      v))
        return;
    artwork->at_mm = (struct point){v[0], v[1]};
    artwork->has_at = true;
}

static void finish_artwork(struct reading *reading, const struct node *node, struct artwork_spec *artwork)
{
    if (artwork->file) artwork->path = path_join(reading->arena, reading->folder, artwork->file);
    if (artwork->profile_path)
        artwork->profile_path = path_join(reading->arena, reading->folder, artwork->profile_path);
    if (artwork->resolution_ppi > 0 && artwork->width_mm > 0)
        report_add(reading->report, place_of(reading, node), "resolution-and-width-both-set-pictures", NULL);
    if (artwork->fit != FIT_NONE && (artwork->has_at || node_find(node, "scale")))
        report_remark(reading->report, place_of(reading, node), "fit-stands-above-scale-and-at", NULL);
}

bool read_one_artwork(struct reading *reading, const struct node *node, struct artwork_spec *artwork)
{
    *artwork = (struct artwork_spec){.place = place_of(reading, node)};
    read_usual(reading, &artwork_group, artwork);
    if (node->kind == NODE_TEXT)
        read_path(reading, node, &artwork->file);
    else
        read_group(reading, &artwork_group, node, artwork);
    finish_artwork(reading, node, artwork);
    return artwork->file;
}

static void add_artwork(struct reading *reading, const struct node *node, struct surface_spec *surface)
{
    struct artwork_spec *artwork =
        append(reading, &surface->artworks, &surface->artwork_count, sizeof *surface->artworks);
    if (!read_one_artwork(reading, node, artwork)) surface->artwork_count--;
    if (node->kind == NODE_TEXT) artwork->fit = FIT_BLEED;
}

void add_artworks(struct reading *reading, const struct node *node, struct surface_spec *surface)
{
    if (node->kind != NODE_LIST) {
        add_artwork(reading, node, surface);
        return;
    }
    if (node->count > ARTWORKS_MOST) {
        report_add(
            reading->report, place_of(reading, node), "artworks-one-surface-takes-at-most",
            ARGUMENTS(arg_count("node_count", (int64_t)node->count), arg_count("most", ARTWORKS_MOST)));
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next)
        add_artwork(reading, entry, surface);
}

void read_artwork(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    if (node->kind == NODE_NOTHING)
        wrong_shape(reading, node, key->words);
    else
        add_artworks(reading, node, target);
}

static void read_over(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    static const char *const sides[] = {"left", "right", "upper", "lower", NULL};
    struct fixed_seam *seam = target;
    int side;
    (void)key;
    if (read_choice(reading, node, sides, &side)) seam->over = sides[side];
}

static void sort_seam(struct reading *reading, struct surface_spec *surface)
{
    size_t at = surface->seam_count - 1;
    struct fixed_seam seam = surface->seams[at];
    for (size_t i = 0; i < at; i++)
        if (surface->seams[i].at_mm == seam.at_mm)
            report_add(reading->report, seam.place, "seam-at-stands-here-twice-keep",
                       ARGUMENTS(arg_number("at", seam.at_mm)));
    for (; at > 0 && surface->seams[at - 1].at_mm > seam.at_mm; at--)
        surface->seams[at] = surface->seams[at - 1];
    surface->seams[at] = seam;
}

void read_fixed_seams(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct surface_spec *surface = target;
    if (!is_list(reading, node, key->words)) return;
    surface->seams_fixed = true;
    surface->seam_count = 0; /* the job's stand above the vehicle's */
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        struct fixed_seam seam = {.place = place_of(reading, entry)};
        size_t before = reading->report->errors;
        if (entry->kind == NODE_TEXT)
            read_number(reading, entry, FORM_LENGTH, seam_keys->least, seam_keys->most, &seam.at_mm);
        else
            read_group(reading, &seam_group, entry, &seam);
        if (entry->kind == NODE_REFUSED || reading->report->errors > before) continue;
        *(struct fixed_seam *)append(reading, &surface->seams, &surface->seam_count, sizeof seam) = seam;
        sort_seam(reading, surface);
    }
}
