/* What the tests of the record share: a folder, a handle, facts to put in, and the sqlite3 program as judge.
 */
#ifndef RECORD_BENCH_H
#define RECORD_BENCH_H

#include "../test.h"
#include "../support/outside.h"
#include "put.h"
#include "record/record.h"
#include "base/text.h"

struct bench {
    struct machine machine;
    struct arena *arena;
    const char *folder;
    struct record *record;
    int64_t now; /* what the machine's clock says, when not 0 */
};
extern struct bench bench;

int bench_open(void **state); /* set-up of a test: an empty folder and a new record in it */
int bench_close(void **state);
void bench_again(void); /* closes the record and opens it again */

#define NOON INT64_C(1804161600) /* Thu 4 Mar 2027, 12:00 UTC */
/* A fact on a panel of job LV-1; the key is made from a number. */
struct fact fact_on(enum fact_kind kind, const char *panel, int64_t at, int key);
void put(struct fact fact);
/* It is refused as input and the sentence says `words`; nothing is recorded. */
void refuse(struct fact fact, const char *words);
/* Its key is that of another fact. */
void refuse_key(struct fact fact);
size_t fact_count(void);

/* What the sqlite3 program prints for these statements on record.sqlite, without the last newline. */
const char *judge(const char *statements);
/* Mistakes that record_verify finds; their words in *words when not NULL. */
size_t verify(const char **words);

#endif
