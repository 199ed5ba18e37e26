/* shop.yaml: what the shop prints with, on and for how much. */
#include "supply.h"
#include "read.h"
#include "job/settle.h"
#include "stock.h"
#include "base/units.h"
#include "model/finding.h"
#include <stdlib.h>
#include <string.h>

#define AT(type, field) offsetof(struct type, field)
#define UNPRICED        "not known: sums leave it out, and the finding price-missing says so"

enum { PAGE_MOST = 60 };

static key_reader read_currency, read_zone, shop_read_page, read_severities, read_widths, read_window,
    read_channels, read_ml, read_coverage, read_fingerprint, read_until;

static const char *const film_kinds[] = {"cast", "calendered", "perforated", NULL};
static const char *const technologies[] = {"solvent", "eco-solvent", "latex", "uv", NULL};
static const char *const units[] = {"mm", "inches", NULL}; /* as enum units */
static const char *const roads[] = {"", "left", "right", NULL};
static const char *const intents[] = {"perceptual", "relative", "saturation", "absolute", NULL};

static const struct key printer_keys[] = {
    {"name", FORM_TEXT, AT(printer, name), 0, 0, .help = "What conditions call it.", .required = true},
    {"media-width", FORM_LENGTH, AT(printer, media_width_mm), 100, 6000, .help = "Widest roll it takes.",
     .required = true},
    {"edge", FORM_LENGTH, AT(printer, edge_mm), 0, 100, .help = "Unprintable at each side of the film.",
     .practice = "edge"},
    {"max-length", FORM_LENGTH, AT(printer, max_length_mm), 500, 200000, .help = "Longest print.",
     .practice = "max-length"},
    {"speed", FORM_AREA_SPEED, AT(printer, speed_m2_per_h), 0.1, 2000, .help = "Printed in an hour.",
     .measured = true, .practice = "print-speed"},
    {"setup", FORM_DURATION, AT(printer, setup_s), 0, 86400, .help = "Setting up before a run.",
     .measured = true, .practice = "setup"},
    {"unattended", FORM_YES_NO, AT(printer, unattended), 0, 0, .usual = "false",
     .help = "Once set up it prints on when nobody is there; prints are cut and hung when the shop opens."},
    {0},
};
const struct group printer_group = {"printers", printer_keys};

#define WIDTH_WORDS "a list of lengths such as [1370, 1520]"
static const struct key film_keys[] = {
    {"name", FORM_TEXT, AT(film, name), 0, 0, .help = "What conditions call it.", .required = true},
    {"kind", FORM_CHOICE, AT(film, kind), 0, 0, .help = "How it is made; perforated is window film.",
     .required = true, .choices = film_kinds},
    {"widths", FORM_SPECIAL, AT(film, widths_mm), 100, 6000, .help = "Widths of the rolls that are bought.",
     .required = true, .read = read_widths, .words = WIDTH_WORDS},
    {"length", FORM_LENGTH, AT(film, length_mm), 1000, 1000000, .usual = "50 m",
     .help = "Length of a new roll."},
    {"thickness", FORM_LENGTH, AT(film, thickness_mm), 0.01, 2, .help = "Thickness without the liner."},
    {"price", FORM_PRICE_M2, AT(film, price_per_m2), 0, 0, .otherwise = UNPRICED,
     .help = "Price of a square metre."},
    {"stretch-limit", FORM_PERCENT, AT(film, stretch_limit_percent), 0, 200,
     .help = "How far it may be stretched at most.", .measured = true,
     .otherwise = "common practice for its kind: stretch-cast, stretch-calendered, stretch-perforated"},
    {"durability", FORM_YEARS, AT(film, durability_y), 0.05, 30,
     .help = "How long it lasts outdoors on upright surfaces.", .measured = true},
    {"durability-flat", FORM_YEARS, AT(film, durability_flat_y), 0.05, 30,
     .help = "The same on roof and bonnet.", .measured = true,
     .otherwise = "a share of `durability`: common practice flat-durability-share"},
    {"post-heat", FORM_TEMPERATURE, AT(film, post_heat_c), 20, 200,
     .help = "To which stretched places are heated after applying.", .measured = true},
    {0},
};
const struct group film_group = {"films", film_keys};

