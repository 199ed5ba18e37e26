/* The reader's side: one file, its header or its rows. */
#include "child.h"
#include "child_file.h"
#include "photograph_child.h"
#include "base/reader.h"
#include "base/slots.h"
#include "base/units.h"
#include "raster/facts.h"
#include "shrink.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum { SLOTS_FD = 4 };

/* In the order in which facts.c takes it. */
static void put_header(struct text *answer, const struct header *header)
{
    int width, height;
    upright_size(header->orientation, header->width, header->height, &width, &height);
    bool turned = header->orientation >= 5;
    wire_put_u32(answer, (uint32_t)header->kind);
    wire_put_u32(answer, (uint32_t)width);
    wire_put_u32(answer, (uint32_t)height);
    wire_put_f64(answer, turned ? header->y_ppi : header->x_ppi);
    wire_put_f64(answer, turned ? header->x_ppi : header->y_ppi);
    wire_put_u32(answer, (uint32_t)header->bits);
    wire_put_u32(answer, (uint32_t)header->samples);
    wire_put_u32(answer, (uint32_t)header->orientation);
    wire_put_u32(answer, (uint32_t)header->page_count);
    wire_put_u32(answer, (uint32_t)header->colour);
    wire_put_u32(answer, header->alpha);
    wire_put_u32(answer, header->premultiplied);
    wire_put_u32(answer, header->tagged);
    wire_put_bytes(answer, header->profile.bytes, header->profile.length);
    wire_put_u32(answer, (uint32_t)header->remark_count);
    for (size_t i = 0; i < header->remark_count; i++) wire_put_string(answer, header->remarks[i]);
}

static bool facts_verb(int argument_count, char **arguments, struct machine *machine, struct text *answer,
                       struct error *error)
{
    if (argument_count != 1) return error_set(error, FAILURE_INPUT, "reader-wants-name", NULL);
    struct foreign file;
    struct decoder decoder;
    if (!foreign_of(&file, machine, answer->arena, arguments[0], error)) return false;
    bool ok = decoder_open(&decoder, &file, error);
    if (ok) put_header(answer, &decoder.header);
    decoder_close(&decoder);
    return ok;
}

static bool send_header(struct slots *slots, const struct shrink *rows, enum pixel_format format)
{
    uint8_t *slot = slots_begin(slots);
    if (!slot) return false;
    *(struct slot_header *)(void *)slot = (struct slot_header){rows->width, rows->height, (int32_t)format};
    return slots_end(slots, 0, 1);
}

static bool send_rows(struct slots *slots, struct shrink *rows, enum pixel_format format, struct error *error)
{
    size_t stride = (size_t)rows->width * pixel_bytes(format);
    int fit = rows_in_slot(rows->width, format);
    for (int y = 0; y < rows->height;) {
        uint8_t *slot = slots_begin(slots);
        if (!slot) return error_set(error, FAILURE_CANCELLED, "nobody-takes-picture", NULL);
        int count = rows->height - y < fit ? rows->height - y : fit;
        for (int i = 0; i < count; i++)
            if (!shrink_row(rows, slot + (size_t)i * stride, error)) return false;
        if (!slots_end(slots, y, (uint32_t)count))
            return error_set(error, FAILURE_CANCELLED, "nobody-takes-picture", NULL);
        y += count;
    }
    return true;
}

static bool stream(struct decoder *decoder, struct slots *slots, int factor, struct arena *arena,
                   struct error *error)
{
    struct upright upright = upright_new(decoder, arena);
    assert(factor % decoder->scale == 0); /* what the decoder did is part of it */
    struct shrink rows = shrink_new(&upright, factor / decoder->scale, arena);
    enum pixel_format format = decoder->header.format;
    if (!send_header(slots, &rows, format))
        return error_set(error, FAILURE_CANCELLED, "nobody-takes-picture", NULL);
    return send_rows(slots, &rows, format, error) && slots_finish(slots);
}

static bool strips_verb(int argument_count, char **arguments, struct machine *machine, struct text *answer,
                        struct error *error)
{
    bool opacity = argument_count == 3 && !strcmp(arguments[2], OPACITY);
    int factor = argument_count == 2 || opacity ? atoi(arguments[1]) : 0;
    if (factor < 1) return error_set(error, FAILURE_INPUT, "reader-wants-name-and-factor", NULL);
    struct foreign file;
    struct slots slots;
    struct decoder decoder;
    if (!foreign_of(&file, machine, answer->arena, arguments[0], error) ||
        !slots_attach(&slots, SLOTS_FD, SLOT_BYTES, error))
        return false;
    file.opacity = opacity;
    bool ok =
        open_for(&decoder, &file, factor, error) && stream(&decoder, &slots, factor, answer->arena, error);
    decoder_close(&decoder);
    return ok;
}

const struct reader_entry raster_reader_verbs[] = {
    {VERB_FACTS, facts_verb},
    {VERB_STRIPS, strips_verb},
    {VERB_PHOTOGRAPH, photograph_verb},
    {NULL, NULL},
};
