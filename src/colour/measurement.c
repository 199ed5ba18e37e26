/* Reads a measurement file: keywords, field names, patches with inks and colours. Called by run for a
 * condition's measurement; comparing is measurement_compare.c. */
#include "colour/measurement.h"
#include "base/arena.h"
#include "base/text.h"
#include "lines.h"
#include <math.h>
#include <string.h>

/* What a field of the data is to us; groups of colours stand in order. */
enum role {
    ROLE_PASSED,
    ROLE_ID,
    ROLE_NAME,
    ROLE_CMYK,
    ROLE_LAB = ROLE_CMYK + 4,
    ROLE_XYZ = ROLE_LAB + 3,
    ROLE_RGB = ROLE_XYZ + 3,
    ROLE_COUNT = ROLE_RGB + 3,
};

struct field_name {
    const char *name;
    int role;
    double least, most; /* of its values; both 0: not read as a number */
};

/* Names after ISO 28178; SampleID is what some programs write. */
static const struct field_name field_names[] = {
    {"SAMPLE_ID", ROLE_ID, 0, 0},         {"SampleID", ROLE_ID, 0, 0},
    {"SAMPLE_NAME", ROLE_NAME, 0, 0},     {"CMYK_C", ROLE_CMYK, 0, 100},
    {"CMYK_M", ROLE_CMYK + 1, 0, 100},    {"CMYK_Y", ROLE_CMYK + 2, 0, 100},
    {"CMYK_K", ROLE_CMYK + 3, 0, 100},    {"LAB_L", ROLE_LAB, -1, 150},
    {"LAB_A", ROLE_LAB + 1, -300, 300},   {"LAB_B", ROLE_LAB + 2, -300, 300},
    {"XYZ_X", ROLE_XYZ, -1e12, 1e12},     {"XYZ_Y", ROLE_XYZ + 1, -1e12, 1e12},
    {"XYZ_Z", ROLE_XYZ + 2, -1e12, 1e12}, {"RGB_R", ROLE_RGB, -1e12, 1e12},
    {"RGB_G", ROLE_RGB + 1, -1e12, 1e12}, {"RGB_B", ROLE_RGB + 2, -1e12, 1e12},
};
enum { FIELD_NAMES = sizeof field_names / sizeof *field_names };

/* Numbers of inks that a device rounded a little past the ends. */
static const double SLACK = 0.5;

struct measurement_reading {
    struct lines lines;
    const char *name;
    struct arena *arena;
    struct error *error;
    struct measurement *found;
    const struct field_name **fields; /* NULL: passed over */
    size_t field_count, field_room;
    long stated_sets;          /* -1: not said */
    size_t room;               /* for patches */
    double values[ROLE_COUNT]; /* of the set under way */
    struct measured_patch patch;
    size_t field; /* its next */
    bool one_a_line;
};

static bool measurement_refuse(const struct measurement_reading *r, const char *id,
                               const struct argument *arguments)
{
    const char *words = sentence_words(r->arena, id, arguments);
    return error_set(
        r->error, FAILURE_INPUT, "row-line-words",
        ARGUMENTS(arg_words("row", r->name), arg_count("line", r->lines.line), arg_words("words", words)));
}

/* The line's next word; *got is false at its end. */
static bool take_word(const struct measurement_reading *r, struct str *line, struct str *word, bool *got)
{
    enum word_kind kind = lines_word(line, word);
    *got = kind != WORD_NONE;
    if (kind != WORD_BROKEN) return true;
    return measurement_refuse(r, "quoted-text-has-no-end-close", NULL);
}

/* ---- the head ---- */

static bool is_keyword(struct str word)
{
    char first = word.length ? (char)(word.bytes[0] | 0x20) : 0;
    if (first < 'a' || first > 'z') return false;
    for (size_t i = 0; i < word.length; i++) {
        char c = word.bytes[i];
        bool letter = (c | 0x20) >= 'a' && (c | 0x20) <= 'z';
        if (!letter && !(c >= '0' && c <= '9') && c != '_' && c != '.' && c != '/' && c != '-') return false;
    }
    return true;
}

static bool measurement_take_count(struct measurement_reading *r, struct str keyword, struct str value,
                                   long most, long *count)
{
    double number = 0;
    bool whole = value.length && str_number(value, &number) == value.length && number == floor(number);
    if (!whole || number < 0 || number > (double)most)
        return measurement_refuse(r, "is-whole-number-up-to-is",
                                  ARGUMENTS(arg_part("bytes", keyword.bytes, keyword.length),
                                            arg_words("line", lines_kept(value, r->arena)),
                                            arg_count("most", most)));
    *count = (long)number;
    return true;
}

