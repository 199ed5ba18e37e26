/* What a TIFF, JPEG or PNG says of itself, without decoding its pixels. */
#ifndef RASTER_FACTS_H
#define RASTER_FACTS_H

#include "base/machine.h"
#include "base/reader.h"
#include "model/artwork.h"
#include <stdbool.h>

/* Limits for every picture: a side in pixels, and the pixels of the whole. A bus side at 150 ppi has
 * 70,866 x 17,717 = 1.3e9. */
enum { RASTER_SIDE_MOST = 300000 };
#define RASTER_PIXELS_MOST INT64_C(3000000000)

/* Fills `facts` (in the arena) for the file at `path`, which messages call `subject`. The kind comes from the
 * file's first bytes, never from its name.
 *
 * Set are: kind, state and trouble, media_mm and trim_mm (the picture at its own resolution, x0 = y0 = 0;
 * empty when it states none), page_count, width_px, height_px, x_ppi, y_ppi (as displayed: orientation
 * applied), alpha, premultiplied, bits, samples, orientation, colour, tagged, profile, remarks, uses_*, and
 * one entry in images for the whole picture.
 *
 *   - ppi: TIFF resolution and its unit; JPEG the JFIF density, else EXIF; PNG pHYs. 0 when not stated,
 * stated without a unit, or absurd (under 1 or over 100,000).
 *   - profile: the embedded one, when it is an ICC profile for the colours of the pixels; otherwise it is
 * left out and a remark says why. tagged: there is one, or the file says sRGB (PNG sRGB, or cHRM with gAMA;
 * EXIF ColorSpace 1).
 *   - a file that cannot be used (not whole, impossible, over the limits, or of a kind that is not read) is
 * no failure: state is ARTWORK_DAMAGED and trouble says what is wrong.
 *
 * Fails when the file cannot be opened (FAILURE_INPUT) or the machine fails. Reads in a child process. */
bool raster_facts_load(struct machine *machine, const char *path, const char *subject, struct arena *arena,
                       struct artwork_facts *facts, struct error *error);

/* For the program's own main: the verbs of this room, to be run by reader_main. */
extern const struct reader_entry raster_reader_verbs[];

#endif
