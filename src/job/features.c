/* Features of a surface: what seams keep off, what is open, and what makes the film stretch. */
#include "read.h"
#include "surfaces.h"
#include <string.h>

#define AT(field) offsetof(struct feature, field)

static key_reader features_read_box, read_line_of_gap, read_runs, features_read_profile, read_follow;

static const char *const laid_ways[] = {"", "bridged", "followed", NULL};
static const char *const profiles[] = {"sinusoid", "trapezoid", "arcs", NULL};

#define BOX_WORDS "a box [x, y, width, height] such as [300, 900, 120, 80]"
static const struct key feature_keys[] = {
    {"kind", FORM_CHOICE, AT(kind), 0, 0, .help = "What it is.", .required = true,
     .choices = feature_kind_names},
    {"name", FORM_TEXT, AT(name), 0, 0, .help = "What a person calls it."},
    {"box", FORM_SPECIAL, AT(box), -60000, 60000, .help = "Where it is; every kind but gap needs it.",
     .read = features_read_box, .words = BOX_WORDS},
    {"line", FORM_SPECIAL, AT(from), -60000, 60000, .help = "Where a gap runs.", .read = read_line_of_gap,
     .words = "the two ends of the gap [x1, y1, x2, y2]"},
    {"margin", FORM_LENGTH, AT(margin_mm), 0, 2000,
     .help = "Seams keep this far away; of `uncovered`, from its edge to the cut in the film.",
     .otherwise = "the kind's usual: see kinds of features"},
    {"depth", FORM_LENGTH, AT(depth_mm), 0.1, 2000,
     .help = "Of a recess; of a corrugation from crest to trough."},
    {"wall", FORM_ANGLE, AT(wall_deg), 1, 90, .usual = "90 deg",
     .help = "Angle of a recess's or trapezoid's walls against the surface; 90 is upright."},
    {"radius", FORM_LENGTH, AT(radius_mm), 0, 2000, .usual = "0", .help = "Radius of a recess's corners."},
    {"pitch", FORM_LENGTH, AT(pitch_mm), 1, 5000, .help = "From one rib of a corrugation to the next."},
    {"profile", FORM_SPECIAL, AT(profile), 0, 0, .usual = "sinusoid", .help = "Shape of a corrugation.",
     .read = features_read_profile,
     .words = "sinusoid, trapezoid, arcs, or points measured over one pitch such as [[0, 0], [38, 18], [76, "
              "0]]"},
    {"runs", FORM_SPECIAL, AT(ribs_upright), 0, 0, .help = "Which way the ribs of a corrugation run.",
     .read = read_runs, .words = "one of upright, lying"},
    {"laid", FORM_CHOICE, AT(laid), 0, 0,
     .help = "Film across the crests and pushed in, or followed into each trough by a longer print.",
     .choices = laid_ways, .otherwise = "asked for by the finding laid-unsaid"},
    {"follow", FORM_SPECIAL, AT(laid), 0, 0, .help = "`follow: true` is `laid: followed`.",
     .read = read_follow, .words = "true or false"},
    {"stays", FORM_YES_NO, AT(stays), 0, 0, .usual = "false",
     .help = "A handle or badge that is not taken off for installing."},
    {"cut-short", FORM_LENGTH, AT(cut_short_mm), 1, 100,
     .help =
         "Of a pane: the film on the glass ends so far inside its edge; the body's film ends at the edge.",
     .otherwise = "common practice cut-short"},
    {"rise", FORM_LENGTH, AT(rise_mm), 0.1, 5000,
     .help = "Of a dome, z = rise (1 - (x/a)^2 - (y/b)^2) on the ellipse in its box."},
    {"inlay", FORM_YES_NO, AT(inlay), 0, 0, .usual = "false",
     .help = "A recess is covered by a piece of its own, not by the panel."},
    {"relief", FORM_YES_NO, AT(relief), 0, 0, .usual = "false",
     .help = "The film is cut in a recess's corners and laid in."},
    {0},
};
const struct group feature_group = {"features", feature_keys};

static const struct key whole_keys[] = {
    {"box", FORM_SPECIAL, AT(box), -60000, 60000, .help = "What no seam may cut.", .required = true,
     .read = features_read_box, .words = BOX_WORDS},
    {"name", FORM_TEXT, AT(name), 0, 0, .help = "What it shows: a face, a telephone number."},
    {"margin", FORM_LENGTH, AT(margin_mm), 0, 2000, .usual = "0", .help = "Seams keep this far away."},
    {0},
};
const struct group whole_group = {"keep-whole", whole_keys};

static void features_read_box(struct reading *reading, const struct key *key, const struct node *node,
                              void *target)
{
    struct feature *feature = target;
    double v[4];
    if (!read_numbers(reading, node, &(struct number_list){FORM_LENGTH, key->least, key->most, key->words, 4},
                      v))
        return;
    if (v[2] > 0 && v[3] > 0)
        feature->box = rect_of(v[0], v[1], v[2], v[3]);
    else
        report_add(reading->report, place_of(reading, node), "width-and-height-have-to-be",
                   ARGUMENTS(arg_words("key", node->key), arg_words("right", key->words)));
}

