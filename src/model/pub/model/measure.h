/* A number that decides something, and where it comes from. */
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

static inline bool measure_known(struct measure m)
{
    return m.origin != ORIGIN_ABSENT;
}
/* A person wrote it; else it is absent or filled in from a table. */
static inline bool measure_is_written(struct measure m)
{
    return m.origin == ORIGIN_WRITTEN || m.origin == ORIGIN_MAKER;
}
static inline struct measure measure_written(double value, const char *source)
{
    return (struct measure){value, ORIGIN_WRITTEN, source};
}
/* `m` when known, else `other`. */
static inline struct measure measure_or(struct measure m, struct measure other)
{
    return measure_known(m) ? m : other;
}

#endif
