/* Panel files as PDF: a page for each panel, the artwork stored once and untouched.
 *
 * Each artwork page becomes one form XObject: its content stream byte for byte where it is one
 * stream, its resources with all colour spaces, fonts, overprint and layers. Every panel page draws it
 * through its own matrix, clipped to the panel's print rectangle. No colour is converted. A panel page with
 * one artwork has that one's transparency group for its own, so that it is painted by the same rules as the
 * artwork's own page, to the last pixel; where a file has several artworks, each that blends is a group for
 * itself, and the page has a group where all on it blend in one space. Annotations are not printed. Layers
 * that are off for print stay off.
 *
 * Page boxes (ISO 32000-1, 14.11.2): MediaBox = file rectangle with its lower left corner at 0,0;
 * BleedBox = print; TrimBox = visible. Version 1.7, with UserUnit where a side exceeds 14,400
 * units (annex C). Cut lines are processing steps (ISO 19593-1, from memory): each kind of cut is an optional
 * content group that says so, its lines painted in a spot colour that has no other use. The output intent is the condition's profile, /S /GTS_PDFX: the subtype for
 * print conditions, allowed in every PDF (14.11.5); conformance to PDF/X is not claimed.
 *
 * Bytes depend on the order and the files only. */
#ifndef PDF_PANELS_H
#define PDF_PANELS_H

#include "base/error.h"
#include "base/str.h"
#include "geom/region.h"
#include "model/artwork.h"
#include "model/pixels.h"

struct arena;
struct machine;

/* A picture to embed as it is: a JPEG file, or rows packed by pdf_packer. */
struct pdf_picture {
    const char *path; /* the JPEG file, or what pdf_packer wrote */
    bool jpeg;
    int width_px, height_px; /* as stored */
    int bits;                /* 8 or 16 (packed only) */
    enum colour_kind colour; /* grey, RGB, CMYK or Lab (packed only) */
    bool inverted;           /* 0 is full ink, as CMYK JPEG files often have it */
    int orientation;         /* EXIF 1..8 of the stored rows; 0 and 1: as stored */
    const unsigned char *profile;
    size_t profile_size; /* 0: none, and the numbers are device numbers */
    struct rect box;     /* in the layer's page millimetres: what the picture fills, as displayed */
};

/* One artwork on the surface; later layers lie over earlier ones. */
struct pdf_layer {
    const char *path;                  /* PDF */
    const char *subject;               /* what a person calls the file */
    int page;                          /* from 1 */
    const struct pdf_picture *picture; /* instead of a PDF; NULL: none */
    struct affine to_surface;          /* displayed page mm (pdf/facts.h) -> surface mm */
    struct rect clip;                  /* surface mm: nothing of it outside */
    size_t first_page, page_count; /* on these pages alone, the first of the order 0; page_count 0: on all */
};

static inline bool pdf_layer_is_on(const struct pdf_layer *layer, size_t page)
{
    return !layer->page_count || (page >= layer->first_page && page - layer->first_page < layer->page_count);
}

/* A stretch of a print made longer than the view: view0..view1 on the surface is printed as
 * print0..print1 (rising; stretches follow each other). */
struct pdf_slice {
    double view0, view1, print0, print1;
};

/* A kind of cut. */
struct pdf_cut_layer {
    const char *spot; /* name of its spot colour and its layer, UTF-8, up to PDF_SPOT_BYTES_MOST bytes */
    bool partial;     /* GTS_ProcStepsType PartialCutting (kiss cut); else Cutting (through cut) */
    bool prints;      /* its lines are on a plate of their own when printed; else seen on screens alone */
};

/* One line that the knife follows. Where it ends at its start it is closed. */
struct pdf_cut_line {
    size_t layer; /* of the order's cut_layers */
    const struct point *points;
    size_t count; /* 2 and more */
};

struct pdf_panel_page {
    const char *id;
    /* Surface mm, visible inside print inside file. Where there are slices, the coordinate along their axis
     * is that of the lengthened print (print0..print1). */
    struct rect file, print, visible;
    /* PDF content operators (paths in DeviceGray or DeviceCMYK) in millimetres, y up, origin at the
     * lower left corner of the file rectangle. Drawn over the artwork. */
    struct str marks;
    const struct rect *fields; /* where marks stand inside the print, mm as there; for pdf/prove.h */
    size_t field_count;
    double drawn_at; /* 10: the page is drawn at 1:10; 0 and 1: at its size */
    const struct pdf_slice *slices;
    size_t slice_count; /* 0: printed as long as the view */
    bool slices_along_x;
    /* In the coordinates of `file` and `print`: artwork is clipped to this besides the print; NULL, or no
     * ring: to the print alone. */
    const struct region *clip;
    const struct pdf_cut_line *cuts; /* over the artwork, in the sequence of cutting; coordinates of `file` */
    size_t cut_count;
};

