/* Limits how many requests an address may make in a time. Called by exchange.c and for photographs. */
#include "rate.h"
#include "base/text.h"
#include <string.h>

void rates_start(struct rates *rates, double per_s, double burst)
{
    memset(rates, 0, sizeof *rates);
    rates->per_s = per_s, rates->burst = burst;
    pthread_mutex_init(&rates->mutex, NULL);
}

void rates_end(struct rates *rates)
{
    pthread_mutex_destroy(&rates->mutex);
}

static struct rate_bucket *bucket_of(struct rates *rates, const char *address, int64_t now_ms)
{
    struct rate_bucket *oldest = &rates->buckets[0];
    for (size_t i = 0; i < RATE_ADDRESSES; i++) {
        struct rate_bucket *b = &rates->buckets[i];
        if (!strcmp(b->address, address)) return b;
        if (b->at_ms < oldest->at_ms || !*b->address) oldest = b;
        if (!*b->address) break;
    }
    format_into(oldest->address, sizeof oldest->address, "%s", address);
    oldest->tokens = rates->burst;
    oldest->at_ms = now_ms;
    return oldest;
}

bool rates_take(struct rates *rates, const char *address, int64_t now_ms)
{
    pthread_mutex_lock(&rates->mutex);
    struct rate_bucket *b = bucket_of(rates, address, now_ms);
    b->tokens += (double)(now_ms - b->at_ms) * rates->per_s / 1000;
    if (b->tokens > rates->burst) b->tokens = rates->burst;
    b->at_ms = now_ms;
    bool ok = b->tokens >= 1;
    if (ok) b->tokens -= 1;
    pthread_mutex_unlock(&rates->mutex);
    return ok;
}
