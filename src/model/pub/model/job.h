/* What people wrote, and what is usual where they did not (job/settle.h): the job and the shop, checked and in
 * the program's units. Filled by the job room;
 * nobody changes it afterwards. All strings and arrays live in the arena given to its loader. */
#ifndef MODEL_JOB_H
#define MODEL_JOB_H

#include "base/str.h"
#include "base/report.h"
#include "geom/geom.h"
#include "model/cutter.h"
#include "model/charge.h"
#include "model/feature.h"
#include "model/measure.h"
#include "model/panel_form.h"
#include "model/shape.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* ---- shared enums ---- */

enum front { FRONT_LEFT, FRONT_RIGHT, FRONT_UP, FRONT_DOWN, FRONT_AWAY, FRONT_TOWARDS };
enum road_side { ROAD_UNSAID, ROAD_LEFT, ROAD_RIGHT };
enum panels_run { RUN_UPRIGHT, RUN_LYING, RUN_AUTO };
enum film_kind { FILM_CAST, FILM_CALENDERED, FILM_PERFORATED };
enum ink_technology { INK_SOLVENT, INK_ECO_SOLVENT, INK_LATEX, INK_UV };
enum drying {
    DRYING_CABINET,
    DRYING_HUNG,
    DRYING_LOOSE,
    DRYING_FLAT,
    DRYING_TIGHT,
    DRYING_OUTDOORS,
    DRYING_UNSAID
};
enum printing { PRINTING_UNSAID, PRINTING_OWN, PRINTING_BOUGHT_IN };
enum output_mode { OUTPUT_RUN, OUTPUT_CUT }; /* cut after the whole run, or panel by panel */
enum intent { INTENT_PERCEPTUAL, INTENT_RELATIVE, INTENT_SATURATION, INTENT_ABSOLUTE }; /* ICC.1 order */
enum start_from { START_UNSAID, START_BACK, START_FRONT, START_BOTTOM, START_TOP };

/* Edges of a surface, counter-clockwise from below. */
enum edge { EDGE_BOTTOM, EDGE_RIGHT, EDGE_TOP, EDGE_LEFT, EDGE_COUNT };

/* A date and time as written. */
struct civil_time {
    bool given;
    int year, month, day, hour, minute, second;
    bool has_offset;
    int offset_minutes; /* east of UTC */
};

struct civil_date {
    int year, month, day;
};

/* ---- the shop ---- */

struct printer {
    const char *name;
    struct place place;
    double media_width_mm, edge_mm; /* edge: unprintable at each side of the film */
    double max_length_mm;           /* longest print */
    struct measure speed_m2_per_h, setup_s;
    bool unattended; /* prints on when nobody is there */
    bool unknown;    /* nobody named it: prints are bought in */
};

struct film { /* films and laminates */
    const char *name;
    struct place place;
    enum film_kind kind;
    double *widths_mm; /* rolls that are bought, ascending */
    size_t width_count;
    double length_mm;    /* of a new roll */
    double thickness_mm; /* 0: not said */
    money_micro price_per_m2;
    struct measure stretch_limit_percent;
    struct measure stretch_ask_percent; /* over it ask the maker; absent: the limit is written */
    struct measure durability_y;
    struct measure durability_flat_y;                     /* lying surfaces: roof, bonnet */
    const char *finish;                                   /* laminates: gloss, matt, ... or NULL */
    struct measure temperature_low_c, temperature_high_c; /* laminates: roller of the laminator */
    struct measure room_low_c, room_high_c;               /* laminates: room when laminating */
    struct measure bond_s;                                /* laminates: rest before applying */
    struct measure post_heat_c;                           /* films: makers' figure for stretched areas */
    bool trim_while_bonding; /* a shop may relax the rest before finish trimming */
    bool clear;              /* laminates: optically clear (for window film) */
};

enum { CHANNELS_MOST = 8 };

