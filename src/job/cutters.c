/* The keys of the shop's cutters, and how they are read. Called by shop.c. */
#include "cutters.h"
#include "model/cutter.h"
#include "stock.h"
#include <string.h>

#define AT(field) offsetof(struct cutter, field)

static const char *const shapes[] = {"circle", "cross", "square", "corner", NULL};
static const char *const layers[] = {"off", "on", NULL};
static const char *const dxf_forms[] = {"AC1009", "AC1015", NULL};

static const struct key mark_keys[] = {
    {"shape", FORM_CHOICE, AT(marks.shape), 0, 0, .help = "What the cutter looks for.", .required = true,
     .choices = shapes},
    {"size", FORM_LENGTH, AT(marks.size_mm), 1, 100, .help = "Across the mark.", .required = true},
    {"line", FORM_LENGTH, AT(marks.line_mm), 0, 100, .help = "Width of its lines.",
     .otherwise = "0: the mark is filled"},
    {"distance", FORM_LENGTH, AT(marks.distance_mm), 0, 500, .help = "Clear of the piece and its bleed.",
     .required = true},
    {"every", FORM_LENGTH, AT(marks.every_mm), 10, 100000, .help = "At most so far apart along the film.",
     .otherwise = "any"},
    {"count", FORM_WHOLE, AT(marks.count), 4, 500, .help = "At least so many on a cut section.",
     .otherwise = "four"},
    {"section", FORM_LENGTH, AT(marks.section_mm), 50, 100000,
     .help = "Longest that is cut before the film is fed on.", .otherwise = "any length"},
    {0},
};
const struct group register_group = {"cutters.marks", mark_keys};

static const struct key cutter_keys[] = {
    {"name", FORM_TEXT, AT(name), 0, 0, .help = "What jobs call it.", .required = true},
    {"marks", FORM_GROUP, 0, 0, 0, .help = "Its register marks, as its maker asks for them.",
     .group = &register_group},
    {"cut-layer", FORM_CHOICE, AT(cut_layer), 0, 0, .usual = "off",
     .help = "Cut lines print on a plate of their own (on), or are left out of prints as ISO 19593-1 has it.",
     .choices = layers},
    {"kiss-spot", FORM_TEXT, AT(kiss_spot), 0, 0, .usual = "Kiss cut",
     .help = "Spot colour of cuts through film and laminate, as the cutter's software knows it."},
    {"through-spot", FORM_TEXT, AT(through_spot), 0, 0, .usual = "Through cut",
     .help = "Spot colour of cuts through the liner too."},
    {"least-radius", FORM_LENGTH, AT(least_radius_mm), 0.05, 100,
     .help = "Sharpest hollow corner that it and the film hold.", .otherwise = "not looked at"},
    {"least-width", FORM_LENGTH, AT(least_width_mm), 0.05, 100,
     .help = "Thinnest part that stays when weeded.", .otherwise = "not looked at"},
    {"least-gap", FORM_LENGTH, AT(least_gap_mm), 0.05, 100, .help = "Narrowest gap that can be weeded.",
     .otherwise = "not looked at"},
    {"least-area", FORM_NUMBER, AT(least_area_mm2), 0, 1000000,
     .help = "Smallest island that stays on its liner, in mm2.", .otherwise = "not looked at"},
    {"speed", FORM_NUMBER, AT(speed_mm_s), 1, 5000, .help = "Millimetres cut in a second.", .measured = true,
     .practice = "contour-cut-speed"},
    {"overcut", FORM_LENGTH, AT(overcut_mm), 0, 50, .help = "Cut over the start, so that a line closes.",
     .otherwise = "0"},
    {"dxf", FORM_CHOICE, AT(dxf), 0, 0, .usual = "AC1009",
     .help = "Form of DXF files; AC1015 also says that its unit is the millimetre.", .choices = dxf_forms},
    {0},
};
const struct group cutter_group = {"cutters", cutter_keys};

/* The length that a PDF name may have (ISO 32000-1, annex C). */
enum { SPOT_BYTES_MOST = 127 };

static void finish_cutter(struct reading *reading, const struct node *node, void *item)
{
    const struct cutter *cutter = item;
    if (strlen(cutter->kiss_spot) > SPOT_BYTES_MOST || strlen(cutter->through_spot) > SPOT_BYTES_MOST)
        report_add(reading->report, place_of(reading, node), "cutter-spot-is-too-long",
                   ARGUMENTS(arg_words("cutter", cutter->name), arg_count("most", SPOT_BYTES_MOST)));
    if (!strcmp(cutter->kiss_spot, cutter->through_spot))
        report_add(reading->report, place_of(reading, node), "cutter-spots-are-the-same",
                   ARGUMENTS(arg_words("cutter", cutter->name), arg_words("spot", cutter->kiss_spot)));
    if (cutter->marks.line_mm > cutter->marks.size_mm)
        report_add(reading->report, place_of(reading, node), "cutter-mark-line-is-wider",
                   ARGUMENTS(arg_words("cutter", cutter->name), arg_number("line_mm", cutter->marks.line_mm),
                             arg_number("size_mm", cutter->marks.size_mm)));
}

void read_cutters(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct shop *shop = target;
    stock_read(reading, node,
               &(struct collection){&cutter_group, key->words, sizeof(struct cutter), NULL, finish_cutter},
               &shop->cutters, &shop->cutter_count);
}
