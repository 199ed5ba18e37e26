/* What of a surface is covered, and the pieces that lie on it. */
#include "base/path.h"
#include "base/str.h"
#include "surfaces.h"
#include <string.h>

/* ---- a point, a list of points ---- */

#define POINT_WORDS "a point [x, y] such as [1200, 300]"

static bool read_place(struct reading *reading, const struct key *key, const struct node *node,
                       struct point *place)
{
    double v[2];
    if (!read_numbers(reading, node,
                      &(struct number_list){FORM_LENGTH, key->least, key->most, POINT_WORDS, 2}, v))
        return false;
    *place = (struct point){v[0], v[1]};
    return true;
}

static void read_ring(struct reading *reading, const struct key *key, const struct node *node,
                      struct polygon *ring)
{
    if (node->count < 3 || node->count > COVER_POINTS_MOST) {
        report_add(
            reading->report, place_of(reading, node), "outline-has-points",
            ARGUMENTS(arg_count("points", (int64_t)node->count), arg_count("most", COVER_POINTS_MOST)));
        return;
    }
    struct point *points = arena_take_array(reading->arena, node->count, sizeof *points);
    size_t count = 0;
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (!read_place(reading, key, entry, &points[count++])) return;
    *ring = (struct polygon){points, count};
}

/* ---- cover ---- */

#define COVER(field) offsetof(struct cover_spec, field)

static key_reader read_behind, read_before, read_outline, read_cover_silhouette;

static const char *const cover_edges[] = {"vehicle", "contour", NULL};
static const struct key cover_keys[] = {
    {"behind", FORM_SPECIAL, COVER(at_mm), -60000, 60000,
     .help = "Covered from this x towards the vehicle's rear; on a surface seen from above, this y.",
     .read = read_behind, .words = "a length such as 2100"},
    {"before", FORM_SPECIAL, COVER(at_mm), -60000, 60000, .help = "Covered from there towards its front.",
     .read = read_before, .words = "a length such as 2100"},
    {"outline", FORM_SPECIAL, COVER(outline), -60000, 60000,
     .help = "Covered inside this outline: a drawing's file, a shape of the surface's drawing, or points.",
     .read = read_outline,
     .words = "a path such as half.svg, the id or label of a shape, or points such as [[0, 0], [900, 0], [0, "
              "700]]"},
    {"silhouette", FORM_SPECIAL, COVER(offset_mm), 0, 1000,
     .help = "Covered where its artwork shows something, and so far around it.",
     .read = read_cover_silhouette, .words = "a length such as 10 mm"},
    {"edge", FORM_CHOICE, COVER(edge), 0, 0, .usual = "vehicle",
     .help = "Where the region ends within the surface the film is cut on the vehicle, or to its contour "
             "before it is applied.",
     .choices = cover_edges},
    {"bleed", FORM_LENGTH, COVER(bleed_mm), 0, 200, .help = "Printed beyond that edge.", .measured = true,
     .practice = "cover-bleed"},
    {0},
};
const struct group cover_group = {"cover", cover_keys};

/* One way to say it, not two. */
static bool cover_is(struct reading *reading, const struct node *node, enum cover_kind kind,
                     struct cover_spec *cover)
{
    if (cover->kind != COVER_ALL)
        report_add(reading->report, place_of(reading, node), "cover-is-said-twice",
                   ARGUMENTS(arg_words("key", node->key)));
    cover->kind = kind;
    return true;
}

static void read_behind(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct cover_spec *cover = target;
    if (cover_is(reading, node, COVER_BEHIND, cover))
        read_number(reading, node, FORM_LENGTH, key->least, key->most, &cover->at_mm);
}

static void read_before(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct cover_spec *cover = target;
    if (cover_is(reading, node, COVER_BEFORE, cover))
        read_number(reading, node, FORM_LENGTH, key->least, key->most, &cover->at_mm);
}

