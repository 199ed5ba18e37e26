/* How often one address may ask: a bucket of tokens each, so that one broken or hostile client does not take
 * the page from the others. */
#ifndef WEB_RATE_H
#define WEB_RATE_H

#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>

enum { RATE_ADDRESSES = 256, RATE_PER_S = 2000, RATE_BURST = 4000 };

struct rate_bucket {
    char address[48];
    double tokens;
    int64_t at_ms;
};
struct rates {
    pthread_mutex_t mutex;
    struct rate_bucket buckets[RATE_ADDRESSES]; /* the longest unused gives way */
};

void rates_start(struct rates *rates);
void rates_end(struct rates *rates);
/* Takes one token. false: too many for now. */
bool rates_take(struct rates *rates, const char *address, int64_t now_ms);

#endif
