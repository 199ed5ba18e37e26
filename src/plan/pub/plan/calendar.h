/* Opening hours: steps that need people happen inside them and may go on over several days; drying and
 * bonding run through. Times are UTC seconds; the shop's hours are local, so a clock change makes a day
 * shorter or longer by itself. */
#ifndef PLAN_CALENDAR_H
#define PLAN_CALENDAR_H

#include "model/plan.h"

struct calendar {
    const struct zone *zone;
    const struct day_hours *week; /* 7, Monday first */
    const struct civil_date
        *closed; /* days on which no opening begins; one from the evening before runs on */
    size_t closed_count;
    int early_s;                     /* every opening begins so much earlier than the week says */
    int64_t extra_open, extra_close; /* open then too, whatever the week says; equal: never */
};

/* Later than any plan: the shop does not open within CALENDAR_DAYS_MOST days. */
#define CALENDAR_NEVER INT64_MAX
enum { CALENDAR_DAYS_MOST = 3660 };

struct calendar calendar_of(const struct shop *shop, const struct zone *zone);
/* The first moment from `at` on at which the shop is open. */
int64_t calendar_open(const struct calendar *calendar, int64_t at);

/* The first opening that ends after `at`; false when there is none for years. */
bool calendar_span(const struct calendar *calendar, int64_t at, int64_t *open, int64_t *close);

struct work {
    int64_t start, end; /* CALENDAR_NEVER when it cannot be done */
};
/* `seconds` of opening time from the first open moment at or after `from`. Work that ends when the shop
 * closes ends at that moment. */
struct work calendar_work(const struct calendar *calendar, int64_t from, int64_t seconds);

/* The latest work of so many seconds that ends by `end`: the same backwards. */
struct work calendar_work_before(const struct calendar *calendar, int64_t end, int64_t seconds);

#endif