/* The first of several that says something. */
static void measurement_keep(struct measurement_reading *r, const char **place, struct str value)
{
    if (!(*place)[0] && !str_equal(value, "Not specified")) *place = lines_kept(value, r->arena);
}

/* Keywords that nobody here needs are passed over, whatever they say. NUMBER_OF_FIELDS is one: files state it
 * wrongly where names and data agree, and these two are held against each other. */
static bool take_keyword(struct measurement_reading *r, struct str keyword, struct str value)
{
    struct measurement *m = r->found;
    if (str_equal(keyword, "NUMBER_OF_SETS"))
        return measurement_take_count(r, keyword, value, MEASUREMENT_PATCHES_MOST, &r->stated_sets);
    if (str_equal(keyword, "FILE_DESCRIPTOR") || str_equal(keyword, "DESCRIPTOR"))
        measurement_keep(r, &m->description, value);
    else if (str_equal(keyword, "CREATED"))
        measurement_keep(r, &m->created, value);
    else if (str_equal(keyword, "PRINT_CONDITIONS"))
        measurement_keep(r, &m->conditions, value);
    else if (str_equal(keyword, "OBSERVER"))
        m->ten_degrees = str_starts(value, "10");
    return true;
}

/* ---- the format ---- */

static const struct field_name *field_of(struct str name)
{
    for (size_t i = 0; i < FIELD_NAMES; i++)
        if (str_equal(name, field_names[i].name)) return &field_names[i];
    return NULL;
}

static bool measurement_add_field(struct measurement_reading *r, struct str name)
{
    const struct field_name *field = field_of(name);
    if (r->field_count == MEASUREMENT_FIELDS_MOST)
        return measurement_refuse(r, "data-format-has-more-than-fields",
                                  ARGUMENTS(arg_count("most", MEASUREMENT_FIELDS_MOST)));
    for (size_t i = 0; field && i < r->field_count; i++)
        if (r->fields[i] && r->fields[i]->role == field->role)
            return measurement_refuse(r, "is-in-data-format-twice-once",
                                      ARGUMENTS(arg_words("field", field->name)));
    *(const struct field_name **)arena_append(r->arena, &r->fields, &r->field_count, &r->field_room,
                                              sizeof *r->fields) = field;
    return true;
}

/* `line` is what stands behind BEGIN_DATA_FORMAT. */
static bool read_format(struct measurement_reading *r, struct str line)
{
    r->field_count = 0;
    do {
        struct str word;
        bool got = true;
        while (got) {
            if (!take_word(r, &line, &word, &got)) return false;
            if (got && str_equal(word, "BEGIN_DATA"))
                return measurement_refuse(r, "end-data-format-is-missing-it", NULL);
            if (got && str_equal(word, "END_DATA_FORMAT"))
                return r->field_count || measurement_refuse(r, "data-format-has-no-fields-name", NULL);
            if (got && !measurement_add_field(r, word)) return false;
        }
    } while (lines_next(&r->lines, &line));
    return measurement_refuse(r, "file-ends-inside-its-data-format", NULL);
}

/* ---- the data ---- */

static bool has(const struct measurement_reading *r, int role, int count)
{
    int there = 0;
    for (size_t i = 0; i < r->field_count; i++)
        there += r->fields[i] && r->fields[i]->role >= role && r->fields[i]->role < role + count;
    return there == count;
}

/* From XYZ for D50, Y of white 100: CIE 15, white of ICC.1. */
static struct lab lab_of(const double xyz[3])
{
    static const double white[3] = {96.42, 100, 82.49};
    double f[3];
    for (int i = 0; i < 3; i++) {
        double t = xyz[i] / white[i];
        f[i] = t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
    }
    return (struct lab){116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])};
}