#define WINDOW_WORDS "two temperatures such as [20, 23], or {value: [20, 23], source: the maker's document}"
static const struct key laminate_keys[] = {
    {"name", FORM_TEXT, AT(film, name), 0, 0, .help = "What conditions call it.", .required = true},
    {"kind", FORM_CHOICE, AT(film, kind), 0, 0, .help = "How it is made: the film's own kind.",
     .required = true, .choices = film_kinds},
    {"finish", FORM_TEXT, AT(film, finish), 0, 0, .help = "Gloss, matt, satin ..."},
    {"widths", FORM_SPECIAL, AT(film, widths_mm), 100, 6000, .help = "Widths of the rolls that are bought.",
     .required = true, .read = read_widths, .words = WIDTH_WORDS},
    {"length", FORM_LENGTH, AT(film, length_mm), 1000, 1000000, .usual = "50 m",
     .help = "Length of a new roll."},
    {"thickness", FORM_LENGTH, AT(film, thickness_mm), 0.01, 2, .help = "Thickness without the liner."},
    {"price", FORM_PRICE_M2, AT(film, price_per_m2), 0, 0, .otherwise = UNPRICED,
     .help = "Price of a square metre."},
    {"stretch-limit", FORM_PERCENT, AT(film, stretch_limit_percent), 0, 200,
     .help = "How far it may be stretched at most.", .measured = true,
     .otherwise = "common practice for its kind: stretch-cast, stretch-calendered, stretch-perforated"},
    {"durability", FORM_YEARS, AT(film, durability_y), 0.05, 30,
     .help = "How long it lasts outdoors on upright surfaces.", .measured = true},
    {"durability-flat", FORM_YEARS, AT(film, durability_flat_y), 0.05, 30,
     .help = "The same on roof and bonnet.", .measured = true,
     .otherwise = "a share of `durability`: common practice flat-durability-share"},
    {"temperature", FORM_SPECIAL, AT(film, temperature_low_c), 0, 100, .of = FORM_TEMPERATURE,
     .help = "Window of the laminator's roller.", .read = read_window, .words = WINDOW_WORDS,
     .otherwise = "common practice for its kind: roller-cast-low and -high, roller-low and -high"},
    {"room", FORM_SPECIAL, AT(film, room_low_c), 0, 100, .of = FORM_TEMPERATURE,
     .help = "Window of the room when it is applied.", .read = read_window, .words = WINDOW_WORDS,
     .otherwise = "common practice for its kind: room-cast-low and -high, room-low and -high"},
    {"bond", FORM_DURATION, AT(film, bond_s), 0, 30 * 86400,
     .help = "Rest after laminating before it is applied.", .measured = true, .practice = "bond"},
    {"trim-while-bonding", FORM_YES_NO, AT(film, trim_while_bonding), 0, 0, .usual = "false",
     .help = "Finish trimming need not wait for the rest."},
    {"clear", FORM_YES_NO, AT(film, clear), 0, 0, .usual = "false",
     .help = "Optically clear: fit for window film."},
    {0},
};
const struct group laminate_group = {"laminates", laminate_keys};

static const struct key dry_keys[] = {
    {"least", FORM_DURATION, AT(ink, dry_least_s), 0, 60 * 86400, .help = "Drying time with little ink.",
     .measured = true, .otherwise = "common practice for its technology: dry-eco-solvent, else dry-least"},
    {"most", FORM_DURATION, AT(ink, dry_most_s), 0, 60 * 86400, .help = "Drying time with heavy ink.",
     .measured = true,
     .otherwise =
         "common practice for its technology: dry-most for solvent and eco-solvent, else as `least`"},
    {"most-at", FORM_PERCENT, AT(ink, dry_most_at_percent), 10, 800, .help = "Coverage that needs `most`.",
     .measured = true, .otherwise = "the condition's ink limit"},
    {0},
};
const struct group dry_group = {"inks.dry", dry_keys};

