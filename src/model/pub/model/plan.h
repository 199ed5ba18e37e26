/* The plan: what outside checks rely on, see doc/plan.md. Made by the plan room from a plan_input; pure
 * values. */
#ifndef MODEL_PLAN_H
#define MODEL_PLAN_H

#include "model/artwork.h"
#include "model/finding.h"
#include "model/maps.h"
#include "model/surface.h"

/* ---- input ---- */

/* Clock changes of a zone, read outside plan. Between changes[i-1].at and changes[i].at the offset is that of
 * i-1; before the first, `first_offset_s`. */
struct zone_change {
    int64_t at;       /* UTC seconds */
    int32_t offset_s; /* from then on, east of UTC */
};
struct zone {
    const char *name;
    int32_t first_offset_s;
    struct zone_change *changes;
    size_t count;
    int64_t now; /* of dates in its year, words leave out the year; 0: of every date */
};

/* What is known of a printing condition besides what the shop wrote. */
struct condition_facts {
    const struct condition *condition;
    bool profile_ok;
    const char *profile_trouble;     /* a sentence why it cannot drive a print; NULL when it can */
    const char *profile_description; /* NULL when not readable */
    const char *profile_fingerprint; /* 32 hex digits: MD5 by the profile ID's rule */
};

struct surface_input {
    const struct surface *surface;
    const struct surface_art *art;
    const struct ink_map *ink;        /* NULL: no artwork */
    const struct detail_maps *detail; /* NULL: no artwork */
    const struct picture *preview;    /* NULL: no artwork; only named in plan.json */
};

/* What the record says was really done, in place of estimates (panel_events of model/record.h). */
struct event_fact {
    const char *panel; /* panel id */
    enum event_kind { EVENT_PRINTED, EVENT_HUNG, EVENT_LAMINATED, EVENT_TRIMMED, EVENT_INSTALLED } kind;
    int64_t at;
};

/* A piece that was printed, and is printed again: its film, ink and time are spent (spoilt_pieces of
 * model/record.h). */
struct spoilt_piece {
    const char *panel;
    bool laminated; /* so is its laminate */
};

struct plan;
struct plan_input {
    const struct job *job;
    const struct zone *zone;
    int64_t now; /* UTC seconds */
    struct surface_input *surfaces;
    size_t surface_count;
    struct condition_facts *conditions;
    size_t condition_count;
    const struct event_fact *events;
    size_t event_count;
    const struct spoilt_piece *spoilt;
    size_t spoilt_count;
    bool
        recorded; /* the job is on record: what is not among the events is not done, and starts from now on */
    int choose;   /* 0: the job's choice, else the least cost; 1..: that alternative */
    bool no_remedies; /* a surface without a candidate gets no remedies: they take many plannings */
    /* What a customer is asked for a plan, without tax, in hundredths of the currency; false: rates are missing. Pure.
     * NULL: nobody quotes. */
    bool (*ask)(const struct plan *plan, struct arena *arena, money_minor *asked);
};

/* ---- result ---- */

/* A line of lettering: the artwork's own text, or found from its shapes. */
struct lettering {
    struct rect box;   /* on the surface */
    struct rect whole; /* the same where it reaches beyond the surface */
    const char *words;
    bool outlined;
    bool kept; /* short enough for a panel: no seam was let through */
};

enum axis { AXIS_X, AXIS_Y }; /* a seam at constant x runs up, one at constant y along */
enum seam_kind { SEAM_LAP, SEAM_GAP };

/* A stretch along a seam's line. */
struct seam_part {
    double from_mm, to_mm;
};

/* One entry for each pair of panels it parts. A seam of which any part lies in a door gap is a gap; where the
 * gap does not cover its line, the rest is a lap, and both panels print past the whole line at least as far
 * as they are turned in. */
struct seam {
    enum axis axis;
    enum seam_kind kind;
    double at_mm, from_mm, to_mm; /* the visible line: the edge of the panel that lies over */
    bool laps;                    /* a lap, or a gap that does not cover the line */
    size_t over, under;           /* panel indices; without a lap the two neighbours (left or lower first) */
    double overlap_mm;            /* of the lap; 0 without one */
    double trim_mm;         /* of the lap: the over panel is printed beyond its visible edge, and cut back */
    double turn_in_mm;      /* gap: printed past the line by both, at least */
    struct seam_part *gaps; /* along the line, rising */
    size_t gap_count;
    double detail;        /* mean visible difference in the band, CIELAB units per mm; 0 in plain sky */
    const char **crosses; /* what it cuts: "telephone number", "recess" */
    size_t crosses_count;
    const struct lettering **letters; /* whose letters it cuts */
    size_t letters_count;
    struct reason why;                   /* it is here: one sentence */
    double minutes;                      /* of an installer, to make it */
    money_minor cost;                    /* what this seam costs: time, film, visibility */
    money_minor shown;                   /* of that, what shows or lifts: no time, no film */
    money_minor cost_before, cost_after; /* 50 mm lower or left, higher or right; < 0: not allowed there */
};

