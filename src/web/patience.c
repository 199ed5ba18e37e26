/* Counts wrong passwords by address and by name, and says how long the next try must wait. Called by
 * session.c. */
#include "patience.h"
#include "base/text.h"
#include <sodium.h>
#include <string.h>

_Static_assert(crypto_shorthash_KEYBYTES == 16 && crypto_shorthash_BYTES == 8, "of patience.h");

/* A clock that was set back makes nobody wait for it. */
static int64_t since(const struct tries *tries, int64_t now)
{
    return now > tries->last ? now - tries->last : 0;
}

static unsigned wrong_lately(const struct tries *tries, int64_t now)
{
    return since(tries, now) < TRIES_FORGOTTEN_S ? tries->wrong : 0;
}

unsigned tries_wait(const struct tries *tries, int64_t now)
{
    unsigned wrong = wrong_lately(tries, now);
    if (wrong < TRIES_FREE) return 0;
    unsigned doublings = wrong - TRIES_FREE;
    int64_t wait = doublings > 5 ? TRIES_WAIT_MOST_S : (int64_t)TRIES_WAIT_S << doublings;
    if (wait > TRIES_WAIT_MOST_S) wait = TRIES_WAIT_MOST_S;
    return since(tries, now) >= wait ? 0 : (unsigned)(wait - since(tries, now));
}

void tries_count(struct tries *tries, int64_t now)
{
    *tries = (struct tries){wrong_lately(tries, now) + 1, now};
}

void patience_start(struct patience *patience)
{
    memset(patience, 0, sizeof *patience);
    randombytes_buf(patience->key, sizeof patience->key);
}

static void patience_find_places(const struct patience *patience, char mark, const char *of,
                                 size_t places[PATIENCE_ROWS])
{
    unsigned char bytes[128], hash[crypto_shorthash_BYTES];
    size_t length = format_into((char *)bytes, sizeof bytes, "%c%s", mark, of);
    uint64_t whole;
    crypto_shorthash(hash, bytes, length, patience->key);
    memcpy(&whole, hash, sizeof whole);
    for (size_t i = 0; i < PATIENCE_ROWS; i++) places[i] = (size_t)(whole >> (20 * i)) % PATIENCE_PLACES;
}

unsigned patience_wait(const struct patience *patience, char mark, const char *of, int64_t now)
{
    size_t places[PATIENCE_ROWS];
    unsigned least = UINT32_MAX;
    patience_find_places(patience, mark, of, places);
    for (size_t i = 0; i < PATIENCE_ROWS; i++) {
        unsigned wait = tries_wait(&patience->rows[i][places[i]], now);
        if (wait < least) least = wait;
    }
    return least;
}

void patience_count(struct patience *patience, char mark, const char *of, int64_t now)
{
    size_t places[PATIENCE_ROWS];
    patience_find_places(patience, mark, of, places);
    for (size_t i = 0; i < PATIENCE_ROWS; i++) tries_count(&patience->rows[i][places[i]], now);
}

void patience_forget(struct patience *patience, char mark, const char *of)
{
    size_t places[PATIENCE_ROWS];
    patience_find_places(patience, mark, of, places);
    for (size_t i = 0; i < PATIENCE_ROWS; i++) patience->rows[i][places[i]] = (struct tries){0};
}
