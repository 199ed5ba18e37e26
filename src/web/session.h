/* Signing in: passwords (argon2id by libsodium, one hash at a time), sessions, and patience with wrong tries.
 *
 * A session is a random token that only the browser has; here is its digest, which outlives the server
 * (sessions_write, sessions_read). A token that this server did not make is never taken up. When a session is
 * over, its token still shows that the device once signed in as that person: such a device waits for its own
 * wrong tries only, so that nobody is locked out by what others try. `now` are seconds since 1970. */
#ifndef WEB_SESSION_H
#define WEB_SESSION_H

#include "base/str.h"
#include "base/text.h"
#include "model/record.h"
#include "patience.h"
#include <pthread.h>

enum {
    SESSIONS_MOST = 400,           /* the longest unused gives way */
    SESSIONS_OF_ONE = 20,          /* person: the same among theirs */
    SESSION_LASTS_S = 14 * 86400,  /* from its last use */
    SESSION_KNOWN_S = 180 * 86400, /* so long its device is known after that */
    HASHES_WAITING = 8,            /* passwords that wait to be tried; more hear that the server is busy */
    SESSION_TOKEN = 65,            /* with its NUL */
    PASSWORD_LEAST = 10,           /* characters: length is what counts (NIST SP 800-63B, from memory: 8) */
    PASSWORD_MOST = 200,
    PASSWORD_HASH = 128,
};

struct session {
    unsigned char digest[32];
    unsigned char password[32]; /* digest of the person's hash then: with a new one the session is over */
    char name[FACT_NAME_MOST + 1];
    int64_t used;       /* 0: free */
    bool over;          /* signed out, too old, or the password is another: the device is known, no more */
    struct tries tries; /* of that device, in that name */
};
struct sessions {
    pthread_mutex_t mutex, hashing;
    struct session slots[SESSIONS_MOST];
    struct patience patience;
    unsigned hashes;  /* that are tried, or wait for it */
    uint64_t changes; /* goes up when there is something to keep */
};

bool sessions_start(struct sessions *sessions); /* false: no randomness to be had */
void sessions_end(struct sessions *sessions);

struct sign_in {
    const char *name, *password;
    const char *address; /* that it comes from */
    const char *held;    /* the token that the browser has, or NULL */
    int64_t now;
};
/* Among `people`. false: *wait_s says how long to wait before the next try, 0: name or password is wrong. */
bool session_sign_in(struct sessions *sessions, const struct person *people, size_t count,
                     const struct sign_in *sign_in, char token[SESSION_TOKEN], unsigned *wait_s);
/* Whose session it is, among these; NULL: nobody's, or that of one who was taken out or has a new password.
 */
const struct person *session_find(struct sessions *sessions, const struct person *people, size_t count,
                                  const char *token, int64_t now);
void session_sign_out(struct sessions *sessions, const char *token);

/* Goes up when there is something to keep. */
uint64_t sessions_changes(struct sessions *sessions);
/* All of them as text, for the next run of the server, without anything that would let anybody in: digests of
 * tokens, names, times. What cannot be read is left out. */
void sessions_write(struct sessions *sessions, struct text *out);
void sessions_read(struct sessions *sessions, struct str text);

/* NULL when the password will do; else the sentence why not. */
const char *password_trouble(const char *password);
bool password_hash(const char *password, char hash[PASSWORD_HASH]); /* false: no memory */

#endif
