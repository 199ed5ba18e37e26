/* Panel files: what is sent to the printer, with marks and labels, and the check that laid back on the
 * vehicle they give the artwork again.
 *
 * PDF: one file for a surface, a page for each panel, the artwork stored once and untouched. TIFF: one file
 * for a panel, CMYK in the condition's profile, all panels of a surface cut from one pass over its pixels. */
#ifndef MAKE_MAKE_H
#define MAKE_MAKE_H

#include "art/render.h"
#include "model/plan.h"
#include "pdf/prove.h"
#include "raster/tiff_out.h"
#include "scan/meter.h"

struct patch;
struct make_order {
    const struct plan *plan;
    const struct surface_plan *surface;
    const struct art_work *work; /* the surface's artwork, profile, folder for temporaries */
    const struct condition_facts *condition;
    const char *out;                   /* OUT: files go to OUT/panels */
    const char *only_panel;            /* panel id, NULL: all of the surface */
    enum panel_form form;              /* make_panels goes through them all */
    enum tiff_compression compression; /* TIFF */
    double ppi;                        /* TIFF, and --prove */
    bool prove; /* lay-back check at the full output resolution; PDF: by Ghostscript too (pdf/prove.h) */
    const struct fleet_row *vehicle; /* prints of this one alone; NULL: those that are alike on all */
    /* Several vehicles whose prints share a PDF file (make_vehicles_part), `vehicle` being the first; the last artworks
     * of `work` are their words, one each. 0: `vehicle` alone. */
    const struct fleet_row *const *vehicles;
    size_t vehicle_count;
    bool anyway;          /* the plan has a stop; the label says so */
    int64_t date;         /* on labels and in the files */
    const char *software; /* "lapstrake 0.1.0" */
    const struct patch
        *patches; /* a sheet of these (make/patches.h), without a panel's marks; NULL: panels */
    size_t patch_count;
};

/* The ink of one panel's print, counted on its way to the file. */
struct panel_ink {
    const struct panel *panel;
    const struct ink_reading *reading;
    struct rect
        box; /* mm that the counted pixels cover: on the surface, or on the print where that is longer */
    double pixel_mm;
    bool on_surface;
};

/* What was made, for the person. */
struct make_result {
    const char **paths; /* in panel order; one for a PDF */
    size_t path_count;
    struct panel_ink *inks; /* TIFF: one a file, in the order of the paths; PDF: none */
    size_t ink_count;
    uint64_t checked;     /* pixels compared, or bytes for checksums */
    size_t cut_lines;     /* of contour-cut surfaces, with what follows; 0: none */
    double cut_mm, cut_s; /* travel between lines counts */
    bool proved;          /* PDF: `proof` says by what */
    struct pdf_prove_result proof;
};

/* Cut files of a contour-cut surface go to OUT/cut beside: JOB_SURFACE.svg and .dxf, or JOB_PANEL where it has several
 * prints, each of which is cut by itself.
 *
 * Writes the surface's panels in the job's format and checks them; a file that fails the check is not kept
 * and is an error (FAILURE_MACHINE: it must not happen). */
bool make_panels(struct machine *machine, const struct make_order *order, struct arena *arena,
                 struct make_result *result, struct error *error);

/* A rectangle of the surface as it lies on the panel's print, where `panel_ink` counts. */
struct rect make_on_print(const struct surface_plan *surface, const struct panel *panel, double feed_percent,
                          struct rect on_surface);

/* Widens each TIFF panel's file rectangle outward to whole pixels of the surface's grid. To be called on
 * a new plan before anything is written from it. */
void make_snap_files(struct surface_plan *surface, const struct pixel_grid *grid);

/* Names and forms of the files, for the plan: sets file_name, page and form of each panel. Panels at 1:10 have a
 * file of their own, whose name says at what per cent it is printed. */
void make_name_files(struct surface_plan *surface, const struct job *job, struct arena *arena);
/* The file of a print that varies (model/plan.h), for the vehicle with that id, or for several (make_vehicles_part). */
const char *make_vehicle_file(const struct surface_plan *surface, const struct panel *panel,
                              const struct job *job, const char *vehicle, struct arena *arena);
/* In the name of a file that several vehicles share: "201~220", no id having that sign. */
const char *make_vehicles_part(const struct fleet_row *const *vehicles, size_t count, struct arena *arena);

#endif