struct ink {
    const char *name;
    struct place place;
    enum ink_technology technology;
    size_t channel_count;
    bool unknown; /* of bought-in printing: the longest drying time, never the shortest */
    const char *channels[CHANNELS_MOST];
    double ml_per_m2[CHANNELS_MOST]; /* at 100 % of that channel */
    money_micro price_per_ml;
    struct measure stretch_limit_percent;
    struct measure stretch_ask_percent; /* as a film's */
    struct measure durability_y;        /* on upright surfaces */
    struct measure dry_least_s, dry_most_s;
    struct measure dry_most_at_percent; /* absent: as the condition says */
};

#define FEED_LEAST 95 /* percent: what a feed can be */
#define FEED_MOST  105

/* A length correction that the record keeps for a printer, film and mode. */
struct feed_recorded {
    double percent; /* 0: none */
    int64_t at;     /* UTC seconds of the entry */
    const char *job;
    bool printed; /* what this job's prints were made with; else measured, and the newest of its condition */
};

struct condition {
    const char *name;
    struct place place;
    const struct printer *printer;
    const struct film *film;
    const struct film *laminate; /* NULL: none */
    const char *laminate_waiver; /* the written reason why there is none, or NULL */
    struct civil_date waiver_until;
    const struct ink *ink;
    const char *mode;                /* the printer's mode, free text, or NULL */
    const char *profile;             /* path as a person named it; NULL: none */
    const char *profile_path;        /* resolved against the shop file's folder */
    bool in_printer;                 /* the profile is kept in the printer's own software: not read here */
    const char *profile_fingerprint; /* 32 hex digits the shop pinned, or NULL */
    enum intent intent;
    bool black_point;
    struct measure ink_limit_percent;
    struct measure ink_ask_percent; /* over it a finding is given: the limit, else the low end of the usual */
    struct measure dry_most_at_percent;     /* coverage that needs the ink's longest drying time */
    double coverage_percent[CHANNELS_MOST]; /* of the print's area, by the ink's channels; < 0: not said */
    double feed_percent;                /* length correction of this printer, film and mode; 0: not said */
    struct feed_recorded recorded_feed; /* the same as the record has it; percent 0: none */
};

/* One opening of the shop, seconds from local midnight; one that runs past midnight closes after 86400. */
struct hours {
    int open_s, close_s;
};

enum { OPENINGS_MOST = 6 };
struct day_hours { /* of one weekday, in time, none before the end of another; none: closed */
    struct hours openings[OPENINGS_MOST];
    size_t count;
};

/* What seams cost besides film: see doc/seams.md. Money in the shop's currency. */
struct seam_weights {
    struct measure panel_min; /* for each panel */
    struct measure lap_min_per_m, gap_min_per_m;
    struct measure detail_per_m; /* and CIELAB unit per mm of detail in the overlap band */
    struct measure lap_per_m, shaped_per_m, shaped_reach_mm, across_ribs_per_m, lettering_per_m;
    struct measure sliver_per_m, gap_sliver_mm;
    struct measure out_of_line; /* for each seam */
};

/* What is done besides printing panels and applying them: at the vehicle, but for the test print. */
enum task_kind {
    TASK_REMOVE_FILM,
    TASK_WASH,
    TASK_TAKE_OFF,
    TASK_POST_HEAT,
    TASK_EDGE_SEAL,
    TASK_REFIT,
    TASK_CHECK, /* on the next day */
    TASK_TEST_PRINT,
    TASK_COUNT
};
enum difficulty { DIFFICULTY_NORMAL, DIFFICULTY_EASY, DIFFICULTY_HARD };

/* Printing that is bought in. */
struct supply {
    const char *supplier, *address; /* NULL: not said; address: where the prints are delivered */
    struct measure lead_s;          /* from purchase order to delivery, by the calendar */
    money_micro price_per_m2;       /* of the prints as they come */
    money_micro carriage;           /* of the delivery, in millionths */
    bool prints_only;               /* they come without laminate, and dry here */
};

