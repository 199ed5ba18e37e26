/* shop.yaml: what the shop prints with, on and for how much. */
#include "cutters.h"
#include "supply.h"
#include "read.h"
#include "job/settle.h"
#include "settle_measure.h"
#include "stock.h"
#include "base/units.h"
#include "model/finding.h"
#include "model/practice.h"
#include <stdlib.h>
#include <string.h>

#define AT(type, field) offsetof(struct type, field)

enum { PAGE_MOST = 60 };

static key_reader read_currency, read_zone, shop_read_page, read_severities;

static const char *const units[] = {"mm", "inches", NULL}; /* as enum units */
static const char *const roads[] = {"", "left", "right", NULL};

static const struct key rates_keys[] = {
    {"design", FORM_PRICE_HOUR, AT(shop, design_per_h), 0, 0, .otherwise = UNPRICED,
     .help = "An hour of design."},
    {"print", FORM_PRICE_HOUR, AT(shop, print_per_h), 0, 0, .otherwise = UNPRICED,
     .help = "An hour of printing."},
    {"laminate", FORM_PRICE_HOUR, AT(shop, laminate_per_h), 0, 0, .otherwise = UNPRICED,
     .help = "An hour of laminating and trimming."},
    {"install", FORM_PRICE_HOUR, AT(shop, install_per_h), 0, 0, .otherwise = UNPRICED,
     .help = "An hour of one installer."},
    {"install-speed", FORM_AREA_SPEED, AT(shop, install_m2_per_h), 0.05, 100,
     .help = "What one installer applies in an hour.", .measured = true, .practice = "install-speed"},
    {"laminate-speed", FORM_LENGTH_SPEED, AT(shop, laminate_m_per_min), 0.05, 60,
     .help = "Speed of the laminator.", .measured = true, .practice = "laminator-speed"},
    {"mark-up", FORM_PERCENT, AT(shop, mark_up_percent), 0, 1000, .usual = "0",
     .help = "Added to the cost: price = cost x (1 + mark-up)."},
    {"margin", FORM_PERCENT, AT(shop, margin_percent), 0, 1000, .usual = "0",
     .help =
         "With `money: 2` the share of the price that is not cost, up to 90 %: price = cost / (1 - margin). "
         "Without, it is added to the cost as in files of old, and the finding margin-meaning asks."},
    {"money", FORM_WHOLE, AT(shop, money), 1, 2, .usual = "1",
     .help = "2: `margin` is a share of the price."},
    {"waste", FORM_PERCENT, AT(shop, waste_percent), 0, 100, .usual = "0",
     .help = "Material spoilt, on top of what is used."},
    {0},
};
const struct group rates_group = {"rates", rates_keys};

#define WEIGHT(name, field, most, usual_row, help)                                                           \
    {                                                                                                        \
        name, FORM_NUMBER, AT(shop, seams.field), 0, most, NULL, help, .measured = true,                     \
                                                                       .practice = usual_row                 \
    }
static const struct key weight_keys[] = {
    WEIGHT("panel-minutes", panel_min, 600, "panel-minutes",
           "An installer's minutes for handling a panel, however large."),
    WEIGHT("lap-minutes", lap_min_per_m, 600, "seam-lap-minutes",
           "An installer's minutes for a metre of lap."),
    WEIGHT("gap-minutes", gap_min_per_m, 600, "seam-gap-minutes",
           "An installer's minutes for a metre turned into a door gap."),
    WEIGHT(
        "detail", detail_per_m, 1e6, "seam-detail",
        "For a metre of lap and each unit of detail in its band: what shows when panels meet a little off."),
    WEIGHT("lap", lap_per_m, 1e6, "seam-lap", "For a metre of lap, however plain the artwork."),
    WEIGHT("shaped", shaped_per_m, 1e6, "seam-shaped", "For a metre in or near a recess or dome."),
    {"shaped-reach", FORM_LENGTH, AT(shop, seams.shaped_reach_mm), 0, 500,
     .help = "How near to its edge that is.", .measured = true, .practice = "seam-shaped-reach"},
    WEIGHT("across-ribs", across_ribs_per_m, 1e6, "seam-across-ribs", "For a metre across ribs."),
    WEIGHT("lettering", lettering_per_m, 1e6, "seam-lettering",
           "For a metre through lettering that no panel holds."),
    WEIGHT("sliver", sliver_per_m, 1e6, "seam-sliver",
           "For a metre of a strip of film between a lap and a door gap or edge that is too narrow to hold."),
    {"gap-sliver", FORM_LENGTH, AT(shop, seams.gap_sliver_mm), 0, 500,
     .help = "A strip narrower than this is too narrow.", .measured = true, .practice = "gap-sliver"},
    WEIGHT("out-of-line", out_of_line, 1e6, "seam-out-of-line",
           "For a seam that does not go on round the corner, where `align` asks."),
    {0},
};
const struct group weight_group = {"shop.seams", weight_keys};

