/* What the bytes of an ICC profile say of it, every offset checked before the colour library sees it. Called
 * by profile.c, art and transform.c. */
#include "colour/profile.h"
#include "base/sentence.h"
#include "base/hash.h"
#include "base/text.h"
#include "profile_generic.h"
#include <string.h>

enum { HEADER = 128, TAGS_MOST = 1000, WORDS_MOST = 200 };

/* ---- bytes ---- */

static uint32_t profile_number(struct str bytes, size_t at, size_t length)
{
    if (at > bytes.length || length > bytes.length - at) return 0;
    uint32_t value = 0;
    for (size_t i = 0; i < length; i++) value = value << 8 | (uint8_t)bytes.bytes[at + i];
    return value;
}

static bool is_signature(struct str bytes, size_t at, const char *signature)
{
    return at + 4 <= bytes.length && !memcmp(bytes.bytes + at, signature, 4);
}

/* The tag's bytes, length 0 when there is none. The table was checked before. */
static struct str find_tag(struct str bytes, const char *signature)
{
    uint32_t count = profile_number(bytes, HEADER, 4);
    for (uint32_t i = 0; i < count; i++) {
        size_t entry = HEADER + 4 + (size_t)i * 12;
        size_t offset = profile_number(bytes, entry + 4, 4);
        if (is_signature(bytes, entry, signature))
            return str_slice(bytes, offset, offset + profile_number(bytes, entry + 8, 4));
    }
    return (struct str){"", 0};
}

/* ---- text in tags ---- */

static void add_character(struct text *out, uint32_t c)
{
    if (c < ' ' || (c >= 0x7F && c < 0xA0)) c = ' ';
    if (c < 0x80) {
        text_add_char(out, (char)c);
    } else if (c < 0x800) {
        text_add_char(out, (char)(0xC0 | c >> 6));
        text_add_char(out, (char)(0x80 | (c & 0x3F)));
    } else if (c < 0x10000) {
        text_add_char(out, (char)(0xE0 | c >> 12));
        text_add_char(out, (char)(0x80 | (c >> 6 & 0x3F)));
        text_add_char(out, (char)(0x80 | (c & 0x3F)));
    } else {
        text_add_char(out, (char)(0xF0 | c >> 18));
        text_add_char(out, (char)(0x80 | (c >> 12 & 0x3F)));
        text_add_char(out, (char)(0x80 | (c >> 6 & 0x3F)));
        text_add_char(out, (char)(0x80 | (c & 0x3F)));
    }
}

static void add_utf16(struct text *out, struct str bytes)
{
    for (size_t at = 0; at + 2 <= bytes.length && out->length < WORDS_MOST - 4; at += 2) {
        uint32_t c = profile_number(bytes, at, 2);
        if (c == 0) return;
        bool high = c >= 0xD800 && c < 0xDC00;
        uint32_t low = high ? profile_number(bytes, at + 2, 2) : 0;
        if (high && low >= 0xDC00 && low < 0xE000) {
            c = 0x10000 + ((c - 0xD800) << 10) + (low - 0xDC00);
            at += 2;
        } else if (c >= 0xD800 && c < 0xE000) {
            c = '?';
        }
        add_character(out, c);
    }
}

static void add_latin(struct text *out, struct str bytes)
{
    for (size_t at = 0; at < bytes.length && bytes.bytes[at] && out->length < WORDS_MOST - 4; at++)
        add_character(out, (uint8_t)bytes.bytes[at]);
}

/* multiLocalizedUnicodeType: English when there is some, else the first. */
static void add_localized(struct text *out, struct str tag)
{
    uint32_t count = profile_number(tag, 8, 4);
    size_t chosen = 16;
    for (uint32_t i = 0; i < count && i < 200; i++)
        if (profile_number(tag, 16 + (size_t)i * 12, 2) == ('e' << 8 | 'n')) {
            chosen = 16 + (size_t)i * 12;
            break;
        }
    size_t length = profile_number(tag, chosen + 4, 4), offset = profile_number(tag, chosen + 8, 4);
    if (!count || offset > tag.length || length > tag.length - offset) return;
    add_utf16(out, str_slice(tag, offset, offset + length));
}

/* textDescriptionType, textType or multiLocalizedUnicodeType as UTF-8. */
static const char *colour_profile_words_of(struct str tag, struct arena *arena)
{
    struct text out = text_new(arena);
    if (is_signature(tag, 0, "mluc"))
        add_localized(&out, tag);
    else if (is_signature(tag, 0, "desc") && profile_number(tag, 8, 4) <= tag.length)
        add_latin(&out, str_slice(tag, 12, tag.length < 12 ? 12 : tag.length));
    else if (is_signature(tag, 0, "text") && tag.length > 8)
        add_latin(&out, str_slice(tag, 8, tag.length));
    struct str trimmed = str_trim((struct str){text_string(&out), out.length});
    return arena_copy(arena, trimmed.bytes, trimmed.length);
}

/* ---- is it a whole profile? ---- */

