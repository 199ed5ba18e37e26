/* Who sent a request: passwords, sessions, signing in and out, sessions kept over a restart. Called by the
 * signing views and server.c; waiting after wrong tries is patience.c. */
#include "session.h"
#include "base/sentence.h"
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
    if (sodium_init() < 0) return false;
    patience_start(&sessions->patience);
    return true;
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
    if (!str_is_utf8(str_from(password))) return sentence_plain("password-must-be-text");
    if (characters < PASSWORD_LEAST) return sentence_plain("password-is-too-short-at-least");
    if (strlen(password) > PASSWORD_MOST) return sentence_plain("password-is-too-long-at-most");
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

/* ---- sessions ---- */

static void digest_of(const char *text, unsigned char digest[32])
{
    crypto_generichash(digest, 32, (const unsigned char *)text, strlen(text), NULL, 0);
}

/* The slot of a token, its session over or not. */
static struct session *web_session_find(struct sessions *sessions, const char *token)
{
    unsigned char digest[32];
    digest_of(token, digest);
    for (size_t i = 0; i < SESSIONS_MOST; i++) {
        struct session *s = &sessions->slots[i];
        if (s->used && !sodium_memcmp(s->digest, digest, sizeof digest)) return s;
    }
    return NULL;
}

static bool longer_unused(const struct session *one, const struct session *other)
{
    if (!other) return true;
    if (one->over != other->over) return one->over;
    return one->used < other->used;
}

/* A free slot; one of the person's own when they have many; else that of all which was not used for longest.
 */
static struct session *session_slot_for(struct sessions *sessions, const char *name)
{
    struct session *unused = NULL, *own = NULL, *any = NULL;
    size_t count = 0;
    for (size_t i = 0; i < SESSIONS_MOST; i++) {
        struct session *s = &sessions->slots[i];
        if (!s->used) {
            unused = s;
            continue;
        }
        if (longer_unused(s, any)) any = s;
        if (strcmp(s->name, name) != 0) continue;
        count++;
        if (longer_unused(s, own)) own = s;
    }
    return count >= SESSIONS_OF_ONE ? own : unused ? unused : any;
}

/* In the place of the one that the device had before. */
static void session_begin(struct sessions *sessions, const struct person *person, struct session *before,
                          int64_t now, char token[SESSION_TOKEN])
{
    unsigned char random[32];
    randombytes_buf(random, sizeof random);
    sodium_bin2hex(token, SESSION_TOKEN, random, sizeof random);
    struct session *slot = before ? before : session_slot_for(sessions, person->name);
    *slot = (struct session){.used = now};
    digest_of(token, slot->digest);
    digest_of(person->password, slot->password);
    format_into(slot->name, sizeof slot->name, "%s", person->name);
    sessions->changes++;
}

/* ---- signing in ---- */

/* The slot that shows that the device signed in as that person before. */
static struct session *known_device(struct sessions *sessions, const char *name, const char *held,
                                    int64_t now)
{
    struct session *s = held ? web_session_find(sessions, held) : NULL;
    return s && !strcmp(s->name, name) && now - s->used < SESSION_KNOWN_S ? s : NULL;
}

/* Counted before the password is tried, so that many tries at once do not slip through. */
static unsigned take_try(struct sessions *sessions, const char *name, const char *address, const char *held,
                         int64_t now)
{
    struct patience *patience = &sessions->patience;
    pthread_mutex_lock(&sessions->mutex);
    struct session *device = known_device(sessions, name, held, now);
    unsigned wait = device ? tries_wait(&device->tries, now) : patience_wait(patience, '@', address, now);
    unsigned named = device ? 0 : patience_wait(patience, '=', name, now);
    if (named > wait) wait = named;
    if (!wait && sessions->hashes >= HASHES_WAITING) wait = 2;
    if (!wait) {
        sessions->hashes++;
        if (device)
            tries_count(&device->tries, now);
        else
            patience_count(patience, '@', address, now), patience_count(patience, '=', name, now);
    }
    pthread_mutex_unlock(&sessions->mutex);
    return wait;
}

bool session_sign_in(struct sessions *sessions, const struct person *people, size_t count,
                     const struct sign_in *sign_in, char token[SESSION_TOKEN], unsigned *wait_s)
{
    const char *name = sign_in->name, *address = sign_in->address, *held = sign_in->held;
    const struct person *person = NULL;
    for (size_t i = 0; i < count; i++)
        if (!strcmp(people[i].name, name)) person = &people[i];
    *wait_s = take_try(sessions, name, address, held, sign_in->now);
    if (*wait_s) return false;
    bool right = password_right(sessions, person, sign_in->password);
    pthread_mutex_lock(&sessions->mutex);
    sessions->hashes--;
    if (right) {
        struct session *before = known_device(sessions, name, held, sign_in->now);
        if (!before) patience_forget(&sessions->patience, '@', address);
        if (!before) patience_forget(&sessions->patience, '=', name);
        session_begin(sessions, person, before, sign_in->now, token);
    }
    pthread_mutex_unlock(&sessions->mutex);
    return right;
}

