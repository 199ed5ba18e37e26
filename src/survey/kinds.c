/* What a shape in a drawing is, and what its data- attributes say of it. */
#include "base/arena.h"
#include "base/units.h"
#include "drawing.h"
#include <math.h>
#include <string.h>

static char small(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Capitals do not matter: people write layer names as they please. */
static bool same_word(struct str word, const char *name)
{
    size_t length = str_from(name).length;
    if (word.length != length) return false;
    for (size_t i = 0; i < length; i++)
        if (small(word.bytes[i]) != name[i]) return false;
    return true;
}

static int kind_named(struct str word)
{
    if (same_word(word, "outline")) return KIND_OUTLINE;
    for (int kind = 0; kind < FEATURE_COUNT; kind++)
        if (same_word(word, feature_kind_names[kind])) return kind;
    return KIND_NONE;
}

static bool kinds_is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

static int kind_in_words(struct str words)
{
    for (size_t i = 0; i < words.length;) {
        size_t end = i;
        while (end < words.length && !kinds_is_blank(words.bytes[end])) end++;
        int kind = kind_named(str_slice(words, i, end));
        if (kind != KIND_NONE) return kind;
        i = end + 1;
    }
    return KIND_NONE;
}

/* An id counts up to its first digit, or to a '-' followed by digits: handle2, keep-clear-3. */
static int kind_in_id(struct str id)
{
    size_t end = 0;
    while (end < id.length && !(id.bytes[end] >= '0' && id.bytes[end] <= '9')) end++;
    if (end < id.length && end > 0 && id.bytes[end - 1] == '-') end--;
    return kind_named(str_slice(id, 0, end));
}

/* A layer's label is in the namespace of whatever program drew it: the local name decides. */
static struct str label_of(const xmlNode *node)
{
    for (const xmlAttr *a = node->properties; a; a = a->next)
        if (str_equal(str_from((const char *)a->name), "label") && a->children && !a->children->next &&
            a->children->type == XML_TEXT_NODE)
            return str_trim(str_from((const char *)a->children->content));
    return (struct str){"", 0};
}

int kind_of(const struct scope *scope)
{
    for (const struct scope *s = scope; s; s = s->outer) {
        int kind = kind_in_words(element_attribute(s->node, "class"));
        if (kind == KIND_NONE) kind = kind_in_id(element_attribute(s->node, "id"));
        if (kind == KIND_NONE && s != scope) kind = kind_named(label_of(s->node));
        if (kind != KIND_NONE) return kind;
    }
    return KIND_NONE;
}

bool scope_is_called(const struct scope *scope, const char *name)
{
    for (const struct scope *s = scope; s; s = s->outer)
        if (str_equal(str_trim(element_attribute(s->node, "id")), name) || str_equal(label_of(s->node), name))
            return true;
    return false;
}

/* The last declaration of a property in a style attribute. */
static struct str style_value(struct str style, const char *property)
{
    struct str value = {"", 0};
    for (size_t i = 0; i < style.length;) {
        size_t end = i, colon;
        while (end < style.length && style.bytes[end] != ';') end++;
        for (colon = i; colon < end && style.bytes[colon] != ':';) colon++;
        if (colon < end && same_word(str_trim(str_slice(style, i, colon)), property))
            value = str_trim(str_slice(style, colon + 1, end));
        i = end + 1;
    }
    return value;
}

/* A style stands over the attribute (SVG 1.1, 6.4). */
bool element_hidden(const xmlNode *node)
{
    struct str display = style_value(element_attribute(node, "style"), "display");
    if (!display.length) display = str_trim(element_attribute(node, "display"));
    size_t end = 0;
    while (end < display.length && display.bytes[end] != '!' && !kinds_is_blank(display.bytes[end])) end++;
    return same_word(str_slice(display, 0, end), "none");
}

/* The first attribute of that name from the inside out; empty when there is none. */
static struct str inherited_attribute(const struct scope *scope, const char *name)
{
    for (const struct scope *s = scope; s; s = s->outer) {
        struct str value = element_attribute(s->node, name);
        if (value.length) return value;
    }
    return (struct str){"", 0};
}

/* ---- data- attributes ---- */

enum form { FORM_LENGTH, FORM_ANGLE, FORM_PROFILE, FORM_RUNS, FORM_LAID, FORM_NAME };

struct datum {
    const char *name;
    enum form form;
    double least, most;
    const char *right; /* what may be written: the sentence's id */
    size_t field;      /* lengths and angles: where in struct feature */
};

#define FIELD(name) offsetof(struct feature, name)
static const struct datum data[] = {
    {"data-depth", FORM_LENGTH, 0, 2000, "datum-to-2-m", FIELD(depth_mm)},
    {"data-wall", FORM_ANGLE, 1, 90, "datum-wall", FIELD(wall_deg)},
    {"data-radius", FORM_LENGTH, 0, 2000, "datum-to-2-m", FIELD(radius_mm)},
    {"data-pitch", FORM_LENGTH, 1, 2000, "datum-pitch", FIELD(pitch_mm)},
    {"data-rise", FORM_LENGTH, 0, 5000, "datum-to-5-m", FIELD(rise_mm)},
    {"data-margin", FORM_LENGTH, 0, 1000, "datum-to-1-m", FIELD(margin_mm)},
    {"data-cut-short", FORM_LENGTH, 1, 100, "datum-cut-short", FIELD(cut_short_mm)},
    {"data-profile", FORM_PROFILE, 0, 0, "datum-profile", 0},
    {"data-runs", FORM_RUNS, 0, 0, "datum-runs", 0},
    {"data-laid", FORM_LAID, 0, 0, "datum-laid", 0},
    {"data-name", FORM_NAME, 0, 0, "datum-name", 0},
};
enum { DATA_COUNT = sizeof data / sizeof *data };

static bool read_quantity(const struct datum *datum, struct str written, struct feature *feature)
{
    double value;
    bool read =
        datum->form == FORM_ANGLE ? units_angle_deg(written, &value) : units_length_mm(written, &value);
    if (!read || !(value >= datum->least && value <= datum->most)) return false;
    *(double *)((char *)feature + datum->field) = value;
    return true;
}

static bool kinds_read_profile(struct str written, struct feature *feature)
{
    static const char *const names[] = {"sinusoid", "trapezoid", "arcs"};
    static const enum corrugation_profile profiles[] = {PROFILE_SINUSOID, PROFILE_TRAPEZOID, PROFILE_ARCS};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (!str_equal(written, names[i])) continue;
        feature->profile = profiles[i];
        return true;
    }
    return false;
}

