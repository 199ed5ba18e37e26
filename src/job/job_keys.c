/* The keys of job.yaml and of the vehicle's file, and how each is read. */
#include "read.h"
#include "supply.h"
#include "surfaces.h"
#include "texts.h"
#include "model/plan.h"
#include <string.h>

#define AT(field) offsetof(struct job, field)

static key_reader read_number_of_job, read_ahead, read_vehicle_type, read_mixed, read_units, read_align,
    read_kept_choice;

static const char *const dryings[] = {"cabinet",  "hung", "loose-upright", "flat", "tight-roll",
                                      "outdoors", NULL};
static const char *const outputs[] = {"run", "cut", NULL};
static const char *const proofs[] = {"no", "required", NULL};
static const char *const types[] = {"van", "box", "bus", "trailer", "car", NULL};
static const char *const choices[] = {"least cost",    "fewest panels", "least material",
                                      "least visible", "best",          NULL};

#define BLEED_WORDS                                                                                          \
    "a length such as 50 mm, 0 or cut short, a group of edges {top, sill, front, rear, left, right}, or "    \
    "{cut-short: 7 mm}"
#define CONDITION_WORDS "the name of a condition of the shop"
static const struct key print_keys[] = {
    {"condition", FORM_SPECIAL, AT(condition), 0, 0, .help = "Which printing condition of the shop.",
     .read = read_condition_name, .words = CONDITION_WORDS, .otherwise = "the shop's only one"},
    {"overlap", FORM_LENGTH, AT(overlap_mm), 0, 100, .help = "Band printed on both panels at a seam.",
     .measured = true, .otherwise = "common practice overlap; overlap-box for box, bus and trailer"},
    {"bleed", FORM_SPECIAL, AT(bleed), 0, 1000, .help = "Printed beyond the outline: see bleed.",
     .read = read_bleed, .words = BLEED_WORDS, .otherwise = "common practice bleed"},
    {"seam-trim", FORM_LENGTH, AT(seam_trim_mm), 0, 5,
     .help = "The over panel prints this much beyond its visible edge and is cut back.", .measured = true,
     .practice = "seam-trim"},
    {"turn-in", FORM_LENGTH, AT(turn_in_mm), 0, 100,
     .help = "Printed past a door gap by both panels and turned round the edge.", .measured = true,
     .practice = "turn-in"},
    {"resolution", FORM_NUMBER, AT(resolution_ppi), 20, 600, .usual = "100",
     .help = "Pixels per inch at full size, for raster output."},
    {"format", FORM_CHOICE, AT(format), 0, 0, .usual = "pdf", .help = "Form of the panel files.",
     .choices = panel_format_names},
    {"large", FORM_CHOICE, AT(large), 0, 0, .usual = "userunit",
     .help = "PDF panels over 5.08 m: pages in larger units, pages at 1:10 to be printed at 1000 %, or TIFF.",
     .choices = panel_large_names},
    {"output", FORM_CHOICE, AT(output), 0, 0,
     .help = "Prints are cut and hung after the whole run, or each as it comes.", .choices = outputs,
     .otherwise = "run"},
    {"mixed-widths", FORM_SPECIAL, 0, 0, 0, .help = "All surfaces may mix rolls of different width.",
     .read = read_mixed, .words = "true or false", .otherwise = "false"},
    {"turning", FORM_YES_NO, AT(turning), 0, 0,
     .help = "A surface's panels may lie turned and side by side on the roll, to save film.",
     .otherwise = "false: the same way up, one after the other"},
    {0},
};
const struct group print_group = {"print", print_keys};

static const struct key indoors_keys[] = {
    {"temperature", FORM_TEMPERATURE, AT(room_c), -20, 60,
     .help = "The room the prints dry and are laminated in.", .measured = true, .practice = "room"},
    {"humidity", FORM_PERCENT, AT(room_humidity_percent), 0, 100, .help = "Its relative humidity.",
     .measured = true, .practice = "room-humidity"},
    {"roller", FORM_TEMPERATURE, AT(roller_c), -20, 150, .help = "The laminator's roller.", .measured = true,
     .otherwise = "as the room"},
    {0},
};
const struct group indoors_group = {"indoors", indoors_keys};