static const struct key ink_keys[] = {
    {"name", FORM_TEXT, AT(ink, name), 0, 0, .help = "What conditions call it.", .required = true},
    {"technology", FORM_CHOICE, AT(ink, technology), 0, 0, .help = "What carries it and how it dries.",
     .required = true, .choices = technologies},
    {"channels", FORM_SPECIAL, AT(ink, channels), 0, 0, .help = "The inks; C, M, Y and K among them.",
     .read = read_channels, .words = "a list of up to 8 short names such as [C, M, Y, K]",
     .otherwise = "[C, M, Y, K]"},
    {"ml-per-m2", FORM_SPECIAL, AT(ink, ml_per_m2), 0, 100, .of = FORM_NUMBER,
     .help = "What each lays down at 100 %, in millilitres for a square metre.", .read = read_ml,
     .words = "a number, or a list with one for each channel such as [8, 8, 8, 8]",
     .otherwise = "common practice ink-ml"},
    {"price", FORM_PRICE_ML, AT(ink, price_per_ml), 0, 0, .otherwise = UNPRICED,
     .help = "Price of a millilitre."},
    {"stretch-limit", FORM_PERCENT, AT(ink, stretch_limit_percent), 0, 200,
     .help = "How far the dry ink goes with the film.", .measured = true,
     .otherwise = "common practice for its technology: stretch-ink-solvent, -latex, -uv"},
    {"durability", FORM_YEARS, AT(ink, durability_y), 0.05, 30,
     .help = "How long it lasts outdoors on upright surfaces.", .measured = true},
    {"dry", FORM_GROUP, 0, 0, 0, .help = "Its drying times.", .group = &dry_group},
    {0},
};
const struct group ink_group = {"inks", ink_keys};

static const struct key waiver_keys[] = {
    {"reason", FORM_TEXT, AT(condition, laminate_waiver), 0, 0, .help = "Why it goes out without.",
     .required = true},
    {"until", FORM_SPECIAL, AT(condition, waiver_until), 0, 0, .help = "Last day on which the reason holds.",
     .required = true, .read = read_until, .words = "a date such as 2027-03-08"},
    {0},
};
const struct group waiver_group = {"conditions.no-laminate", waiver_keys};

static const struct key condition_keys[] = {
    {"name", FORM_TEXT, AT(condition, name), 0, 0, .help = "What jobs call it.", .required = true},
    {"printer", FORM_SPECIAL, AT(condition, printer), 0, 0, .help = "Which printer.", .read = read_reference,
     .words = "the name of a printer above",
     .otherwise = "unknown, which only bought-in printing may leave it"},
    {"film", FORM_SPECIAL, AT(condition, film), 0, 0, .help = "On which film.", .required = true,
     .read = read_reference, .words = "the name of a film above"},
    {"laminate", FORM_SPECIAL, AT(condition, laminate), 0, 0,
     .help = "Under which laminate; none stops the job unless `no-laminate` says why.",
     .read = read_reference, .words = "the name of a laminate above, or none", .otherwise = "none"},
    {"no-laminate", FORM_GROUP, 0, 0, 0, .help = "Written reason for going without a laminate.",
     .group = &waiver_group},
    {"ink", FORM_SPECIAL, AT(condition, ink), 0, 0, .help = "With which ink.", .read = read_reference,
     .words = "the name of an ink above, or unknown",
     .otherwise = "unknown, which only bought-in printing may leave it"},
    {"coverage", FORM_SPECIAL, AT(condition, coverage_percent), 0, 100, .of = FORM_PERCENT,
     .help = "Share of the print that an ink besides C, M, Y and K covers on average.", .read = read_coverage,
     .words = "a group of the ink's channels such as {W: 100 %, LC: 30 %}",
     .otherwise = "a light ink as its colour, any other the whole print; told as a finding"},
    {"feed", FORM_PERCENT, AT(condition, feed_percent), FEED_LEAST, FEED_MOST,
     .help = "Length correction of this printer, film and mode, from measured prints.",
     .otherwise = "as measured on record for the same printer, film and mode, else 100 %"},
    {"mode", FORM_TEXT, AT(condition, mode), 0, 0, .help = "The printer's mode, in its own words."},
    {"profile", FORM_PATH, AT(condition, profile), 0, 0,
     .help = "ICC profile of this printer, film, ink and mode; relative to this file, or absolute. "
             "`in-printer`: it is "
             "kept in the printer's own software, and what is read from it here is not known."},
    {"fingerprint", FORM_SPECIAL, AT(condition, profile_fingerprint), 0, 0,
     .help = "The profile's fingerprint, so that another one in its place is noticed.",
     .read = read_fingerprint, .words = "32 digits of 0-9 and a-f"},
    {"intent", FORM_CHOICE, AT(condition, intent), 0, 0, .usual = "relative",
     .help = "Rendering intent (ICC.1).", .choices = intents},
    {"black-point", FORM_YES_NO, AT(condition, black_point), 0, 0, .usual = "true",
     .help = "Black point compensation."},
    {"ink-limit", FORM_PERCENT, AT(condition, ink_limit_percent), 50, 800,
     .help = "Most ink of all channels together that the film takes.", .measured = true,
     .practice = "ink-limit"},
    {0},
};
const struct group condition_group = {"conditions", condition_keys};

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
    {"conditions", FORM_SPECIAL, 0, 0, 0,
     .help = "Printing conditions: a printer with a film, a laminate, an ink and a mode: see conditions.",
     .required = true, .read = read_conditions, .words = "a list of conditions, each a group"},
    {"rates", FORM_GROUP, 0, 0, 0, .help = "What work costs and how fast it goes.", .group = &rates_group},
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

