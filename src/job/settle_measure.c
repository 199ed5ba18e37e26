/* Puts what is usual where nobody wrote a measure; what it is usual for is settle.c's, shop.c's and settle_job.c's. */
#include "settle_measure.h"
#include "model/practice.h"

void settle_measure(struct measure *measure, struct measure usual)
{
    if (!measure_is_written(*measure)) *measure = usual;
}

void settle_as(struct measure *measure, const char *practice)
{
    settle_measure(measure, practice_value(practice));
}

void settle_keys(const struct group *group, void *target)
{
    for (const struct key *key = group->keys; key->name; key++) {
        if (key->form == FORM_GROUP) settle_keys(key->group, target);
        if (key->practice && key->measured)
            settle_measure((struct measure *)(void *)((char *)target + key->at),
                           key->form == FORM_DURATION ? practice_seconds(key->practice)
                                                      : practice_value(key->practice));
    }
}
