/* Processing steps: layers that are for cutting, varnish and the like and hold no ink. */
#ifndef PDF_STEPS_H
#define PDF_STEPS_H

#include "mu.h"

/* ISO 19593-1, from memory: an optional content group's GTS_Metadata says GTS_ProcStepsGroup and
 * GTS_ProcStepsType. False when this layer's says neither; `type` may be "". */
bool step_of_layer(fz_context *ctx, pdf_obj *layer, const char **group, const char **type);
/* Whether a person means this step: by its type, else its group, or by both; letters and digits alone count. */
bool step_is_named(const char *group, const char *type, const char *name);

#endif
