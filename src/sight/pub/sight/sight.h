/* What does a photograph with tape measures say of a plane, and how surely?
 *
 * Marks are pointed at in one picture of a plane (a vehicle's side); between some of them a tape was laid. A least-squares
 * adjustment finds where the marks lie on the plane, how the plane is seen in the picture, and what each figure may be off
 * by. Nothing is averaged away in silence: a length that the others contradict is named.
 *
 *   unknown    the places of the marks (2 each), the map from plane to picture (8), the lens (k1, k2), and of each straight
 *              edge its line (2)
 *   observed   each with its own standard error: the marks in the picture, tape lengths, level and upright lines, right
 *              angles, known places, points along edges known to be straight
 *
 * Picture: pixels, u to the right, v down, the middle of the first pixel at (0.5, 0.5). Plane: mm, x to the right, y up,
 * never mirrored. Its origin is the mark `origin`; +x follows level and upright lines or known places, else the
 * picture's horizontal at the origin.
 *
 * Lens: a point seen at distance r from the picture's middle (in halves of its diagonal) belongs k1 r^2 + k2 r^4 of that
 * distance further out (Brown, Photogrammetric Engineering 37, 1971, 855-866; from memory, unchecked). Pictures of phones
 * are straightened already: k1 is taken to be 0 +- 0.02 unless the picture says more, k2 is looked for only with straight
 * edges.
 *
 * How: Levenberg-Marquardt from several views of the plane that agree best with the lengths, an own one because it is 60
 * lines with the Cholesky factor that the covariance needs anyway. Studentised residuals and predictions without the
 * observation itself: Cook and Weisberg, Residuals and Influence in Regression, 1982 (from memory, unchecked). Pure and
 * deterministic. */
#ifndef SIGHT_SIGHT_H
#define SIGHT_SIGHT_H

#include "base/error.h"
#include "geom/geom.h"

struct arena;

enum { SIGHT_MARKS_MOST = 60, SIGHT_LENGTHS_MOST = 300, SIGHT_EDGES_MOST = 20, SIGHT_EDGE_POINTS_MOST = 100 };

/* ---- input ---- */

struct sight_length {
    size_t from, to; /* marks */
    double taped_mm,
        sd_mm; /* taped_mm NAN: it is only to be predicted; sd_mm NAN: 2 mm and 0.5 mm for each metre */
};

enum sight_line_kind { SIGHT_LEVEL, SIGHT_UPRIGHT };
struct sight_line {
    enum sight_line_kind kind;
    size_t from, to;
};

struct sight_corner { /* a right angle at `at` */
    size_t from, at, to;
};

struct sight_known {
    size_t mark;
    struct point place_mm;
};

struct sight_edge { /* points of the picture along one straight edge, 3 and more */
    const struct point *points;
    size_t count;
};

struct sight_order {
    double width_px, height_px;
    const char *const *names;  /* of the marks, for sentences */
    const struct point *marks; /* in the picture */
    size_t mark_count;         /* 4 and more */
    const struct sight_length *lengths;
    size_t length_count;
    const struct sight_line *lines;
    size_t line_count;
    const struct sight_corner *corners;
    size_t corner_count;
    const struct sight_known *knowns;
    size_t known_count;
    const struct sight_edge *edges;
    size_t edge_count;
    size_t origin;  /* a mark; passed over where places are known */
    double mark_px; /* standard error of a mark, each way; 0: 1.5 */
};

/* ---- result ---- */

struct sight_place {
    struct point place_mm;
    double sd_mm;      /* of its place, both ways together */
    double xx, xy, yy; /* covariance, mm2 */
    double test;       /* studentised residual of the pointing, the larger of both ways */
};

struct sight_checked {
    double predicted_mm, sd_mm; /* of a taped length without itself; sd_mm NAN: nothing else says it */
    double adjusted_mm;
    double test;  /* studentised residual; NAN when it is not checked by others, or was not taped */
    bool suspect; /* the others contradict it */
    bool rival;   /* not told apart from a suspect: either may be the wrong one */
};

struct sight_camera {
    double focal_px;    /* NAN: the plane is seen too straight on to tell */
    double distance_mm; /* to the plane at the picture's middle; NAN as above */
    double k1, k2, k1_sd;
};

struct sighting {
    struct sight_place *places;    /* one for each mark */
    struct sight_checked *lengths; /* one for each length */
    struct sight_camera camera;
    double map[9];     /* plane to straightened picture, row by row: u, v, 1 */
    size_t redundancy; /* how many observations more than are needed; 0: nothing is checked */
    double misfit;     /* sum of squares of weighted residuals; about `redundancy` when all is well */
    double mm_per_px;  /* at the picture's middle */
};

/* False with FAILURE_INPUT when the observations do not fix the plane: too few, marks in one line, or all lengths one
 * way; the sentence says what to measure as well. The result is the arena's. */
bool sight_adjust(const struct sight_order *order, struct arena *arena, struct sighting *sight,
                  struct error *error);

/* Where a place of the picture lies on the plane. False: beyond its horizon. */
bool sight_on_plane(const struct sight_order *order, const struct sighting *sight, struct point picture,
                    struct point *place_mm);

#endif
