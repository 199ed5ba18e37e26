/* The keys of what the shop has in stock: printers, films, laminates, inks and printing conditions. */
#include "stock.h"
#include <string.h>

#define AT(type, field) offsetof(struct type, field)

static key_reader read_widths, read_window, read_channels, read_ml, read_coverage, read_fingerprint,
    read_until;

static const char *const film_kinds[] = {"cast", "calendered", "perforated", NULL};
static const char *const technologies[] = {"solvent", "eco-solvent", "latex", "uv", NULL};
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
/* What film and laminate are alike in: both come on rolls, and are stretched. */
/* clang-format off */
#define ROLL_KEYS \
    {"widths", FORM_SPECIAL, AT(film, widths_mm), 100, 6000, .help = "Widths of the rolls that are bought.", \
     .required = true, .read = read_widths, .words = WIDTH_WORDS}, \
    {"length", FORM_LENGTH, AT(film, length_mm), 1000, 1000000, .usual = "50 m", \
     .help = "Length of a new roll."}, \
    {"thickness", FORM_LENGTH, AT(film, thickness_mm), 0.01, 2, .help = "Thickness without the liner."}, \
    {"price", FORM_PRICE_M2, AT(film, price_per_m2), 0, 0, .otherwise = UNPRICED, \
     .help = "Price of a square metre."}, \
    {"stretch-limit", FORM_PERCENT, AT(film, stretch_limit_percent), 0, 200, \
     .help = "How far it may be stretched at most.", .measured = true, \
     .otherwise = "common practice for its kind: stretch-cast, stretch-calendered, stretch-perforated"}, \
    {"durability", FORM_YEARS, AT(film, durability_y), 0.05, 30, \
     .help = "How long it lasts outdoors on upright surfaces.", .measured = true}, \
    {"durability-flat", FORM_YEARS, AT(film, durability_flat_y), 0.05, 30, \
     .help = "The same on roof and bonnet.", .measured = true, \
     .otherwise = "a share of `durability`: common practice flat-durability-share"}
/* clang-format on */
static const struct key film_keys[] = {
    {"name", FORM_TEXT, AT(film, name), 0, 0, .help = "What conditions call it.", .required = true},
    {"kind", FORM_CHOICE, AT(film, kind), 0, 0, .help = "How it is made; perforated is window film.",
     .required = true, .choices = film_kinds},
    ROLL_KEYS,
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
    ROLL_KEYS,
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

static const struct key tape_keys[] = {
    {"name", FORM_TEXT, AT(film, name), 0, 0, .help = "What the shop calls it.", .required = true},
    {"widths", FORM_SPECIAL, AT(film, widths_mm), 10, 6000, .help = "Widths of the rolls that are bought.",
     .required = true, .read = read_widths, .words = WIDTH_WORDS},
    {"length", FORM_LENGTH, AT(film, length_mm), 1000, 1000000, .usual = "100 m",
     .help = "Length of a new roll."},
    {"price", FORM_PRICE_M2, AT(film, price_per_m2), 0, 0, .otherwise = UNPRICED,
     .help = "Price of a square metre."},
    {0},
};
const struct group tape_group = {"tapes", tape_keys};

static const struct key fluid_keys[] = {
    {"name", FORM_TEXT, AT(fluid, name), 0, 0, .help = "What the shop calls it.", .required = true},
    {"ml-per-m2", FORM_NUMBER, AT(fluid, ml_per_m2), 0, 10000,
     .help = "Millilitres for a square metre: of the surface for cleaner, of stretched places for primer.",
     .measured = true, .otherwise = "common practice cleaner-ml, primer-ml"},
    {"price", FORM_PRICE_ML, AT(fluid, price_per_ml), 0, 0, .otherwise = UNPRICED,
     .help = "Price of a millilitre."},
    {0},
};
const struct group fluid_group = {"fluid", fluid_keys};

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
     .otherwise = "a light ink as its colour, any other the whole print; with a finding"},
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

/* ---- words ---- */

static void read_fingerprint(struct reading *reading, const struct key *key, const struct node *node,
                             void *target)
{
    const char *text;
    if (!read_text(reading, node, key->words, &text)) return;
    keep_text(reading, key, node, strlen(text) == 32 && has_only(text, "0123456789abcdef"), target);
}

static void read_until(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    struct condition *condition = target;
    (void)key;
    struct civil_date date;
    if (!read_date(reading, node, &date)) return;
    condition->waiver_until = date;
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
