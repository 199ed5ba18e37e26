/* A surface as it will be covered, in its own coordinates: x to the right, y up, origin at the lower left
 * corner of the outline's bounding box; millimetres on the vehicle. Made by the survey room. */
#ifndef MODEL_SURFACE_H
#define MODEL_SURFACE_H

#include "geom/region.h"
#include "model/job.h"

struct span { /* of the outline at one millimetre; empty when low > high */
    float low_mm, high_mm;
};

/* For each whole millimetre from `first` on. */
struct span_table {
    struct span *spans;
    size_t count;
    int first;
};

/* Where a shape makes the film longer than the view shows. */
struct stretch {
    struct rect box;
    size_t feature;                    /* index of its feature */
    double across_percent, up_percent; /* averaged over the feature, along x and along y */
    double local_percent;              /* over the free span only: film tacked on crests stretches there */
    double stuck_percent;              /* recess: its walls, when the floor is pressed first; 1e9: no film */
    double corner_percent;             /* recess: at most, where it is pulled both ways */
    const char *stuck_words;           /* recess: both, a sentence; else NULL */
    const char *reason;                /* "recess 18 mm deep over 240 mm, walls 60 degrees: ..." */
    const char *source;                /* of the formula */
};

/* A print made longer by the developed length of a followed corrugation. Along y for lying ribs, along x for
 * upright ones. From view position to print position, both rising; between stations linear. */
struct station {
    double view_mm, print_mm;
};

/* At one edge: the surface that meets this one there. */
struct surface_corner {
    const char *other; /* NULL: none */
    bool over; /* this one wraps round the corner onto the other; else it ends at the corner, beneath */
    double wrap_mm;
};

struct surface {
    const struct surface_spec *spec;
    const char *name;
    const char *id; /* name with spaces as '-': in file names and panel ids */
    double width_mm, height_mm;
    struct polygon outline;
    struct span *up;    /* for each whole mm of x: lowest and highest y; ceil(width) entries */
    struct span *along; /* for each whole mm of y: lowest and highest x; ceil(height) entries */
    size_t up_count, along_count;
    enum front front;
    const struct condition *condition;
    double bleed_mm[EDGE_COUNT]; /* beyond the outline at each edge; < 0: the film ends so far inside it */
    struct surface_corner corners[EDGE_COUNT];
    double overlap_mm, seam_trim_mm, turn_in_mm;
    bool glass;
    struct feature *features; /* the spec's and the drawing's, and keep-whole boxes; of a cover those on it */
    size_t feature_count;
    const struct feature
        *told; /* the same with those that lie off what is covered, in the order they are written */
    size_t told_count;
    struct stretch *stretches;
    size_t stretch_count;
    struct station *stations; /* count 0: the print is as long as the view */
    size_t station_count;
    bool stations_along_x;
    double lengthened_mm; /* print minus view, over the whole surface */
    double area_m2;       /* of what is covered of the outline less its openings */
    /* What is covered (model/shape.h). All spans, and so all planning, are of it. */
    struct region covered; /* where film stays; count 0: all of the outline */
    struct region printed; /* and where it is printed, bleed counted in; count 0: whole prints */
    struct span_table printed_up, printed_along; /* of `printed`, as `up` and `along` are of the covered */
    struct region cut; /* contour_cut: what the cutter leaves, the bleed of the surface's edges with it */
    double covered_bleed_mm; /* beyond an edge of `covered` that is none of the outline */
    bool contour_cut;        /* that edge is cut before it is applied; else on the vehicle */
    const struct piece_spec
        *piece; /* it is one: lies on `host`, in whose coordinates all of it is; else NULL */
    const struct surface *host;
    int copies; /* of each of its prints for one vehicle, from 1 */
};

/* Of each of its prints for one vehicle: 1 unless it is a piece of which there are several. */
static inline int surface_copies(const struct surface *surface)
{
    return surface->copies > 1 ? surface->copies : 1;
}
/* The box that its size is said of: of a piece its own, else of the whole outline. */
struct rect surface_size_box(const struct surface *surface);
/* A piece for the inside of glass: printed and cut the other way round, left for right. */
static inline bool surface_is_mirrored(const struct surface *surface)
{
    return surface->piece && surface->piece->inside;
}
/* The box of what is covered: of all of it without a region. */
struct rect surface_covered_box(const struct surface *surface);

/* A recess that the job covers otherwise: by an inlay or with relief cuts. */
bool feature_has_piece(const struct feature *feature);
/* The print of its inlay, centred on it: floor, walls laid flat, and inlay-overlap (model/practice.h) all
 * round. */
struct rect feature_inlay(const struct feature *feature);

/* Not larger than the sides of road vehicles are, either way round. */
bool surface_is_on_the_road(double width_mm, double height_mm);
/* A size that no road vehicle has: what it would be with one digit less in one side, or in both, where that
 * looks like a vehicle's side. False: it does not. */
bool surface_without_slip(double width_mm, double height_mm, struct point *likely);
/* The box of what is printed, which artwork must reach: with a covered region that of `printed`, else the
 * surface's grown by its bleed. */
struct rect surface_bleed_box(const struct surface *surface);
/* What pictures show, and artwork is fitted to: all of the surface grown by its bleed, whatever is covered; of a piece
 * its own print. */
struct rect surface_view_box(const struct surface *surface);
/* ---- the print of a surface with followed corrugations (stations.c); elsewhere it is as long as the view ---- */

/* Whether the print is longer than the view in that direction. */
bool surface_is_lengthened(const struct surface *surface, bool along_x);
/* Where a place of the view, an x or a y, lies on the print. */
double surface_print_at(const struct surface *surface, bool along_x, double view);
/* How long the print is between two places of the view, mm. */
double surface_print_length(const struct surface *surface, bool along_x, double from, double to);
/* A stretch between stations: from view0 to view1 of the view lies from print0 to print1 of the print. */
struct print_slice {
    double view0, view1, print0, print1;
};
/* Those between `from` and `to` along the stations' axis, rising, whole ones at both ends where a station lies
 * beyond; none without stations. */
struct print_slice *surface_print_slices(const struct surface *surface, double from, double to,
                                         struct arena *arena, size_t *count);

/* Whether the film ends inside the edge on all sides, as on a pane; by how much. */
double surface_cut_short_mm(const struct surface *surface);
/* The edge of a surface at which one with its front `there` meets it; false when they do not meet. */
bool corner_edge(enum front here, enum front there, enum edge *edge);
/* Whether the surface with its front `here` usually lies over the other. */
bool corner_lies_over(enum front here, enum front there);
const char *edge_name(enum edge edge); /* "lower", "right" */
/* Bleed for each edge from what was written, by the vehicle's directions ("sill" is the bottom of a side,
 * "front" the edge towards the front). */
void surface_resolve_bleed(const struct bleed_spec *of_surface, const struct bleed_spec *of_job,
                           enum front front, double bleed_mm[EDGE_COUNT]);

#endif
