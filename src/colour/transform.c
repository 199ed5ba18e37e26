/* Makes and runs colour transforms with Little CMS, exact or through a table, and offers them as a strip
 * sink. Called by art, run and the comparison of measurements. */
#include "colour/transform.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/pool.h"
#include "base/text.h"
#include "colour/profile.h"
#include "flat.h"
#include "table.h"
#include <lcms2.h>
#include <string.h>

struct colour_transform {
    struct machine *machine;
    enum pixel_format in, out;
    bool identity;
    cmsContext context;
    cmsHTRANSFORM exact;        /* from in to out */
    cmsHTRANSFORM exact_wide;   /* the same with 16 bit samples at both ends */
    struct colour_table *table; /* fast: what runs */
    uint64_t mark;              /* of the order */
    char words[200];            /* of the library, at its latest error */
};

/* ---- the library's handles ---- */

static void keep_words(cmsContext context, cmsUInt32Number code, const char *words)
{
    (void)code;
    struct colour_transform *transform = cmsGetContextUserData(context);
    format_into(transform->words, sizeof transform->words, "%s", words);
}

static cmsUInt32Number library_format(enum pixel_format format, bool wide)
{
    switch (format) {
    case PIXELS_GREY8:
    case PIXELS_GREY16:
        return wide ? TYPE_GRAY_16 : TYPE_GRAY_8;
    case PIXELS_RGB8:
    case PIXELS_RGB16:
        return wide ? TYPE_RGB_16 : TYPE_RGB_8;
    case PIXELS_CMYK8:
    case PIXELS_CMYK16:
        return wide ? TYPE_CMYK_16 : TYPE_CMYK_8;
    default:
        return wide ? TYPE_Lab_16 : TYPE_Lab_8;
    }
}

static bool transform_is_wide(enum pixel_format format)
{
    return pixel_bytes(format) != pixel_samples(format);
}

static enum colour_kind transform_kind_of(enum pixel_format format)
{
    switch (format) {
    case PIXELS_GREY8:
    case PIXELS_GREY16:
        return COLOUR_GREY;
    case PIXELS_RGB8:
    case PIXELS_RGB16:
        return COLOUR_RGB;
    case PIXELS_CMYK8:
    case PIXELS_CMYK16:
        return COLOUR_CMYK;
    default:
        return COLOUR_LAB;
    }
}

