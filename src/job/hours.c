/* Opening hours: `{mon-fri: [08:00-12:00, 13:00-17:00], sat: closed, closed: [2027-03-08]}`. A single day
 * stands above a range that holds it, wherever it is written. */
#include "read.h"
#include "model/plan.h"
#include <string.h>

static const char *const days[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun", NULL};

#define DAY_WORDS                                                                                            \
    "opening hours such as 08:00-17:00 or 22:00-06:00, a list such as [08:00-12:00, 13:00-17:00], or "       \
    "closed; "                                                                                               \
    "days can be joined: mon-fri"
#define DAY(name, help)                                                                                      \
    {                                                                                                        \
        name, FORM_SPECIAL, 0, 0, 0, NULL, help, .words = DAY_WORDS, .otherwise = "closed"                   \
    }
static const struct key hours_keys[] = {
    DAY("mon", "Opening hours on Mondays."),
    DAY("tue", "The same on Tuesdays."),
    DAY("wed", "The same on Wednesdays."),
    DAY("thu", "The same on Thursdays."),
    DAY("fri", "The same on Fridays."),
    DAY("sat", "The same on Saturdays."),
    DAY("sun", "The same on Sundays."),
    {"closed", FORM_SPECIAL, 0, 0, 0, NULL, "Days on which the shop is closed all day.",
     .words = "a list of dates such as [2027-03-08]", .otherwise = "none"},
    {0},
};
const struct group hours_group = {"hours", hours_keys};

static int day_named(const char *name, size_t length)
{
    for (int i = 0; days[i]; i++)
        if (length == 3 && !strncmp(days[i], name, 3)) return i;
    return -1;
}

/* "fri" or "mon-fri", which may run over the end of the week. */
static bool days_named(const char *name, int *first, int *last)
{
    const char *dash = strchr(name, '-');
    size_t length = dash ? (size_t)(dash - name) : strlen(name);
    *first = day_named(name, length);
    *last = dash ? day_named(dash + 1, strlen(dash + 1)) : *first;
    return *first >= 0 && *last >= 0;
}

/* "08:00" at *text, to seconds from midnight; 24:00 is the end of the day. */
static bool hours_take_clock(const char **text, int *seconds)
{
    int parts[2] = {0, 0};
    for (int part = 0; part < 2; part++) {
        if (part && *(*text)++ != ':') return false;
        for (int i = 0; i < 2; i++, (*text)++) {
            if (**text < '0' || **text > '9') return false;
            parts[part] = parts[part] * 10 + (**text - '0');
        }
    }
    *seconds = parts[0] * 3600 + parts[1] * 60;
    return parts[1] < 60 && *seconds <= 24 * 3600;
}

/* "08:00-17:00" at *text; one that ends at or before its beginning ends on the next day. */
static bool take_opening(const char **text, struct hours *hours)
{
    *text += strspn(*text, " ");
    if (!hours_take_clock(text, &hours->open_s) || *(*text)++ != '-' ||
        !hours_take_clock(text, &hours->close_s))
        return false;
    if (hours->close_s < hours->open_s) hours->close_s += 24 * 3600;
    *text += strspn(*text, " ");
    return hours->open_s < hours->close_s && hours->open_s < 24 * 3600;
}

/* "08:00-12:00, 13:00-17:00", added to the day's. */
static bool take_openings(const char *text, struct day_hours *day)
{
    for (;; text++) {
        if (day->count == OPENINGS_MOST || !take_opening(&text, &day->openings[day->count++])) return false;
        if (*text != ',') return !*text;
    }
}

static bool parse_day(const struct node *node, struct day_hours *day)
{
    *day = (struct day_hours){.count = 0};
    if (node->kind == NODE_TEXT) return !strcmp(node->text, "closed") || take_openings(node->text, day);
    for (const struct node *entry = node->first; entry; entry = entry->next)
        if (entry->kind != NODE_TEXT || !take_openings(entry->text, day)) return false;
    return day->count > 0;
}

static bool in_order(const struct day_hours *day)
{
    for (size_t i = 1; i < day->count; i++)
        if (day->openings[i].open_s < day->openings[i - 1].close_s) return false;
    return true;
}

static void read_day(struct reading *reading, const struct node *node, int first, int last)
{
    struct day_hours hours;
    if (node->kind != NODE_TEXT && node->kind != NODE_LIST) {
        wrong_shape(reading, node, DAY_WORDS);
        return;
    }
    if (!parse_day(node, &hours)) {
        report_add(reading->report, place_of(reading, node), "key-written-is-not-day-words",
                   ARGUMENTS(arg_words("key", node->key),
                             arg_part("written", node->kind == NODE_TEXT ? node->text : "[...]", 80),
                             arg_words("day_words", DAY_WORDS)));
        return;
    }
    if (!in_order(&hours)) {
        report_add(reading->report, place_of(reading, node), "each-opening-must-begin-when-one",
                   ARGUMENTS(arg_words("key", node->key)));
        return;
    }
    for (int day = first;; day = (day + 1) % 7) {
        reading->shop->week[day] = hours;
        if (day == last) break;
    }
}

static void read_closed(struct reading *reading, const struct node *node)
{
    struct shop *shop = reading->shop;
    if (!is_list(reading, node, "a list of dates such as [2027-03-08]")) return;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        struct civil_date date;
        if (read_date(reading, entry, &date))
            *(struct civil_date *)append(reading, &shop->closed, &shop->closed_count, sizeof date) = date;
    }
}

