/* What a seam's context says of door gaps, for all that judge a seam at one place. */
#include "seam_context.h"

bool framed_gap_at(const struct framed_feature *framed, double *u)
{
    *u = (framed->box.x0 + framed->box.x1) / 2;
    return framed->takes_seam;
}

bool context_is_gap(const struct seam_context *context)
{
    return context->gaps.count > 0;
}

bool context_is_whole_gap(const struct seam_context *context)
{
    return context->gaps.count > 0 && !context->laps.count;
}

unsigned context_class(const struct seam_context *context)
{
    if (context_is_whole_gap(context)) return CLASS_GAP;
    if (context_is_gap(context)) return context->low_over ? CLASS_GAP_LOW_OVER : CLASS_GAP_HIGH_OVER;
    return context->low_over ? CLASS_LOW_OVER : CLASS_HIGH_OVER;
}