/* ---- words ---- */

static bool shop_all_of(const char *text, const char *letters)
{
    return strspn(text, letters) == strlen(text);
}

/* A text that must be so: `fits` was found by the caller. */
static void keep_text(struct reading *reading, const struct key *key, const struct node *node, bool fits,
                      void *target)
{
    if (fits)
        *(const char **)(void *)((char *)target + key->at) = node->text;
    else
        report_add(reading->report, place_of(reading, node), "key-written-is-not-day-words",
                   ARGUMENTS(arg_words("key", node->key), arg_words("written", node->text),
                             arg_words("day_words", key->words)));
}

static void read_currency(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, strlen(text) == 3 && shop_all_of(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
              target);
}

static void read_zone(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_+-/";
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, shop_all_of(text, letters) && text[0] != '/' && !strstr(text, "//"),
              target);
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
           shop_all_of(port, "0123456789") && strtol(port, NULL, 10) <= 65535;
}

static void shop_read_page(struct reading *reading, const struct key *key, const struct node *node,
                           void *target)
{
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, is_page(text), target);
}

static void read_fingerprint(struct reading *reading, const struct key *key, const struct node *node,
                             void *target)
{
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, strlen(text) == 32 && shop_all_of(text, "0123456789abcdef"), target);
}

static void read_until(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct condition *condition = target;
    (void)key;
    struct civil_date date;
    if (!read_date(reading, node, &date)) return;
    condition->waiver_until = date;
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

/* ---- lists of numbers ---- */

static void read_widths(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct film *film = target;
    if (!is_list(reading, node, key->words)) return;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        double width;
        if (!read_number(reading, entry, FORM_LENGTH, key->least, key->most, &width)) continue;
        append(reading, &film->widths_mm, &film->width_count, sizeof width);
        size_t at = film->width_count - 1;
        for (; at > 0 && film->widths_mm[at - 1] > width; at--) film->widths_mm[at] = film->widths_mm[at - 1];
        film->widths_mm[at] = width;
    }
    if (!node->count)
        report_add(reading->report, place_of(reading, node), "widths-is-empty-write",
                   ARGUMENTS(arg_words("right", key->words)));
}

static void read_window(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct measure *window = (struct measure *)((char *)target + key->at);
    struct measure low = {0, ORIGIN_WRITTEN, source_of(reading, &laminate_group, node)};
    const struct node *list = node, *source = node_find(node, "source");
    if (node->kind == NODE_GROUP) {
        list = node_find(node, "value");
        if (!list || !source || node->count != 2) {
            wrong_shape(reading, node, key->words);
            return;
        }
        low.origin = ORIGIN_MAKER;
        if (!read_text(reading, source, "the name of the maker's document", &low.source)) return;
    }
    double values[2];
    if (!read_numbers(reading, list,
                      &(struct number_list){FORM_TEMPERATURE, key->least, key->most, key->words, 2}, values))
        return;
    if (values[0] > values[1]) {
        report_add(reading->report, place_of(reading, list), "gives-higher-value-first-write-lower",
                   ARGUMENTS(arg_words("key", node->key)));
        return;
    }
    struct measure high = low;
    low.value = values[0], high.value = values[1];
    window[0] = low, window[1] = high; /* low and high stand side by side */
}

