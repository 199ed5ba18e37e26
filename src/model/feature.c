/* The kinds of features of a surface: one name and one row each. */
#include "model/feature.h"
#include "model/job.h"
#include "model/practice.h"
#include <string.h>

const char *const feature_kind_names[FEATURE_COUNT + 1] = {
    [FEATURE_HANDLE] = "handle",       [FEATURE_HINGE] = "hinge",
    [FEATURE_BADGE] = "badge",         [FEATURE_LIGHT] = "light",
    [FEATURE_UNCOVERED] = "uncovered", [FEATURE_KEEP_CLEAR] = "keep-clear",
    [FEATURE_OPENING] = "opening",     [FEATURE_GAP] = "gap",
    [FEATURE_RECESS] = "recess",       [FEATURE_CORRUGATION] = "corrugation",
    [FEATURE_CURVE] = "curve",         [FEATURE_DOME] = "dome",
    [FEATURE_GLASS] = "glass",         [FEATURE_KEEP_WHOLE] = "keep-whole",
};

static const struct feature_key no_keys[] = {{0}};
static const struct feature_key seam_keys[] = {{"margin", "Margin for seams", "20 mm", false}, {0}};
static const struct feature_key cut_out_keys[] = {{"margin", "From its edge to the cut", "5 mm", false}, {0}};
static const struct feature_key pane_keys[] = {
    {"margin", "Margin for seams", "20 mm", false},
    {"cut-short", "From its edge to the film on it", "7 mm", false},
    {0}};
static const struct feature_key gap_keys[] = {{"line", "Its two ends", "[1350, 0, 1350, 1500]", true}, {0}};
static const struct feature_key recess_keys[] = {
    {"depth", "Depth", "18 mm", true},
    {"wall", "Angle of the wall", "60 deg", false},
    {"radius", "Radius of corners", "10 mm", false},
    {"inlay", "Covered by an inlay: true or false", "true", false},
    {"relief", "Cut in its corners: true or false", "true", false},
    {0},
};
static const struct feature_key corrugation_keys[] = {
    {"pitch", "Pitch, rib to rib", "76 mm", true},
    {"depth", "Depth, crest to trough", "18 mm", true},
    {"wall", "Angle of a trapezoid's walls", "60 deg", false},
    {"radius", "Radius of its bends", "10 mm", false},
    {"profile", "Profile: sinusoid, trapezoid or arcs", "sinusoid", false},
    {"runs", "Ribs run: upright or lying", "upright", true},
    {"laid", "Film: bridged or followed", "bridged", false},
    {"follow", "Film is followed: true or false", "true", false},
    {0},
};
static const struct feature_key dome_keys[] = {{"rise", "Rise in the middle", "30 mm", true}, {0}};

const struct feature_type feature_types[FEATURE_COUNT] = {
    [FEATURE_HANDLE] = {.help = "Door handle",
                        .seams = SEAMS_AWAY,
                        .margin = "seam-margin-handle",
                        .tick = "handle",
                        .comes_off = true,
                        .is_hardware = true,
                        .keys = seam_keys},
    [FEATURE_HINGE] = {.help = "Hinge",
                       .seams = SEAMS_AWAY,
                       .margin = "seam-margin-handle",
                       .tick = "hinge",
                       .is_hardware = true,
                       .keys = seam_keys},
    [FEATURE_BADGE] = {.help = "Badge or emblem",
                       .seams = SEAMS_AWAY,
                       .margin = "seam-margin-handle",
                       .tick = "badge",
                       .comes_off = true,
                       .is_hardware = true,
                       .keys = seam_keys},
    [FEATURE_LIGHT] = {.help = "Lamp: it stays bare, and no seam comes near",
                       .seams = SEAMS_AWAY,
                       .margin = "seam-margin-handle",
                       .film = FILM_CUT_OUT,
                       .past_edge = true,
                       .tick = "light",
                       .is_hardware = true,
                       .keys = seam_keys},
    [FEATURE_UNCOVERED] = {.help = "Number plate, sensor, camera, reflector: the body stays bare",
                           .seams = SEAMS_FREE,
                           .margin = "cut-out-margin",
                           .film = FILM_CUT_OUT,
                           .past_edge = true,
                           .tick = "cut out",
                           .keys = cut_out_keys},
    [FEATURE_KEEP_CLEAR] = {.help = "Place under film through which no seam may run",
                            .seams = SEAMS_AWAY,
                            .margin = "seam-margin-keep-clear",
                            .border = BORDER_SHORT_DASHES,
                            .keys = seam_keys},
    [FEATURE_OPENING] = {.help = "Nothing to cover: a window that is left out, a wheel arch",
                         .film = FILM_ABSENT,
                         .past_edge = true,
                         .keys = no_keys},
    [FEATURE_GAP] = {.help = "Door gap: a seam in it does not show",
                     .seams = SEAMS_IN_GAP,
                     .is_line = true,
                     .past_edge = true,
                     .tick = "gap: cut here",
                     .keys = gap_keys},
    [FEATURE_RECESS] = {.help = "Pressed in: the film stretches",
                        .seams = SEAMS_DEAR,
                        .relief = RELIEF_RECESS,
                        .border = BORDER_LONG_DASHES,
                        .keys = recess_keys},
    [FEATURE_CORRUGATION] = {.help = "Ribs side by side",
                             .seams = SEAMS_ON_RIBS,
                             .relief = RELIEF_RIBS,
                             .filling = FILLING_RIBS,
                             .keys = corrugation_keys},
    [FEATURE_CURVE] = {.help = "Curved one way only: no stretch",
                       .is_curved = true,
                       .border = BORDER_LONG_DASHES,
                       .keys = no_keys},
    [FEATURE_DOME] = {.help = "Curved both ways: the film stretches",
                      .is_curved = true,
                      .seams = SEAMS_DEAR,
                      .relief = RELIEF_DOME,
                      .border = BORDER_LONG_DASHES,
                      .keys = dome_keys},
    [FEATURE_GLASS] = {.help = "Pane of glass: one piece, no seam in it, its seal bare",
                       .seams = SEAMS_AWAY,
                       .film = FILM_CUT_SHORT,
                       .is_pane = true,
                       .tick = "pane",
                       .filling = FILLING_PANE,
                       .keys = pane_keys},
    [FEATURE_KEEP_WHOLE] = {.help = "Artwork that no seam may cut",
                            .seams = SEAMS_AWAY,
                            .of_artwork = true,
                            .border = BORDER_DOTS,
                            .keys = seam_keys},
};