#define TASK(name, kind, usual_row, help)                                                                    \
    {                                                                                                        \
        name, FORM_NUMBER, AT(shop, task_minutes[kind]), 0, 6000, NULL, help, .measured = true,              \
                                                                              .practice = usual_row          \
    }
static const struct key task_keys[] = {
    TASK("remove-film", TASK_REMOVE_FILM, "task-remove-film", "Minutes for a m2 of old film removed."),
    TASK("wash", TASK_WASH, "task-wash", "Minutes for a m2 washed and degreased."),
    TASK("take-off", TASK_TAKE_OFF, "task-take-off", "Minutes for each part taken off."),
    TASK("post-heat", TASK_POST_HEAT, "task-post-heat", "Minutes for each recess, dome or corrugation."),
    TASK("edge-seal", TASK_EDGE_SEAL, "task-edge-seal", "Minutes for a metre of edge sealed."),
    TASK("refit", TASK_REFIT, "task-refit", "Minutes for each part put back on."),
    TASK("check", TASK_CHECK, "task-check", "Minutes for the next day's check of a vehicle."),
    TASK("test-print", TASK_TEST_PRINT, "task-test-print", "Minutes for each test print."),
    {0},
};
const struct group task_group = {"shop.tasks", task_keys};

static const struct key roll_keys[] = {
    {"gap", FORM_LENGTH, AT(shop, rolls.gap_mm), 0, 500, .help = "Between two prints, along and across.",
     .measured = true, .practice = "print-gap"},
    {"leader", FORM_LENGTH, AT(shop, rolls.leader_mm), 0, 5000,
     .help = "Film lost at the start of a roll each time it is loaded.", .measured = true,
     .practice = "roll-leader"},
    {"tail", FORM_LENGTH, AT(shop, rolls.tail_mm), 0, 5000,
     .help = "Film lost after the last print each time, before it is cut off.", .measured = true,
     .practice = "roll-tail"},
    {"off-cut-width", FORM_LENGTH, AT(shop, rolls.off_cut_width_mm), 10, 6000,
     .help = "Narrowest off-cut that is worth keeping.", .measured = true, .practice = "off-cut-width"},
    {"off-cut-length", FORM_LENGTH, AT(shop, rolls.off_cut_length_mm), 10, 100000,
     .help = "Shortest off-cut that is worth keeping.", .measured = true, .practice = "off-cut-length"},
    {0},
};
const struct group roll_group = {"shop.rolls", roll_keys};

