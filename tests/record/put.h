/* Facts on record without a guard: what tests prepare. */
#ifndef TESTS_RECORD_PUT_H
#define TESTS_RECORD_PUT_H

#include "record/record.h"

static inline bool put_facts(struct record *record, struct fact *facts, size_t count, struct error *error)
{
    bool stale;
    return record_add(record, facts, count, NULL, &stale, error);
}

#endif
