/* The customer's artwork: what a file says of itself (facts), and where it lands (placed). */
#ifndef MODEL_ARTWORK_H
#define MODEL_ARTWORK_H

#include "base/machine.h"
#include "geom/geom.h"
#include "model/surface.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum artwork_kind { ARTWORK_PDF, ARTWORK_TIFF, ARTWORK_JPEG, ARTWORK_PNG };
enum colour_kind { COLOUR_GREY, COLOUR_RGB, COLOUR_CMYK, COLOUR_LAB, COLOUR_SPOT, COLOUR_OTHER };

/* A line of text in a PDF, on its page (millimetres, y up, before the placement's scale). */
struct text_line {
    struct rect box;
    double height_mm;  /* of the letters, on the page */
    const char *words; /* UTF-8, cut at 300 bytes; "" where it is not known */
    bool outlined;     /* made into outlines: found from its shapes */
    bool mirrored;     /* reads backwards; of outlined lettering it is not known */
};

/* A picture inside a PDF, or the whole of a raster file. */
struct image_facts {
    struct rect box; /* on the page, mm */
    int width_px, height_px;
    int bits;
    enum colour_kind colour;
    bool tagged;        /* with a profile of its own, or calibrated */
    double ppi_on_page; /* the smaller of both directions, on the page as drawn */
};

/* A note or form field over a PDF page that prints from a viewer and is no part of the page. */
struct annotation_facts {
    struct rect box;   /* on the page, mm */
    const char *kind;  /* "FreeText", "Stamp", "Widget": as the file says */
    const char *words; /* UTF-8, cut at 80 bytes; "" */
};

enum artwork_state { ARTWORK_FINE, ARTWORK_DAMAGED, ARTWORK_LOCKED, ARTWORK_NO_SUCH_PAGE };

struct artwork_facts {
    enum artwork_kind kind;
    enum artwork_state state; /* other than fine: nothing else here is to be used */
    const char *trouble;      /* then: what is wrong, one sentence */
    struct rect
        bleed_mm; /* what of the page may be printed: the trim, and BleedBox, else CropBox; rasters: not set */
    struct rect media_mm, trim_mm; /* page or picture, mm, y up; lower left of the media box at its own place.
                                      As displayed: UserUnit and rotation applied. For rasters both are the
                                      picture at its own resolution (0 size when it states none) */
    int page_count;
    /* rasters */
    int width_px, height_px; /* as displayed: orientation applied */
    double x_ppi, y_ppi;     /* 0: not stated */
    bool premultiplied, alpha;
    int bits, samples;
    int orientation; /* EXIF / TIFF 1..8, of the stored rows */
    /* both */
    enum colour_kind colour; /* rasters */
    bool tagged;
    struct image_facts *images;
    size_t image_count;
    struct text_line *lines;
    size_t line_count;
    struct annotation_facts *annotations; /* PDF: those with the print flag */
    size_t annotation_count;
    const char **spots;
    size_t spot_count;
    const char **fonts_missing;
    size_t fonts_missing_count;
    const char **layers_hidden;
    size_t layers_hidden_count;
    const char **steps; /* layers for cutting, varnish and the like: processing steps of ISO 19593-1 */
    size_t step_count;
    bool uses_rgb, uses_rgb_untagged, uses_cmyk, uses_lab, uses_transparency, overprints, white_overprints,
        has_transfer;
    const char *blend_space; /* where transparent parts are mixed in another space than the paper's inks: that
                                space, for people; else NULL */
    bool marks_in_bleed;     /* crop marks outside the trim, and no BleedBox to keep them out of the print */
    const char *output_intent;            /* its identifier or description, NULL: none */
    unsigned char *output_intent_profile; /* bytes, NULL: none */
    size_t output_intent_profile_size;
    unsigned char *profile; /* rasters: embedded profile, NULL: none */
    size_t profile_size;
    const char **remarks; /* other things a person should know; each a sentence */
    size_t remark_count;
};

/* An artwork on a surface. */
struct placed_art {
    const struct artwork_spec *spec;
    const struct artwork_facts *facts;
    struct affine to_surface; /* page millimetres (y up) -> surface millimetres */
    struct rect trim;         /* on the surface */
    struct rect media;        /* on the surface: all there is to print */
    struct rect clip;         /* on the surface: what of it is printed (fit crops) */
    bool fitted;              /* made to fill the surface: by `fit`, or since its size is not known */
    double scale;             /* page mm -> surface mm */
    uint64_t file_hash;       /* another one when the file's bytes changed */
    struct file_status seen;  /* of the file before it was read */
};

struct surface_art {
    struct placed_art *placed; /* in painting order: later over earlier */
    size_t count;
};

#endif
