/* make-demo-profile OUT.icc DESCRIPTION LIMIT: an ICC output profile (v4.2, CMYK, Lab) of the demo shop's
 * printer on its film, LIMIT in percent. The date is SOURCE_DATE_EPOCH's, else a fixed one, so that the same
 * arguments give the same bytes. Layout: ICC.1:2004-10, lut16Type and its legacy 16 bit Lab. */
#include "base/arena.h"
#include "base/hash.h"
#include "base/machine.h"
#include "base/text.h"
#include "film_model.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { TO_LAB_SIDE = 11, TO_INK_SIDE = 33, GAMUT_SIDE = 15, CURVE = 256, TAGS = 10 };

/* ---- numbers, highest byte first ---- */

static void put(struct text *out, uint32_t value, int bytes)
{
    while (bytes--) text_add_char(out, (char)(value >> bytes * 8 & 0xFF));
}

static void put_fixed(struct text *out, double value)
{
    put(out, (uint32_t)(int32_t)lround(value * 65536), 4);
}

static void put_share(struct text *out, double share)
{
    put(out, (uint32_t)lround(fmin(fmax(share, 0), 1) * 65535), 2);
}

/* Legacy Lab: 65280 is L 100; a and b are offset by 128 and have 256 steps. */
static void put_lab(struct text *out, const double lab[3])
{
    put(out, (uint32_t)lround(fmin(fmax(lab[0], 0), 100) * 652.8), 2);
    for (int i = 1; i < 3; i++) put(out, (uint32_t)lround(fmin(fmax((lab[i] + 128) * 256, 0), 65535)), 2);
}

/* At a place 0..1 of a table that lightness reaches stretched, so that white is its last node. */
static void lab_at(double x, double y, double z, double lab[3])
{
    lab[0] = x * 100;
    lab[1] = y * 65535 / 256 - 128;
    lab[2] = z * 65535 / 256 - 128;
}

/* ---- tags ---- */

static void put_words(struct text *out, const char *words)
{
    text_add_bytes(out, "mluc\0\0\0", 8);
    put(out, 1, 4), put(out, 12, 4);
    text_add(out, "enUS");
    put(out, (uint32_t)strlen(words) * 2, 4), put(out, 28, 4);
    for (; *words; words++) put(out, (uint8_t)*words < 0x80 ? (uint8_t)*words : '?', 2);
}

static void put_xyz(struct text *out, const double xyz[3])
{
    text_add_bytes(out, "XYZ \0\0\0", 8);
    for (int i = 0; i < 3; i++) put_fixed(out, xyz[i]);
}

static void put_line(struct text *out, int channels)
{
    for (int i = 0; i < channels; i++) put(out, 0, 2), put(out, 65535, 2);
}

static void put_curve(struct text *out, double stretch)
{
    for (int i = 0; i < CURVE; i++) put_share(out, (double)i / (CURVE - 1) * stretch);
}

static void put_table_start(struct text *out, int in, int channels, int side)
{
    text_add_bytes(out, "mft2\0\0\0", 8);
    put(out, (uint32_t)in, 1), put(out, (uint32_t)channels, 1), put(out, (uint32_t)side, 1), put(out, 0, 1);
    for (int i = 0; i < 9; i++) put_fixed(out, i % 4 == 0);
    put(out, CURVE, 2), put(out, 2, 2);
    for (int i = 0; i < in; i++) put_curve(out, in == 3 && i == 0 ? 65535.0 / 65280 : 1);
}

static void put_to_lab(struct text *out, const struct film_model *model)
{
    put_table_start(out, 4, 3, TO_LAB_SIDE);
    for (int i = 0; i < TO_LAB_SIDE * TO_LAB_SIDE * TO_LAB_SIDE * TO_LAB_SIDE; i++) {
        double ink[4], lab[3];
        for (int c = 3, rest = i; c >= 0; c--, rest /= TO_LAB_SIDE)
            ink[c] = (double)(rest % TO_LAB_SIDE) / (TO_LAB_SIDE - 1);
        film_model_lab(model, ink, lab);
        put_lab(out, lab);
    }
    put_line(out, 3);
}

/* Each node begins where its neighbour ended, so that the table has no jumps. */
static void put_to_ink(struct text *out, const struct film_model *model, double limit)
{
    const double last = TO_INK_SIDE - 1;
    double column[TO_INK_SIDE][4];
    put_table_start(out, 3, 4, TO_INK_SIDE);
    for (int x = 0; x < TO_INK_SIDE; x++)
        for (int y = 0; y < TO_INK_SIDE; y++)
            for (int z = 0; z < TO_INK_SIDE; z++) {
                double lab[3], ink[4] = {0.3, 0.3, 0.3, 0.1};
                lab_at(x / last, y / last, z / last, lab);
                const double *guess = z ? column[z - 1] : ink;
                memcpy(column[z], guess, sizeof ink);
                film_model_ink(model, lab, limit, column[z]);
                for (int c = 0; c < 4; c++) put_share(out, column[z][c]);
            }
    put_line(out, 4);
}