static bool end_set(struct measurement_reading *r)
{
    struct measurement *m = r->found;
    struct measured_patch *patch = &r->patch;
    for (int i = 0; i < 4; i++) patch->cmyk[i] = fmin(fmax(r->values[ROLE_CMYK + i], 0), 100);
    const double *lab = &r->values[ROLE_LAB], *xyz = &r->values[ROLE_XYZ];
    for (int i = 0; m->from_xyz && i < 3; i++)
        if (!(xyz[i] >= -5 && xyz[i] <= 500))
            return measurement_refuse(
                r, "patch-has-for-y-and-z",
                ARGUMENTS(arg_number("x", xyz[0]), arg_number("y", xyz[1]), arg_number("z", xyz[2])));
    patch->lab = m->from_xyz ? lab_of(xyz) : (struct lab){lab[0], lab[1], lab[2]};
    if (m->count == MEASUREMENT_PATCHES_MOST)
        return measurement_refuse(r, "there-are-more-than-patches-no",
                                  ARGUMENTS(arg_count("most", MEASUREMENT_PATCHES_MOST)));
    *(struct measured_patch *)arena_append(r->arena, &m->patches, &m->count, &r->room, sizeof *patch) =
        *patch;
    r->field = 0;
    return true;
}

static bool measurement_take_number(struct measurement_reading *r, const struct field_name *field,
                                    struct str word)
{
    double *value = &r->values[field->role];
    if (str_number(word, value) != word.length)
        return measurement_refuse(
            r, "is-which-is-not-number-write",
            ARGUMENTS(arg_words("field", field->name), arg_words("line", lines_kept(word, r->arena))));
    if (*value >= field->least - SLACK && *value <= field->most + SLACK) return true;
    return measurement_refuse(r, "is-it-must-be-to",
                              ARGUMENTS(arg_words("field", field->name),
                                        arg_words("line", lines_kept(word, r->arena)),
                                        arg_number("least", field->least), arg_number("most", field->most)));
}

static bool take_value(struct measurement_reading *r, struct str word)
{
    const struct field_name *field = r->fields[r->field];
    if (!r->field) r->patch = (struct measured_patch){.name = "", .line = r->lines.line};
    r->field++;
    if (field && (field->role == ROLE_ID || (field->role == ROLE_NAME && !r->patch.name[0])))
        r->patch.name = lines_kept(word, r->arena);
    else if (field && field->role >= ROLE_CMYK && !measurement_take_number(r, field, word))
        return false;
    return r->field < r->field_count || end_set(r);
}

static bool measurement_count_words(const struct measurement_reading *r, struct str line, size_t *count)
{
    struct str word;
    bool got = true;
    for (*count = 0; got; *count += got)
        if (!take_word(r, &line, &word, &got)) return false;
    return true;
}

/* A set may run over several lines; but where the first has a line of its own all must, so that a value too
 * many or too few is told where it is. */
static bool read_values(struct measurement_reading *r, struct str line)
{
    size_t words;
    if (!measurement_count_words(r, line, &words)) return false;
    if (!words) return true;
    if (!r->found->count && !r->field) r->one_a_line = words == r->field_count;
    if (r->one_a_line && words != r->field_count)
        return measurement_refuse(
            r, "this-line-has-values-and-data",
            ARGUMENTS(arg_count("words", (int64_t)words), arg_count("fields", (int64_t)r->field_count)));
    for (; words; words--) {
        struct str word;
        lines_word(&line, &word);
        if (!take_value(r, word)) return false;
    }
    return true;
}

static bool is_end(struct str line)
{
    struct str word;
    return lines_word(&line, &word) == WORD_PLAIN && str_equal(word, "END_DATA");
}

static bool check_sets(struct measurement_reading *r)
{
    const struct measurement *m = r->found;
    if (r->field)
        return measurement_refuse(
            r, "last-patch-has-of-values-file",
            ARGUMENTS(arg_count("field", (int64_t)r->field), arg_count("fields", (int64_t)r->field_count)));
    if (r->stated_sets < 0 || (size_t)r->stated_sets == m->count) return true;
    return measurement_refuse(
        r, "there-are-patches-and-number-of",
        ARGUMENTS(arg_count("count", (int64_t)m->count), arg_count("stated_sets", r->stated_sets)));
}

/* `line` is what stands behind BEGIN_DATA. */
static bool read_data(struct measurement_reading *r, struct str line)
{
    struct measurement *m = r->found;
    if (!r->field_count) return measurement_refuse(r, "data-without-format-begin-data-format", NULL);
    m->has_cmyk = has(r, ROLE_CMYK, 4), m->has_rgb = has(r, ROLE_RGB, 3);
    m->from_xyz = !has(r, ROLE_LAB, 3) && has(r, ROLE_XYZ, 3);
    m->has_lab = has(r, ROLE_LAB, 3) || m->from_xyz;
    do {
        if (is_end(line)) return check_sets(r);
        if (!read_values(r, line)) return false;
    } while (lines_next(&r->lines, &line));
    return measurement_refuse(r, "file-ends-inside-its-data-end", NULL);
}