static const struct key vehicle_keys[] = {
    {"name", FORM_TEXT, AT(vehicle), 0, 0, .help = "What people call it.", .otherwise = "the file's name"},
    {"type", FORM_SPECIAL, AT(vehicle_type), 0, 0, .help = "Sets the usual overlap and direction of panels.",
     .read = read_vehicle_type, .words = "one of van, box, bus, trailer, car"},
    {"surfaces", FORM_SPECIAL, 0, 0, 0, .help = "What was measured: see surfaces.", .required = true,
     .read = read_surfaces, .words = "a list of surfaces, each a group"},
    {0},
};
const struct group vehicle_group = {"vehicle", vehicle_keys};

static const struct key job_keys[] = {
    {"job", FORM_SPECIAL, AT(number), 0, 0, .help = "The job's number; part of file names.",
     .read = read_number_of_job, .words = "letters, digits, - _, at most 60",
     .otherwise = "the folder's name, every other character than a letter or digit as -"},
    {"title", FORM_TEXT, AT(title), 0, 0, .help = "What it is, for people."},
    {"customer", FORM_TEXT, AT(customer), 0, 0, .help = "For whom."},
    {"shop", FORM_SPECIAL, 0, 0, 0, .help = "The shop's file.", .read = read_ahead,
     .words = "the path of a file", .otherwise = "shop.yaml (or shop.json) beside the job file"},
    {"vehicle", FORM_SPECIAL, 0, 0, 0,
     .help = "The measured vehicle's file (.yaml, .yml or .json); any other text is a name for people.",
     .read = read_ahead, .words = "the path of a file, or a name",
     .otherwise = "vehicle.yaml (or vehicle.json) beside the job file, when it is there"},
    {"vehicle-type", FORM_SPECIAL, AT(vehicle_type), 0, 0,
     .help = "Sets the usual overlap and direction of panels.", .read = read_vehicle_type,
     .words = "one of van, box, bus, trailer, car", .otherwise = "as the vehicle's file says"},
    {"start", FORM_TIME, AT(start), 0, 0,
     .help = "When printing may start; a date alone: when the shop opens.",
     .otherwise = "the next opening hour"},
    {"due", FORM_TIME, AT(due), 0, 0,
     .help = "When the vehicle must be finished; a date alone: when the shop closes."},
    {"arrives", FORM_TIME, AT(arrives), 0, 0,
     .help = "When the vehicle is there to be prepared; a date alone: when the shop opens.",
     .otherwise = "in time for its preparation"},
    {"leaves", FORM_TIME, AT(leaves), 0, 0,
     .help = "When the vehicle goes again; a date alone: when the shop closes."},
    {"crew", FORM_WHOLE, AT(crew), 1, 50, .help = "People who install this job.", .otherwise = "the shop's"},
    {"design", FORM_DURATION, AT(design_s), 0, 3600000, .help = "Hours of design that this job is charged.",
     .otherwise = "none"},
    {"old-film", FORM_YES_NO, AT(old_film), 0, 0, .usual = "false",
     .help = "All surfaces: old film is removed."},
    {"old-film-age", FORM_YEARS, AT(old_film_age_y), 0, 40,
     .help = "How long the old film has been on: the older, the longer it takes to remove.",
     .otherwise = "counted as common practice removal-fresh; the quote says so"},
    {"edge-seal", FORM_YES_NO, AT(edge_seal), 0, 0, .usual = "false",
     .help = "All surfaces: edges are sealed."},
    {"test-print", FORM_YES_NO, AT(test_print), 0, 0, .usual = "false",
     .help = "A test print on each printing condition before the run."},
    {"vehicles", FORM_SPECIAL, AT(vehicles), 1, VEHICLES_MOST, .usual = "1", .of = FORM_NUMBER,
     .help =
         "Vehicles that are alike, or the file of a fleet whose words differ: a row for each vehicle, its "
         "columns the fields of `text`. Rolls and material are counted for all of them.",
     .read = read_vehicles, .words = VEHICLES_WORDS},
    {"turning", FORM_YES_NO, AT(turning), 0, 0, .usual = "false", .help = "As in print."},
    {"tape", FORM_YES_NO, AT(tape), 0, 0, .usual = "false",
     .help = "Prints are applied with application tape: it goes into the material list."},
    {"cleaner", FORM_YES_NO, AT(cleaner), 0, 0, .usual = "false",
     .help = "What the vehicle is degreased with goes into the material list."},
    {"primer", FORM_YES_NO, AT(primer), 0, 0, .usual = "false",
     .help = "Primer for stretched places goes into the material list."},
    {"printing", FORM_SPECIAL, AT(printing), 0, 0,
     .help = "Printed here, or bought in: no profile is needed then.", .read = read_printing,
     .words = PRINTING_WORDS, .otherwise = "as the shop"},
    {"proof", FORM_CHOICE, AT(proof), 0, 0, .usual = "no",
     .help = "Printing waits until the customer's approval of the proof is on record.", .choices = proofs},
    {"bought-in", FORM_SPECIAL, AT(supply), 0, 0, .help = "What bought-in printing takes: see bought-in.",
     .read = read_supply, .words = SUPPLY_WORDS, .otherwise = "as the shop"},
    {"indoors", FORM_GROUP, 0, 0, 0, .help = "Room and laminator.", .group = &indoors_group},
    {"print", FORM_GROUP, 0, 0, 0, .help = "How it is printed.", .group = &print_group},
    {"condition", FORM_SPECIAL, AT(condition), 0, 0, .help = "As in print.", .read = read_condition_name,
     .words = CONDITION_WORDS},
    {"overlap", FORM_LENGTH, AT(overlap_mm), 0, 100, .help = "As in print.", .measured = true},
    {"bleed", FORM_SPECIAL, AT(bleed), 0, 1000, .help = "As in print.", .read = read_bleed,
     .words = BLEED_WORDS},
    {"output", FORM_CHOICE, AT(output), 0, 0, .usual = "run", .help = "As in print.", .choices = outputs},
    {"mixed-widths", FORM_SPECIAL, 0, 0, 0, .help = "As in print.", .read = read_mixed,
     .words = "true or false"},
    {"feed", FORM_PERCENT, AT(feed_percent), FEED_LEAST, FEED_MOST,
     .help = "Length correction in place of the condition's.", .otherwise = "the condition's"},
    {"drying", FORM_CHOICE, AT(drying), 0, 0, .help = "How the prints dry.", .choices = dryings,
     .otherwise = "not said: a finding asks"},
    {"durability", FORM_YEARS, AT(durability_y), 0, 30, .help = "What the customer was promised."},
    {"cutter", FORM_SPECIAL, 0, 0, 0, .help = "Which cutter of the shop cuts the pieces.",
     .read = read_cutter_name, .words = "the name of a cutter of the shop", .otherwise = "the shop's first"},
    {"inches", FORM_YES_NO, AT(inches), 0, 0, .help = "Lengths in texts in inches.",
     .otherwise = "as the shop"},
    {"units", FORM_SPECIAL, AT(inches), 0, 0, .help = "`units: inches` is `inches: true`.",
     .read = read_units, .words = "one of mm, inches", .otherwise = "as the shop"},
    {"choice", FORM_SPECIAL, AT(choice), 0, 0, .help = "Which of the plan's alternatives was chosen.",
     .read = read_kept_choice, .words = "one of least cost, fewest panels, least material, least visible",
     .otherwise = "least cost"},
    {"quote", FORM_GROUP, 0, 0, 0, .help = "What only this job's quote has: see job.quote.",
     .group = &job_quote_group},
    {"surfaces", FORM_SPECIAL, 0, 0, 0,
     .help = "The surfaces to letter, or what is added to the vehicle's: see surfaces.",
     .read = read_surfaces, .words = "a list of surfaces, each a group"},
    {"artwork", FORM_SPECIAL, 0, 0, 0, .help = "Artwork by surface; a path alone is fitted to the bleed.",
     .read = read_quick_artwork, .words = "a group such as {left: art/left.pdf, rear: {file: art/rear.tif}}"},
    {"align", FORM_SPECIAL, 0, 0, 0, .help = "Neighbouring surfaces whose seams are kept in line.",
     .read = read_align,
     .words =
         "two surfaces such as left-rear, a group {surfaces: left-rear, shift: 40 mm}, or a list of such"},
    {"corners", FORM_SPECIAL, 0, 0, 0,
     .help =
         "Surfaces that meet at a corner of the vehicle: one wraps round it, the other ends at it, beneath.",
     .read = read_corners,
     .words =
         "two surfaces such as left-rear, a group {surfaces: left-rear, over: left, wrap: 20 mm}, or a list "
         "of such",
     .otherwise = "every surface prints its bleed at every edge"},
    {0},
};
const struct group job_group = {"job", job_keys};

