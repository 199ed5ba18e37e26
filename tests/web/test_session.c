/* Passwords and sessions: libsodium's own reading of its hash is the judge of the hash. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "session.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct sessions *new_sessions(void)
{
    struct sessions *s = malloc(sizeof *s);
    assert_non_null(s);
    assert_true(sessions_start(s));
    return s;
}

static void end_sessions(struct sessions *s)
{
    sessions_end(s);
    free(s);
}

static const char right[] = "seven panels on the left";

static void signs_in_and_out(void **state)
{
    (void)state;
    struct sessions *s = new_sessions();
    char hash[PASSWORD_HASH], token[SESSION_TOKEN], other[SESSION_TOKEN];
    unsigned wait;
    assert_true(password_hash(right, hash));
    assert_true(!strncmp(hash, "$argon2id$", 10));
    const struct person person = {"bench one", ROLE_SHOP, hash};
    assert_false(session_sign_in(s, &person, 1,
                                 &(struct sign_in){"bench one", "seven panels on the right", "a", NULL, 1000},
                                 token, &wait));
    assert_int_equal(wait, 0);
    assert_false(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench two", right, "a", NULL, 1000}, token, &wait));
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 1000}, token, &wait));
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 1000}, other, &wait));
    assert_string_not_equal(token, other);
    assert_ptr_equal(session_find(s, &person, 1, token, 2000), &person);
    assert_null(session_find(s, &person, 1, "0123456789abcdef", 2000));
    assert_null(session_find(s, &person, 1, "", 2000));
    session_sign_out(s, token);
    assert_null(session_find(s, &person, 1, token, 2001));
    assert_ptr_equal(session_find(s, &person, 1, other, 2001), &person);
    assert_null(session_find(s, &person, 1, other, 2001 + SESSION_LASTS_S));
    end_sessions(s);
}

static void a_session_ends_with_its_person_and_password(void **state)
{
    (void)state;
    struct sessions *s = new_sessions();
    char hash[PASSWORD_HASH], newer[PASSWORD_HASH], token[SESSION_TOKEN], other[SESSION_TOKEN];
    unsigned wait;
    assert_true(password_hash(right, hash));
    assert_true(password_hash(right, newer));
    const struct person person = {"bench one", ROLE_VIEWER, hash}, again = {"bench one", ROLE_VIEWER, newer};
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 1000}, token, &wait));
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 1000}, other, &wait));
    assert_null(session_find(s, NULL, 0, token, 1001));
    assert_null(session_find(s, &person, 1, token, 1002)); /* entered again later, it does not come back */
    assert_ptr_equal(session_find(s, &person, 1, other, 1002), &person);
    assert_null(session_find(s, &again, 1, other, 1003));
    end_sessions(s);
}

/* Junk, however much of it, makes nobody forget what was tried in a name: NAMES others are tried in between.
 */
static void junk_does_not_flush_what_was_tried(void **state)
{
    enum { NAMES = 5000 };
    (void)state;
    struct patience *patience = malloc(sizeof *patience);
    char name[24];
    assert_non_null(patience);
    patience_start(patience);
    for (int i = 0; i < TRIES_FREE; i++) patience_count(patience, '=', "bench one", 1000);
    for (int i = 0; i < NAMES; i++) {
        snprintf(name, sizeof name, "guest %d", i);
        patience_count(patience, '=', name, 1000);
    }
    assert_true(patience_wait(patience, '=', "bench one", 1000) >= TRIES_WAIT_S);
    assert_int_equal(patience_wait(patience, '=', "bench one", 1000 + TRIES_FORGOTTEN_S), 0);
    free(patience);
}

/* A few hundred who mistype do not make one who did not wait: the share of names made to wait stays small. */
static void others_seldom_wait_for_it(void **state)
{
    enum { GUESSED = 100, ASKED = 1000 };
    (void)state;
    struct patience *patience = malloc(sizeof *patience);
    char name[24];
    int waiting = 0;
    assert_non_null(patience);
    patience_start(patience);
    for (int i = 0; i < GUESSED * TRIES_FREE; i++) {
        snprintf(name, sizeof name, "guest %d", i / TRIES_FREE);
        patience_count(patience, '=', name, 1000);
    }
    for (int i = 0; i < ASKED; i++) {
        snprintf(name, sizeof name, "person %d", i);
        waiting += patience_wait(patience, '=', name, 1000) > 0;
    }
    assert_true(waiting < ASKED / 100);
    free(patience);
}