enum proof_rule { PROOF_NO, PROOF_REQUIRED };
/* How prints are laid on rolls (doc/rolls.md). All in mm. */
struct roll_habits {
    struct measure gap_mm;    /* between two prints */
    struct measure leader_mm; /* lost at the start of a roll each time it is loaded */
    struct measure tail_mm;   /* lost after the last print each time */
    struct measure off_cut_width_mm, off_cut_length_mm; /* a smaller off-cut is not kept */
};

/* What is wiped or brushed on: cleaner, primer. */
struct fluid {
    const char *name; /* NULL: the shop does not say what it has */
    struct measure ml_per_m2;
    money_micro price_per_ml;
};

enum units { UNITS_MM, UNITS_INCHES };

struct shop {
    enum printing printing;
    struct supply supply;
    const char *file, *folder;
    const char *currency;     /* ISO 4217, three letters */
    const char *zone;         /* IANA name, NULL: local time */
    enum road_side drives_on; /* side of the road; the driver sits at the other */
    enum units units;         /* of lengths in texts, for jobs that do not say */
    const char *page;         /* address of the shop's page, "http://shop-pc:8017", NULL: none */
    struct day_hours week[7]; /* Monday first; a day's openings are those that begin on it */
    struct civil_date *closed;
    size_t closed_count;
    struct printer *printers;
    size_t printer_count;
    struct film *films;
    size_t film_count;
    struct film *laminates;
    size_t laminate_count;
    struct ink *inks;
    size_t ink_count;
    struct condition *conditions;
    size_t condition_count;
    struct cutter *cutters;
    size_t cutter_count;
    money_micro design_per_h, print_per_h, laminate_per_h, install_per_h;
    struct measure install_m2_per_h, laminate_m_per_min;
    double
        margin_percent; /* 0: none. With money 2 a share of the price, else added to the cost as in files of old */
    double mark_up_percent; /* 0: none; added to the cost */
    bool marked_up;         /* one of both was written, 0 too */
    int money;              /* how `margin` is meant: 1, of old, or 2 */
    double waste_percent;
    struct measure threading_mm; /* film and laminate lost at each laminator run */
    struct roll_habits rolls;
    struct film *tapes; /* application tape: name, widths, length and price alone */
    size_t tape_count;
    struct fluid cleaner, primer;
    struct measure task_minutes[TASK_COUNT]; /* of one person, for one m2, m, part, place or vehicle */
    int crew;                                /* people who install; 0: not said */
    struct measure two_person_mm;            /* a longer panel takes two */
    struct measure hanging_height_mm;        /* of the room in which prints hang */
    struct seam_weights seams;
    struct shop_quote quote;
    /* severities raised by the shop: code and "warn" or "stop" */
    const char **raised_codes;
    const char **raised_to;
    size_t raised_count;
};

/* ---- the job ---- */

enum corrugation_profile { PROFILE_SINUSOID, PROFILE_TRAPEZOID, PROFILE_ARCS, PROFILE_POLYLINE };
enum laid { LAID_UNSAID, LAID_BRIDGED, LAID_FOLLOWED };

struct feature {
    enum feature_kind kind;
    const char *name; /* what a person calls it, or NULL */
    struct place place;
    struct rect box;                      /* on the surface, mm; for a gap the bounding box of its line */
    struct polygon shape;                 /* from a drawing; count 0: the box is the shape */
    struct polygon cut_out;               /* of the film; made by the survey; count 0: none, or its shape */
    struct point from, to;                /* gap */
    double margin_mm;                     /* see feature_margin_mm, feature_cut_out_mm; < 0: the usual */
    double depth_mm, wall_deg, radius_mm; /* recess */
    double pitch_mm;                      /* corrugation; depth_mm is crest to trough */
    enum corrugation_profile profile;
    struct point *polyline; /* corrugation profile measured over one pitch */
    size_t polyline_count;
    bool ribs_upright; /* corrugation: ribs run up the surface */
    enum laid laid;
    bool stays;              /* not taken off for installing */
    double cut_short_mm;     /* see feature_cut_short_mm; 0: the usual, < 0: none */
    struct polygon on_glass; /* of a pane: the film on it; made by the survey; count 0: none */
    double rise_mm;          /* dome: z = rise (1 - (x/a)^2 - (y/b)^2) on the ellipse in its box */
    bool inlay, relief;      /* recess: covered by a piece of its own; cut in its corners */
};

