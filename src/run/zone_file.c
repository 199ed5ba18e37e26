/* Reads a time zone's clock changes from a TZif file (RFC 8536). Called when a job or the floor opens;
 * model/zone.c turns moments into local time. */
#include "run/zone_file.h"
#include "base/arena.h"
#include <string.h>

enum { ZONE_BYTES_MOST = 1 << 20, HEADER = 44 };

struct zone_file_reading {
    struct str bytes;
    size_t at;
    bool bad;
};

static uint64_t zone_file_take(struct zone_file_reading *r, size_t size)
{
    if (r->bad || r->bytes.length - r->at < size) {
        r->bad = true;
        return 0;
    }
    uint64_t value = 0;
    for (size_t i = 0; i < size; i++) value = value << 8 | (unsigned char)r->bytes.bytes[r->at++];
    return value;
}

static void zone_file_skip(struct zone_file_reading *r, uint64_t size)
{
    if (r->bad || r->bytes.length - r->at < size)
        r->bad = true;
    else
        r->at += (size_t)size;
}

/* The counts of a TZif header (RFC 8536, section 3.1). */
struct counts {
    uint64_t utc, standard, leap, times, types, letters;
    char version;
};

static struct counts zone_file_header(struct zone_file_reading *r)
{
    struct counts c = {0};
    if (r->bytes.length - r->at < HEADER || memcmp(r->bytes.bytes + r->at, "TZif", 4)) {
        r->bad = true;
        return c;
    }
    c.version = r->bytes.bytes[r->at + 4];
    r->at += 20;
    c.utc = zone_file_take(r, 4), c.standard = zone_file_take(r, 4), c.leap = zone_file_take(r, 4);
    c.times = zone_file_take(r, 4), c.types = zone_file_take(r, 4), c.letters = zone_file_take(r, 4);
    return c;
}

static void skip_body(struct zone_file_reading *r, const struct counts *c, uint64_t size)
{
    zone_file_skip(r, c->times * size + c->times + c->types * 6 + c->letters + c->leap * (size + 4) +
                          c->standard + c->utc);
}

static bool read_changes(struct zone_file_reading *r, const struct counts *c, struct arena *arena,
                         struct zone *zone)
{
    if (r->bad || !c->types || c->times > 10000 || c->types > 256) return false;
    zone->count = (size_t)c->times;
    zone->changes = arena_take_array(arena, zone->count, sizeof *zone->changes);
    for (size_t i = 0; i < zone->count; i++) zone->changes[i].at = (int64_t)zone_file_take(r, 8);
    const unsigned char *types = (const unsigned char *)r->bytes.bytes + r->at;
    zone_file_skip(r, c->times);
    int32_t offsets[256] = {0};
    for (size_t i = 0; i < c->types; i++) {
        offsets[i] = (int32_t)(uint32_t)zone_file_take(r, 4);
        zone_file_skip(r, 2);
    }
    if (r->bad) return false;
    for (size_t i = 0; i < zone->count; i++) zone->changes[i].offset_s = offsets[types[i]];
    zone->first_offset_s = offsets[0];
    return true;
}

static bool name_is_sane(const char *name)
{
    if (name[0] == '/' || strstr(name, "..") || strlen(name) > 60) return false;
    return !name[strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789/_+-")];
}

bool zone_load(struct machine *machine, const char *name, const char *file, struct arena *arena,
               struct zone **zone, struct error *error)
{
    if (name && !name_is_sane(name))
        return error_set(error, FAILURE_INPUT, "zone-is-not-name-of-zone",
                         ARGUMENTS(arg_words("name", name)));
    const char *path = name ? arena_format(arena, "/usr/share/zoneinfo/%s", name) : "/etc/localtime";
    *zone = arena_take(arena, sizeof **zone);
    **zone = (struct zone){.name = name ? name : "local time"};
    struct zone_file_reading r = {{0}, 0, false};
    struct error trouble;
    if (!machine_read(machine, path, ZONE_BYTES_MOST, arena, &r.bytes, &trouble)) {
        if (!name) return true; /* a machine without a zone runs on UTC */
        return error_set(error, FAILURE_INPUT, "zone-is-not-known-on-this",
                         ARGUMENTS(arg_words("file", file), arg_words("name", name)));
    }
    struct counts counts = zone_file_header(&r);
    skip_body(&r, &counts, 4);
    counts = zone_file_header(&r);
    if (r.bad || counts.version < '2' || !read_changes(&r, &counts, arena, *zone))
        return error_set(error, FAILURE_MACHINE, "is-not-zone-table-of-version",
                         ARGUMENTS(arg_words("path", path)));
    return true;
}
