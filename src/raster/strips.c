/* The parent's end of a picture's pixels: starts the reader child, takes strips from shared memory and
 * passes them on. Called by art. */
#include "raster/strips.h"
#include "base/arena.h"
#include "base/reader.h"
#include "base/slots.h"
#include "base/text.h"
#include "child.h"
#include "raster/facts.h"
#include <unistd.h>

enum { SHRINK_MOST = 1024 };

/* One picture on its way. */
struct strips_stream {
    struct machine *machine;
    const char *subject;
    struct slots slots;
    struct reader_run reader;
    struct strip_shape shape;
    struct strip_sink *sink;
    const struct cancel *cancel;
    const struct progress *progress;
};

/* ---- the reader ---- */

static bool strips_start(struct strips_stream *stream, int fd, const struct raster_view *view,
                         struct error *error)
{
    char factor[16];
    format_into(factor, sizeof factor, "%d", view->shrink);
    int fds[4] = {fd};
    slots_child_fds(&stream->slots, fds + 1);
    struct reader_order order = {
        .subject = stream->subject,
        .arguments =
            (const char *const[]){VERB_STRIPS, stream->subject, factor, view->opacity ? OPACITY : NULL, NULL},
        .fds = fds,
        .fd_count = 4,
        .cpu_seconds = view->cpu_seconds,
    };
    bool ok = reader_start(stream->machine, &order, &stream->reader, error);
    slots_close_child_ends(&stream->slots);
    return ok;
}

static bool nonsense(const struct strips_stream *stream, struct error *error)
{
    return error_set(error, FAILURE_INPUT, "could-not-be-read-its-reader-answered",
                     ARGUMENTS(arg_words("subject", stream->subject)));
}

/* What the reader says when it ends; `whole`: every row came. */
static bool strips_finish(struct strips_stream *stream, bool whole, struct error *error)
{
    struct arena *arena = arena_new(stream->machine);
    struct wire_in answer;
    bool ok = reader_finish(stream->machine, &stream->reader, arena, &answer, error);
    arena_free(arena);
    if (ok && !whole) return nonsense(stream, error);
    return ok;
}

/* ---- the strips ---- */

static bool shape_is_good(const struct slot_header *header)
{
    return header->width >= 1 && header->width <= RASTER_SIDE_MOST && header->height >= 1 &&
           header->height <= RASTER_SIDE_MOST && header->format >= PIXELS_GREY8 &&
           header->format <= PIXELS_LAB16;
}

/* False without an error when the reader ended before it said anything. */
static bool strips_take_shape(struct strips_stream *stream, bool *came, struct error *error)
{
    struct slot_message message;
    const uint8_t *slot;
    *came = slots_take(&stream->slots, &message, &slot);
    if (!*came) return true;
    struct slot_header header =
        *(const struct slot_header *)(const void *)slot; /* copied before it is judged */
    slots_give_back(&stream->slots, &message);
    if (!shape_is_good(&header)) return nonsense(stream, error);
    stream->shape = (struct strip_shape){header.width, header.height, (enum pixel_format)header.format, 0};
    return stream->sink->begin(stream->sink->self, &stream->shape, error);
}

static bool strips_pass_on(struct strips_stream *stream, const struct slot_message *message,
                           const uint8_t *pixels, int y, struct error *error)
{
    const struct strip_shape *shape = &stream->shape;
    if (message->y != y || message->rows > (uint32_t)rows_in_slot(shape->width, shape->format) ||
        (int64_t)y + message->rows > shape->height)
        return nonsense(stream, error);
    struct strip strip = {
        .y = y,
        .rows = (int)message->rows,
        .width = shape->width,
        .format = shape->format,
        .stride = (size_t)shape->width * pixel_bytes(shape->format),
        .pixels = pixels,
    };
    return stream->sink->strip(stream->sink->self, &strip, error);
}

/* Until the picture or its reader ends; *rows is how many came. */
static bool take_rows(struct strips_stream *stream, int *rows, struct error *error)
{
    struct slot_message message;
    const uint8_t *pixels;
    while (slots_take(&stream->slots, &message, &pixels)) {
        if (cancel_asked(stream->cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        if (!strips_pass_on(stream, &message, pixels, *rows, error)) return false;
        slots_give_back(&stream->slots, &message);
        *rows += (int)message.rows;
        progress_say(stream->progress, stream->subject, *rows, stream->shape.height);
    }
    return true;
}

static bool strips_run(struct strips_stream *stream, struct error *error)
{
    bool came = false;
    int rows = 0;
    if (!strips_take_shape(stream, &came, error) || (came && !take_rows(stream, &rows, error))) {
        reader_stop(stream->machine, &stream->reader);
        return false;
    }
    return strips_finish(stream, came && rows == stream->shape.height, error) &&
           stream->sink->end(stream->sink->self, error);
}

bool raster_strips(struct machine *machine, const char *path, const char *subject,
                   const struct raster_view *view, struct strip_sink *sink, struct error *error)
{
    struct raster_view asked = view ? *view : (struct raster_view){0};
    if (asked.shrink < 1) asked.shrink = 1;
    if (asked.shrink > SHRINK_MOST) asked.shrink = SHRINK_MOST;
    struct strips_stream stream = {.machine = machine,
                                   .subject = subject,
                                   .sink = sink,
                                   .cancel = asked.cancel,
                                   .progress = asked.progress};
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    bool ok = slots_create(&stream.slots, SLOT_BYTES, error);
    if (ok) {
        ok = strips_start(&stream, fd, &asked, error) && strips_run(&stream, error);
        slots_destroy(&stream.slots);
    }
    close(fd);
    return ok;
}
