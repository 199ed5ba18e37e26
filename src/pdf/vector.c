/* Writes one page of filled shapes. Called by run for text set on a surface; the file's own structure is out.c's. */
#include "pdf/vector.h"
#include "out.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/machine.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>
#include <string.h>

enum { VECTOR_UNITS_MOST = 14400, VECTOR_DECIMALS = 5 };

static double vector_user_unit(const struct pdf_vector *vector)
{
    double side = fmax(rect_width(vector->media), rect_height(vector->media)) * POINTS_PER_MM;
    return side > VECTOR_UNITS_MOST ? ceil(side / VECTOR_UNITS_MOST) : 1;
}

static double vector_scale(const struct pdf_vector *vector)
{
    return POINTS_PER_MM / vector_user_unit(vector);
}

static void vector_numbers(struct text *out, const double *values, size_t count, double scale)
{
    for (size_t i = 0; i < count; i++) {
        text_add_number(out, values[i] * scale, VECTOR_DECIMALS);
        text_add_char(out, ' ');
    }
}

/* A name (ISO 32000-1, 7.3.5): what is no plain letter as # and two digits. */
static void vector_name(struct text *out, const char *name)
{
    for (; *name; name++) {
        unsigned char c = (unsigned char)*name;
        bool plain = c > ' ' && c < 0x7F && !strchr("()<>[]{}/%#", c);
        if (plain)
            text_add_char(out, *name);
        else
            text_addf(out, "#%02x", (unsigned)c);
    }
}

/* ---- what the page draws ---- */

static void vector_colour(struct text *out, const struct pdf_fill *fill, size_t index)
{
    if (fill->spot) {
        text_addf(out, "/S%zu cs 1 scn\n", index);
        return;
    }
    vector_numbers(out, fill->cmyk_percent, 4, 0.01);
    text_add(out, "k\n");
}

static struct text vector_content(const struct pdf_vector *vector, struct arena *arena)
{
    struct text content = text_new(arena);
    double scale = vector_scale(vector);
    struct text across = text_new(arena);
    text_add_number(&across, scale, 9); /* a place 13 m away is still right within 0.001 mm */
    text_addf(&content, "%s 0 0 %s 0 0 cm\n", text_string(&across), text_string(&across));
    for (size_t i = 0; i < vector->fill_count; i++) {
        const struct pdf_fill *fill = &vector->fills[i];
        if (!fill->path.length) continue;
        vector_colour(&content, fill, i);
        text_add_bytes(&content, fill->path.bytes, fill->path.length);
        text_add(&content, "f\n");
    }
    return content;
}

static void vector_space(struct text *out, const struct pdf_fill *fill, size_t index)
{
    text_addf(out, " /S%zu [/Separation /", index);
    vector_name(out, fill->spot);
    text_add(out, " /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [");
    vector_numbers(out, fill->cmyk_percent, 4, 0.01);
    text_add(out, "] >>]");
}

static struct text vector_spaces(const struct pdf_vector *vector, struct arena *arena)
{
    struct text spaces = text_new(arena);
    text_add(&spaces, " /Resources << /ColorSpace <<");
    for (size_t i = 0; i < vector->fill_count; i++)
        if (vector->fills[i].spot) vector_space(&spaces, &vector->fills[i], i);
    text_add(&spaces, " >> >>");
    return spaces;
}

uint64_t pdf_vector_fingerprint(const struct pdf_vector *vector)
{
    uint64_t hash = hash_bytes(HASH_START, &vector->media, sizeof vector->media);
    hash = hash_bytes(hash, &vector->trim, sizeof vector->trim);
    for (size_t i = 0; i < vector->fill_count; i++) {
        const struct pdf_fill *fill = &vector->fills[i];
        hash = hash_bytes(hash, fill->path.bytes, fill->path.length);
        hash = hash_bytes(hash, fill->cmyk_percent, sizeof fill->cmyk_percent);
        if (fill->spot) hash = hash_bytes(hash, fill->spot, strlen(fill->spot));
    }
    return hash;
}

/* ---- the file ---- */

static void vector_box(struct out *out, const char *name, struct rect box, double scale)
{
    out_addf(out, " /%s [", name);
    out_numbers(out, (double[]){box.x0 * scale, box.y0 * scale, box.x1 * scale, box.y1 * scale}, 4,
                VECTOR_DECIMALS);
    out_add(out, "]");
}

static int vector_put_content(struct out *out, const struct pdf_vector *vector)
{
    struct text content = vector_content(vector, out->arena);
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "<<");
    out_deflated(out, text_string(&content), content.length);
    return number;
}

static int vector_put_page(struct out *out, const struct pdf_vector *vector, int parent)
{
    double unit = vector_user_unit(vector), scale = vector_scale(vector);
    struct text spaces = vector_spaces(vector, out->arena);
    int content = vector_put_content(out, vector), number = out_reserve(out);
    out_begin(out, number);
    out_addf(out, "<< /Type /Page /Parent %d 0 R", parent);
    if (unit > 1) out_addf(out, " /UserUnit %d", (int)unit);
    vector_box(out, "MediaBox", vector->media, scale);
    vector_box(out, "BleedBox", vector->media, scale);
    vector_box(out, "TrimBox", vector->trim, scale);
    out_bytes(out, spaces.bytes, spaces.length);
    out_addf(out, " /Contents %d 0 R >>", content);
    out_end(out);
    return number;
}

static bool vector_put(struct out *out, const struct pdf_vector *vector)
{
    int root = out_reserve(out), info = out_reserve(out), pages = out_reserve(out);
    int page = vector_put_page(out, vector, pages);
    out_begin(out, root);
    out_addf(out, "<< /Type /Catalog /Pages %d 0 R >>", pages);
    out_end(out);
    out_begin(out, info);
    out_add(out, "<< /Producer (lapstrake) >>");
    out_end(out);
    out_begin(out, pages);
    out_addf(out, "<< /Type /Pages /Count 1 /Kids [%d 0 R] >>", page);
    out_end(out);
    return out_finish(out, root, info, "text");
}

bool pdf_vector_write(struct machine *machine, const struct pdf_vector *vector, const char *path,
                      struct arena *arena, struct error *error)
{
    struct out_file file;
    if (!machine->create(machine, path, &file, error)) return false;
    struct out out = out_new(arena, file.fd, path, error);
    if (vector_put(&out, vector)) return machine->commit(machine, &file, false, error);
    machine->abandon(machine, &file);
    return false;
}
