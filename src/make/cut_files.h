/* Private to make: a print's cut lines and register marks for the cutter, as SVG and DXF.
 *
 * One unit is one millimetre, from the lower left corner of the print's file; y up in DXF, down in SVG.
 * Layers: kiss cuts, through cuts, register marks, a line of 100 mm to check the size by. */
#ifndef MAKE_CUT_FILES_H
#define MAKE_CUT_FILES_H

#include "base/text.h"
#include "cut_sheet.h"

struct cut_file {
    const char *name; /* of the print, for people */
    const struct cut_sheet *sheet;
    const struct register_marks *marks;
};
void cut_file_svg(const struct cut_file *file, struct text *out);
/* In the form AC1009, or AC1015, whose head says that a unit is a millimetre ($INSUNITS 4). */
void cut_file_dxf(const struct cut_file *file, enum cutter_dxf form, struct text *out);

#endif
