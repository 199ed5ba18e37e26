/* What a seam's look says of door gaps, for all that judge a seam at one place. */
#include "seam_look.h"

bool mark_gap_at(const struct marked *mark, double *u)
{
    *u = (mark->box.x0 + mark->box.x1) / 2;
    return mark->takes_seam;
}

bool look_is_gap(const struct seam_look *look)
{
    return look->gaps.count > 0;
}

bool look_is_whole_gap(const struct seam_look *look)
{
    return look->gaps.count > 0 && !look->laps.count;
}

unsigned look_class(const struct seam_look *look)
{
    if (look_is_whole_gap(look)) return CLASS_GAP;
    if (look_is_gap(look)) return look->low_over ? CLASS_GAP_LOW_OVER : CLASS_GAP_HIGH_OVER;
    return look->low_over ? CLASS_LOW_OVER : CLASS_HIGH_OVER;
}