/* Grey with the tone curve of sRGB (IEC 61966-2-1). */
static cmsHPROFILE grey_profile(cmsContext context)
{
    static const cmsFloat64Number curve[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
    cmsToneCurve *tone = cmsBuildParametricToneCurve(context, 4, curve);
    cmsHPROFILE profile = tone ? cmsCreateGrayProfileTHR(context, cmsD50_xyY(), tone) : NULL;
    if (tone) cmsFreeToneCurve(tone);
    return profile;
}

/* Looked over by our own code first. Whose it is, for the sentence: "artwork" or "printing condition". */
static cmsHPROFILE transform_open_profile(struct colour_transform *transform, struct str bytes,
                                          enum pixel_format format, const char *whose, struct error *error)
{
    enum colour_kind kind = transform_kind_of(format);
    if (kind == COLOUR_LAB) return cmsCreateLab4ProfileTHR(transform->context, NULL);
    if (!bytes.length && kind == COLOUR_RGB) return cmsCreate_sRGBProfileTHR(transform->context);
    if (!bytes.length && kind == COLOUR_GREY) return grey_profile(transform->context);
    if (!bytes.length) {
        error_set(error, FAILURE_INPUT, "profile-of-is-missing-cmyk-numbers",
                  ARGUMENTS(arg_words("whose", whose)));
        return NULL;
    }
    struct arena *arena = arena_new(transform->machine);
    struct profile_facts facts;
    profile_facts_from_bytes(bytes, arena, &facts);
    const char *trouble = profile_source_trouble(&facts, kind, arena);
    cmsHPROFILE profile =
        trouble ? NULL
                : cmsOpenProfileFromMemTHR(transform->context, bytes.bytes, (cmsUInt32Number)bytes.length);
    if (!profile)
        error_set(
            error, FAILURE_INPUT, "profile-of-cannot-be-used",
            ARGUMENTS(arg_words("whose", whose), arg_words("trouble", trouble ? trouble : transform->words)));
    arena_free(arena);
    return profile;
}

/* The profiles' intents are numbered as ICC.1 and the library do. */
static cmsHTRANSFORM link_profiles(struct colour_transform *transform, cmsHPROFILE source,
                                   cmsHPROFILE destination, const struct colour_order *order, bool wide)
{
    cmsUInt32Number flags =
        cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE; /* no cache: several threads use it at once */
    if (order->black_point && order->intent != INTENT_ABSOLUTE) flags |= cmsFLAGS_BLACKPOINTCOMPENSATION;
    return cmsCreateTransformTHR(transform->context, source,
                                 library_format(order->in, wide || transform_is_wide(order->in)), destination,
                                 library_format(order->out, wide || transform_is_wide(order->out)),
                                 (cmsUInt32Number)order->intent, flags);
}

static bool make_exact(struct colour_transform *transform, const struct colour_order *order,
                       struct error *error)
{
    cmsHPROFILE source = transform_open_profile(transform, order->source, order->in, "artwork", error);
    cmsHPROFILE destination = source ? transform_open_profile(transform, order->destination, order->out,
                                                              "printing condition", error)
                                     : NULL;
    if (source && destination) {
        transform->exact = link_profiles(transform, source, destination, order, false);
        transform->exact_wide = link_profiles(transform, source, destination, order, true);
        if (!transform->exact || !transform->exact_wide)
            error_set(error, FAILURE_INPUT, "profile-of-artwork-or-that-of",
                      ARGUMENTS(arg_words("transform", transform->words[0]
                                                           ? transform->words
                                                           : sentence_plain("table-for-it-is-missing-or"))));
    }
    if (source) cmsCloseProfile(source);
    if (destination) cmsCloseProfile(destination);
    return transform->exact && transform->exact_wide;
}

/* ---- making one ---- */

static void run_wide(const void *self, const uint16_t *in, uint16_t *out, size_t count)
{
    const struct colour_transform *transform = self;
    cmsDoTransform(transform->exact_wide, in, out, (cmsUInt32Number)count);
}

static bool transform_same_numbers(const struct colour_order *order)
{
    bool depth = pixel_bytes(order->in) >= pixel_bytes(order->out);
    if (!depth || transform_kind_of(order->in) != transform_kind_of(order->out)) return false;
    if (transform_kind_of(order->in) == COLOUR_LAB) return true;
    return transform_kind_of(order->in) == COLOUR_CMYK && order->source.length &&
           order->source.length == order->destination.length &&
           !memcmp(order->source.bytes, order->destination.bytes, order->source.length);
}

/* Towards inks profiles bend sharply, where black comes in and where a gamut ends: a plain table of any
 * bearable size is off by more than a level too often. */
static enum table_fineness fineness_of(const struct colour_order *order)
{
    if (order->speed == COLOUR_COARSE) return TABLE_COARSE;
    return transform_kind_of(order->out) == COLOUR_CMYK ? TABLE_STEEP : TABLE_FINE;
}

static bool table_is_worth_it(const struct colour_order *order)
{
    if (order->speed == COLOUR_EXACT || transform_is_wide(order->out)) return false;
    return !order->pixels || order->pixels > table_cost(order->in, fineness_of(order));
}

/* A fingerprint of all that the answers depend on. */
static uint64_t transform_mark_of(const struct colour_order *order)
{
    int numbers[] = {(int)order->in,     (int)order->out,   (int)order->intent,
                     order->black_point, (int)order->speed, table_is_worth_it(order)};
    uint64_t mark = hash_bytes(HASH_START, numbers, sizeof numbers);
    mark = hash_bytes(mark, order->source.bytes, order->source.length);
    return hash_bytes(mark, order->destination.bytes, order->destination.length);
}

bool colour_transform_is_for(const struct colour_transform *transform, const struct colour_order *order)
{
    return transform->mark == transform_mark_of(order);
}

struct colour_transform *colour_transform_new(struct machine *machine, const struct colour_order *order,
                                              struct error *error)
{
    struct colour_transform *transform = machine->allocate(machine, sizeof *transform);
    if (!transform) machine->no_memory(machine);
    transform->machine = machine;
    transform->in = order->in;
    transform->out = order->out;
    transform->mark = transform_mark_of(order);
    transform->identity = transform_same_numbers(order);
    if (transform->identity) return transform;
    transform->context = cmsCreateContext(NULL, transform);
    if (!transform->context) machine->no_memory(machine);
    cmsSetLogErrorHandlerTHR(transform->context, keep_words);
    if (!make_exact(transform, order, error)) {
        colour_transform_free(transform);
        return NULL;
    }
    if (table_is_worth_it(order))
        transform->table = table_new(machine, order->in, order->out, fineness_of(order),
                                     (struct exact){run_wide, transform}, order->pool);
    return transform;
}

/* Whether the library makes a transform of the two; what it says of it is nobody's business. */
static bool links(cmsContext context, cmsHPROFILE in, cmsUInt32Number in_format, cmsHPROFILE out,
                  cmsUInt32Number out_format, enum intent intent)
{
    cmsHTRANSFORM transform =
        cmsCreateTransformTHR(context, in, in_format, out, out_format, (cmsUInt32Number)intent,
                              cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE);
    if (transform) cmsDeleteTransform(transform);
    return transform;
}

const char *colour_profile_trouble(struct str profile, enum intent intent)
{
    cmsContext context = cmsCreateContext(NULL, NULL);
    cmsHPROFILE inks = cmsOpenProfileFromMemTHR(context, profile.bytes, (cmsUInt32Number)profile.length);
    cmsHPROFILE lab = cmsCreateLab4ProfileTHR(context, NULL);
    const char *trouble = NULL;
    if (!inks || !links(context, inks, TYPE_CMYK_16, lab, TYPE_Lab_16, INTENT_RELATIVE))
        trouble = sentence_plain("its-tables-of-what-inks-look-like");
    else if (!links(context, lab, TYPE_Lab_16, inks, TYPE_CMYK_16, intent))
        trouble = sentence_plain("its-tables-towards-inks-b2a-are");
    if (inks) cmsCloseProfile(inks);
    if (lab) cmsCloseProfile(lab);
    cmsDeleteContext(context);
    return trouble;
}

void colour_transform_free(struct colour_transform *transform)
{
    if (!transform) return;
    table_free(transform->machine, transform->table);
    if (transform->exact) cmsDeleteTransform(transform->exact);
    if (transform->exact_wide) cmsDeleteTransform(transform->exact_wide);
    if (transform->context) cmsDeleteContext(transform->context);
    transform->machine->release(transform->machine, transform);
}

/* ---- pixels ---- */

static void pass(const struct colour_transform *transform, const void *in, void *out, size_t count)
{
    if (pixel_bytes(transform->in) == pixel_bytes(transform->out)) {
        memcpy(out, in, count * pixel_bytes(transform->in));
        return;
    }
    const uint16_t *wide = in;
    uint8_t *narrow = out;
    for (size_t i = 0; i < count * pixel_samples(transform->in); i++)
        narrow[i] = (uint8_t)((wide[i] + 128u) / 257);
}

void colour_transform_rows(const struct colour_transform *transform, const void *in, void *out, size_t count)
{
    if (transform->identity)
        pass(transform, in, out, count);
    else if (transform->table)
        table_run(transform->table, in, out, count);
    else
        cmsDoTransform(transform->exact, in, out, (cmsUInt32Number)count);
}

/* ---- the sink ---- */

struct converter {
    struct arena *arena;
    const struct colour_transform *transform;
    struct pool *pool;
    struct strip_sink next;
    uint8_t *rows; /* STRIP_ROWS of them */
};

/* Rows of one strip, shared out among threads in groups; each row depends on itself alone. */
enum { GROUP_ROWS = 2 };
struct transform_share {
    const struct converter *converter;
    const struct strip *in;
    const struct strip *out;
    int from; /* first row of the strip */
};

/* Flat runs are exact and need no table. */
static void convert_row(const struct colour_transform *transform, struct flat *flat, const uint8_t *in,
                        uint8_t *out, size_t count)
{
    while (count) {
        struct flat_run streak = {count, 0};
        if (transform->table) streak = flat_find(in, count, flat->in_bytes);
        colour_transform_rows(transform, in, out, streak.first);
        in += streak.first * flat->in_bytes, out += streak.first * flat->out_bytes;
        if (streak.length) flat_fill(flat, in, out, streak.length);
        in += streak.length * flat->in_bytes, out += streak.length * flat->out_bytes;
        count -= streak.first + streak.length;
    }
}

static void convert_group(void *context, size_t group)
{
    const struct transform_share *share = context;
    const struct colour_transform *transform = share->converter->transform;
    struct flat flat = {.exact = transform->exact,
                        .in_bytes = pixel_bytes(transform->in),
                        .out_bytes = pixel_bytes(transform->out)};
    int first = (int)group * GROUP_ROWS, end = first + GROUP_ROWS;
    for (int i = first; i < end && i < share->out->rows; i++) {
        const uint8_t *in = share->in->pixels + (size_t)(share->from + i) * share->in->stride;
        uint8_t *row = share->converter->rows + (size_t)i * share->out->stride;
        convert_row(transform, &flat, in, row, (size_t)share->in->width);
    }
}

static bool transform_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct converter *converter = self;
    if (shape->format != converter->transform->in)
        return error_set(error, FAILURE_INPUT, "picture-in-other-colours-came-than", NULL);
    struct strip_shape out = *shape;
    out.format = converter->transform->out;
    converter->rows =
        arena_take_array(converter->arena, (size_t)shape->width * STRIP_ROWS, pixel_bytes(out.format));
    return converter->next.begin(converter->next.self, &out, error);
}