static bool has_channel(const struct ink *ink, const char *name)
{
    for (size_t i = 0; i < ink->channel_count; i++)
        if (!strcmp(ink->channels[i], name)) return true;
    return false;
}

static void add_channel(struct reading *reading, const struct node *node, struct ink *ink)
{
    const char *name;
    if (!read_text(reading, node, "a short name such as C", &name)) return;
    if (strlen(name) > 12 || has_channel(ink, name))
        report_add(reading->report, place_of(reading, node), "channel-name-has-channel",
                   ARGUMENTS(arg_part("name", name, 24), arg_flag("has_channel", has_channel(ink, name))));
    else
        ink->channels[ink->channel_count++] = name;
}

static void read_channels(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    static const char *const process[] = {"C", "M", "Y", "K"};
    struct ink *ink = target;
    if (!is_list(reading, node, key->words)) return;
    if (!node->count || node->count > CHANNELS_MOST) {
        report_add(reading->report, place_of(reading, node), "channels-has-entries-write",
                   ARGUMENTS(arg_count("node_count", (int64_t)node->count), arg_words("right", key->words)));
        return;
    }
    ink->channel_count = 0;
    size_t before = reading->report->errors;
    for (const struct node *entry = node->first; entry; entry = entry->next) add_channel(reading, entry, ink);
    for (size_t i = 0; i < 4 && reading->report->errors == before; i++)
        if (!has_channel(ink, process[i]))
            report_add(reading->report, place_of(reading, node), "channels-lacks-c-m-y-and",
                       ARGUMENTS(arg_words("process", process[i])));
}

static void read_ml(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct ink *ink = target;
    double ml[CHANNELS_MOST];
    if (node->kind == NODE_TEXT) {
        if (!read_number(reading, node, FORM_NUMBER, key->least, key->most, ml)) return;
        for (size_t i = 0; i < ink->channel_count; i++) ink->ml_per_m2[i] = ml[0];
        return;
    }
    if (read_numbers(
            reading, node,
            &(struct number_list){FORM_NUMBER, key->least, key->most, key->words, ink->channel_count}, ml))
        memcpy(ink->ml_per_m2, ml, ink->channel_count * sizeof *ml);
}

static size_t channel_named(const struct ink *ink, const char *name)
{
    size_t i = 0;
    while (i < ink->channel_count && strcmp(ink->channels[i], name)) i++;
    return i;
}

/* `ink` has been read before. */
static void read_coverage(struct reading *reading, const struct key *key, const struct node *node,
                          void *target)
{
    struct condition *condition = target;
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node, key->words);
        return;
    }
    for (const struct node *entry = node->first; entry && condition->ink; entry = entry->next) {
        size_t channel = channel_named(condition->ink, entry->key);
        int process;
        if (channel == condition->ink->channel_count)
            report_add(reading->report, (struct place){reading->file, entry->key_line, entry->key_column},
                       "is-not-channel-of-ink-write",
                       ARGUMENTS(arg_part("key", entry->key, 24), arg_words("ink", condition->ink->name)));
        else if (ink_channel_kind(entry->key, &process) == CHANNEL_PROCESS)
            report_add(reading->report, (struct place){reading->file, entry->key_line, entry->key_column},
                       "what-c-m-y-and-k", ARGUMENTS(arg_words("key", entry->key)));
        else
            read_number(reading, entry, FORM_PERCENT, key->least, key->most,
                        &condition->coverage_percent[channel]);
    }
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

struct shop *shop_read(struct reading *reading, const struct node *root)
{
    struct shop *shop = arena_take(reading->arena, sizeof *shop);
    *shop = (struct shop){.file = reading->file, .folder = reading->folder};
    for (int day = 0; day < 5; day++) shop->week[day] = (struct day_hours){{{8 * 3600, 17 * 3600}}, 1};
    reading->shop = shop;
    supply_start(&shop->supply);
    read_usual(reading, &shop_group, shop);
    read_group(reading, &shop_group, root, shop);
    check_factor(reading, node_find(root, "rates"), "margin");
    check_factor(reading, node_find(root, "rates"), "mark-up");
    check_money(reading, shop, root);
    settle_shop(shop);
    if (root->kind == NODE_GROUP && !node_find(root, "hours"))
        report_remark(reading->report, place_of(reading, root), "no-hours-taken-as-mon-fri", NULL);
    return shop;
}
