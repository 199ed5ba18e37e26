/* The shop's cutters: what register marks each looks for, and how its cut lines are named. Cutters differ: no mark and
 * no limit is usual here; all of it is the shop's own entry. Read by the job room; lengths in mm. */
#ifndef MODEL_CUTTER_H
#define MODEL_CUTTER_H

#include "base/report.h"
#include "model/measure.h"
#include <stdbool.h>

enum register_shape { REGISTER_CIRCLE, REGISTER_CROSS, REGISTER_SQUARE, REGISTER_CORNER };

struct register_marks {
    enum register_shape shape;
    double size_mm;     /* across; 0: the cutter is given no marks */
    double line_mm;     /* width of its lines; 0: filled */
    double distance_mm; /* clear of piece and bleed */
    double every_mm;    /* at most so far apart along the feed; 0: any */
    int count;          /* at least so many a section; 0: four */
    double section_mm;  /* longest that is cut before the film is fed on; 0: any */
};

/* Whether cut lines print. Software that goes by the standard leaves a layer out that does not, and may then hand no
 * line to the cutter; one that prints has a plate of its own (common practice, no source). */
enum cut_layer { CUT_LAYER_OFF, CUT_LAYER_ON };

/* Form of DXF files: the older is read by all, the newer says in its head that a unit is a millimetre. */
enum cutter_dxf { CUTTER_AC1009, CUTTER_AC1015 };

struct cutter {
    const char *name;
    struct place place;
    struct register_marks marks;
    enum cut_layer cut_layer;
    const char *kiss_spot, *through_spot; /* spot colours of the two kinds of cut; never the same */
    double least_radius_mm, least_width_mm, least_gap_mm,
        least_area_mm2;        /* it and the film hold; 0: not said */
    struct measure speed_mm_s; /* with the knife down; absent: see cutter_speed */
    double overcut_mm;         /* over its start, so that a line closes */
    enum cutter_dxf dxf;
};

/* Of a shop that lists none: no marks, words of our own for the spots. */
extern const struct cutter cutter_plain;

/* Along its lines, and where that comes from; `cutter` may be NULL. */
struct measure cutter_speed(const struct cutter *cutter);

/* What the marks need beside a piece with its bleed, across the film, at each side: distance and size. */
double register_room_mm(const struct register_marks *marks);

#endif
