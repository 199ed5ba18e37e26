/* Fuzz target: what the reader of a picture hands its parent, facts and rows. The reader opens hostile files, and
 * one that a file took over may write anything into the shared memory and the pipes: nothing may crash, rows come
 * in order and within the picture, and only a whole picture ends. The bytes stand for whole messages, and for
 * places and bytes changed in sound ones.
 *
 * Built with -Dfuzz=true. */
#include "base/arena.h"
#include "base/machine.h"
#include "base/slots.h"
#include "base/text.h"
#include "base/wire.h"
#include "child.h"
#include "raster/facts.h"
#include "raster/strips.h"
#include <fcntl.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { WIDTH = 600, HEIGHT = 3 * STRIP_ROWS, PIPE_MOST = 32768 };

/* What the reader that was taken over says. */
struct taken_over {
    struct str answer, rows; /* into the answer's pipe and into that of full slots */
    struct slot_header header;
};

/* Stands for starting the reader: what it would say is in its pipes when this returns. Descriptors are answer (1),
 * the file (3), and of rows memory (4), full (5) and free (6). */
static bool pretend(struct machine *machine, const struct child_order *order, int *pid, struct error *error)
{
    const struct taken_over *reader = machine->self;
    *pid = 1;
    if (order->fd_count > 6 && pwrite(order->fds[4], &reader->header, sizeof reader->header, 0) < 0)
        return error_set(error, FAILURE_MACHINE, "stopped", NULL);
    return (order->fd_count <= 6 || !reader->rows.length ||
            write(order->fds[5], reader->rows.bytes, reader->rows.length) > 0) &&
           (!reader->answer.length || write(order->fds[1], reader->answer.bytes, reader->answer.length) > 0);
}

static bool pretend_wait(struct machine *machine, int pid, struct child_end *end, struct error *error)
{
    (void)machine, (void)pid, (void)error;
    *end = (struct child_end){true, 0};
    return true;
}

static int pretend_open(struct machine *machine, const char *path, struct error *error)
{
    (void)machine, (void)error;
    return open(path, O_RDONLY | O_CLOEXEC);
}

static void pretend_stop(struct machine *machine, int pid)
{
    (void)machine, (void)pid;
}

/* ---- what is relied on ---- */

struct seen {
    struct strip_shape shape;
    int rows;
};

static bool see_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct seen *seen = self;
    (void)error;
    if (shape->width < 1 || shape->height < 1 || shape->format > PIXELS_LAB16) abort();
    *seen = (struct seen){*shape, 0};
    return true;
}

static bool see_strip(void *self, const struct strip *strip, struct error *error)
{
    struct seen *seen = self;
    (void)error;
    if (strip->y != seen->rows || strip->rows < 1 || strip->rows > seen->shape.height - seen->rows) abort();
    const uint8_t *last = strip->pixels + (size_t)strip->rows * strip->stride - 1;
    seen->rows += strip->rows;
    return strip->pixels[0] + *last < 1000; /* both ends can be read */
}

static bool see_end(void *self, struct error *error)
{
    const struct seen *seen = self;
    (void)error;
    if (seen->rows != seen->shape.height) abort();
    return true;
}

static bool take_strips(struct machine *machine)
{
    struct seen seen;
    struct strip_sink sink = {&seen, see_begin, see_strip, see_end};
    struct error error;
    return raster_strips(machine, "/dev/null", "the picture", NULL, &sink, &error);
}

static bool take_facts(struct machine *machine)
{
    struct arena *arena = arena_new(machine);
    struct artwork_facts f;
    struct error error;
    bool ok = raster_facts_load(machine, "/dev/null", "the picture", arena, &f, &error);
    if (ok && f.state == ARTWORK_FINE &&
        (f.width_px < 1 || f.height_px < 1 || !isfinite(rect_width(f.media_mm))))
        abort();
    for (size_t i = 0; ok && i < f.remark_count; i++)
        if (strlen(f.remarks[i]) > PIPE_MOST) abort();
    ok = ok && f.state == ARTWORK_FINE;
    arena_free(arena);
    return ok;
}

/* ---- sound messages ---- */

static struct text sound_rows(struct arena *arena)
{
    struct slot_message messages[5] = {{0, 1, 0}}; /* the header's slot */
    for (uint32_t i = 0; i < 3; i++)
        messages[i + 1] = (struct slot_message){(i + 1) % SLOTS_COUNT, STRIP_ROWS, (int64_t)i * STRIP_ROWS};
    struct text text = text_new(arena);
    text_add_bytes(&text, (const char *)messages, sizeof messages);
    return text;
}

static struct text sound_facts(struct arena *arena)
{
    struct text text = text_new(arena);
    const uint32_t before[] = {1, ARTWORK_TIFF, WIDTH, HEIGHT}, after[] = {8, 4, 1, 1, COLOUR_CMYK, 0, 0, 0};
    for (size_t i = 0; i < sizeof before / sizeof *before; i++) wire_put_u32(&text, before[i]);
    wire_put_f64(&text, 100), wire_put_f64(&text, 100);
    for (size_t i = 0; i < sizeof after / sizeof *after; i++) wire_put_u32(&text, after[i]);
    wire_put_bytes(&text, "profile", 7);
    wire_put_u32(&text, 1), wire_put_string(&text, "It has two pages.");
    return text;
}

static void change(const struct text *sound, const uint8_t *data, size_t size)
{
    for (size_t i = 0; i + 2 < size; i += 3)
        sound->bytes[(size_t)(data[i] << 8 | data[i + 1]) % sound->length] = (char)data[i + 2];
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct machine real = machine_real(""), machine = real;
    struct arena *arena = arena_new(&real);
    struct text done = text_new(arena), rows = sound_rows(arena), facts = sound_facts(arena);
    wire_put_u32(&done, 1);
    const struct str fine = {text_string(&done), done.length};
    const struct slot_header header = {WIDTH, HEIGHT, PIXELS_CMYK8};
    struct str whole = {(const char *)data, size < PIPE_MOST ? size : PIPE_MOST};
    struct taken_over reader = {
        {text_string(&facts), facts.length}, {text_string(&rows), rows.length}, header};
    machine.self = &reader, machine.start = pretend, machine.wait = pretend_wait, machine.stop = pretend_stop;
    machine.open_file = pretend_open;
    if (!take_facts(&machine)) abort(); /* what is sound is accepted */
    reader.answer = fine;
    if (!take_strips(&machine)) abort();

    change(&rows, data, size), change(&facts, data, size);
    if (size >= sizeof reader.header) memcpy(&reader.header, data, sizeof reader.header);
    take_strips(&machine);
    reader.header = (struct slot_header){WIDTH, size ? 1 + data[0] % HEIGHT : HEIGHT, PIXELS_CMYK8};
    take_strips(&machine); /* more rows than the picture has */
    reader.rows = whole, reader.header = header;
    take_strips(&machine);
    reader.answer = (struct str){text_string(&facts), facts.length};
    take_facts(&machine);
    reader.answer = whole;
    take_facts(&machine);
    arena_free(arena);
    return 0;
}
