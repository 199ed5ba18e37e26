/* What a piece is cut along, taken out of an artwork as it was opened. */
#ifndef PDF_LEFT_OUT_H
#define PDF_LEFT_OUT_H

#include "mu.h"
#include "pdf/panels.h"

/* In memory: a spot colour that stands alone in its space gets the name None, which paints nothing (ISO 32000-1,
 * 8.6.6.4 and 8.6.6.5); layers are off, whoever looks. Names without regard to capitals. The file stays as it is. */
void left_out_mute(fz_context *ctx, pdf_document *doc, const struct pdf_left_out *left_out);

#endif
