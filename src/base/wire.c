/* Packs facts into bytes for the reader's answer, and unpacks them with every length checked. Used by pdf
 * and raster on both sides. */
#include "base/wire.h"
#include "base/arena.h"
#include <math.h>
#include <string.h>

enum { NO_STRING = 0xFFFFFFFF };

void wire_put_u32(struct text *out, uint32_t value)
{
    text_add_bytes(out, &value, sizeof value);
}

void wire_put_i64(struct text *out, int64_t value)
{
    text_add_bytes(out, &value, sizeof value);
}

void wire_put_f64(struct text *out, double value)
{
    text_add_bytes(out, &value, sizeof value);
}

void wire_put_bytes(struct text *out, const void *bytes, size_t length)
{
    wire_put_u32(out, (uint32_t)length);
    text_add_bytes(out, bytes, length);
}

void wire_put_string(struct text *out, const char *string)
{
    if (string)
        wire_put_bytes(out, string, strlen(string));
    else
        wire_put_u32(out, NO_STRING);
}

static bool wire_take(struct wire_in *in, void *to, size_t length)
{
    if (in->bad || in->bytes.length - in->at < length) {
        in->bad = true;
        memset(to, 0, length);
        return false;
    }
    memcpy(to, in->bytes.bytes + in->at, length);
    in->at += length;
    return true;
}

uint32_t wire_get_u32(struct wire_in *in)
{
    uint32_t value;
    wire_take(in, &value, sizeof value);
    return value;
}

int64_t wire_get_i64(struct wire_in *in)
{
    int64_t value;
    wire_take(in, &value, sizeof value);
    return value;
}

double wire_get_f64(struct wire_in *in)
{
    double value;
    wire_take(in, &value, sizeof value);
    if (isfinite(value)) return value;
    in->bad = true;
    return 0;
}

struct str wire_get_bytes(struct wire_in *in)
{
    size_t length = wire_get_u32(in);
    if (in->bad || in->bytes.length - in->at < length) {
        in->bad = true;
        return (struct str){"", 0};
    }
    struct str bytes = {in->bytes.bytes + in->at, length};
    in->at += length;
    return bytes;
}

const char *wire_get_string(struct wire_in *in, struct arena *arena)
{
    size_t start = in->at;
    if (wire_get_u32(in) == NO_STRING) return NULL;
    in->at = start;
    struct str bytes = wire_get_bytes(in);
    if (!str_is_utf8(bytes)) in->bad = true;
    return in->bad ? "" : arena_copy(arena, bytes.bytes, bytes.length);
}

size_t wire_get_count(struct wire_in *in, size_t least)
{
    size_t count = wire_get_u32(in);
    if (least && count > (in->bytes.length - in->at) / least) in->bad = true;
    return in->bad ? 0 : count;
}
