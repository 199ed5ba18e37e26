/* Graphics with a shape, as people write them: what part of a surface is covered, pieces that lie on it, text that is
 * set on it, and a fleet of vehicles that differ in words. Filled by the job room; doc/pieces.md.
 *
 * A piece becomes a surface of its own (model/surface.h, `piece`) in the coordinates of the one that it lies on, of
 * which it covers its outline alone; so it is planned, printed, laid on rolls, priced and recorded as any other. All
 * lengths in mm on the vehicle, all places on the surface. */
#ifndef MODEL_SHAPE_H
#define MODEL_SHAPE_H

#include "base/report.h"
#include "geom/geom.h"
#include "model/measure.h"
#include <stdbool.h>
#include <stddef.h>

struct artwork_spec;

/* ---- covered region ---- */

enum cover_kind {
    COVER_ALL,       /* nothing was said */
    COVER_BEHIND,    /* from `at_mm` towards the vehicle's rear; with the front left: x greater */
    COVER_BEFORE,    /* from there towards its front */
    COVER_OUTLINE,   /* `points`, or a file or a layer of the surface's drawing */
    COVER_SILHOUETTE /* the surface's own artwork, `offset_mm` further out */
};

/* Where a covered region ends that is not the surface's edge. */
enum cover_edge {
    COVER_EDGE_VEHICLE, /* printed beyond, and cut when it is on the vehicle */
    COVER_EDGE_CONTOUR  /* cut to its outline before it is applied */
};

enum { COVER_POINTS_MOST = 2000 };

struct cover_spec {
    enum cover_kind kind;
    struct place place;
    double at_mm, offset_mm;
    const char *outline; /* as written: "half.svg", or the id or label of a shape in the surface's drawing */
    const char *outline_path; /* resolved; NULL: it names a shape */
    struct polygon points;    /* count 0: `outline` */
    enum cover_edge edge;
    struct measure bleed_mm; /* printed beyond that edge */
};

/* ---- pieces ---- */

enum cut_path {
    CUT_NONE,       /* said of no piece */
    CUT_SPOT,       /* paths in the file that are painted in the spot colour `name` */
    CUT_LAYER,      /* paths of its layer `name` */
    CUT_STEP,       /* paths of its processing step (ISO 19593-1): cutting, partial cutting */
    CUT_SILHOUETTE, /* around what is visible, `offset_mm` further out */
    CUT_BOX         /* the artwork's trim box, `offset_mm` further out */
};

enum cut_depth {
    CUT_KISS,   /* through film and laminate, not the liner */
    CUT_THROUGH /* through the liner too */
};

struct cut_spec {
    enum cut_path path;
    const char *name;
    double offset_mm;
    bool mitre;            /* corners of the offset; else round */
    double radius_mm;      /* least radius of the outline's corners; 0: as they are */
    double fill_holes_mm2; /* holes up to this area are filled */
    double tolerance;      /* CIEDE2000 from the background colour, for pictures without transparency */
    enum cut_depth depth;
};

enum {
    PIECES_MOST = 200,
    PIECE_COUNT_MOST = 1000,
    SURFACE_TEXTS_MOST = 50
}; /* on one surface; copies of a piece */

struct piece_spec {
    const char *name;
    struct place place;
    int count;                          /* alike, from 1, for one vehicle */
    const struct artwork_spec *artwork; /* placed by the piece's `at`: has_at is set */
    struct point at_mm;                 /* where the lower left corner of its trim lands */
    struct cut_spec cut;
    struct measure bleed_mm; /* printed beyond the cut */
    bool inside; /* it goes on the inside of glass: printed mirrored, so that it reads from outside */
    bool apart;  /* cut apart at gaps, with no film in them */
    bool weeded; /* a weeding box is cut around it */
    bool tape;   /* it is applied with application tape, whether or not all prints of the job are */
    const char *other_side; /* the surface on which the same piece lies too, its place mirrored; NULL: none */
};

/* ---- text ---- */

enum text_align { TEXT_LEFT, TEXT_CENTRE, TEXT_RIGHT };

struct text_spec {
    const char *words; /* UTF-8; "{unit}" stands for a vehicle's field, "{{" for a brace */
    struct place place;
    struct point at_mm; /* on the base line: where it begins, has its middle or ends */
    double height_mm;   /* of its capitals */
    enum text_align align;
    const char *font;         /* family, or a font file as written */
    const char *font_path;    /* resolved; NULL: a family */
    double colour_percent[4]; /* C M Y K of the condition */
    const char *spot;         /* prints as this spot colour, with those values in its place; NULL: none */
    double width_mm; /* longer text is made narrower until it fits, down to `narrowest_percent`; 0: any */
    double narrowest_percent;
};

/* ---- fleet ---- */

enum { FLEET_COLUMNS_MOST = 40, FLEET_CELL_BYTES_MOST = 200 }; /* rows: VEHICLES_MOST of model/job.h */

struct fleet_row {
    const char *name; /* of the first column; no two alike */
    const char
        *id; /* name in letters, digits, - and _: in file names; no two alike, in any case of letters */
    const char **cells; /* one for each column, UTF-8 without control characters */
    int line;           /* in the file */
};

struct fleet {
    const char *file, *path; /* as written; resolved */
    const char **columns;    /* "unit", "plate": names of the fields */
    size_t column_count;
    struct fleet_row *rows;
    size_t row_count;
};

#endif
