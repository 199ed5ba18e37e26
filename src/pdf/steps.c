/* Reads from a layer's metadata whether it is a processing step (ISO 19593-1). Called for facts and for
 * layers of panel files. */
#include "steps.h"
#include "base/str.h"
#include <ctype.h>

bool step_of_layer(fz_context *ctx, pdf_obj *layer, const char **group, const char **type)
{
    pdf_obj *metadata = pdf_dict_gets(ctx, layer, "GTS_Metadata");
    *group = pdf_to_name(ctx, pdf_dict_gets(ctx, metadata, "GTS_ProcStepsGroup"));
    *type = pdf_to_name(ctx, pdf_dict_gets(ctx, metadata, "GTS_ProcStepsType"));
    return **group || **type;
}

/* Letters and digits of both, capitals aside: "partial cutting" is PartialCutting. */
static bool step_alike(const char *one, const char *other)
{
    for (;; one++, other++) {
        while (*one && !isalnum((unsigned char)*one)) one++;
        while (*other && !isalnum((unsigned char)*other)) other++;
        if (tolower((unsigned char)*one) != tolower((unsigned char)*other)) return false;
        if (!*one) return true;
    }
}

bool step_is_named(const char *group, const char *type, const char *name)
{
    char both[300];
    format_into(both, sizeof both, "%s%s", group, type);
    return step_alike(*type ? type : group, name) || step_alike(both, name);
}