const char *feature_kind_name(enum feature_kind kind)
{
    return feature_kind_names[kind];
}

bool feature_forbids_seam(enum feature_kind kind)
{
    return feature_types[kind].seams == SEAMS_AWAY;
}

bool feature_is_bare(enum feature_kind kind)
{
    return feature_types[kind].film == FILM_ABSENT || feature_types[kind].film == FILM_CUT_OUT;
}

static double usual_mm(const char *practice)
{
    return practice ? practice_value(practice).value : 0;
}

double feature_margin_mm(const struct feature *feature)
{
    if (feature_types[feature->kind].film == FILM_CUT_OUT && !feature_forbids_seam(feature->kind)) return 0;
    return feature->margin_mm >= 0 ? feature->margin_mm : usual_mm(feature_types[feature->kind].margin);
}

double feature_cut_out_mm(const struct feature *feature)
{
    const struct feature_type *type = &feature_types[feature->kind];
    if (type->film != FILM_CUT_OUT) return 0;
    bool written = feature->margin_mm >= 0 && !feature_forbids_seam(feature->kind);
    return written ? feature->margin_mm : usual_mm("cut-out-margin");
}

double feature_cut_short_mm(const struct feature *feature)
{
    if (feature_types[feature->kind].film != FILM_CUT_SHORT || feature->cut_short_mm < 0) return 0;
    return feature->cut_short_mm > 0 ? feature->cut_short_mm : usual_mm("cut-short");
}

const struct polygon *feature_bare_shape(const struct feature *feature)
{
    return feature->cut_out.count ? &feature->cut_out : &feature->shape;
}

struct rect feature_bare_box(const struct feature *feature)
{
    return feature->cut_out.count ? polygon_bounds(&feature->cut_out) : feature->box;
}

const struct feature_key *feature_key_find(enum feature_kind kind, const char *name)
{
    for (const struct feature_key *key = feature_types[kind].keys; key->name; key++)
        if (!strcmp(key->name, name)) return key;
    return NULL;
}

bool feature_key_is_special(const char *name)
{
    for (int kind = 0; kind < FEATURE_COUNT; kind++)
        if (feature_key_find((enum feature_kind)kind, name)) return true;
    return false;
}

const char *feature_film_words(enum feature_kind kind)
{
    static const char *const words[] = {
        [FILM_COVERS] = "covers it",
        [FILM_ABSENT] = "nothing to cover",
        [FILM_CUT_OUT] = "cut out round it",
        [FILM_CUT_SHORT] = "cut at its edge, and short of it on the glass",
    };
    return words[feature_types[kind].film];
}

const char *feature_seams_words(enum feature_kind kind)
{
    static const char *const words[] = {
        [SEAMS_FREE] = "may cross it",
        [SEAMS_AWAY] = "keep away by its margin",
        [SEAMS_IN_GAP] = "welcome in it",
        [SEAMS_DEAR] = "dear in it",
        [SEAMS_ON_RIBS] = "on crests only; across the ribs dear",
    };
    bool ends = feature_is_bare(kind) && feature_types[kind].seams == SEAMS_FREE;
    return ends ? "end at it and go on after it" : words[feature_types[kind].seams];
}
