/* A number that decides something, and where it comes from. The two travel together, so that a finding or a
 * sheet can say whose figure a limit is. One filled with zeros is absent. A setting is looked for from the
 * particular to the general, in job/settle.h: job, shop, common practice. */
#ifndef MODEL_MEASURE_H
#define MODEL_MEASURE_H

#include <stdbool.h>

enum origin {
    ORIGIN_ABSENT = 0, /* nobody said; value is not to be used */
    ORIGIN_WRITTEN,    /* in the job's or shop's file; `source` is "shop.yaml:14, films.stretch-limit" */
    ORIGIN_MAKER,      /* written, with the maker's document named; `source` is that name */
    ORIGIN_PRACTICE,   /* common practice, no published source: model/practice.h */
    ORIGIN_PUBLISHED,  /* a published table or formula; `source` names it */
};

struct measure {
    double value; /* in the unit that the field's name says */
    enum origin origin;
    const char *source; /* a phrase for people, NULL when absent */
};

/* There is a value: only then may `value` and `source` be read. */
static inline bool measure_known(struct measure m)
{
    return m.origin != ORIGIN_ABSENT;
}
/* A person wrote it; else it is absent or filled in from a table. */
static inline bool measure_is_written(struct measure m)
{
    return m.origin == ORIGIN_WRITTEN || m.origin == ORIGIN_MAKER;
}
/* A person wrote `value` at the place that `source` names; `source` is borrowed and must outlive it. */
static inline struct measure measure_written(double value, const char *source)
{
    return (struct measure){value, ORIGIN_WRITTEN, source};
}

#endif
