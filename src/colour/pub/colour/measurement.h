/* Measurement files: what a print really looks like, patch by patch, as measuring instruments write it. Text
 * after ISO 28178 (CGATS.17), with the older CGATS.5 and relatives whose first word is CTI1 to CTI3. */
#ifndef COLOUR_MEASUREMENT_H
#define COLOUR_MEASUREMENT_H

#include "base/machine.h"
#include "base/str.h"
#include "colour/difference.h"
#include <stdbool.h>
#include <stddef.h>

enum {
    MEASUREMENT_BYTES_MOST = 32 << 20,
    MEASUREMENT_FIELDS_MOST = 1000,
    MEASUREMENT_PATCHES_MOST = 100000,
    MEASUREMENT_LINE_MOST = 1 << 16,
};

struct measured_patch {
    const char *name; /* its SAMPLE_ID, or SAMPLE_NAME; "" when it has neither */
    int line;         /* in the file, from 1 */
    double cmyk[4];   /* percent; with has_cmyk */
    struct lab lab;   /* for D50; with has_lab */
};

struct measurement {
    const char *description, *created, *conditions; /* as the file says, UTF-8, at most 200 bytes; "" */
    bool has_cmyk, has_rgb;                         /* of what the patches were made */
    bool has_lab;                                   /* measured as Lab, or as XYZ */
    bool from_xyz;                                  /* there was XYZ only */
    bool ten_degrees;                               /* measured for the observer of 10 degrees, not 2 */
    size_t tables;                                  /* in the file; this is the first that has data */
    struct measured_patch *patches;                 /* in the order of the file */
    size_t count;                                   /* over 0 */
};

/* `name` is what a person calls the file. False with FAILURE_INPUT and file, line, what is wrong and what
 * would be right. Everything is in the arena. */
bool measurement_from_bytes(struct str bytes, const char *name, struct arena *arena,
                            struct measurement *measurement, struct error *error);
bool measurement_read(struct machine *machine, const char *path, struct arena *arena,
                      struct measurement *measurement, struct error *error);
/* What bytes look like that are no ICC profile: no text, some text, or text with data as measurements have.
 */
enum measurement_likeness { LIKENESS_NONE, LIKENESS_TEXT, LIKENESS_MEASUREMENT };
enum measurement_likeness measurement_likeness(struct str bytes);

/* The mean of the patches that have exactly these inks (to 0.01 %). False when there is none. */
bool measurement_colour(const struct measurement *measurement, const double cmyk[4], struct lab *lab);
/* The largest total of any patch's inks, percent. */
double measurement_largest_ink(const struct measurement *measurement);
/* NULL when it can stand beside a CMYK condition, or a sentence why not. */
const char *measurement_trouble(const struct measurement *measurement);

enum { DIFFERENCES_MOST = 5 };
struct patch_difference {
    const struct measured_patch *patch;
    struct lab profile; /* what the profile says of these inks, absolute colorimetric */
    double ciede2000;
};
struct measurement_difference {
    size_t count; /* patches compared */
    double mean, largest;
    double most_of_95;                               /* 95 of 100 patches are no further off than this */
    struct patch_difference worst[DIFFERENCES_MOST]; /* the furthest first */
    size_t worst_count;
};
struct measured_profile {
    struct str profile; /* its bytes */
    const struct measurement *measurement;
    const char *profile_name, *measurement_name; /* as a refusal calls them */
};
/* The profile's forward tables (A2B) against every patch, in CIEDE2000. False with FAILURE_INPUT and a
 * sentence when the two cannot be compared. */
bool measurement_compare(struct machine *machine, const struct measured_profile *pair, struct arena *arena,
                         struct measurement_difference *difference, struct error *error);

#endif