static void read_outline(struct reading *reading, const struct key *key, const struct node *node,
                         void *target)
{
    struct cover_spec *cover = target;
    cover_is(reading, node, COVER_OUTLINE, cover);
    if (node->kind == NODE_LIST) {
        read_ring(reading, key, node, &cover->points);
        return;
    }
    const char *written;
    if (!read_text(reading, node, key->words, &written)) return;
    cover->outline = written;
    size_t length = strlen(written);
    bool is_file = length > 4 && !strcasecmp(written + length - 4, ".svg");
    if (is_file && read_path(reading, node, &cover->outline))
        cover->outline_path = path_join(reading->arena, reading->folder, cover->outline);
}

static void read_cover_silhouette(struct reading *reading, const struct key *key, const struct node *node,
                                  void *target)
{
    struct cover_spec *cover = target;
    if (cover_is(reading, node, COVER_SILHOUETTE, cover))
        read_number(reading, node, FORM_LENGTH, key->least, key->most, &cover->offset_mm);
}

void read_cover(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct cover_spec *cover = &((struct surface_spec *)target)->cover;
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node, key->words);
        return;
    }
    *cover = (struct cover_spec){.place = place_of(reading, node)};
    read_usual(reading, &cover_group, cover);
    size_t before = reading->report->errors;
    read_group(reading, &cover_group, node, cover);
    if (cover->kind == COVER_ALL && reading->report->errors == before)
        report_add(reading->report, cover->place, "cover-says-no-region", NULL);
}

/* ---- how a piece is cut ---- */

#define CUT(field) offsetof(struct cut_spec, field)

static key_reader read_spot, read_layer, read_step, read_silhouette, read_box_cut;

static const char *const depths[] = {"kiss", "through", NULL};
static const struct key cut_keys[] = {
    {"spot", FORM_SPECIAL, CUT(name), 0, 0,
     .help = "Along the paths that its file paints in this spot colour.", .read = read_spot,
     .words = "the name of a spot colour in the file"},
    {"layer", FORM_SPECIAL, CUT(name), 0, 0, .help = "Along the paths on this layer of its file.",
     .read = read_layer, .words = "the name of a layer in the file"},
    {"step", FORM_SPECIAL, CUT(name), 0, 0,
     .help = "Along the paths that its file marks as this processing step (ISO 19593-1).", .read = read_step,
     .words = "one of cutting, partial-cutting"},
    {"silhouette", FORM_SPECIAL, CUT(offset_mm), 0, 1000, .help = "Around what it shows, so far out.",
     .read = read_silhouette, .words = "a length such as 3 mm"},
    {"box", FORM_SPECIAL, CUT(offset_mm), 0, 1000, .help = "Around its trim box, so far out.",
     .read = read_box_cut, .words = "a length such as 2 mm"},
    {"mitre", FORM_YES_NO, CUT(mitre), 0, 0, .usual = "false",
     .help = "Corners stay pointed as the outline goes out; else they become round."},
    {"radius", FORM_LENGTH, CUT(radius_mm), 0, 500, .usual = "0",
     .help = "The outline's corners have at least this radius."},
    {"fill-holes", FORM_NUMBER, CUT(fill_holes_mm2), 0, 10000000, .usual = "0",
     .help = "Holes of so many mm2 and less are not cut."},
    {"tolerance", FORM_NUMBER, CUT(tolerance), 0.5, 100, .usual = "10",
     .help = "Of a picture without transparency: what differs by less than this from the colour of its "
             "background (CIEDE2000) is background."},
    {"depth", FORM_CHOICE, CUT(depth), 0, 0, .usual = "kiss", .help = "Down to the liner, or through it too.",
     .choices = depths},
    {0},
};
const struct group cut_group = {"cut", cut_keys};

static void cut_is(struct reading *reading, const struct node *node, enum cut_path path, struct cut_spec *cut)
{
    if (cut->path != CUT_NONE)
        report_add(reading->report, place_of(reading, node), "cut-is-said-twice",
                   ARGUMENTS(arg_words("key", node->key)));
    cut->path = path;
}