static bool read_datum(const struct datum *datum, struct str written, struct arena *arena,
                       struct feature *feature)
{
    switch (datum->form) {
    case FORM_LENGTH:
    case FORM_ANGLE:
        return read_quantity(datum, written, feature);
    case FORM_PROFILE:
        return kinds_read_profile(written, feature);
    case FORM_RUNS:
        feature->ribs_upright = str_equal(written, "upright");
        return feature->ribs_upright || str_equal(written, "lying");
    case FORM_LAID:
        feature->laid = str_equal(written, "followed") ? LAID_FOLLOWED : LAID_BRIDGED;
        return feature->laid == LAID_FOLLOWED || str_equal(written, "bridged");
    case FORM_NAME:
        feature->name = arena_copy(arena, written.bytes, written.length < 200 ? written.length : 200);
        return str_is_utf8(str_from(feature->name));
    }
    return false;
}

/* A data- attribute on the shape itself that nobody reads is likely mistyped. */
static void remark_unknown(const struct scope *scope, struct place place, struct report *report)
{
    const char *names[DATA_COUNT + 1] = {NULL};
    for (size_t i = 0; i < DATA_COUNT; i++) names[i] = data[i].name;
    for (const xmlAttr *a = scope->node->properties; a; a = a->next) {
        const char *name = (const char *)a->name;
        if (a->ns || !str_starts(str_from(name), "data-")) continue;
        size_t i = 0;
        while (i < DATA_COUNT && !string_equal(names[i], name)) i++;
        if (i < DATA_COUNT) continue;
        const char *nearest = str_nearest(name, names);
        report_remark(report, place, "attribute-is-not-known-and-was",
                      ARGUMENTS(arg_words("name", name), arg_words("nearest", nearest ? nearest : ""),
                                arg_flag("nearest_2", nearest)));
    }
}

/* The lengths that a kind cannot do without. */
static void require_data(const struct feature *feature, struct place place, struct report *report)
{
    for (size_t i = 0; i < DATA_COUNT; i++) {
        const char *name = data[i].name + strlen("data-");
        const struct feature_key *key = feature_key_find(feature->kind, name);
        if (!key || !key->needed || data[i].form != FORM_LENGTH) continue;
        if (*(const double *)((const char *)feature + data[i].field) > 0) continue;
        report_add(report, place, "this-has-no-add-data-such",
                   ARGUMENTS(arg_words("feature_kind", feature_kind_name(feature->kind)),
                             arg_words("name", name), arg_words("right", key->words),
                             arg_words("example", key->example)));
    }
}

void read_feature_data(const struct scope *scope, struct place place, struct arena *arena,
                       struct report *report, struct feature *feature)
{
    feature->ribs_upright = true;
    size_t before = report->errors;
    for (size_t i = 0; i < DATA_COUNT; i++) {
        struct str written = str_trim(inherited_attribute(scope, data[i].name));
        if (!written.length || read_datum(&data[i], written, arena, feature)) continue;
        report_add(report, place, "cannot-be-used-write",
                   ARGUMENTS(arg_words("data", data[i].name), arg_words("written", quoted(arena, written)),
                             arg_words("right", sentence_plain(data[i].right))));
    }
    remark_unknown(scope, place, report);
    if (report->errors == before) require_data(feature, place, report);
}