/* ---- keys ---- */

const char job_number_letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

static void read_number_of_job(struct reading *reading, const struct key *key, const struct node *node,
                               void *target)
{
    struct job *job = target;
    const char *number;
    if (!read_text(reading, node, key->words, &number)) return;
    if (number[0] != '-' && strlen(number) <= JOB_NUMBER_MOST &&
        strspn(number, job_number_letters) == strlen(number))
        job->number = number;
    else
        report_add(reading->report, place_of(reading, node), "job-number-is-not-right",
                   ARGUMENTS(arg_words("number", number), arg_words("right", key->words)));
}

/* `shop` and `vehicle` are read before the table's turn comes. */
static void read_ahead(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)reading, (void)key, (void)node, (void)target;
}

static void read_vehicle_type(struct reading *reading, const struct key *key, const struct node *node,
                              void *target)
{
    struct job *job = target;
    int type;
    (void)key;
    if (read_choice(reading, node, types, &type)) job->vehicle_type = types[type];
}

static void read_mixed(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)key, (void)target;
    read_yes_no(reading, node, &reading->mixed_widths);
}

static void read_units(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    static const char *const units[] = {"mm", "inches", NULL};
    struct job *job = target;
    int inches;
    (void)key;
    if (read_choice(reading, node, units, &inches)) job->inches = inches;
}

