/* Signing in: passwords (argon2id by libsodium, one hash at a time), sessions, and patience with wrong tries.
 *
 * A session is a random token that only the browser has; here is its digest. Sessions live as long as the
 * server: after a restart people sign in again. A token that this server did not make is never taken up.
 * `now` are seconds of any clock that goes on evenly and is past 0. */
#ifndef WEB_SESSION_H
#define WEB_SESSION_H

#include "base/str.h"
#include "model/record.h"
#include <pthread.h>

enum {
    SESSIONS_MOST = 200,          /* the longest unused gives way */
    SESSION_LASTS_S = 14 * 86400, /* from its last use */
    SESSION_TOKEN = 65,           /* with its NUL */
    PASSWORD_LEAST = 10,          /* characters: length is what counts (NIST SP 800-63B, from memory: 8) */
    PASSWORD_MOST = 200,
    PASSWORD_HASH = 128,
    TRIES_FREE = 5,    /* wrong passwords before waiting begins */
    TRIES_WAIT_S = 30, /* doubled with each wrong one after that, at most 15 minutes */
    TRIES_ADDRESSES = 128,
};

struct session {
    unsigned char digest[32];
    unsigned char password[32]; /* digest of the person's hash then: with a new one the session is over */
    char name[FACT_NAME_MOST + 1];
    int64_t used; /* 0: free */
};
struct tries {
    char of[80]; /* an address, or a name with a mark before it */
    unsigned wrong;
    int64_t last;
};
struct sessions {
    pthread_mutex_t mutex, hashing;
    struct session slots[SESSIONS_MOST];
    struct tries tries[TRIES_ADDRESSES];
};

bool sessions_start(struct sessions *sessions); /* false: no randomness to be had */
void sessions_end(struct sessions *sessions);

/* false: *wait_s says how long to wait before the next try, 0: name or password is wrong. */
bool session_sign_in(struct sessions *sessions, const struct person *people, size_t count, const char *name,
                     const char *password, const char *address, int64_t now, char token[SESSION_TOKEN],
                     unsigned *wait_s);
/* Whose session it is, among these; NULL: nobody's, or that of one who was taken out or has a new password.
 */
const struct person *session_find(struct sessions *sessions, const struct person *people, size_t count,
                                  const char *token, int64_t now);
void session_sign_out(struct sessions *sessions, const char *token);

/* NULL when the password will do; else the sentence why not. */
const char *password_trouble(const char *password);
bool password_hash(const char *password, char hash[PASSWORD_HASH]); /* false: no memory */

#endif
