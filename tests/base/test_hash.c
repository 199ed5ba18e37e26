/* MD5 against the test suite of RFC 1321, appendix A.5; SHA-256 against the examples of FIPS 180-4
 * (csrc.nist.gov, "SHA256.pdf") and its vector of a million times "a". */
#include "../test.h"
#include "base/hash.h"
#include "base/text.h"
#include <string.h>

static void md5_suite(void **state)
{
    (void)state;
    const char *const cases[][2] = {
        {"", "d41d8cd98f00b204e9800998ecf8427e"},
        {"a", "0cc175b9c0f1b6a831c399e269772661"},
        {"abc", "900150983cd24fb0d6963f7d28e17f72"},
        {"message digest", "f96b697d7cb7938d525a2f31aaf161d0"},
        {"abcdefghijklmnopqrstuvwxyz", "c3fcd3d76192e4007dfb496cca67e13b"},
        {"12345678901234567890123456789012345678901234567890123456789012345678901234567890",
         "57edf4a22be3c955ac49da2e2107b67a"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct md5 md5;
        unsigned char digest[16];
        char hex[40];
        md5_start(&md5);
        for (const char *at = cases[i][0]; *at; at++) md5_add(&md5, at, 1);
        md5_finish(&md5, digest);
        for (int k = 0; k < 16; k++) format_into(hex + 2 * k, 3, "%02x", digest[k]);
        assert_string_equal(hex, cases[i][1]);
    }
}

static void sha256_examples(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
        {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
        {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
    };
    struct sha256 sha;
    char hex[65];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sha256_start(&sha);
        for (const char *at = cases[i][0]; *at; at++) sha256_add(&sha, at, 1);
        sha256_finish(&sha, hex);
        assert_string_equal(hex, cases[i][1]);
    }
    static char many[1000];
    memset(many, 'a', sizeof many);
    sha256_start(&sha);
    for (int i = 0; i < 1000; i++) sha256_add(&sha, many, sizeof many);
    sha256_finish(&sha, hex);
    assert_string_equal(hex, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

/* What the lay-back check needs: one changed bit, one moved byte or another length is another fingerprint. */
static void hash_sees_changes(void **state)
{
    (void)state;
    unsigned char bytes[100] = {0};
    uint64_t plain = hash_bytes(HASH_START, bytes, 100);
    for (size_t i = 0; i < 100; i++)
        for (int bit = 0; bit < 8; bit++) {
            bytes[i] ^= (unsigned char)(1 << bit);
            assert_true(hash_bytes(HASH_START, bytes, 100) != plain);
            bytes[i] ^= (unsigned char)(1 << bit);
        }
    for (size_t n = 0; n < 100; n++) assert_true(hash_bytes(HASH_START, bytes, n) != plain);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(md5_suite), cmocka_unit_test(sha256_examples),
                                       cmocka_unit_test(hash_sees_changes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