static const char *damage(struct str bytes, struct arena *arena)
{
    if (!bytes.length) return sentence_plain("file-is-empty");
    if (bytes.length < HEADER + 4)
        return sentence_words(arena, "it-has-only-bytes-profile-begins",
                              ARGUMENTS(arg_count("bytes", (int64_t)bytes.length)));
    if (!is_signature(bytes, 36, "acsp")) return sentence_plain("it-is-not-icc-profile");
    uint32_t size = profile_number(bytes, 0, 4), count = profile_number(bytes, HEADER, 4);
    if (size > bytes.length)
        return sentence_words(
            arena, "it-is-cut-short-of-its",
            ARGUMENTS(arg_count("bytes", (int64_t)bytes.length), arg_count("size", (int64_t)size)));
    if (count < 1 || count > TAGS_MOST || HEADER + 4 + (size_t)count * 12 > bytes.length)
        return sentence_words(arena, "its-table-of-contents-is-damaged",
                              ARGUMENTS(arg_count("count", (int64_t)count)));
    for (uint32_t i = 0; i < count; i++) {
        size_t entry = HEADER + 4 + (size_t)i * 12;
        size_t offset = profile_number(bytes, entry + 4, 4), length = profile_number(bytes, entry + 8, 4);
        if (offset < HEADER || offset > size || length > size - offset)
            return sentence_words(arena, "entry-of-its-table-of-contents",
                                  ARGUMENTS(arg_count("number", (int64_t)(i + 1))));
    }
    return NULL;
}

/* ---- what it is ---- */

static enum profile_class profile_class_of(struct str bytes)
{
    static const char *const signatures[] = {"scnr", "mntr", "prtr", "link", "spac", "abst", "nmcl"};
    for (int i = 0; i < PROFILE_OTHER_CLASS; i++)
        if (is_signature(bytes, 12, signatures[i])) return (enum profile_class)i;
    return PROFILE_OTHER_CLASS;
}

static void take_signature(char name[5], struct str bytes, size_t at)
{
    size_t length = 4;
    memcpy(name, bytes.bytes + at, 4);
    for (size_t i = 0; i < 4; i++)
        if (name[i] < ' ' || name[i] > '~') name[i] = '?';
    while (length && name[length - 1] == ' ') length--;
    name[length] = 0;
}

static struct civil_time profile_date_of(struct str bytes)
{
    struct civil_time date = {
        .year = (int)profile_number(bytes, 24, 2),
        .month = (int)profile_number(bytes, 26, 2),
        .day = (int)profile_number(bytes, 28, 2),
        .hour = (int)profile_number(bytes, 30, 2),
        .minute = (int)profile_number(bytes, 32, 2),
        .second = (int)profile_number(bytes, 34, 2),
        .has_offset = true,
    };
    date.given = date.year >= 1980 && date.year < 2200 && date.month >= 1 && date.month <= 12 &&
                 date.day >= 1 && date.day <= 31 && date.hour < 24 && date.minute < 60 && date.second < 61;
    return date;
}

static void hex(const unsigned char bytes[16], char out[33])
{
    for (int i = 0; i < 16; i++) format_into(out + 2 * i, 3, "%02x", bytes[i]);
}

/* ICC.1, profile ID: MD5 with flags (44-47), intent (64-67) and the ID itself (84-99) as zeros. */
static void take_id(struct profile_facts *facts, struct str bytes)
{
    static const unsigned char zero[16];
    unsigned char digest[16];
    struct md5 md5;
    uint32_t size = profile_number(bytes, 0, 4);
    const char *at = bytes.bytes;
    md5_start(&md5);
    md5_add(&md5, at, 44), md5_add(&md5, zero, 4);
    md5_add(&md5, at + 48, 16), md5_add(&md5, zero, 4);
    md5_add(&md5, at + 68, 16), md5_add(&md5, zero, 16);
    md5_add(&md5, at + 100, size - 100);
    md5_finish(&md5, digest);
    hex(digest, facts->computed_id);
    const unsigned char *embedded = (const unsigned char *)at + 84;
    if (!memcmp(embedded, zero, 16)) return;
    hex(embedded, facts->embedded_id);
    facts->id = memcmp(embedded, digest, 16) ? PROFILE_ID_WRONG : PROFILE_ID_RIGHT;
}

/* Index 0 stands in where an intent has no table of its own; absolute is relative's. */
static void take_tables(struct str bytes, const char *const names[3], bool by_intent[4])
{
    bool there[3];
    for (int i = 0; i < 3; i++) there[i] = find_tag(bytes, names[i]).length > 0;
    for (int i = 0; i < 3; i++) by_intent[i] = there[i] || there[0];
    by_intent[INTENT_ABSOLUTE] = by_intent[INTENT_RELATIVE];
}

void profile_facts_from_bytes(struct str bytes, struct arena *arena, struct profile_facts *facts)
{
    static const char *const a2b[3] = {"A2B0", "A2B1", "A2B2"}, *const b2a[3] = {"B2A0", "B2A1", "B2A2"};
    *facts = (struct profile_facts){.size = bytes.length, .description = "", .copyright = ""};
    facts->trouble = damage(bytes, arena);
    if (facts->trouble) {
        facts->state = PROFILE_DAMAGED;
        return;
    }
    facts->class_ = profile_class_of(bytes);
    take_signature(facts->space, bytes, 16);
    take_signature(facts->pcs, bytes, 20);
    facts->version_major = (int)profile_number(bytes, 8, 1);
    facts->version_minor = (int)profile_number(bytes, 9, 1) >> 4;
    facts->created = profile_date_of(bytes);
    facts->description = colour_profile_words_of(find_tag(bytes, "desc"), arena);
    facts->copyright = colour_profile_words_of(find_tag(bytes, "cprt"), arena);
    take_tables(bytes, a2b, facts->a2b_for);
    take_tables(bytes, b2a, facts->b2a_for);
    facts->has_b2a = facts->b2a_for[0] || facts->b2a_for[1] || facts->b2a_for[2];
    take_id(facts, bytes);
    facts->generic_why = profile_generic_why(facts, find_tag(bytes, "targ"), arena);
    facts->generic = facts->generic_why;
}
