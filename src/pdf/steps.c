/* Reads from a layer's metadata whether it is a processing step (ISO 19593-1). Called for facts and for
 * layers of panel files. */
#include "steps.h"

bool step_of_layer(fz_context *ctx, pdf_obj *layer, const char **group, const char **type)
{
    pdf_obj *metadata = pdf_dict_gets(ctx, layer, "GTS_Metadata");
    *group = pdf_to_name(ctx, pdf_dict_gets(ctx, metadata, "GTS_ProcStepsGroup"));
    *type = pdf_to_name(ctx, pdf_dict_gets(ctx, metadata, "GTS_ProcStepsType"));
    return **group || **type;
}