static void read_spot(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct cut_spec *cut = target;
    cut_is(reading, node, CUT_SPOT, cut);
    read_text(reading, node, key->words, &cut->name);
}

static void read_layer(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct cut_spec *cut = target;
    cut_is(reading, node, CUT_LAYER, cut);
    read_text(reading, node, key->words, &cut->name);
}

static void read_step(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    static const char *const steps[] = {"cutting", "partial-cutting", NULL};
    struct cut_spec *cut = target;
    int step;
    (void)key;
    cut_is(reading, node, CUT_STEP, cut);
    if (read_choice(reading, node, steps, &step)) cut->name = steps[step];
}

static void read_silhouette(struct reading *reading, const struct key *key, const struct node *node,
                            void *target)
{
    struct cut_spec *cut = target;
    cut_is(reading, node, CUT_SILHOUETTE, cut);
    read_number(reading, node, FORM_LENGTH, key->least, key->most, &cut->offset_mm);
}

static void read_box_cut(struct reading *reading, const struct key *key, const struct node *node,
                         void *target)
{
    struct cut_spec *cut = target;
    cut_is(reading, node, CUT_BOX, cut);
    read_number(reading, node, FORM_LENGTH, key->least, key->most, &cut->offset_mm);
}

/* ---- pieces ---- */

#define PIECE(field) offsetof(struct piece_spec, field)

static key_reader read_piece_name, read_piece_artwork, read_piece_at, read_cut;

static const struct key piece_keys[] = {
    {"name", FORM_SPECIAL, PIECE(name), 0, 0, .help = "Its name in file names and lists.", .required = true,
     .read = read_piece_name, .words = NAME_WORDS},
    {"count", FORM_WHOLE, PIECE(count), 1, PIECE_COUNT_MOST, .usual = "1",
     .help = "How many of it there are for one vehicle."},
    {"artwork", FORM_SPECIAL, PIECE(artwork), 0, 0, .help = "What is printed on it: see artwork.",
     .required = true, .read = read_piece_artwork,
     .words = "a path, or a group such as {file: logo.pdf, page: 2, scale: 10}"},
    {"at", FORM_SPECIAL, PIECE(at_mm), -60000, 60000,
     .help =
         "Where the lower left corner of its artwork's trim box, or of the picture, lands on the surface.",
     .required = true, .read = read_piece_at, .words = POINT_WORDS},
    {"cut", FORM_SPECIAL, PIECE(cut), 0, 0, .help = "Its outline: see cut.", .read = read_cut,
     .words = "a group such as {spot: Cut}, {layer: Cut}, {step: cutting}, {silhouette: 3 mm} or {box: 2 mm}",
     .otherwise = "its artwork's trim box"},
    {"bleed", FORM_LENGTH, PIECE(bleed_mm), 0, 50, .help = "Printed beyond the cut.", .measured = true,
     .practice = "piece-bleed"},
    {"inside", FORM_YES_NO, PIECE(inside), 0, 0, .usual = "false",
     .help = "It goes on the inside of glass: printed mirrored, it reads from outside."},
    {"apart", FORM_YES_NO, PIECE(apart), 0, 0, .usual = "false",
     .help =
         "Cut apart at door gaps, with no film in them; else it runs over them and is cut on the vehicle."},
    {"weeding-box", FORM_YES_NO, PIECE(weeded), 0, 0, .usual = "false",
     .help = "A box is cut around it, so that what is not wanted comes off in one."},
    {"tape", FORM_YES_NO, PIECE(tape), 0, 0, .usual = "false",
     .help = "It is applied with application tape, which goes into the material list; for all prints: the "
             "job's `tape`."},
    {"other-side", FORM_TEXT, PIECE(other_side), 0, 0,
     .help = "The same piece on this surface too, its place mirrored."},
    {0},
};
const struct group piece_group = {"pieces", piece_keys};

static void read_piece_name(struct reading *reading, const struct key *key, const struct node *node,
                            void *target)
{
    read_file_name(reading, key, node, &((struct piece_spec *)target)->name);
}

