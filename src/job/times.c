/* Dates and times as ISO 8601 writes them: 2027-03-12, 2027-03-12T17:00, 2027-03-12T17:00:00+01:00. A job's
 * time may be a date alone: what it means is settled when the shop's hours are known (hours_settle). */
#include "job/job.h"
#include "base/sentence.h"
#include "read.h"
#include <string.h>

/* Exactly `digits` digits at *text. */
static bool take_digits(const char **text, int digits, int least, int most, int *value)
{
    *value = 0;
    for (int i = 0; i < digits; i++, (*text)++) {
        if (**text < '0' || **text > '9') return false;
        *value = *value * 10 + (**text - '0');
    }
    return *value >= least && *value <= most;
}

static bool take_char(const char **text, char c)
{
    if (**text != c) return false;
    (*text)++;
    return true;
}

static int times_days_of(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return days[month - 1] + (leap && month == 2);
}

static bool take_date(const char **text, struct civil_date *date)
{
    return take_digits(text, 4, 2000, 2099, &date->year) && take_char(text, '-') &&
           take_digits(text, 2, 1, 12, &date->month) && take_char(text, '-') &&
           take_digits(text, 2, 1, times_days_of(date->year, date->month), &date->day);
}

static bool times_take_clock(const char **text, struct civil_time *time)
{
    if (!take_digits(text, 2, 0, 23, &time->hour) || !take_char(text, ':') ||
        !take_digits(text, 2, 0, 59, &time->minute))
        return false;
    return **text != ':' || (take_char(text, ':') && take_digits(text, 2, 0, 59, &time->second));
}

static bool take_offset(const char **text, struct civil_time *time)
{
    if (!**text) return true;
    time->has_offset = true;
    if (take_char(text, 'Z')) return true;
    int sign = **text == '-' ? -1 : 1, hours, minutes = 0;
    if (!take_char(text, '+') && !take_char(text, '-')) return false;
    if (!take_digits(text, 2, 0, 14, &hours)) return false;
    if (**text && (take_char(text, ':'), !take_digits(text, 2, 0, 59, &minutes))) return false;
    time->offset_minutes = sign * (hours * 60 + minutes);
    return true;
}

static bool whole_date(const char *text, struct civil_date *date)
{
    struct civil_date read = {0};
    if (!take_date(&text, &read) || *text) return false;
    *date = read;
    return true;
}

bool read_date(struct reading *reading, const struct node *node, struct civil_date *date)
{
    static const char words[] = "a date such as 2027-03-08";
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    if (whole_date(node->text, date)) return true;
    report_add(reading->report, place_of(reading, node), "is-not-day-of-calendar-between",
               ARGUMENTS(arg_part("written", node->text, 80), arg_words("words", words)));
    return false;
}

bool job_read_time(const char *text, struct civil_time *time)
{
    struct civil_date date = {0};
    struct civil_time read = {.given = true};
    if (!take_date(&text, &date) || (!take_char(&text, 'T') && !take_char(&text, ' ')) ||
        !times_take_clock(&text, &read) || !take_offset(&text, &read) || *text)
        return false;
    read.year = date.year, read.month = date.month, read.day = date.day;
    *time = read;
    return true;
}

bool read_time(struct reading *reading, const struct node *node, struct civil_time *time)
{
    const char *words = sentence_plain("time-shape");
    struct civil_date date;
    if (node->kind != NODE_TEXT) return wrong_shape(reading, node, words);
    if (job_read_time(node->text, time)) return true;
    if (whole_date(node->text, &date)) {
        *time = (struct civil_time){
            .given = true, .year = date.year, .month = date.month, .day = date.day, .hour = HOUR_UNSAID};
        return true;
    }
    report_add(reading->report, place_of(reading, node), "is-not-time-between-2000-and",
               ARGUMENTS(arg_words("key", node->key), arg_part("written", node->text, 80),
                         arg_words("words", words)));
    return false;
}