static void read_kept_choice(struct reading *reading, const struct key *key, const struct node *node,
                             void *target)
{
    struct job *job = target;
    int choice;
    (void)key;
    if (read_choice(reading, node, choices, &choice)) job->choice = choices[choice];
}

#define PAIR_WORDS "two surfaces such as left-rear"
static key_reader job_read_pair;
static const struct key align_keys[] = {
    {"surfaces", FORM_SPECIAL, 0, 0, 0, .help = "The two that meet.", .required = true, .read = job_read_pair,
     .words = PAIR_WORDS},
    {"shift", FORM_LENGTH, offsetof(struct alignment, shift_mm), -60000, 60000, .usual = "0",
     .help = "How much higher the second one's lower edge lies; where seams run across the vehicle, how much "
             "further back its front edge, along it, how much further right its middle."},
    {0},
};
const struct group align_group = {"align", align_keys};

static void job_read_pair(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    struct alignment *align = target;
    read_surface_pair(reading, key, node, &align->one, &align->other);
}

static void add_alignment(struct reading *reading, const struct node *node)
{
    struct job *job = reading->job;
    struct alignment align = {0};
    if (node->kind == NODE_GROUP)
        read_group(reading, &align_group, node, &align);
    else
        job_read_pair(reading, &align_keys[0], node, &align);
    if (align.one)
        *(struct alignment *)append(reading, &job->align, &job->align_count, sizeof *job->align) = align;
}

static void read_align(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)key, (void)target;
    if (node->kind != NODE_LIST) {
        add_alignment(reading, node);
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next) add_alignment(reading, entry);
}