enum artwork_fit { FIT_NONE, FIT_OUTLINE, FIT_BLEED };
enum { ARTWORKS_MOST = 24 }; /* on one surface */

struct artwork_spec {
    const char *file, *path; /* as written; resolved */
    struct place place;
    int page;     /* from 1 */
    double scale; /* 10: drawn at 1:10 */
    bool has_at;
    struct point at_mm; /* where the lower left corner of its trim lands */
    enum artwork_fit fit;
    double resolution_ppi;    /* on the vehicle; 0: not said */
    double width_mm;          /* 0: not said */
    const char *profile_path; /* stated source profile for untagged pictures, or NULL */
    const char *revision;     /* what the customer calls this state of the file, or NULL */
};

struct fixed_seam {
    double at_mm;
    struct place place;
    const char *over; /* "left", "right", "upper", "lower", or NULL */
};

struct bleed_spec { /* by name; < 0: not said */
    double all_mm, top_mm, sill_mm, front_mm, rear_mm, left_mm, right_mm;
    double cut_short_mm; /* of a pane: the film ends so far inside its edge; 0: not said */
};

struct surface_spec {
    const char *name;
    struct place place;
    double width_mm, height_mm; /* plain size; 0 when drawn */
    const char *drawing, *drawing_path;
    double drawing_scale;
    bool has_front; /* else `front` is by the name: model/front.h */
    enum front front;
    enum panels_run panels;
    const struct condition *condition; /* NULL: the job's */
    struct bleed_spec bleed;
    struct measure overlap_mm;
    bool glass, even, mixed_widths;
    bool old_film, edge_seal;
    enum difficulty difficulty;
    struct measure least_panel_mm;
    enum start_from start_from;
    struct feature *features;
    size_t feature_count;
    struct artwork_spec *artworks;
    size_t artwork_count;
    bool artwork_follows;   /* planned and priced without it meanwhile */
    double covered_percent; /* so much of it will be covered, while artwork follows; 0: not said, all */
    double old_film_age_y;  /* 0: not said */
    struct fixed_seam *seams;
    size_t seam_count;
    bool seams_fixed; /* `seams` was written, even if empty */
    struct cover_spec cover;
    struct piece_spec *pieces;
    size_t piece_count;
    bool bears_pieces; /* its own, or another's that lie on it too */
    struct text_spec *texts;
    size_t text_count;
};

/* Two surfaces that meet at a corner of the vehicle: one wraps round it and lies over the other. */
struct corner {
    const char *one, *other;
    const char *over; /* which of both */
    struct measure wrap_mm;
    struct place place;
};

/* Two surfaces that meet, whose seams are kept in line. */
struct alignment {
    const char *one, *other;
    double shift_mm; /* the other's zero lies so much higher, further back or to the vehicle's right */
};

enum { VEHICLES_MOST = 500 };