/* The line that a piece is cut along, where it is drawn in its artwork and the page has it among its cuts: it is painted
 * nowhere. One of the three, others NULL; names without regard to capitals, the first layer or spot of it and all others. A
 * spot colour that shares its space with inks is printed as it is. */
struct pdf_left_out {
    const char *spot, *layer, *step; /* a step as pdf/paths.h takes it */
};

struct pdf_panels_order {
    const struct pdf_layer *layers;
    size_t layer_count; /* at most PDF_LAYERS_MOST */
    const struct pdf_panel_page *pages;
    size_t page_count;
    const struct pdf_cut_layer *cut_layers; /* at most PDF_CUT_LAYERS_MOST */
    size_t cut_layer_count;
    const unsigned char *profile; /* of the printing condition; size 0: no output intent */
    size_t profile_size;
    const char *profile_description;
    const char *title, *subject; /* document information; NULL: none */
    const char *xmp;             /* the same as a packet (ISO 16684-1); NULL: none */
    int64_t date;                /* of the document, seconds since 1970 UTC */
    const char *id_seed;         /* the file's identifier is made from this and the pages */
    /* Files that are only rendered show ink alone: these spot colours paint nothing, in spaces of their
     * own or beside inks (DeviceN: the tint transform gets 0 for them), and layers that are
     * processing steps (pdf/facts.h) are off. */
    const char *const *spots_off;
    size_t spot_off_count;
    bool steps_off;
    struct pdf_left_out left_out;
    unsigned cpu_seconds; /* of writing and of checking, as in base/reader.h; 0: the usual */
};

enum {
    PDF_LAYERS_MOST = ARTWORKS_MOST,
    PDF_PAGES_MOST = 2000,
    PDF_CUT_LAYERS_MOST = 4,
    PDF_SPOT_BYTES_MOST = 127 /* a name's length: ISO 32000-1, annex C */
};
#define PDF_CUT_LINE_MM 0.1 /* width of cut lines; our judgement: thin, and seen on a screen */

/* Writes one file with a page for each panel; it appears whole or not at all. `durable`: on the
 * disk before this returns. An artwork that cannot be read is FAILURE_INPUT. */
bool pdf_panels_write(struct machine *machine, const struct pdf_panels_order *order, const char *path,
                      bool durable, struct arena *arena, struct error *error);

struct pdf_layback_result {
    bool same;             /* everything below is as it must be */
    const char *trouble;   /* when not: the first difference, one sentence */
    uint64_t pixels;       /* compared */
    uint64_t off;          /* of these, more than 2/255 apart and not within a pixel of an edge */
    uint64_t off_at_edges; /* more than 2/255 apart within a pixel of an edge */
    int worst;             /* largest difference of one sample, 0..255, away from edges */
};

/* Reads the written file again and compares it with the order, in a child as the file's artworks are foreign.
 * Pages: number, boxes, and that each draws the layers in their order, by one object, through the right
 * matrix and clip (0.01 mm), the cut lines (0.01 mm) in their spot colours and processing steps, with the marks byte
 * for byte and nothing else. Artworks: every object that they
 * refer to is that of the file, streams byte for byte; layers (optional content) print as they do there.
 * Pixels, with `ppi` 0: patches of 20 mm at 2 pixels a millimetre on the long edges of each print, and at a
 * corner or inside, drawn from the artwork files by the order's numbers and from the panel file by its own;
 * large pictures are drawn as stand-ins there, since their bytes are compared. With `ppi` every print
 * rectangle whole, with all pictures but those that are artworks. `result->same` is the verdict; false when
 * the comparison could not be made. */
bool pdf_layback(struct machine *machine, const struct pdf_panels_order *order, const char *panels_path,
                 double ppi, struct arena *arena, struct pdf_layback_result *result, struct error *error);

/* Packs rows for pdf_picture: Flate with the PNG predictor "up" (ISO 32000-1, 7.4.4.4), samples of 16
 * bits with the high byte first. */
struct pdf_packer;
/* `fd` is open for writing and stays yours; `path` names it in errors. The packer lives in the arena. */
struct pdf_packer *pdf_packer_new(struct arena *arena, int fd, const char *path);
struct strip_sink pdf_packer_sink(struct pdf_packer *packer);

#endif
