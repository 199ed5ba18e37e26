/* What the comparisons of a lay-back check say when something differs: the first difference is kept. */
#include "layback.h"

bool layback_differs(struct layback *lay, const char *id, const struct argument *arguments)
{
    if (lay->trouble[0]) return false;
    sentence_into(lay->trouble, sizeof lay->trouble, id, arguments);
    return false;
}
