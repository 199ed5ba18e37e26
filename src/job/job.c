/* job.yaml, and how the shop's and the vehicle's files join it. */
#include "read.h"
#include "supply.h"
#include "surfaces.h"
#include "base/arena.h"
#include "base/latin.h"
#include "base/path.h"
#include "base/text.h"
#include "model/plan.h"
#include "job/settle.h"
#include <string.h>
#include <strings.h>

#define AT(field) offsetof(struct job, field)

static key_reader read_number_of_job, read_ahead, read_vehicle_type, read_mixed, read_units, read_align,
    read_kept_choice;

static const char *const dryings[] = {"cabinet",  "hung", "loose-upright", "flat", "tight-roll",
                                      "outdoors", NULL};
static const char *const outputs[] = {"run", "cut", NULL};
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
    {"edge-seal", FORM_YES_NO, AT(edge_seal), 0, 0, .usual = "false",
     .help = "All surfaces: edges are sealed."},
    {"test-print", FORM_YES_NO, AT(test_print), 0, 0, .usual = "false",
     .help = "A test print on each printing condition before the run."},
    {"printing", FORM_SPECIAL, AT(printing), 0, 0,
     .help = "Printed here, or bought in: no profile is needed then.", .read = read_printing,
     .words = PRINTING_WORDS, .otherwise = "as the shop"},
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
    {"inches", FORM_YES_NO, AT(inches), 0, 0, .help = "Lengths in texts in inches.",
     .otherwise = "as the shop"},
    {"units", FORM_SPECIAL, AT(inches), 0, 0, .help = "`units: inches` is `inches: true`.",
     .read = read_units, .words = "one of mm, inches", .otherwise = "as the shop"},
    {"choice", FORM_SPECIAL, AT(choice), 0, 0, .help = "Which of the plan's alternatives was chosen.",
     .read = read_kept_choice, .words = "one of least cost, fewest panels, least material, least visible",
     .otherwise = "least cost"},
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

/* ---- the other files ---- */

/* A file's tree and the reading that goes with it; NULL when it cannot be used, which is reported at `asked`.
 */
static struct node *open_other(struct reading *reading, const char *name, struct place asked,
                               struct reading *other)
{
    struct error error = {0};
    struct str bytes;
    const char *path = path_join(reading->arena, reading->folder, name);
    *other = *reading;
    if (!reading_may_reach(reading, name, asked)) return NULL;
    other->file = name;
    other->folder = path_folder(reading->arena, path);
    if (!machine_read(reading->machine, path, JOB_BYTES_MOST, reading->arena, &bytes, &error)) {
        report_add(reading->report, asked, "as-said", ARGUMENTS(arg_words("words", error.text)));
        return NULL;
    }
    struct tree tree = {reading->arena, reading->report, name, 0};
    return tree_from_bytes(&tree, path, bytes);
}

static bool is_file_name(struct arena *arena, const char *name)
{
    const char *ending = path_ending(arena, name);
    return !strcmp(ending, "yaml") || !strcmp(ending, "yml") || !strcmp(ending, "json");
}

/* "shop" beside the job: shop.yaml or shop.json, NULL when neither is there. */
static const char *job_beside(struct reading *reading, const char *name)
{
    static const char *const endings[] = {"yaml", "yml", "json"};
    for (size_t i = 0; i < 3; i++) {
        const char *file = arena_format(reading->arena, "%s.%s", name, endings[i]);
        const char *path = path_join(reading->arena, reading->folder, file);
        if (reading->machine->status(reading->machine, path).exists) return file;
    }
    return NULL;
}

/* Through the page only pictures, drawings and profiles come in: none of them is a shop. */
static bool is_shop_file(struct reading *reading, const char *name, struct place asked)
{
    if (!reading->machine->within || is_file_name(reading->arena, name)) return true;
    report_add(reading->report, asked, "is-not-shop-file-its-name", ARGUMENTS(arg_words("name", name)));
    return false;
}

