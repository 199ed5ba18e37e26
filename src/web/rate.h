/* How often one address may ask: a bucket of tokens each, so that one broken or hostile client does not take
 * the page from the others. */
#ifndef WEB_RATE_H
#define WEB_RATE_H

#include "model/record.h"
#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>

enum { RATE_ADDRESSES = 256, RATE_PER_S = 2000, RATE_BURST = 4000 };
/* Of photographs: so many at once, then one every ten seconds. Our own judgement: a hundred is a whole
 * vehicle. */
enum { PHOTOGRAPHS_AT_ONCE = 100 };
#define PHOTOGRAPHS_PER_S 0.1

struct rate_bucket {
    char address[FACT_NAME_MOST + 1]; /* or a person's name */
    double tokens;
    int64_t at_ms;
};
struct rates {
    pthread_mutex_t mutex;
    double per_s, burst;
    struct rate_bucket buckets[RATE_ADDRESSES]; /* the longest unused gives way */
};

void rates_start(struct rates *rates, double per_s, double burst);
void rates_end(struct rates *rates);
/* Takes one token. false: too many for now. */
bool rates_take(struct rates *rates, const char *address, int64_t now_ms);

#endif
