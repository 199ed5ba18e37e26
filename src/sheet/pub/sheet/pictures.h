/* Pictures of the plan, for the job sheet, for the page and as files of their own. Each is a drawing of its
 * own size in the arena; write it with draw/draw.h. Previews are borrowed until then. */
#ifndef SHEET_PICTURES_H
#define SHEET_PICTURES_H

#include "draw/draw.h"
#include "model/roll_layout.h"

/* The pieces that lie on a surface, in the plan's order; previews may be NULL. */
struct picture_pieces {
    const struct surface_plan **plans;
    const struct picture **previews;
    size_t count;
};

struct picture_options {
    double width_mm;       /* of the picture on paper; at least 60 */
    double height_most_mm; /* the surface is drawn smaller to keep to it; 0: no limit */
    bool inches;           /* dimensions in inches */
    bool no_title;         /* the page around it says what it is */
    bool plain;     /* for the vehicle's owner. Vehicle: no seams, no panels; surface: of features what is
                              seen on the vehicle, without names */
    bool no_legend; /* another picture beside it says what its lines mean */
    struct picture_pieces pieces; /* of the surface: drawn in their places, by name unless plain */
};

/* Those of the plan. `previews` has one entry for each surface of the plan, or is NULL. */
struct picture_pieces sheet_pieces_on(const struct surface *host, const struct plan *plan,
                                      const struct picture *const *previews, struct arena *arena);

/* A surface to scale as it will be covered: artwork, outline, features, seams with what lies over, panels
 * with their install order, dimensions, scale bar. `art` and `preview` may be NULL. A surface without panels
 * is drawn without them; a piece for the inside of glass as it is seen from inside, unless plain, and says so. */
struct drawing *sheet_surface_picture(const struct surface_plan *plan, const struct surface_art *art,
                                      const struct picture *preview, struct picture_options options,
                                      struct arena *arena);
/* The surface by its ink: white where there is none through greys to black at the limit; places beyond it are
 * striped, framed and lettered from A, with what they carry. Without dimensions. */
struct drawing *sheet_heat_picture(const struct surface_plan *plan, const struct ink_heat *heat,
                                   struct picture_options options, struct arena *arena);
/* All surfaces side by side to one scale. `previews` has one entry for each surface, any may be NULL; it may
 * be NULL itself. */
struct drawing *sheet_vehicle_picture(const struct plan *plan, const struct picture *const *previews,
                                      struct picture_options options, struct arena *arena);
/* Steps over time: a group of rows for each surface, opening hours light, closed hours dark. */
struct drawing *sheet_timeline(const struct plan *plan, struct picture_options options, struct arena *arena);
/* The same for one of the shop's rolls: prints of all jobs, and off-cuts that are worth keeping. */
struct drawing *sheet_laid_roll_picture(const struct roll_layout *layout, size_t roll,
                                        struct picture_options options, struct arena *arena);
/* Where the panels lie on one roll of a plan; the film runs to the right. */
struct drawing *sheet_roll_picture(const struct roll *roll, const struct plan *plan,
                                   struct picture_options options, struct arena *arena);

#endif
