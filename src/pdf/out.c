/* Writes a PDF file: objects, streams, strings, numbers, the cross-reference table. Called by the writer of
 * panels and what it embeds; after a failed write it stays silent to the end. */
#include "out.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/machine.h"
#include <stdarg.h>
#include <string.h>
#include <zlib.h>

/* The lightest level: profiles are a few percent longer than at the usual one, and written in a quarter of
 * the time. */
enum { WAIT_BYTES = 1 << 18, DEFLATE_LEVEL = 6 };

struct out out_new(struct arena *arena, int fd, const char *path, struct error *error)
{
    struct out out = {.arena = arena, .fd = fd, .path = path, .error = error, .hash = HASH_START};
    out.waiting = text_new(arena);
    out_add(&out, "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"); /* 7.5.2: bytes that say this is not text */
    return out;
}

static void out_flush(struct out *out)
{
    const char *bytes = text_string(&out->waiting);
    size_t length = out->waiting.length;
    out->hash = hash_bytes(out->hash, bytes, length);
    if (!out->failed) out->failed = !machine_write_fd(out->fd, bytes, length, out->path, out->error);
    out->written += length;
    out->waiting.length = 0;
}

void out_bytes(struct out *out, const void *bytes, size_t length)
{
    text_add_bytes(&out->waiting, bytes, length);
    if (out->waiting.length >= WAIT_BYTES) out_flush(out);
}

void out_add(struct out *out, const char *string)
{
    out_bytes(out, string, strlen(string));
}

void out_addf(struct out *out, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_addv(&out->waiting, format, arguments);
    va_end(arguments);
}

static uint64_t out_here(const struct out *out)
{
    return out->written + out->waiting.length;
}

int out_reserve(struct out *out)
{
    *(uint64_t *)arena_append(out->arena, &out->places, &out->count, &out->capacity, sizeof *out->places) = 0;
    return (int)out->count;
}

void out_begin(struct out *out, int number)
{
    out->places[number - 1] = out_here(out);
    out_addf(out, "%d 0 obj\n", number);
}

void out_end(struct out *out)
{
    out_add(out, "\nendobj\n");
}

void out_stream(struct out *out)
{
    out->stream_length = out_reserve(out);
    out_addf(out, " /Length %d 0 R >>\nstream\n", out->stream_length);
    out->stream_from = out_here(out);
}

void out_end_stream(struct out *out)
{
    uint64_t length = out_here(out) - out->stream_from;
    out_add(out, "\nendstream\nendobj\n");
    out_begin(out, out->stream_length);
    out_addf(out, "%llu", (unsigned long long)length);
    out_end(out);
}

void out_deflated(struct out *out, const void *bytes, size_t length)
{
    uLong bound = compressBound((uLong)length);
    if (bound > out->packed_room) {
        out->packed = arena_take(out->arena, bound);
        out->packed_room = bound;
    }
    compress2(out->packed, &bound, bytes, (uLong)length, DEFLATE_LEVEL); /* cannot fail: there is room */
    out_add(out, " /Filter /FlateDecode");
    out_stream(out);
    out_bytes(out, out->packed, bound);
    out_end_stream(out);
}

void out_numbers(struct out *out, const double *values, size_t count, int decimals)
{
    for (size_t i = 0; i < count; i++) {
        if (i) out_add(out, " ");
        text_add_number(&out->waiting, values[i], decimals);
    }
}

void out_string(struct out *out, const char *bytes, size_t length)
{
    out_add(out, "<");
    for (size_t i = 0; i < length; i++) out_addf(out, "%02x", (unsigned)(unsigned char)bytes[i]);
    out_add(out, ">");
}

void out_name(struct out *out, const char *name)
{
    out_add(out, "/");
    for (const char *c = name; *c; c++) {
        bool plain = *c > 32 && *c < 127 && !strchr("#()<>[]{}/%", *c);
        if (plain)
            out_bytes(out, c, 1);
        else
            out_addf(out, "#%02x", (unsigned)(unsigned char)*c);
    }
}

/* One character of well-formed UTF-8. */
static unsigned out_decode(const unsigned char **at)
{
    unsigned first = *(*at)++;
    unsigned more = first < 0xc0 ? 0 : first < 0xe0 ? 1 : first < 0xf0 ? 2 : 3;
    unsigned rune = more ? first & (0x3fu >> more) : first;
    for (; more && **at; more--) rune = rune << 6 | (*(*at)++ & 0x3f);
    return rune;
}

void out_text_string(struct out *out, const char *utf8)
{
    size_t length = strlen(utf8);
    bool plain = true;
    for (size_t i = 0; i < length; i++) plain = plain && (unsigned char)utf8[i] < 0x7f && utf8[i] >= 32;
    if (plain) {
        out_string(out, utf8, length);
        return;
    }
    out_add(out, "<feff");
    for (const unsigned char *at = (const unsigned char *)utf8; *at;) {
        unsigned rune = out_decode(&at);
        if (rune >= 0x10000) out_addf(out, "%04x", 0xd7c0 + (rune >> 10)), rune = 0xdc00 + (rune & 0x3ff);
        out_addf(out, "%04x", rune);
    }
    out_add(out, ">");
}

static void add_identifier(struct out *out, const char *seed)
{
    struct md5 md5;
    unsigned char digest[16];
    md5_start(&md5);
    md5_add(&md5, seed, strlen(seed));
    md5_add(&md5, &out->hash, sizeof out->hash);
    md5_finish(&md5, digest);
    out_add(out, "[");
    for (int i = 0; i < 2; i++) out_string(out, (const char *)digest, sizeof digest);
    out_add(out, "]");
}

bool out_finish(struct out *out, int root, int info, const char *seed)
{
    out_flush(out);
    uint64_t table = out_here(out);
    out_addf(out, "xref\n0 %zu\n0000000000 65535 f \n", out->count + 1);
    for (size_t i = 0; i < out->count; i++)
        out_addf(out, "%010llu 00000 %c \n", (unsigned long long)out->places[i], out->places[i] ? 'n' : 'f');
    out_addf(out, "trailer\n<< /Size %zu /Root %d 0 R /Info %d 0 R /ID ", out->count + 1, root, info);
    add_identifier(out, seed ? seed : "");
    out_addf(out, " >>\nstartxref\n%llu\n%%%%EOF\n", (unsigned long long)table);
    out_flush(out);
    if (!out->failed && out_here(out) > UINT64_C(9999999999)) /* ten digits in the table */
        out->failed = !error_set(out->error, FAILURE_INPUT, "would-have-more-than-10-gb",
                                 ARGUMENTS(arg_words("path", out->path)));
    return !out->failed;
}