static bool convert(struct converter *converter, const struct strip *strip, int from, int count,
                    struct error *error)
{
    struct strip out = *strip;
    out.y += from;
    out.rows = count;
    out.format = converter->transform->out;
    out.stride = (size_t)strip->width * pixel_bytes(out.format);
    out.pixels = converter->rows;
    struct transform_share share = {converter, strip, &out, from};
    size_t groups = ((size_t)count + GROUP_ROWS - 1) / GROUP_ROWS;
    pool_run(converter->pool, groups, convert_group, &share);
    return converter->next.strip(converter->next.self, &out, error);
}

static bool transform_strip(void *self, const struct strip *strip, struct error *error)
{
    for (int y = 0; y < strip->rows; y += STRIP_ROWS) {
        int count = strip->rows - y < STRIP_ROWS ? strip->rows - y : STRIP_ROWS;
        if (!convert(self, strip, y, count, error)) return false;
    }
    return true;
}

static bool transform_end(void *self, struct error *error)
{
    struct converter *converter = self;
    return converter->next.end(converter->next.self, error);
}

struct strip_sink colour_transform_sink(struct arena *arena, const struct colour_transform *transform,
                                        struct pool *pool, struct strip_sink next)
{
    struct converter *converter = arena_take(arena, sizeof *converter);
    *converter = (struct converter){.arena = arena, .transform = transform, .pool = pool, .next = next};
    return (struct strip_sink){converter, transform_begin, transform_strip, transform_end};
}