struct panel {
    const char *id;       /* "left-2": surface id and number, from the left and from below */
    size_t number;        /* from 1 within the surface */
    int install_sequence; /* its place in the install sequence, 1..n over the surface */
    struct rect visible, print, file;
    double area_m2; /* of print */
    double roll_width_mm;
    struct coverage coverage;
    double ink_ml[CHANNELS_MOST]; /* by the channels of the condition's ink */
    double stretch_percent;       /* the largest average its film must make */
    double stretch_local_percent; /* the largest over a free span */
    double dry_s;                 /* from cutting and hanging; < 0: not possible */
    double print_length_mm;       /* along the film, with marks, feed correction and stations */
    const char *file_name;        /* "panels/LV-2031_left.pdf" */
    int page;                     /* from 1 */
    bool varies; /* other words on it on other vehicles: a print for each, file_name is the first one's */
    enum panel_form form;
    int copies;                  /* of its page in its file, for all vehicles of the job */
    const struct feature *inlay; /* the recess that it covers, beneath a panel; NULL: a panel */
};

/* Seconds of people, as the cost counts them; without test prints and what is printed again. */
struct surface_work {
    int64_t print_s, laminate_s, trim_s, install_s;
};

struct surface_plan {
    const struct surface *surface;
    enum panels_run direction;
    double feed_percent;             /* length correction of its prints */
    double roll_width_mm, usable_mm; /* of the widest roll; usable: between the unprintable edges */
    struct seam *seams;
    size_t seam_count;
    struct panel *panels; /* those that cover the surface; after them in the same array its inlays */
    size_t panel_count, inlay_count;
    struct lettering *letterings;
    size_t lettering_count;
    money_minor seam_cost;
    bool no_artwork;   /* and others have some: neither planned nor priced */
    bool pieces_alone; /* no_artwork, and pieces lie on it, which are surfaces of their own */
    struct surface_work work;
};

/* Panels and inlays: all that is printed for the surface. */
static inline size_t surface_print_count(const struct surface_plan *surface)
{
    return surface->panel_count + surface->inlay_count;
}

/* A side of a PDF page has at most 14,400 units of 1/72 inch (ISO 32000-1, annex C): 5.08 m. A panel that is
 * longer takes larger units (UserUnit), which some software passes over, or what the job says (`large`). */
bool panel_is_large(const struct panel *panel);
enum panel_form panel_form_of(const struct panel *panel, const struct job *job);
/* Of a large panel: what to do in the printing software's queue, and the size to see there; NULL for others. */
/* In one sentence; `lines` (2): the same as a label has it, the second NULL where one says it all. */
const char *panel_queue_words(const struct panel *panel, bool inches, struct arena *arena);
void panel_queue_lines(const struct panel *panel, bool inches, struct arena *arena, const char **lines);

struct placement {
    size_t surface, panel; /* panel: also an inlay's place after the panels */
    double across_mm, along_mm;
    int turned_deg; /* 0, 90: how the panel lies on the roll, counter-clockwise from as seen */
};
struct roll {
    const struct film *film;
    double width_mm, used_mm;
    struct placement *placements;
    size_t placement_count;
};

enum step_kind {
    STEP_SUPPLY, /* bought-in prints, from purchase order to delivery */
    STEP_PRINT,
    STEP_DRY,
    STEP_LAMINATE,
    STEP_BOND,
    STEP_TRIM,
    STEP_PREPARE, /* the vehicle, before installing */
    STEP_INSTALL,
    STEP_FINISH, /* at the vehicle, after installing */
    STEP_CHECK   /* on the next day */
};
struct step {
    enum step_kind kind;
    const char **panels; /* ids */
    size_t panel_count;
    int64_t start, end; /* UTC seconds */
    struct reason why;
    bool decides; /* were it a minute shorter, installing could start earlier */
};

/* What sets the earliest install; see doc/clock.md. */
enum decider {
    DECIDES_NOTHING,
    DECIDES_PRINT,
    DECIDES_DRY,
    DECIDES_LAMINATE,
    DECIDES_BOND,
    DECIDES_TRIM,
    DECIDES_INSTALL, /* preparing the vehicle; or it is under way */
    DECIDES_CLOSED,
    DECIDES_ARRIVAL,
    DECIDES_RESOURCE
};

/* Work besides printing panels and applying them. */
struct task {
    enum task_kind kind;
    const struct surface *surface; /* NULL: the whole vehicle */
    double quantity;               /* in task_kind_unit */
    const char *parts;             /* "handle at x 1520 mm", or NULL */
    struct measure minutes;        /* for one of them */
    double difficulty_percent;     /* of that, for this surface */
    int64_t seconds;               /* of one person */
};

struct material_line {
    const char *what; /* "film", "laminate", "ink C" */
    const char *name;
    double amount;
    const char *unit; /* "mm", "ml" */
    double width_mm;  /* rolls; 0 else */
    double area_m2;
    money_minor cost;
    bool missing;     /* no price is written: cost is 0 */
    double spoilt_m2; /* of the area: for pieces that are printed again */
};

