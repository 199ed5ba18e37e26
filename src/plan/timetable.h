/* Private to plan: all surfaces through the shop, one printer of each name, one laminator, one table and one
 * crew. What is on record stands; the rest is worked out after it. */
#ifndef PLAN_TIMETABLE_H
#define PLAN_TIMETABLE_H

#include "plan/calendar.h"
#include "schedule.h"

enum { EVENT_KINDS = EVENT_INSTALLED + 1 };

/* When the steps of one panel were done, by enum event_kind; 0: not yet. A later step says that the earlier
 * ones were done too. */
struct done {
    int64_t at[EVENT_KINDS];
};

/* One step of a surface: panels that have it behind them, and the rest. */
struct operation {
    struct work done, todo; /* the first and last time on record; the work that is left */
    size_t done_count, todo_count;
};
int64_t operation_end(const struct operation *operation);

/* When one surface goes through the shop. */
struct routing {
    struct done *done; /* by panel, from the record */
    struct operation printing, laminate, trim, install;
    struct work finish; /* of the vehicle there, after installing; no time: none */
    struct work
        *panel_printing; /* cut as they come: of each panel still to be printed, by index; else NULL */
    int64_t *hung;       /* when each panel is or was hung, by index */
    int64_t dry_end;     /* of all */
    int64_t ready;       /* dry, laminated and bonded */
};
bool routing_has(const struct routing *routing, size_t panel, enum event_kind kind);

/* Something that one surface waits for because another has it. */
enum shared { SHARED_PRINTER = 1, SHARED_LAMINATOR = 2, SHARED_TABLE = 4 };

#define EASE_WHOLE INT64_MAX
/* A schedule in which something is easier than it is, to see whether that moves the date. All zero: as it is. */
struct ease {
    const struct workload *workload; /* of this surface; NULL with by_s: of every surface */
    enum step_kind kind;
    int64_t by_s;    /* the step is so much shorter; EASE_WHOLE: it takes no time */
    unsigned enough; /* of these (enum shared) there is one for each surface */
    bool vehicle_is_here;
    int64_t open, close; /* the shop is open then, too */
    int early_s;         /* every opening begins so much earlier */
};

struct timetable {
    const struct plan_input *input;
    const struct workloads *workloads;
    const size_t *sequence; /* in which surfaces are installed: indices of workloads */
    struct calendar calendar;
    struct routing *routings; /* one for each workload */
    struct ease ease;
    int64_t floor;              /* nothing that is not done begins before */
    int64_t arrives;            /* the vehicle; INT64_MIN: not said */
    int64_t start;              /* of printing, as asked for last */
    int64_t earliest, finished; /* start of the first install step, end of the last step before the check;
                                   CALENDAR_NEVER when it cannot be said */
    struct work prepare;        /* the vehicle, by the crew, at the latest before installing */
};
struct timetable timetable_new(const struct plan *plan, const struct workloads *workloads,
                               struct arena *arena);
/* In the job's order, so that a later start or a longer step never makes anything earlier. */
void timetable_from(struct timetable *timetable, int64_t start);
/* When a panel's drying ends: its time is over, or it was laminated. CALENDAR_NEVER: it does not dry. */
int64_t routing_dry_end(const struct timetable *timetable, size_t routing, size_t panel);
bool timetable_has(const struct timetable *timetable, enum event_kind kind); /* any panel has it on record */
bool timetable_is_done(const struct timetable *timetable);                   /* every panel is installed */

#endif