/* ---- the file ---- */

/* What else the file holds is counted and not read. */
static void count_tables(struct measurement_reading *r)
{
    struct str line, word;
    r->found->tables = 1;
    while (lines_next(&r->lines, &line))
        if (lines_word(&line, &word) == WORD_PLAIN && str_equal(word, "BEGIN_DATA")) r->found->tables++;
}

static bool measurement_read_line(struct measurement_reading *r, struct str line)
{
    struct str word, value = {"", 0};
    enum word_kind kind = lines_word(&line, &word);
    if (kind == WORD_NONE || kind == WORD_QUOTED) return true; /* some files begin with a remark in quotes */
    if (kind == WORD_BROKEN || !is_keyword(word))
        return measurement_refuse(r, "begins-no-line-of-measurement-file",
                                  ARGUMENTS(arg_words("line", lines_kept(word, r->arena))));
    if (str_equal(word, "CTI2")) return measurement_refuse(r, "cti2-marks-charts-target-values-not", NULL);
    if (str_equal(word, "BEGIN_DATA_FORMAT")) return read_format(r, line);
    if (str_equal(word, "BEGIN_DATA")) return read_data(r, line);
    bool got;
    return take_word(r, &line, &value, &got) && take_keyword(r, word, value);
}

static bool check_bytes(const struct measurement_reading *r, struct str bytes)
{
    if (!bytes.length)
        return error_set(r->error, FAILURE_INPUT, "is-empty-export-measurement-again",
                         ARGUMENTS(arg_words("row", r->name)));
    if (memchr(bytes.bytes, 0, bytes.length))
        return error_set(r->error, FAILURE_INPUT, "is-not-plain-text-save-measurement",
                         ARGUMENTS(arg_words("row", r->name)));
    struct lines lines = {bytes, 0};
    struct str line;
    while (lines_next(&lines, &line))
        if (line.length > MEASUREMENT_LINE_MOST)
            return error_set(r->error, FAILURE_INPUT, "line-has-bytes-up-to-are",
                             ARGUMENTS(arg_words("row", r->name), arg_count("line", lines.line),
                                       arg_count("bytes", (int64_t)line.length),
                                       arg_count("most", MEASUREMENT_LINE_MOST)));
    return true;
}

bool measurement_from_bytes(struct str bytes, const char *name, struct arena *arena,
                            struct measurement *measurement, struct error *error)
{
    *measurement = (struct measurement){.description = "", .created = "", .conditions = ""};
    struct measurement_reading r = {
        .name = name, .arena = arena, .error = error, .found = measurement, .stated_sets = -1};
    struct str line;
    if (str_starts(bytes, "\xEF\xBB\xBF")) bytes = str_slice(bytes, 3, bytes.length);
    r.lines.rest = bytes;
    if (!check_bytes(&r, bytes)) return false;
    while (!measurement->count && lines_next(&r.lines, &line))
        if (!measurement_read_line(&r, line)) return false;
    if (measurement->count) count_tables(&r);
    return measurement->count ||
           error_set(error, FAILURE_INPUT, "has-no-patches-there-is-no", ARGUMENTS(arg_words("name", name)));
}

bool measurement_read(struct machine *machine, const char *path, struct arena *arena,
                      struct measurement *measurement, struct error *error)
{
    struct str bytes;
    return machine_read(machine, path, MEASUREMENT_BYTES_MOST, arena, &bytes, error) &&
           measurement_from_bytes(bytes, path, arena, measurement, error);
}

static bool is_text(struct str bytes)
{
    enum { LOOKED_AT = 1000 };
    for (size_t i = 0; i < bytes.length && i < LOOKED_AT; i++) {
        unsigned char c = (unsigned char)bytes.bytes[i];
        if (c < ' ' && c != '\t' && c != '\n' && c != '\r' && c != '\f') return false;
    }
    return bytes.length;
}

enum measurement_likeness measurement_likeness(struct str bytes)
{
    static const char mark[] = "BEGIN_DATA";
    if (!is_text(bytes)) return LIKENESS_NONE;
    return memmem(bytes.bytes, bytes.length, mark, sizeof mark - 1) ? LIKENESS_MEASUREMENT : LIKENESS_TEXT;
}