static void load_shop(struct reading *reading, const struct node *root)
{
    const struct node *node = node_find(root, "shop");
    struct reading other;
    const char *name = "shop.yaml";
    if (node && !read_path(reading, node, &name)) return;
    if (!node && !(name = job_beside(reading, "shop"))) {
        report_add(reading->report, place_of(reading, root), "there-is-no-shop-yaml-beside-this", NULL);
        return;
    }
    if (!is_shop_file(reading, name, place_of(reading, node ? node : root))) return;
    const struct node *tree = open_other(reading, name, place_of(reading, node ? node : root), &other);
    if (!tree) return;
    other.in_shop = true;
    reading->shop = reading->job->shop = shop_read(&other, tree);
}

bool job_load_shop(struct machine *machine, const char *folder, struct arena *arena, struct report *report,
                   struct shop **shop)
{
    struct reading reading = {
        .machine = machine, .arena = arena, .report = report, .folder = folder, .file = "."};
    struct reading other;
    const char *name = job_beside(&reading, "shop");
    *shop = NULL;
    if (!name) return false;
    const struct node *tree = open_other(&reading, name, (struct place){.file = name}, &other);
    other.in_shop = true;
    if (tree) *shop = shop_read(&other, tree);
    return true;
}

/* "long-van" of ../vehicles/long-van.yaml; a plain vehicle.yaml has no name. */
static const char *vehicle_name(struct arena *arena, const char *file)
{
    const char *name = path_name(file), *dot = strrchr(name, '.');
    const char *stem = arena_copy(arena, name, dot ? (size_t)(dot - name) : strlen(name));
    return strcmp(stem, "vehicle") ? stem : NULL;
}

static void load_vehicle(struct reading *reading, const struct node *root)
{
    const struct node *node = node_find(root, "vehicle");
    struct job *job = reading->job;
    struct reading other;
    const char *name = NULL;
    if (node && !read_path(reading, node, &name)) return;
    if (!node && !(name = job_beside(reading, "vehicle"))) return;
    job->vehicle = name;
    if (!is_file_name(reading->arena, name)) return;
    const struct node *tree = open_other(reading, name, place_of(reading, node ? node : root), &other);
    if (!tree) return;
    job->vehicle = vehicle_name(reading->arena, name);
    read_group(&other, &vehicle_group, tree, job);
}

/* ---- the whole ---- */

/* What may stand in `print` or at the top stands in one of them. */
static void refuse_both_places(struct reading *reading, const struct node *root)
{
    static const char *const names[] = {"condition", "overlap", "bleed", "output", "mixed-widths", NULL};
    const struct node *print = node_find(root, "print");
    for (size_t i = 0; names[i]; i++) {
        const struct node *top = node_find(root, names[i]);
        if (top && node_find(print, names[i]))
            report_add(reading->report, (struct place){reading->file, top->key_line, top->key_column},
                       "stands-here-and-under-print-keep", ARGUMENTS(arg_words("names", names[i])));
    }
    if (node_find(root, "inches") && node_find(root, "units"))
        report_add(reading->report, place_of(reading, node_find(root, "units")),
                   "units-and-inches-say-same-thing", NULL);
}

/* A folder's name in a number's letters; *whole is false where it has none for some of its letters. */
static const char *number_from_name(struct arena *arena, const char *name, bool *whole)
{
    struct text plain = text_new(arena), number = text_new(arena);
    *whole = latin_plain(name, &plain);
    for (const char *c = text_string(&plain); *c && number.length < JOB_NUMBER_MOST; c++) {
        bool letter = strchr(job_number_letters, *c) != NULL && (*c != '-' || number.length);
        if (letter)
            text_add_char(&number, *c);
        else if (number.length && number.bytes[number.length - 1] != '-')
            text_add_char(&number, '-');
    }
    while (number.length && number.bytes[number.length - 1] == '-') number.bytes[--number.length] = 0;
    return number.length ? text_string(&number) : "job";
}