static void read_piece_artwork(struct reading *reading, const struct key *key, const struct node *node,
                               void *target)
{
    struct artwork_spec *artwork = arena_take(reading->arena, sizeof *artwork);
    (void)key;
    if (!read_one_artwork(reading, node, artwork)) return;
    if (artwork->has_at || artwork->fit != FIT_NONE)
        report_add(reading->report, artwork->place, "piece-has-its-own-at", NULL);
    ((struct piece_spec *)target)->artwork = artwork;
}

static void read_piece_at(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    read_place(reading, key, node, &((struct piece_spec *)target)->at_mm);
}

static void read_cut(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct cut_spec *cut = &((struct piece_spec *)target)->cut;
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node, key->words);
        return;
    }
    size_t before = reading->report->errors;
    read_group(reading, &cut_group, node, cut);
    if (cut->path == CUT_NONE && reading->report->errors == before)
        report_add(reading->report, place_of(reading, node), "cut-says-no-path", NULL);
}

static void piece_add(struct reading *reading, const struct node *node, struct surface_spec *surface)
{
    struct piece_spec *piece =
        append(reading, &surface->pieces, &surface->piece_count, sizeof *surface->pieces);
    *piece = (struct piece_spec){.place = place_of(reading, node)};
    read_usual(reading, &piece_group, piece);
    read_usual(reading, &cut_group, &piece->cut);
    read_group(reading, &piece_group, node, piece);
    if (piece->cut.path == CUT_NONE) piece->cut.path = CUT_BOX;
    if (piece->artwork) {
        struct artwork_spec *artwork = arena_take(reading->arena, sizeof *artwork);
        *artwork = *piece->artwork;
        artwork->at_mm = piece->at_mm, artwork->has_at = true;
        piece->artwork = artwork;
    }
    if (!piece->name || !piece->artwork) surface->piece_count--; /* said already */
}

void read_pieces(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct surface_spec *surface = target;
    if (!is_list(reading, node, key->words)) return;
    if (node->count > PIECES_MOST) {
        report_add(reading->report, place_of(reading, node), "pieces-one-surface-takes-at-most",
                   ARGUMENTS(arg_count("pieces", (int64_t)node->count), arg_count("most", PIECES_MOST)));
        return;
    }
    surface->piece_count = 0; /* the job's stand above the vehicle's */
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (entry->kind != NODE_REFUSED) piece_add(reading, entry, surface);
}

/* ---- when all is read ---- */

static void check_piece(struct reading *reading, const struct surface_spec *surface,
                        const struct piece_spec *piece)
{
    const char *whole = arena_format(reading->arena, "%s %s", surface->name, piece->name);
    const struct surface_spec *same = surface_find(reading->job, whole);
    if (same)
        report_add(reading->report, piece->place, "piece-is-named-as-a-surface",
                   ARGUMENTS(arg_words("piece", piece->name), arg_words("surface", same->name)));
    for (const struct piece_spec *other = surface->pieces; other < piece; other++)
        if (string_equal(other->name, piece->name))
            report_add(reading->report, piece->place, "piece-has-anothers-name",
                       ARGUMENTS(arg_words("piece", piece->name), arg_count("line", other->place.line)));
    const char *side = piece->other_side;
    struct surface_spec *across = side ? surface_find(reading->job, side) : NULL;
    if (across) across->bears_pieces = true;
    if (side && (!across || across == surface))
        report_add(reading->report, piece->place, "piece-other-side-is-no-surface",
                   ARGUMENTS(arg_words("piece", piece->name), arg_words("side", side)));
}

void finish_pieces(struct reading *reading)
{
    const struct job *job = reading->job;
    for (size_t i = 0; i < job->surface_count; i++) {
        if (job->surfaces[i].piece_count) job->surfaces[i].bears_pieces = true;
        for (size_t k = 0; job->surfaces[i].name && k < job->surfaces[i].piece_count; k++)
            check_piece(reading, &job->surfaces[i], &job->surfaces[i].pieces[k]);
    }
}