static const struct key shop_keys[] = {
    {"currency", FORM_SPECIAL, AT(shop, currency), 0, 0, .usual = "EUR",
     .help = "The one currency of all prices here.", .read = read_currency,
     .words = "three capital letters (ISO 4217) such as EUR"},
    {"zone", FORM_SPECIAL, AT(shop, zone), 0, 0, .help = "Time zone of the shop.", .read = read_zone,
     .words = "a zone of the IANA time zone database such as Europe/Lisbon",
     .otherwise = "the machine's own"},
    {"drives-on", FORM_CHOICE, AT(shop, drives_on), 0, 0,
     .help = "Side of the road: says which side of a vehicle is the driver's, near or off side.",
     .choices = roads, .otherwise = "the driver is taken to sit on the left"},
    {"units", FORM_CHOICE, AT(shop, units), 0, 0, .usual = "mm",
     .help = "Lengths in texts, for jobs that do not say.", .choices = units},
    {"page", FORM_SPECIAL, AT(shop, page), 0, 0,
     .help =
         "Address of the shop's page (lapstrake serve); the code on a panel's label then leads to the panel.",
     .read = shop_read_page,
     .words = "http:// or https://, a host, and perhaps :port, at most 60 letters, such as "
              "http://shop-pc:8017",
     .otherwise = "the code holds job and panel"},
    {"hours", FORM_SPECIAL, 0, 0, 0, .help = "When people work: see hours.", .read = read_hours,
     .words = "a group such as {mon-fri: [08:00-12:00, 13:00-17:00], sat: closed, closed: [2027-03-08]}",
     .otherwise = "mon-fri: 08:00-17:00 (common practice, no source)"},
    {"threading", FORM_LENGTH, AT(shop, threading_mm), 0, 10000,
     .help = "Film and laminate lost at each run of the laminator.", .measured = true,
     .practice = "threading"},
    {"rolls", FORM_GROUP, 0, 0, 0, .help = "How prints are laid on rolls: see rolls.md.",
     .group = &roll_group},
    {"printing", FORM_SPECIAL, AT(shop, printing), 0, 0,
     .help = "Printed here, or bought in: no profile is needed then.", .read = read_printing,
     .words = PRINTING_WORDS, .otherwise = "own"},
    {"bought-in", FORM_SPECIAL, AT(shop, supply), 0, 0,
     .help = "What bought-in printing takes: see bought-in.", .read = read_supply, .words = SUPPLY_WORDS,
     .otherwise = "nothing is said"},
    {"printers", FORM_SPECIAL, 0, 0, 0, .help = "The printers: see printers.", .read = read_printers,
     .words = "a list of printers, each a group",
     .otherwise = "none; then every condition's printer is unknown"},
    {"films", FORM_SPECIAL, 0, 0, 0, .help = "The films to print on: see films.", .required = true,
     .read = read_films, .words = "a list of films, each a group"},
    {"laminates", FORM_SPECIAL, 0, 0, 0, .help = "The laminates: see laminates.", .read = read_laminates,
     .words = "a list of laminates, each a group", .otherwise = "none"},
    {"inks", FORM_SPECIAL, 0, 0, 0, .help = "The sets of inks: see inks.", .read = read_inks,
     .words = "a list of inks, each a group", .otherwise = "none; then every condition's ink is unknown"},
    {"tapes", FORM_SPECIAL, 0, 0, 0, .help = "Application tapes: see tapes.", .read = read_tapes,
     .words = "a list of application tapes, each a group", .otherwise = "none"},
    {"cleaner", FORM_SPECIAL, AT(shop, cleaner), 0, 0, .help = "What vehicles are degreased with: see fluid.",
     .read = read_fluid, .words = FLUID_WORDS, .otherwise = "common practice cleaner-ml, without a name"},
    {"primer", FORM_SPECIAL, AT(shop, primer), 0, 0,
     .help = "What is brushed on where film is stretched: see fluid.", .read = read_fluid,
     .words = FLUID_WORDS, .otherwise = "common practice primer-ml, without a name"},
    {"conditions", FORM_SPECIAL, 0, 0, 0,
     .help = "Printing conditions: a printer with a film, a laminate, an ink and a mode: see conditions.",
     .required = true, .read = read_conditions, .words = "a list of conditions, each a group"},
    {"cutters", FORM_SPECIAL, 0, 0, 0, .help = "What cuts pieces to their shape: see cutters.",
     .read = read_cutters, .words = "a list of cutters, each a group",
     .otherwise = "none; cut lines are written without register marks"},
    {"rates", FORM_GROUP, 0, 0, 0, .help = "What work costs and how fast it goes.", .group = &rates_group},
    {"quote", FORM_GROUP, 0, 0, 0, .help = "What is charged, and what stands in quotes: see shop.quote.",
     .group = &shop_quote_group},
    {"seams", FORM_GROUP, 0, 0, 0,
     .help = "What seams cost besides film, in the shop's currency: see seams.md.", .group = &weight_group},
    {"money", FORM_WHOLE, AT(shop, money), 1, 2, .help = "As in rates.", .otherwise = "as in rates"},
    {"crew", FORM_WHOLE, AT(shop, crew), 1, 50, .help = "People who install.", .otherwise = "one"},
    {"two-person", FORM_LENGTH, AT(shop, two_person_mm), 100, 100000,
     .help = "A longer panel takes two people to apply.", .measured = true, .practice = "two-person"},
    {"hanging-height", FORM_LENGTH, AT(shop, hanging_height_mm), 500, 100000,
     .help = "Height of the room in which prints hang.", .measured = true, .practice = "hang-height"},
    {"tasks", FORM_GROUP, 0, 0, 0, .help = "One person's minutes for work besides printing and applying.",
     .group = &task_group},
    {"severities", FORM_SPECIAL, 0, 0, 0, .help = "Findings that this shop takes more seriously.",
     .read = read_severities, .words = "a group such as {seam-crosses: stop}",
     .otherwise = "as in findings.md"},
    {0},
};
const struct group shop_group = {"shop", shop_keys};

/* ---- keys ---- */

static void read_currency(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, strlen(text) == 3 && has_only(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), target);
}

static void read_zone(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_+-/";
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, has_only(text, letters) && text[0] != '/' && !strstr(text, "//"), target);
}

/* A host as names and IPv4 addresses are written (RFC 1123, 2.1), and a port. */
static bool is_page(const char *text)
{
    static const char host_letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.-";
    size_t scheme = !strncmp(text, "http://", 7) ? 7 : !strncmp(text, "https://", 8) ? 8 : 0;
    const char *host = text + scheme;
    size_t length = strspn(host, host_letters);
    bool good =
        scheme && strlen(text) <= PAGE_MOST && length && !strchr(".-", host[0]) && host[length - 1] != '-';
    if (!good || !host[length]) return good;
    const char *port = host + length + 1;
    return host[length] == ':' && *port != '0' && strlen(port) >= 1 && strlen(port) <= 5 &&
           has_only(port, "0123456789") && strtol(port, NULL, 10) <= 65535;
}