/* Whether the job file at `path` writes a number; one that cannot be read writes none. */
static bool writes_number(struct machine *machine, const char *path, struct arena *arena)
{
    struct str text;
    if (!machine_read(machine, path, JOB_BYTES_MOST, arena, &text, NULL)) return false;
    const char *words = arena_copy(arena, text.bytes, text.length);
    return !strncmp(words, "job:", 4) || strstr(words, "\njob:");
}

/* The folder beside this one whose name makes the same number and that has a job without one; NULL: none. */
static const char *find_namesake(struct machine *machine, const char *path, const char *number,
                                 struct arena *arena)
{
    const char *parent = path_folder(arena, path), **names;
    bool whole;
    if (!machine->list_folder(machine, parent, arena, &names, NULL)) return NULL;
    for (; *names; names++) {
        const char *file = path_join(arena, path_join(arena, parent, *names), "job.yaml");
        if (string_equal(*names, path_name(path)) || **names == '.' ||
            strcasecmp(number_from_name(arena, *names, &whole), number) || !whole)
            continue;
        if (machine->status(machine, file).exists && !writes_number(machine, file, arena)) return *names;
    }
    return NULL;
}

/* What the record and labels know a job by must not be that of two: where a name makes no number, or the same
 * as another's ("Müller" and "Mueller"), it is asked for. */
static const char *number_of_folder(struct reading *reading, const struct node *root, const char *folder)
{
    bool whole;
    const char *path = path_full(reading->arena, folder), *name = path_name(path);
    const char *number = number_from_name(reading->arena, name, &whole);
    struct arena *scratch = arena_new(reading->machine);
    const char *other = whole ? find_namesake(reading->machine, path, number, scratch) : NULL;
    if (!whole)
        report_add(reading->report, place_of(reading, root), "folders-name-makes-no-job-number",
                   ARGUMENTS(arg_words("name", name)));
    else if (other)
        report_add(
            reading->report, place_of(reading, root), "folders-and-both-make-job-number",
            ARGUMENTS(arg_words("name", name), arg_words("other", other), arg_words("number", number)));
    arena_free(scratch);
    return number;
}

static void choose_condition(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    bool written = node_find(root, "condition") || node_find(node_find(root, "print"), "condition");
    if (!job->shop || !job->shop->condition_count || written) return;
    if (job->shop->condition_count == 1) {
        job->condition = job->shop->conditions;
        return;
    }
    struct text names = text_new(reading->arena);
    for (size_t i = 0; i < job->shop->condition_count && i < 20; i++)
        text_addf(&names, "%s%s", i ? ", " : "", job->shop->conditions[i].name);
    report_add(reading->report, place_of(reading, root), "condition-is-missing-and-shop-has",
               ARGUMENTS(arg_words("names", text_string(&names))));
}

/* Whether `one` is later than `other`; only where both count in the same offset. */
static bool job_later(const struct civil_time *one, const struct civil_time *other)
{
    const int a[] = {one->year, one->month, one->day, one->hour, one->minute, one->second};
    const int b[] = {other->year, other->month, other->day, other->hour, other->minute, other->second};
    if (one->has_offset != other->has_offset || one->offset_minutes != other->offset_minutes) return false;
    for (size_t i = 0; i < 6; i++)
        if (a[i] != b[i]) return a[i] > b[i];
    return true; /* the same moment leaves no time */
}

static void settle_closing(struct reading *reading, const struct node *node, struct civil_time *time)
{
    struct civil_time written = *time;
    if (!node || hours_settle_closing(reading->job->shop, time)) return;
    report_remark(
        reading->report, place_of(reading, node), "shop-is-closed-on-is-taken",
        ARGUMENTS(
            arg_words("civil_day", civil_day_words(written.year, written.month, written.day, reading->arena)),
            arg_words("key", node->key), arg_words("civil_time", civil_time_words(time, reading->arena))));
}

static void settle_times(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    if (!job->shop) return;
    hours_settle_opening(job->shop, &job->start);
    hours_settle_opening(job->shop, &job->arrives);
    settle_closing(reading, node_find(root, "due"), &job->due);
    settle_closing(reading, node_find(root, "leaves"), &job->leaves);
}

