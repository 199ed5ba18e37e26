/* Damaged variants of a YAML text, for tests and fuzzing. The same text and seed always give the same
 * variant. */
#ifndef TEST_JOB_MUTATE_H
#define TEST_JOB_MUTATE_H

#include "base/str.h"
#include <stddef.h>
#include <stdint.h>

struct arena;

enum { MUTATIONS = 20 };

/* Variant `seed`; seeds from 0 walk through the MUTATIONS ways in turn. `*what` says how it was damaged. */
struct str mutate(struct arena *arena, struct str text, uint64_t seed, const char **what);

#endif
