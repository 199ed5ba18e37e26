/* Private to make: metadata of print files as XMP (ISO 16684-1), alike in PDF and TIFF. */
#ifndef MAKE_XMP_H
#define MAKE_XMP_H

#include "make/make.h"

/* A packet, UTF-8, in the arena: title and description (dc), when it was made and with what (xmp, pdf:Producer), and
 * the plan's mark as the version of the document (xmpMM:VersionID), left out when no mark is kept. Same words as in the
 * file's own fields, as ISO 32000-1, 14.3.2 and TIFF readers expect. */
const char *xmp_packet(const struct make_order *order, const char *title, const char *description,
                       struct arena *arena);

#endif