static void shop_read_page(struct reading *reading, const struct key *key, const struct node *node,
                           void *target)
{
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, is_page(text), target);
}

static void raise_severity(struct reading *reading, const struct node *node)
{
    static const char *const severities[] = {"note", "warn", "stop", NULL};
    struct shop *shop = reading->shop;
    int severity;
    const struct finding_kind *kind = finding_kind_find(node->key);
    if (!kind) {
        const char **codes = arena_take_array(reading->arena, finding_table_count + 1, sizeof *codes);
        for (size_t i = 0; i < finding_table_count; i++) codes[i] = finding_table[i].code;
        report_add(reading->report, (struct place){reading->file, node->key_line, node->key_column},
                   "is-not-code-of-finding-findings",
                   ARGUMENTS(arg_part("key", node->key, 80),
                             arg_words("suggestion", suggestion(reading, node->key, codes))));
        return;
    }
    if (!read_choice(reading, node, severities, &severity)) return;
    if (severity < (int)kind->severity) {
        report_add(
            reading->report, place_of(reading, node), "is-shop-may-take-finding-more",
            ARGUMENTS(arg_words("key", node->key), arg_words("severity", severity_name(kind->severity))));
        return;
    }
    size_t count = shop->raised_count;
    *(const char **)append(reading, &shop->raised_codes, &count, sizeof(char *)) = kind->code;
    *(const char **)append(reading, &shop->raised_to, &shop->raised_count, sizeof(char *)) = node->text;
}

static void read_severities(struct reading *reading, const struct key *key, const struct node *node,
                            void *target)
{
    (void)target;
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node, key->words);
        return;
    }
    for (const struct node *entry = node->first; entry; entry = entry->next) raise_severity(reading, entry);
}

/* ---- the file ---- */

enum { MARGIN_MOST = 90 };

/* A factor where a share belongs: 1.3 would add next to nothing. */
static void check_factor(struct reading *reading, const struct node *rates, const char *name)
{
    const double factor_most = 3;
    const struct node *node = node_find(rates, name);
    double value;
    if (!node || node->kind != NODE_TEXT || strchr(node->text, '%')) return;
    if (!units_number(str_from(node->text), &value) || value <= 1 || value >= factor_most) return;
    report_add(reading->report, place_of(reading, node), "would-be-for-cost-times-write",
               ARGUMENTS(arg_words("name", name), arg_words("written", node->text),
                         arg_number("percent", value), arg_number("mark_up_percent", (value - 1) * 100)));
}

static void check_money(struct reading *reading, const struct shop *shop, const struct node *root)
{
    if (shop->margin_percent > 0 && shop->mark_up_percent > 0)
        report_add(reading->report, place_of(reading, root), "rates-has-margin-and-mark-up", NULL);
    if (shop->money == 2 && shop->margin_percent > MARGIN_MOST)
        report_add(
            reading->report, place_of(reading, root), "margin-is-out-of-range-with",
            ARGUMENTS(arg_number("margin_percent", shop->margin_percent), arg_count("most", MARGIN_MOST)));
}

void settle_shop(struct shop *shop)
{
    settle_keys(&shop_group, shop);
    settle_measure(&shop->supply.lead_s, practice_seconds("lead-time"));
    settle_as(&shop->cleaner.ml_per_m2, "cleaner-ml");
    settle_as(&shop->primer.ml_per_m2, "primer-ml");
}

struct shop *shop_read(struct reading *reading, const struct node *root)
{
    struct shop *shop = arena_take(reading->arena, sizeof *shop);
    *shop = (struct shop){.file = reading->file, .folder = reading->folder};
    for (int day = 0; day < 5; day++) shop->week[day] = (struct day_hours){{{8 * 3600, 17 * 3600}}, 1};
    reading->shop = shop;
    supply_start(&shop->supply);
    shop->cleaner.price_per_ml = shop->primer.price_per_ml = PRICE_UNSAID;
    read_usual(reading, &shop_group, shop);
    read_group(reading, &shop_group, root, shop);
    check_factor(reading, node_find(root, "rates"), "margin");
    check_factor(reading, node_find(root, "rates"), "mark-up");
    check_money(reading, shop, root);
    shop->marked_up =
        node_find(node_find(root, "rates"), "margin") || node_find(node_find(root, "rates"), "mark-up");
    settle_shop(shop);
    if (root->kind == NODE_GROUP && !node_find(root, "hours"))
        report_remark(reading->report, place_of(reading, root), "no-hours-taken-as-mon-fri", NULL);
    return shop;
}
