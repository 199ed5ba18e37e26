/* Patience with wrong passwords: how many lately, by address and by name, in memory of one size. Each is
 * counted in one place of every row, found by a hash with a key that nobody outside knows: others that share
 * a place can only make it wait longer, never forget, so that junk pushes nothing out (a count-min sketch;
 * Cormode and Muthukrishnan 2005, from memory). */
#ifndef WEB_PATIENCE_H
#define WEB_PATIENCE_H

#include <stdint.h>

enum {
    PATIENCE_ROWS = 3,
    PATIENCE_PLACES = 2048, /* in a row */
    TRIES_FREE = 5,         /* wrong passwords before waiting begins */
    TRIES_WAIT_S = 30,      /* doubled with each wrong one after that, at most TRIES_WAIT_MOST_S */
    TRIES_WAIT_MOST_S = 900,
    TRIES_FORGOTTEN_S = 86400, /* after a day without a try */
};

struct tries {
    unsigned wrong;
    int64_t last;
};
struct patience {
    unsigned char key[16];
    struct tries rows[PATIENCE_ROWS][PATIENCE_PLACES];
};

/* Seconds still to wait after these tries; 0: go on. */
unsigned tries_wait(const struct tries *tries, int64_t now);
void tries_count(struct tries *tries, int64_t now);

void patience_start(struct patience *patience);
/* `mark` parts names from addresses. */
unsigned patience_wait(const struct patience *patience, char mark, const char *of, int64_t now);
void patience_count(struct patience *patience, char mark, const char *of, int64_t now);
void patience_forget(struct patience *patience, char mark, const char *of);

#endif