static void job_refuse_unknown(struct reading *reading, const struct condition *condition)
{
    if (condition && condition->ink && condition->ink->unknown && condition->place.file)
        report_add(reading->report, condition->place, "condition-has-no-ink-name-one",
                   ARGUMENTS(arg_words("condition", condition->name)));
    if (condition && condition->printer && condition->printer->unknown && condition->place.file)
        report_add(reading->report, condition->place, "condition-has-no-printer-name-one",
                   ARGUMENTS(arg_words("condition", condition->name)));
}

static void settle_units(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    if (job->shop && !node_find(root, "inches") && !node_find(root, "units"))
        job->inches = job->shop->units == UNITS_INCHES;
}

/* On what, and how long prints dry, must be known where they are printed here. */
static void refuse_unknowns(struct reading *reading)
{
    const struct job *job = reading->job;
    if (!job->shop || job_buys_prints(job)) return;
    job_refuse_unknown(reading, job->condition);
    for (size_t i = 0; i < job->surface_count; i++)
        if (job->surfaces[i].condition != job->condition)
            job_refuse_unknown(reading, job->surfaces[i].condition);
}

static void finish_job(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    const struct node *due = node_find(root, "due");
    choose_condition(reading, root);
    if (!job->number) job->number = number_of_folder(reading, root, job->folder);
    settle_units(reading, root);
    settle_times(reading, root);
    if (job->start.given && job->due.given && job_later(&job->start, &job->due))
        report_add(reading->report, place_of(reading, due), "due-is-not-after-start-correct", NULL);
    finish_surfaces(reading, root);
    refuse_unknowns(reading);
    if (!reading->report->errors) finish_corners(reading);
    settle_job(job);
}

static void job_read(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    job->bleed = (struct bleed_spec){-1, -1, -1, -1, -1, -1, -1, 0};
    job->drying = DRYING_UNSAID;
    job->design_s = -1;
    supply_start(&job->supply);
    read_usual(reading, &job_group, job);
    load_shop(reading, root);
    load_vehicle(reading, root);
    refuse_both_places(reading, root);
    read_group(reading, &job_group, root, job);
    finish_job(reading, root);
}

const char *job_file_of(struct machine *machine, const char *path, struct arena *arena)
{
    if (!machine->status(machine, path).is_folder) return path;
    const char *yaml = path_join(arena, path, "job.yaml"), *json = path_join(arena, path, "job.json");
    bool only_json = !machine->status(machine, yaml).exists && machine->status(machine, json).exists;
    return only_json ? json : yaml;
}

struct job *job_of_bytes(struct machine *machine, const char *file, struct str bytes, struct arena *arena,
                         struct report *report)
{
    struct tree tree = {arena, report, path_name(file), 0};
    const struct node *root = tree_from_bytes(&tree, file, bytes);
    if (!root) return NULL;
    struct reading reading = {.machine = machine, .arena = arena, .report = report, .file = tree.file};
    reading.folder = path_folder(arena, file);
    reading.job = arena_take(arena, sizeof *reading.job);
    reading.job->file = file;
    reading.job->folder = reading.folder;
    if (root->kind != NODE_GROUP) {
        wrong_shape(&reading, root, "a group of keys such as `vehicle: ...` and `due: ...`");
        return NULL;
    }
    job_read(&reading, root);
    return reading.job;
}

bool job_load(struct machine *machine, const char *path, struct arena *arena, struct report *report,
              struct job **job, struct error *error)
{
    struct str bytes;
    *job = NULL;
    const char *file = job_file_of(machine, path, arena);
    if (!is_file_name(arena, file))
        return error_set(error, FAILURE_INPUT, "is-not-job-name-job-folder",
                         ARGUMENTS(arg_words("file", file)));
    if (!machine_read(machine, file, JOB_BYTES_MOST, arena, &bytes, error)) return false;
    *job = job_of_bytes(machine, file, bytes, arena, report);
    return true;
}