static void read_line_of_gap(struct reading *reading, const struct key *key, const struct node *node,
                             void *target)
{
    struct feature *feature = target;
    double v[4];
    if (!read_numbers(reading, node, &(struct number_list){FORM_LENGTH, key->least, key->most, key->words, 4},
                      v))
        return;
    if (v[0] == v[2] && v[1] == v[3]) {
        report_add(reading->report, place_of(reading, node), "line-begins-and-ends-at-same",
                   ARGUMENTS(arg_words("right", key->words)));
        return;
    }
    feature->from = (struct point){v[0], v[1]};
    feature->to = (struct point){v[2], v[3]};
    feature->box = rect_normal(feature->from, feature->to);
}

static void read_runs(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    static const char *const ways[] = {"lying", "upright", NULL};
    struct feature *feature = target;
    int upright;
    (void)key;
    if (read_choice(reading, node, ways, &upright)) feature->ribs_upright = upright;
}

static void read_follow(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct feature *feature = target;
    bool follow;
    (void)key;
    if (!read_yes_no(reading, node, &follow)) return;
    enum laid laid = follow ? LAID_FOLLOWED : LAID_BRIDGED;
    if (feature->laid != LAID_UNSAID && feature->laid != laid)
        report_add(reading->report, place_of(reading, node), "follow-and-laid-say-different-things",
                   ARGUMENTS(arg_words("written", node->text), arg_words("laid", laid_ways[feature->laid])));
    feature->laid = laid;
}

/* Points over one pitch: positions rise, and the last is a pitch from the first. */
static void read_points(struct reading *reading, const struct key *key, const struct node *node,
                        struct feature *feature)
{
    double low = 0, high = 0;
    if (node->count < 2 || node->count > 200) {
        report_add(reading->report, place_of(reading, node), "profile-has-points-2-to-200",
                   ARGUMENTS(arg_count("node_count", (int64_t)node->count)));
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        double v[2];
        if (!read_numbers(reading, entry,
                          &(struct number_list){FORM_LENGTH, -5000, 5000, "a point [along, height]", 2}, v))
            return;
        struct point *last = feature->polyline_count ? &feature->polyline[feature->polyline_count - 1] : NULL;
        if (last && v[0] <= last->x) {
            report_add(reading->report, place_of(reading, entry), "points-of-profile-go-along-it",
                       ARGUMENTS(arg_words("right", key->words)));
            return;
        }
        low = last && low < v[1] ? low : v[1];
        high = last && high > v[1] ? high : v[1];
        *(struct point *)append(reading, &feature->polyline, &feature->polyline_count, sizeof *last) =
            (struct point){v[0], v[1]};
    }
    feature->profile = PROFILE_POLYLINE;
    feature->pitch_mm = feature->polyline[feature->polyline_count - 1].x - feature->polyline[0].x;
    feature->depth_mm = high - low;
}

static void features_read_profile(struct reading *reading, const struct key *key, const struct node *node,
                                  void *target)
{
    struct feature *feature = target;
    int profile;
    if (node->kind == NODE_LIST)
        read_points(reading, key, node, feature);
    else if (read_choice(reading, node, profiles, &profile))
        feature->profile = (enum corrugation_profile)profile;
}

static void need(struct reading *reading, const struct node *node, const struct feature *feature,
                 const char *key)
{
    if (node_find(node, key)) return;
    bool measured = feature->polyline_count && (!strcmp(key, "depth") || !strcmp(key, "pitch"));
    if (measured) return;
    report_add(
        reading->report, place_of(reading, node), "feature-kind-needs-right",
        ARGUMENTS(arg_words("feature_kind", feature_kind_name(feature->kind)), arg_words("right", key)));
}

static void check_feature(struct reading *reading, const struct node *node, const struct feature *feature)
{
    const struct feature_type *type = &feature_types[feature->kind];
    if (!type->is_line) need(reading, node, feature, "box");
    for (const struct feature_key *key = type->keys; key->name; key++)
        if (key->needed) need(reading, node, feature, key->name);
    if (feature->inlay && feature->relief)
        report_add(reading->report, place_of(reading, node), "recess-is-covered-by-inlay-or", NULL);
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (feature_key_is_special(entry->key) && !feature_key_find(feature->kind, entry->key))
            report_remark(reading->report, (struct place){reading->file, entry->key_line, entry->key_column},
                          "says-nothing-about-and-is-passed",
                          ARGUMENTS(arg_words("key", entry->key),
                                    arg_words("feature_kind", feature_kind_name(feature->kind))));
}

static struct feature *add_feature(struct reading *reading, struct surface_spec *surface,
                                   const struct node *node)
{
    struct feature *feature =
        append(reading, &surface->features, &surface->feature_count, sizeof *surface->features);
    *feature = (struct feature){.place = place_of(reading, node), .margin_mm = -1};
    return feature;
}

void read_features(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    if (!is_list(reading, node, key->words)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        struct feature *feature = add_feature(reading, target, entry);
        size_t before = reading->report->errors;
        read_usual(reading, &feature_group, feature);
        read_group(reading, &feature_group, entry, feature);
        if (entry->kind == NODE_GROUP && reading->report->errors == before)
            check_feature(reading, entry, feature);
    }
}

void read_keep_whole(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    if (!is_list(reading, node, key->words)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        struct feature *feature = add_feature(reading, target, entry);
        feature->kind = FEATURE_KEEP_WHOLE;
        read_usual(reading, &whole_group, feature);
        read_group(reading, &whole_group, entry, feature);
    }
}
