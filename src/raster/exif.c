/* The few entries of EXIF that matter here: which way up, how large, sRGB or not. Layout: EXIF 2.3, which is
 * that of TIFF 6.0. */
#include "decoder.h"
#include <string.h>

enum { ENTRIES_MOST = 512, TYPE_SHORT = 3, TYPE_LONG = 4, TYPE_RATIONAL = 5 };

struct tags {
    struct str bytes;
    bool big; /* byte order */
};

static uint32_t get(const struct tags *tags, size_t at, size_t length)
{
    if (at > tags->bytes.length || length > tags->bytes.length - at) return 0;
    uint32_t value = 0;
    for (size_t i = 0; i < length; i++) {
        size_t place = tags->big ? i : length - 1 - i;
        value = value << 8 | (uint8_t)tags->bytes.bytes[at + place];
    }
    return value;
}

static double rational(const struct tags *tags, size_t entry)
{
    size_t at = get(tags, entry + 8, 4);
    uint32_t below = get(tags, at + 4, 4);
    return below ? (double)get(tags, at, 4) / below : 0;
}

static uint32_t exif_whole(const struct tags *tags, size_t entry)
{
    return get(tags, entry + 8, get(tags, entry + 2, 2) == TYPE_SHORT ? 2 : 4);
}

static void exif_read_entry(const struct tags *tags, size_t entry, struct exif *exif, uint32_t *unit,
                            uint32_t *inner)
{
    uint32_t value = exif_whole(tags, entry);
    switch (get(tags, entry, 2)) {
    case 0x0112:
        if (value >= 1 && value <= 8) exif->orientation = (int)value;
        break;
    case 0x011A:
        if (get(tags, entry + 2, 2) == TYPE_RATIONAL) exif->x_ppi = rational(tags, entry);
        break;
    case 0x011B:
        if (get(tags, entry + 2, 2) == TYPE_RATIONAL) exif->y_ppi = rational(tags, entry);
        break;
    case 0x0128:
        *unit = value;
        break;
    case 0x8769:
        *inner = value;
        break;
    case 0xA001:
        exif->srgb = value == 1;
        break;
    default:
        break;
    }
}

static void read_folder(const struct tags *tags, size_t at, struct exif *exif, uint32_t *unit,
                        uint32_t *inner)
{
    uint32_t count = get(tags, at, 2);
    for (uint32_t i = 0; i < count && i < ENTRIES_MOST; i++)
        exif_read_entry(tags, at + 2 + (size_t)i * 12, exif, unit, inner);
}

struct exif exif_read(struct str tiff)
{
    struct exif exif = {0};
    bool big = tiff.length >= 8 && !memcmp(tiff.bytes, "MM", 2);
    if (tiff.length < 8 || (!big && memcmp(tiff.bytes, "II", 2))) return exif;
    struct tags tags = {tiff, big};
    uint32_t unit = 2, inner = 0, none = 0;
    read_folder(&tags, get(&tags, 4, 4), &exif, &unit, &inner);
    if (inner) read_folder(&tags, inner, &exif, &unit, &none);
    double per_inch = unit == 3 ? 2.54 : unit == 2 ? 1 : 0;
    exif.x_ppi *= per_inch;
    exif.y_ppi *= per_inch;
    return exif;
}