/* ---- whose it is ---- */

static bool password_is_another(const struct session *session, const struct person *person)
{
    unsigned char password[32];
    digest_of(person->password, password);
    return sodium_memcmp(password, session->password, sizeof password);
}

static void use(struct sessions *sessions, struct session *session, int64_t now)
{
    enum { NOTED_S = 3600 }; /* a use is kept on the disk when the last that was is so old */
    if (now / NOTED_S != session->used / NOTED_S) sessions->changes++;
    session->used = now;
}

const struct person *session_find(struct sessions *sessions, const struct person *people, size_t count,
                                  const char *token, int64_t now)
{
    const struct person *person = NULL;
    pthread_mutex_lock(&sessions->mutex);
    struct session *s = web_session_find(sessions, token);
    for (size_t i = 0; s && i < count; i++)
        if (!strcmp(people[i].name, s->name)) person = &people[i];
    if (s && !person) *s = (struct session){0}, sessions->changes++;
    if (person && !s->over && (now - s->used >= SESSION_LASTS_S || password_is_another(s, person)))
        s->over = true, sessions->changes++;
    if (person && s->over) person = NULL;
    if (person) use(sessions, s, now);
    pthread_mutex_unlock(&sessions->mutex);
    return person;
}

void session_sign_out(struct sessions *sessions, const char *token)
{
    pthread_mutex_lock(&sessions->mutex);
    struct session *s = web_session_find(sessions, token);
    if (s) s->over = true, sessions->changes++;
    pthread_mutex_unlock(&sessions->mutex);
}

/* ---- from one run of the server to the next ---- */

static const char first_line[] = "lapstrake-sessions/1";

/* "DIGEST DIGEST USED in|over NAME", digests in 64 hex digits. */
static void session_write_one(const struct session *session, struct text *out)
{
    char digest[65], password[65];
    sodium_bin2hex(digest, sizeof digest, session->digest, 32);
    sodium_bin2hex(password, sizeof password, session->password, 32);
    text_addf(out, "%s %s %lld %s %s\n", digest, password, (long long)session->used,
              session->over ? "over" : "in", session->name);
}

uint64_t sessions_changes(struct sessions *sessions)
{
    pthread_mutex_lock(&sessions->mutex);
    uint64_t changes = sessions->changes;
    pthread_mutex_unlock(&sessions->mutex);
    return changes;
}

void sessions_write(struct sessions *sessions, struct text *out)
{
    text_addf(out, "%s\n", first_line);
    pthread_mutex_lock(&sessions->mutex);
    for (size_t i = 0; i < SESSIONS_MOST; i++)
        if (sessions->slots[i].used) session_write_one(&sessions->slots[i], out);
    pthread_mutex_unlock(&sessions->mutex);
}

/* What stands before the next blank; the rest of the line is what is left. */
static struct str session_next_word(struct str *line)
{
    size_t length = 0;
    while (length < line->length && line->bytes[length] != ' ') length++;
    struct str word = str_slice(*line, 0, length);
    *line = str_slice(*line, length < line->length ? length + 1 : length, line->length);
    return word;
}

static bool read_digest(struct str word, unsigned char digest[32])
{
    size_t length = 0;
    return word.length == 64 && !sodium_hex2bin(digest, 32, word.bytes, 64, NULL, &length, NULL) &&
           length == 32;
}

static bool session_read_one(struct str line, struct session *session)
{
    double used;
    bool ok = read_digest(session_next_word(&line), session->digest) &&
              read_digest(session_next_word(&line), session->password);
    struct str number = session_next_word(&line), state = session_next_word(&line);
    ok = ok && str_number(number, &used) == number.length && used >= 1 && used < 1e12 && line.length &&
         line.length <= FACT_NAME_MOST && str_is_utf8(line);
    if (!ok) return false;
    session->used = (int64_t)used;
    session->over = !str_equal(state, "in");
    memcpy(session->name, line.bytes, line.length);
    return true;
}

void sessions_read(struct sessions *sessions, struct str text)
{
    size_t count = 0;
    bool known = false;
    for (size_t at = 0, end; at < text.length && count < SESSIONS_MOST; at = end + 1) {
        for (end = at; end < text.length && text.bytes[end] != '\n';) end++;
        struct str line = str_slice(text, at, end);
        struct session session = {0};
        if (!at) known = str_equal(line, first_line);
        if (!known) return;
        if (at && session_read_one(line, &session)) sessions->slots[count++] = session;
    }
}