/* 0: the film can show it (within 3 units), else 65535. */
static void put_gamut(struct text *out, const struct film_model *model, double limit)
{
    const double last = GAMUT_SIDE - 1;
    put_table_start(out, 3, 1, GAMUT_SIDE);
    for (int i = 0; i < GAMUT_SIDE * GAMUT_SIDE * GAMUT_SIDE; i++) {
        double lab[3], got[3], ink[4] = {0.3, 0.3, 0.3, 0.1};
        int plane = i / (GAMUT_SIDE * GAMUT_SIDE), row = i / GAMUT_SIDE % GAMUT_SIDE;
        lab_at(plane / last, row / last, i % GAMUT_SIDE / last, lab);
        film_model_ink(model, lab, limit, ink);
        film_model_lab(model, ink, got);
        double off = sqrt(pow(lab[0] - got[0], 2) + pow(lab[1] - got[1], 2) + pow(lab[2] - got[2], 2));
        put(out, off < 3 ? 0 : 65535, 2);
    }
    put_line(out, 1);
}

/* ---- the file ---- */

struct tag {
    const char *signature;
    size_t offset, length;
};

/* Adds a tag whose bytes begin at `start` of `data` and end where it ends now; keeps to multiples of four. */
static void end_tag(struct tag *tag, const char *signature, struct text *data, size_t start)
{
    *tag = (struct tag){signature, start, data->length - start};
    while (data->length % 4) put(data, 0, 1);
}

static void put_header(struct text *out, size_t size, time_t when)
{
    struct tm date;
    gmtime_r(&when, &date);
    put(out, (uint32_t)size, 4), put(out, 0, 4), put(out, 0x04200000, 4);
    text_add(out, "prtrCMYKLab ");
    put(out, (uint32_t)date.tm_year + 1900, 2), put(out, (uint32_t)date.tm_mon + 1, 2);
    put(out, (uint32_t)date.tm_mday, 2), put(out, (uint32_t)date.tm_hour, 2);
    put(out, (uint32_t)date.tm_min, 2), put(out, (uint32_t)date.tm_sec, 2);
    text_add(out, "acsp");
    for (int i = 0; i < 7; i++) put(out, 0, 4); /* platform, flags, maker, model, attributes, intent */
    put(out, 0xF6D6, 4), put(out, 0x10000, 4), put(out, 0xD32D, 4);
    for (int i = 0; i < 12; i++) put(out, 0, 4); /* creator, ID, reserved */
}

/* MD5 with flags, intent and ID as zeros, which they are here. */
static void set_id(struct text *file)
{
    struct md5 md5;
    md5_start(&md5);
    md5_add(&md5, file->bytes, file->length);
    unsigned char digest[16];
    md5_finish(&md5, digest);
    memcpy(file->bytes + 84, digest, sizeof digest);
}

/* The tags' data; what serves several intents is there once. */
static void put_tags(struct text *data, struct tag tags[TAGS], const char *description, double limit)
{
    struct film_model model = film_model_new();
    size_t start = 0;
    put_words(data, description);
    end_tag(&tags[0], "desc", data, start);
    start = data->length;
    put_words(data, "Made for the demo; no rights reserved");
    end_tag(&tags[1], "cprt", data, start);
    start = data->length;
    put_xyz(data, model.white);
    end_tag(&tags[2], "wtpt", data, start);
    start = data->length;
    put_to_lab(data, &model);
    end_tag(&tags[3], "A2B0", data, start);
    start = data->length;
    put_to_ink(data, &model, limit);
    end_tag(&tags[4], "B2A0", data, start);
    start = data->length;
    put_gamut(data, &model, limit);
    end_tag(&tags[5], "gamt", data, start);
    static const char *const more[] = {"A2B1", "A2B2", "B2A1", "B2A2"};
    for (size_t i = 0; i < 4; i++)
        tags[6 + i] = (struct tag){more[i], tags[3 + i / 2].offset, tags[3 + i / 2].length};
}

static struct text profile(struct arena *arena, const char *description, double limit, time_t when)
{
    struct text data = text_new(arena), file = text_new(arena);
    struct tag tags[TAGS];
    const size_t start = 128 + 4 + TAGS * 12;
    put_tags(&data, tags, description, limit);
    put_header(&file, start + data.length, when);
    put(&file, TAGS, 4);
    for (int i = 0; i < TAGS; i++) {
        text_add(&file, tags[i].signature);
        put(&file, (uint32_t)(start + tags[i].offset), 4), put(&file, (uint32_t)tags[i].length, 4);
    }
    text_add_bytes(&file, data.bytes, data.length);
    set_id(&file);
    return file;
}

int main(int argc, char **argv)
{
    double limit = argc == 4 ? atof(argv[3]) : 0;
    if (limit < 100 || limit > 400) {
        fprintf(stderr, "make-demo-profile OUT.icc DESCRIPTION LIMIT: LIMIT is 100 to 400 percent\n");
        return 2;
    }
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    time_t when = epoch ? (time_t)atoll(epoch) : 1767225600; /* 2026-01-01 */
    struct machine machine = machine_real(argv[0]);
    struct arena *arena = arena_new(&machine);
    struct text file = profile(arena, argv[2], limit / 100, when);
    struct error error = {0};
    bool ok = machine_write(&machine, argv[1], (struct str){file.bytes, file.length}, false, &error);
    if (!ok) fprintf(stderr, "make-demo-profile: %s\n", error.text);
    arena_free(arena);
    return ok ? 0 : 3;
}