static void read_days(struct reading *reading, const struct node *node, bool ranges)
{
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        int first, last;
        if (!days_named(entry->key, &first, &last)) continue;
        if (ranges == (strchr(entry->key, '-') != NULL)) read_day(reading, entry, first, last);
    }
}

static bool names_a_day(struct reading *reading, const struct node *node)
{
    bool any = false;
    for (const struct node *entry = node->first; entry; entry = entry->next) {
        int first, last;
        if (!strcmp(entry->key, "closed")) continue;
        if (days_named(entry->key, &first, &last)) {
            any = true;
            continue;
        }
        report_add(reading->report, (struct place){reading->file, entry->key_line, entry->key_column},
                   "is-not-day-write-mon-tue",
                   ARGUMENTS(arg_part("key", entry->key, 80),
                             arg_words("suggestion", suggestion(reading, entry->key, days))));
    }
    return any;
}

static bool ever_open(const struct shop *shop)
{
    for (int day = 0; day < 7; day++)
        if (shop->week[day].count) return true;
    return false;
}

void read_hours(struct reading *reading, const struct key *key, const struct node *node, void *target)
{
    (void)target;
    if (node->kind != NODE_GROUP) {
        wrong_shape(reading, node, key->words);
        return;
    }
    if (names_a_day(reading, node)) memset(reading->shop->week, 0, sizeof reading->shop->week);
    size_t before = reading->report->errors;
    read_days(reading, node, true);
    read_days(reading, node, false);
    const struct node *closed = node_find(node, "closed");
    if (closed) read_closed(reading, closed);
    if (!ever_open(reading->shop) && reading->report->errors == before)
        report_add(reading->report, place_of(reading, node), "shop-is-never-open-give-hours", NULL);
}

/* ---- a date without an hour ---- */

enum { DAY_S = 86400, DAYS_BACK = 400 };

/* The date so many days later, at so many seconds from its midnight, as a clock on the wall shows it. */
static struct civil_time moment_of(const struct civil_time *day, int later, int second)
{
    const struct zone wall = {0};
    struct civil_time midnight = {.given = true, .year = day->year, .month = day->month, .day = day->day};
    struct civil_time at = zone_local(&wall, zone_utc(&wall, &midnight) + (int64_t)later * DAY_S + second);
    at.has_offset = false;
    return at;
}

static bool is_closed_day(const struct shop *shop, const struct civil_time *day)
{
    for (size_t i = 0; i < shop->closed_count; i++) {
        const struct civil_date *closed = &shop->closed[i];
        if (closed->year == day->year && closed->month == day->month && closed->day == day->day) return true;
    }
    return !shop->week[zone_weekday(day->year, day->month, day->day)].count;
}

static const struct day_hours *hours_of(const struct shop *shop, const struct civil_time *day)
{
    return &shop->week[zone_weekday(day->year, day->month, day->day)];
}

void hours_settle_opening(const struct shop *shop, struct civil_time *time)
{
    if (time->hour != HOUR_UNSAID) return;
    *time = moment_of(time, 0, is_closed_day(shop, time) ? 0 : hours_of(shop, time)->openings[0].open_s);
}

bool hours_settle_closing(const struct shop *shop, struct civil_time *time)
{
    struct civil_time day = *time;
    int back = 0;
    if (time->hour != HOUR_UNSAID) return true;
    while (back < DAYS_BACK && is_closed_day(shop, &day)) day = moment_of(time, -++back, 0);
    const struct day_hours *hours = hours_of(shop, &day);
    *time = moment_of(&day, 0, hours->count ? hours->openings[hours->count - 1].close_s : DAY_S);
    return back == 0;
}