/* Whoever signed in on this device before is not kept out by what others try; their own tries are counted. */
static void a_known_device_is_not_locked_out(void **state)
{
    (void)state;
    struct sessions *s = new_sessions();
    char hash[PASSWORD_HASH], token[SESSION_TOKEN], again[SESSION_TOKEN];
    unsigned wait;
    assert_true(password_hash(right, hash));
    const struct person person = {"bench one", ROLE_SHOP, hash};
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 1000}, token, &wait));
    session_sign_out(s, token);
    for (int i = 0; i < TRIES_FREE; i++)
        assert_false(session_sign_in(s, &person, 1, &(struct sign_in){"bench one", "guess", "a", NULL, 2000},
                                     again, &wait));
    assert_false(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 2000}, again, &wait));
    assert_int_equal(wait, TRIES_WAIT_S);
    assert_false(session_sign_in(
        s, &person, 1, &(struct sign_in){"bench one", right, "a", "no token of ours", 2000}, again, &wait));
    for (int i = 0; i < TRIES_FREE - 1; i++) {
        assert_false(session_sign_in(s, &person, 1, &(struct sign_in){"bench one", "guess", "a", token, 2000},
                                     again, &wait));
        assert_int_equal(wait, 0);
    }
    assert_true(session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", token, 2000}, again,
                                &wait));
    assert_ptr_equal(session_find(s, &person, 1, again, 2001), &person);
    assert_null(session_find(s, &person, 1, token, 2001));
    for (int i = 0; i < TRIES_FREE; i++)
        assert_false(session_sign_in(s, &person, 1, &(struct sign_in){"bench one", "guess", "a", again, 3000},
                                     token, &wait));
    assert_false(session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", again, 3000},
                                 token, &wait));
    assert_int_equal(wait, TRIES_WAIT_S);
    end_sessions(s);
}

static void sessions_outlive_the_server(void **state)
{
    (void)state;
    struct machine machine = machine_real("none");
    struct arena *arena = arena_new(&machine);
    struct sessions *s = new_sessions(), *later = new_sessions();
    char hash[PASSWORD_HASH], token[SESSION_TOKEN], out[SESSION_TOKEN];
    unsigned wait;
    assert_true(password_hash(right, hash));
    const struct person person = {"bench \xC3\xA4 one", ROLE_SHOP, hash};
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){person.name, right, "a", NULL, 1000}, token, &wait));
    assert_true(
        session_sign_in(s, &person, 1, &(struct sign_in){person.name, right, "a", NULL, 1000}, out, &wait));
    session_sign_out(s, out);
    struct text text = text_new(arena);
    sessions_write(s, &text);
    assert_null(strstr(text_string(&text), token));
    sessions_read(later, (struct str){text_string(&text), text.length});
    assert_ptr_equal(session_find(later, &person, 1, token, 2000), &person);
    assert_null(session_find(later, &person, 1, out, 2000));
    for (size_t i = 0; i < text.length; i++) { /* cut off anywhere, or another file: nobody comes in by it */
        sessions_read(later, (struct str){text_string(&text), i});
        assert_null(session_find(later, &person, 1, out, 2000));
    }
    arena_free(arena);
    end_sessions(s), end_sessions(later);
}

static void guessing_waits(void **state)
{
    (void)state;
    struct sessions *s = new_sessions();
    char hash[PASSWORD_HASH], token[SESSION_TOKEN];
    unsigned wait;
    assert_true(password_hash(right, hash));
    const struct person person = {"bench one", ROLE_SHOP, hash};
    for (int i = 0; i < TRIES_FREE; i++) {
        assert_false(session_sign_in(s, &person, 1, &(struct sign_in){"bench one", "guess", "a", NULL, 1000},
                                     token, &wait));
        assert_int_equal(wait, 0);
    }
    /* the right password from there is not even tried; from elsewhere the name waits too */
    assert_false(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "a", NULL, 1000}, token, &wait));
    assert_int_equal(wait, TRIES_WAIT_S);
    assert_false(
        session_sign_in(s, &person, 1, &(struct sign_in){"bench one", right, "b", NULL, 1010}, token, &wait));
    assert_int_equal(wait, TRIES_WAIT_S - 10);
    assert_false(
        session_sign_in(s, &person, 1, &(struct sign_in){"nobody", "guess", "a", NULL, 1010}, token, &wait));
    assert_true(wait > 0);
    assert_false(session_sign_in(s, &person, 1,
                                 &(struct sign_in){"bench one", "guess", "c", NULL, 1000 + TRIES_WAIT_S},
                                 token, &wait));
    assert_int_equal(wait, 0);
    assert_false(session_sign_in(
        s, &person, 1, &(struct sign_in){"bench one", right, "d", NULL, 1001 + TRIES_WAIT_S}, token, &wait));
    assert_int_equal(wait, 2 * TRIES_WAIT_S - 1);
    assert_true(session_sign_in(s, &person, 1,
                                &(struct sign_in){"bench one", right, "d", NULL, 1000 + 4 * TRIES_WAIT_S},
                                token, &wait));
    end_sessions(s);
}

static void passwords_have_a_length(void **state)
{
    (void)state;
    char many[PASSWORD_MOST + 2];
    memset(many, 'x', sizeof many);
    many[sizeof many - 1] = 0;
    assert_non_null(password_trouble(""));
    assert_non_null(password_trouble("nine char"));
    assert_non_null(
        password_trouble("\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4\xC3\xA4")); /* 10 bytes, 5 characters */
    assert_non_null(password_trouble("not text \xff\xff"));
    assert_non_null(password_trouble(many));
    assert_null(password_trouble("ten chars."));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(signs_in_and_out),
        cmocka_unit_test(a_session_ends_with_its_person_and_password),
        cmocka_unit_test(junk_does_not_flush_what_was_tried),
        cmocka_unit_test(others_seldom_wait_for_it),
        cmocka_unit_test(a_known_device_is_not_locked_out),
        cmocka_unit_test(sessions_outlive_the_server),
        cmocka_unit_test(guessing_waits),
        cmocka_unit_test(passwords_have_a_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
