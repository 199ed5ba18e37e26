#include "session.h"
#include "base/text.h"
#include <sodium.h>
#include <string.h>

/* 19 MiB and two passes: the OWASP password storage cheat sheet's least for argon2id, from memory. */
enum { HASH_PASSES = 2, HASH_BYTES = 19 << 20 };

_Static_assert(PASSWORD_HASH >= crypto_pwhash_STRBYTES, "room for libsodium's text");

bool sessions_start(struct sessions *sessions)
{
    memset(sessions, 0, sizeof *sessions);
    pthread_mutex_init(&sessions->mutex, NULL);
    pthread_mutex_init(&sessions->hashing, NULL);
    return sodium_init() >= 0;
}

void sessions_end(struct sessions *sessions)
{
    sodium_memzero(sessions->slots, sizeof sessions->slots);
    pthread_mutex_destroy(&sessions->mutex);
    pthread_mutex_destroy(&sessions->hashing);
}

/* ---- passwords ---- */

const char *password_trouble(const char *password)
{
    size_t characters = 0;
    for (const char *at = password; *at; at++) characters += ((unsigned char)*at & 0xc0) != 0x80;
    if (!str_is_utf8(str_from(password))) return "The password must be text.";
    if (characters < PASSWORD_LEAST)
        return "The password is too short: at least 10 characters, a sentence is best.";
    if (strlen(password) > PASSWORD_MOST) return "The password is too long: at most 200 characters.";
    return NULL;
}

bool password_hash(const char *password, char hash[PASSWORD_HASH])
{
    return sodium_init() >= 0 && !crypto_pwhash_str_alg(hash, password, strlen(password), HASH_PASSES,
                                                        HASH_BYTES, crypto_pwhash_ALG_ARGON2ID13);
}

/* Against nobody's password, when there is no such person: the answer takes as long. */
static bool password_right(struct sessions *sessions, const struct person *person, const char *password)
{
    pthread_mutex_lock(&sessions->hashing);
    bool right = false;
    if (person) {
        right = !crypto_pwhash_str_verify(person->password, password, strlen(password));
    } else {
        char nobody[PASSWORD_HASH];
        password_hash(password, nobody);
    }
    pthread_mutex_unlock(&sessions->hashing);
    return right;
}

/* ---- patience ---- */

static struct tries *tries_of(struct sessions *sessions, const char *mark, const char *of, int64_t now)
{
    char key[sizeof sessions->tries->of];
    format_into(key, sizeof key, "%s%s", mark, of);
    struct tries *oldest = &sessions->tries[0];
    for (size_t i = 0; i < TRIES_ADDRESSES; i++) {
        struct tries *t = &sessions->tries[i];
        if (!strcmp(t->of, key)) return t;
        if (*oldest->of && (!*t->of || t->last < oldest->last)) oldest = t;
    }
    *oldest = (struct tries){.last = now}; /* so that the next new one does not take its place */
    memcpy(oldest->of, key, sizeof key);
    return oldest;
}

static unsigned left_to_wait(const struct tries *tries, int64_t now)
{
    if (tries->wrong < TRIES_FREE) return 0;
    unsigned doublings = tries->wrong - TRIES_FREE;
    int64_t wait = doublings > 5 ? 900 : (int64_t)TRIES_WAIT_S << doublings;
    if (wait > 900) wait = 900;
    return now - tries->last >= wait ? 0 : (unsigned)(wait - (now - tries->last));
}

/* Counted before the password is tried, so that many tries at once do not slip through. */
static unsigned take_try(struct sessions *sessions, const char *name, const char *address, int64_t now)
{
    pthread_mutex_lock(&sessions->mutex);
    struct tries *both[] = {tries_of(sessions, "@", address, now), tries_of(sessions, "=", name, now)};
    unsigned wait = 0;
    for (int i = 0; i < 2; i++) {
        unsigned left = left_to_wait(both[i], now);
        if (left > wait) wait = left;
    }
    for (int i = 0; !wait && i < 2; i++) {
        both[i]->wrong++;
        both[i]->last = now;
    }
    pthread_mutex_unlock(&sessions->mutex);
    return wait;
}

static void forget_tries(struct sessions *sessions, const char *name, const char *address, int64_t now)
{
    tries_of(sessions, "@", address, now)->wrong = 0;
    tries_of(sessions, "=", name, now)->wrong = 0;
}

/* ---- sessions ---- */

static void digest_of(const char *text, unsigned char digest[32])
{
    crypto_generichash(digest, 32, (const unsigned char *)text, strlen(text), NULL, 0);
}

static struct session *find(struct sessions *sessions, const char *token, int64_t now)
{
    unsigned char digest[32];
    digest_of(token, digest);
    for (size_t i = 0; i < SESSIONS_MOST; i++) {
        struct session *s = &sessions->slots[i];
        if (s->used && now - s->used < SESSION_LASTS_S && !sodium_memcmp(s->digest, digest, sizeof digest))
            return s;
    }
    return NULL;
}

static void begin(struct sessions *sessions, const struct person *person, int64_t now,
                  char token[SESSION_TOKEN])
{
    unsigned char random[32];
    randombytes_buf(random, sizeof random);
    sodium_bin2hex(token, SESSION_TOKEN, random, sizeof random);
    struct session *slot = &sessions->slots[0];
    for (size_t i = 0; i < SESSIONS_MOST; i++)
        if (sessions->slots[i].used < slot->used) slot = &sessions->slots[i];
    *slot = (struct session){.used = now};
    digest_of(token, slot->digest);
    digest_of(person->password, slot->password);
    format_into(slot->name, sizeof slot->name, "%s", person->name);
}

bool session_sign_in(struct sessions *sessions, const struct person *people, size_t count, const char *name,
                     const char *password, const char *address, int64_t now, char token[SESSION_TOKEN],
                     unsigned *wait_s)
{
    const struct person *person = NULL;
    for (size_t i = 0; i < count; i++)
        if (!strcmp(people[i].name, name)) person = &people[i];
    *wait_s = take_try(sessions, name, address, now);
    if (*wait_s || !password_right(sessions, person, password)) return false;
    pthread_mutex_lock(&sessions->mutex);
    forget_tries(sessions, name, address, now);
    begin(sessions, person, now, token);
    pthread_mutex_unlock(&sessions->mutex);
    return true;
}

const struct person *session_find(struct sessions *sessions, const struct person *people, size_t count,
                                  const char *token, int64_t now)
{
    const struct person *person = NULL;
    unsigned char password[32];
    pthread_mutex_lock(&sessions->mutex);
    struct session *s = find(sessions, token, now);
    for (size_t i = 0; s && i < count; i++)
        if (!strcmp(people[i].name, s->name)) person = &people[i];
    if (person) digest_of(person->password, password);
    if (person && sodium_memcmp(password, s->password, sizeof password)) person = NULL;
    if (person)
        s->used = now;
    else if (s)
        *s = (struct session){0};
    pthread_mutex_unlock(&sessions->mutex);
    return person;
}

void session_sign_out(struct sessions *sessions, const char *token)
{
    pthread_mutex_lock(&sessions->mutex);
    struct session *s = find(sessions, token, 0);
    if (s) *s = (struct session){0};
    pthread_mutex_unlock(&sessions->mutex);
}
