/* What a file that came in says of itself, before it is on a surface, as JSON:
 *
 *     {"file": "left.pdf", "kind": "PDF", "usable": true, "trouble": null, "pages": 2,
 *      "width_mm": 550, "height_mm": 200,      as it would be placed at scale 1: the trim, as displayed;
 *                                              null for a picture that states no resolution
 *      "trim_mm": [x0, y0, x1, y1], "bleed_mm": [...], "media_mm": [...],      null likewise
 *      "width_px": null, "height_px": null, "x_ppi": null, "y_ppi": null, "bits": null,      pictures only
 *      "colour": "CMYK",                       pictures: GREY, RGB, CMYK, LAB, SPOT, OTHER; a PDF: what its
 * first page uses, such as "CMYK, RGB, spot" "profile": false,                       pictures: with a colour
 * profile of their own, or calibrated "output_intent": null, "spots": ["red"], "findings": [as in plan.json;
 * `where` is the file]}
 *
 * A file that cannot be used has "usable": false, its trouble in one sentence and a finding; the rest is
 * null. */
#ifndef RUN_UPLOAD_H
#define RUN_UPLOAD_H

#include "base/error.h"
#include "base/text.h"

struct arena;
struct machine;

/* Reads the file in a child, as every foreign file. Fails when it cannot be opened or the machine fails. */
bool upload_facts(struct machine *machine, const char *path, struct arena *arena, struct text *json,
                  struct error *error);

#endif