struct job {
    enum printing printing;    /* unsaid: as the shop */
    struct supply supply;      /* with what the shop says where the job does not */
    const char *folder, *file; /* the job folder; job.yaml's path */
    const char *number, *title, *customer;
    const char *vehicle;      /* a name for people, or NULL */
    const char *vehicle_type; /* van | box | bus | trailer | car, or NULL: sets overlap, bleed, direction */
    struct shop *shop;
    struct civil_time start, due;
    struct civil_time arrives, leaves; /* the vehicle */
    int crew;                          /* 0: the shop's */
    bool old_film, edge_seal;          /* all surfaces: film to remove; edges to seal */
    double old_film_age_y;             /* 0: not said */
    bool test_print;
    int vehicles;               /* 1 .. VEHICLES_MOST; alike, but for a fleet's words */
    const struct fleet *fleet;  /* what differs; NULL: nothing */
    bool turning;               /* panels may lie turned and side by side on the roll */
    bool tape, cleaner, primer; /* application tape and what is wiped on go into the material list */
    double design_s;            /* < 0: not said */
    struct measure room_c, room_humidity_percent, roller_c;
    const struct cutter
        *cutter; /* that cuts its pieces: as named, else the first of the shop, else cutter_plain */
    const struct condition *condition;
    struct measure overlap_mm, seam_trim_mm, turn_in_mm;
    struct bleed_spec bleed;
    double resolution_ppi;
    enum panel_form format, large; /* of panels; of those that are larger than the format takes */
    enum proof_rule proof;         /* required: printing waits for an approval on record */
    double feed_percent;           /* in place of the condition's; 0: not said */
    enum drying drying;
    enum output_mode output;
    double durability_y; /* 0: nothing promised */
    bool inches;         /* lengths in texts in inches: the job says so, else the shop */
    struct surface_spec *surfaces;
    size_t surface_count;
    const char *choice; /* recorded alternative, or NULL */
    struct alignment *align;
    size_t align_count;
    struct corner *corners;
    size_t corner_count;
    struct job_quote quote;
};

/* One change to a job file as people write it; see job/edit.h. */
struct job_change {
    const char *path;  /* "surfaces.left.seams" */
    const char *value; /* YAML of one line; NULL: take it out */
};
/* What a person wants changed, and of which state of the file they speak. */
struct job_edit {
    const char *fingerprint; /* 16 hex digits */
    const struct job_change *changes;
    size_t count;
};
struct job_edited {
    struct str before;    /* what the file said */
    char fingerprint[17]; /* of what it says now */
    bool conflict;        /* someone else changed it meanwhile: nothing was done */
};

bool job_buys_prints(const struct job *job);

/* Length correction of prints on this condition: the job's, else the condition's, else none. 100: none. */
double feed_percent_of(const struct job *job, const struct condition *condition);
/* What a feed belongs to: "wide / cast-white / 8 pass", printer, film and mode. */
const char *feed_condition(const struct condition *condition, struct arena *arena);

enum { PROCESS_INKS = 4 }; /* C, M, Y, K */
enum channel_kind { CHANNEL_PROCESS, CHANNEL_LIGHT, CHANNEL_OTHER };
/* What an ink's channel is, by its name: C, M, Y or K; a light one of these (c, LC, LLK, light cyan), *process its
 * colour, 0 .. 3; or any other (white). */
enum channel_kind ink_channel_kind(const char *name, int *process);
/* The share of a print that a channel covers, percent, when the process inks cover so much: a light ink as its
 * colour, any other all of it, unless the condition says. */
double ink_channel_percent(const struct condition *condition, size_t channel,
                           const double process[PROCESS_INKS]);
/* Whether that share is taken, and not known: no process ink, and the condition does not say. */
bool ink_channel_assumed(const struct condition *condition, size_t channel);

const char *front_name(enum front front);
const char *panels_run_name(enum panels_run direction);
const char *film_kind_name(enum film_kind kind);
const char *ink_technology_name(enum ink_technology technology);
const char *drying_name(enum drying drying);
/* "washing and degreasing"; the unit its minutes are for: "m2". */
const char *task_kind_words(enum task_kind kind);
const char *task_kind_unit(enum task_kind kind);
const char *intent_name(enum intent intent);

/* By how much seams keep off a feature. */
double feature_margin_mm(const struct feature *feature);
/* From the edge of what stays bare to the cut in the film round it; 0 for other kinds. */
double feature_cut_out_mm(const struct feature *feature);
/* Of a pane in a body: the body's film ends at its edge, and the film on the glass so far inside it. What lies
 * between, its seal, stays bare. 0 for other kinds, and for what lies on a surface that is itself a pane. */
double feature_cut_short_mm(const struct feature *feature);
/* Where no film is: what is cut out, else the feature itself; count 0: the box is the shape. */
const struct polygon *feature_bare_shape(const struct feature *feature);
struct rect feature_bare_box(const struct feature *feature);

#endif