/* Whole rolls to be bought. */
struct buy_line {
    const char *what; /* "film", "laminate" */
    const struct film *film;
    double width_mm;
    size_t rolls;
    money_minor cost;
    bool missing; /* no price is written: cost is 0 */
};

struct cost_line {
    const char *what;
    double hours; /* of people; 0: not by time */
    money_minor cost;
    bool missing; /* of what this line needs, a price or rate is not written: cost leaves that out */
};

enum { ALTERNATIVES_MOST = 4 };
struct alternative {
    const char
        *name; /* what it is best in: "least cost", "fewest panels", "least material", "least visible" */
    const char *names[ALTERNATIVES_MOST]; /* all that it is best in, `name` first */
    size_t name_count;
    money_minor price; /* that is asked */
    money_minor shown; /* what shows of its seams: counted when seams are chosen, in no price */
    size_t panel_count;
    double film_mm, worst_detail;
};

/* When the vehicle is finished beside when it was promised (plan/promise.h). */
struct promise {
    int64_t due, expected; /* UTC seconds; 0: not promised, no date can be given */
    bool late;             /* expected is after due; never without a due date */
    int64_t late_s;        /* by how much; 0: not late */
};

/* A print of its own that one vehicle of a fleet has. */
struct vehicle_print {
    size_t surface, panel; /* panel: also an inlay's place after the panels */
    const char *file_name; /* several vehicles' pages; those with the same words on the surface share one */
    int page;              /* from 1 */
};

struct plan_vehicle {
    const struct fleet_row *row;  /* name and fields */
    struct vehicle_print *prints; /* the others are alike on all vehicles */
    size_t print_count;
};

struct plan {
    const struct plan_input *input;
    const char
        *fingerprint; /* of seams, sizes, places and artwork that panel files are made from: 8 hex digits; set
                         by run, NULL before */
    struct surface_plan *surfaces;
    size_t surface_count;
    struct roll *rolls;
    size_t roll_count;
    struct step *steps;
    size_t step_count;
    bool has_install;              /* false: no date can be given */
    int64_t earliest_install;      /* when the first install step starts */
    int64_t finished;              /* the vehicle, but for the next day's check */
    struct plan_vehicle *vehicles; /* of a fleet; set by run */
    size_t vehicle_count;          /* 0: no fleet */
    struct promise promise;
    bool has_latest_start;
    int64_t latest_start; /* of printing that still meets due */
    enum decider decided_by;
    struct reason decides; /* the same as a sentence */
    struct task *tasks;
    size_t task_count;
    struct material_line *materials;
    size_t material_count;
    struct cost_line *costs;
    size_t cost_count;
    struct buy_line *buys;
    size_t buy_count;
    money_minor cash;     /* what whole rolls cost */
    const char **missing; /* prices and rates that are not written and would count: "film \"white\"" */
    size_t missing_count;
    const char **unpriced; /* surfaces that are not in the sums, each with the reason: "right (no artwork)" */
    size_t unpriced_count;
    money_minor total_cost, price; /* without and with mark-up or margin; without what is missing */
    money_minor asked; /* of the customer for all vehicles, without tax: the quote's; else `price` */
    bool quoted;       /* it is the quote's */
    struct alternative
        *alternatives; /* the least cost first; only plans that differ from those before them */
    size_t alternative_count;
    size_t chosen;            /* index of the alternative that this plan is */
    struct reason price_note; /* why another has the lower price; without words: none has */
    struct findings findings; /* the plan's own; run puts all rooms' together */
};

const char *step_kind_name(enum step_kind kind); /* "print" */
const char *decider_name(enum decider decider);  /* "dry"; NULL: nothing */

/* What a panel's QR code holds: job and panel; with the shop's page the panel's address there, in capitals:
 * they make coarser modules, and neither scheme, host (RFC 3986, 6.2.2.1) nor the page minds case. */
const char *panel_code(const struct job *job, const struct panel *panel, struct arena *arena);

/* Time as people write it: "2027-03-05T08:00+00:00" in the zone. */
const char *zone_iso(const struct zone *zone, int64_t utc, struct arena *arena);
/* "Fri 5 Mar, 08:00"; "Fri 5 Mar 2027, 08:00" when that is not the year of the zone's `now`. */
const char *zone_words(const struct zone *zone, int64_t utc, struct arena *arena);
/* "Fri 5 Mar 2027" */
const char *zone_day(const struct zone *zone, int64_t utc, struct arena *arena);
/* "2027-03-01" and "2027-03-01 17:00", as job files write them. */
const char *civil_day_words(int year, int month, int day, struct arena *arena);
const char *civil_time_words(const struct civil_time *time, struct arena *arena);
struct civil_time zone_local(const struct zone *zone, int64_t utc);
/* 0 Monday .. 6 Sunday. */
int zone_weekday(int year, int month, int day);
/* Local civil time to UTC. A time that a clock change skips moves on by the change; one that comes twice is
 * the first. */
int64_t zone_utc(const struct zone *zone, const struct civil_time *time);

#endif
