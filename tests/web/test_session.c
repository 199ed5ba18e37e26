/* Passwords and sessions: libsodium's own reading of its hash is the judge of the hash. */
#include "../test.h"
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
    assert_false(
        session_sign_in(s, &person, 1, "bench one", "seven panels on the right", "a", 1000, token, &wait));
    assert_int_equal(wait, 0);
    assert_false(session_sign_in(s, &person, 1, "bench two", right, "a", 1000, token, &wait));
    assert_true(session_sign_in(s, &person, 1, "bench one", right, "a", 1000, token, &wait));
    assert_true(session_sign_in(s, &person, 1, "bench one", right, "a", 1000, other, &wait));
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
    assert_true(session_sign_in(s, &person, 1, "bench one", right, "a", 1000, token, &wait));
    assert_true(session_sign_in(s, &person, 1, "bench one", right, "a", 1000, other, &wait));
    assert_null(session_find(s, NULL, 0, token, 1001));
    assert_null(session_find(s, &person, 1, token, 1002)); /* entered again later, it does not come back */
    assert_ptr_equal(session_find(s, &person, 1, other, 1002), &person);
    assert_null(session_find(s, &again, 1, other, 1003));
    end_sessions(s);
}

/* Others' names fill the list of tries; a new address and a new name are counted all the same, each once. */
static void guessing_is_counted_when_the_list_is_full(void **state)
{
    (void)state;
    struct sessions *s = new_sessions();
    char hash[PASSWORD_HASH], token[SESSION_TOKEN], name[16];
    unsigned wait;
    assert_true(password_hash(right, hash));
    const struct person person = {"bench one", ROLE_SHOP, hash};
    for (int i = 0; i < TRIES_ADDRESSES; i++) {
        snprintf(name, sizeof name, "guest %d", i);
        s->tries[i].last = 900;
        snprintf(s->tries[i].of, sizeof s->tries[i].of, "=%s", name);
    }
    for (int i = 0; i < TRIES_FREE; i++) {
        assert_false(session_sign_in(s, &person, 1, "bench one", "guess", "new", 1000, token, &wait));
        assert_int_equal(wait, 0);
    }
    assert_false(session_sign_in(s, &person, 1, "someone else", "guess", "new", 1000, token, &wait));
    assert_int_equal(wait, TRIES_WAIT_S);
    end_sessions(s);
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
        assert_false(session_sign_in(s, &person, 1, "bench one", "guess", "a", 1000, token, &wait));
        assert_int_equal(wait, 0);
    }
    /* the right password from there is not even tried; from elsewhere the name waits too */
    assert_false(session_sign_in(s, &person, 1, "bench one", right, "a", 1000, token, &wait));
    assert_int_equal(wait, TRIES_WAIT_S);
    assert_false(session_sign_in(s, &person, 1, "bench one", right, "b", 1010, token, &wait));
    assert_int_equal(wait, TRIES_WAIT_S - 10);
    assert_false(session_sign_in(s, &person, 1, "nobody", "guess", "a", 1010, token, &wait));
    assert_true(wait > 0);
    assert_false(
        session_sign_in(s, &person, 1, "bench one", "guess", "c", 1000 + TRIES_WAIT_S, token, &wait));
    assert_int_equal(wait, 0);
    assert_false(session_sign_in(s, &person, 1, "bench one", right, "d", 1001 + TRIES_WAIT_S, token, &wait));
    assert_int_equal(wait, 2 * TRIES_WAIT_S - 1);
    assert_true(
        session_sign_in(s, &person, 1, "bench one", right, "d", 1000 + 4 * TRIES_WAIT_S, token, &wait));
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
        cmocka_unit_test(guessing_is_counted_when_the_list_is_full),
        cmocka_unit_test(guessing_waits),
        cmocka_unit_test(passwords_have_a_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
