/* Ghostscript as a child: what it is asked, what it answers, and what of its answers is believed. */
#include "pdf/pixels.h"
#include "mu.h"
#include "verbs.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/units.h"
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

/* A side of 60 m, the longest surface, at 150 pixels per inch has 354,331. */
enum { SIDE_MOST = 400000, HEADER_MOST = 1000, WORDS_MOST = 300, RESOLUTION = 7200, PIPE_BYTES = 1 << 20 };
#define USUAL_MEMORY     ((uint64_t)1 << 30)
#define TEMPORARIES_MOST ((uint64_t)8 << 30)

/* ---- the page's size, from the reader ---- */

struct size_work {
    int page;
    pdf_document *doc;
    struct mu_page found;
};

static bool run_size(struct mu *mu, void *self, struct error *error)
{
    struct size_work *work = self;
    char trouble[300];
    if (mu_open(mu, 3, &work->doc, trouble, sizeof trouble) != ARTWORK_FINE)
        return error_words(error, FAILURE_INPUT, trouble);
    int count;
    if (mu_page_find(mu, work->doc, work->page, &work->found, &count)) return true;
    return error_set(error, FAILURE_INPUT, "there-is-no-page-file-has",
                     ARGUMENTS(arg_count("page", work->page), arg_count("count", count)));
}

static void drop_size(struct mu *mu, void *self)
{
    struct size_work *work = self;
    pdf_drop_document(mu->ctx, work->doc);
}

bool verb_pdf_size(int count, char **arguments, struct machine *machine, struct text *answer,
                   struct error *error)
{
    (void)machine;
    struct size_work work = {.page = count > 0 ? atoi(arguments[0]) : 1};
    if (!mu_run(&(struct mu_work){"the file", &work, run_size, drop_size}, error)) return false;
    bool lies = work.found.rotate % 180;
    wire_put_f64(answer, lies ? rect_height(work.found.media) : rect_width(work.found.media));
    wire_put_f64(answer, lies ? rect_width(work.found.media) : rect_height(work.found.media));
    struct rect seen = affine_apply_rect(work.found.to_mm, work.found.crop);
    const double sides[] = {seen.x0, seen.y0, seen.x1, seen.y1};
    for (int i = 0; i < 4; i++) wire_put_f64(answer, sides[i]);
    return true;
}

/* In units of user space, as displayed; UserUnit does not come into it. */
struct pixels_size {
    double width, height;
    struct rect seen; /* mm */
};

static bool ask_size(struct machine *machine, const struct pdf_pixels_order *order, int fd,
                     struct arena *arena, struct pixels_size *size, struct error *error)
{
    char page[16];
    format_into(page, sizeof page, "%d", order->page);
    struct reader_order reader = {.subject = order->subject,
                                  .arguments = (const char *const[]){"pdf-size", page, NULL},
                                  .fds = &fd,
                                  .fd_count = 1,
                                  .cpu_seconds = order->cpu_seconds};
    struct wire_in answer;
    struct error trouble = {0};
    if (!reader_ask(machine, &reader, arena, &answer, &trouble))
        return error_set(error, trouble.kind, "path-trouble",
                         ARGUMENTS(arg_words("path", order->subject), arg_words("trouble", trouble.text)));
    size->width = wire_get_f64(&answer);
    size->height = wire_get_f64(&answer);
    double *const sides[] = {&size->seen.x0, &size->seen.y0, &size->seen.x1, &size->seen.y1};
    for (int i = 0; i < 4; i++) *sides[i] = wire_get_f64(&answer);
    return (!answer.bad && size->width > 0 && size->height > 0) ||
           error_set(error, FAILURE_INPUT, "its-page-has-no-size",
                     ARGUMENTS(arg_words("subject", order->subject)));
}

bool pdf_page_seen(struct machine *machine, const char *path, const char *subject, int page,
                   struct arena *arena, struct rect *seen, struct error *error)
{
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    struct pixels_size size;
    bool ok = ask_size(machine, &(struct pdf_pixels_order){.subject = subject, .page = page}, fd, arena,
                       &size, error);
    close(fd);
    *seen = size.seen;
    return ok;
}

/* ---- the child ---- */

struct page_drawing {
    struct machine *machine;
    const struct pdf_pixels_order *order;
    struct arena *arena;
    int file_fd, profile_fd; /* read by the child; -1: none */
    int pixels_fd;           /* what it draws */
    int words_fd;            /* what it says */
    int pid;
    bool ended;       /* it closed its output */
    unsigned seconds; /* its limit, 0: none */
};

/* The page fills the pixels by a scale of its own, under a resolution that is far higher: Ghostscript sizes the
 * letters of embedded fonts by the resolution as a whole number, and draws them too small where it is none (by 3 %
 * at 30.9, 1.6 % at 99.9999) or where an em is above some 1,000 points after the scale (1.8 % at 1,190). Measured
 * with version 10.00 against its own drawing at a tenth of the size, and poppler's; see test_pixels.c. */
static const char **add_size(const struct page_drawing *drawing, struct pixels_size size, const char **next)
{
    const struct pdf_pixels_order *order = drawing->order;
    struct rect part = order->part ? *order->part : (struct rect){0, 0, 1, 1};
    double across = order->width_px * 72.0 / (size.width * rect_width(part));
    double down = order->height_px * 72.0 / (size.height * rect_height(part));
    *next++ = arena_format(drawing->arena, "-r%d", RESOLUTION);
    *next++ = arena_format(drawing->arena, "-g%dx%d", order->width_px, order->height_px);
    *next++ = "-dFIXEDMEDIA";
    *next++ = "-c";
    *next++ = arena_format(
        drawing->arena,
        "<</Install{%.9f %d div %.9f %d div scale %.9f %.9f translate}/PageOffset[0 0]>>setpagedevice",
        across, RESOLUTION, down, RESOLUTION, -part.x0 * size.width, -part.y0 * size.height);
    *next++ = "-f";
    return next;
}

/* The files are given as descriptors: names with @ or % in them would be read as something else. */
static const char *const *arguments_of(const struct page_drawing *drawing, struct pixels_size size)
{
    enum { MOST = 40 };
    const struct pdf_pixels_order *order = drawing->order;
    struct arena *arena = drawing->arena;
    const char **arguments = arena_take_array(arena, MOST, sizeof *arguments), **next = arguments;
    static const char *const fixed[] = {
        "gs",
        "-q",
        "-dSAFER",
        "-dBATCH",
        "-dNOPAUSE",
        "-dNoUserUnit",
        "-dOverprint=/simulate",
        "-dPrinted=true",
        "-dShowAnnots=false",
        "-dShowAcroForm=false",
        "-sDEVICE=pamcmyk32",
        "-sstdout=%stderr",
        "-sOutputFile=-",
    };
    for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++) *next++ = fixed[i];
    *next++ = arena_format(arena, "-dFirstPage=%d", order->page);
    *next++ = arena_format(arena, "-dLastPage=%d", order->page);
    if (order->antialias > 1) {
        *next++ = arena_format(arena, "-dTextAlphaBits=%d", order->antialias);
        *next++ = arena_format(arena, "-dGraphicsAlphaBits=%d", order->antialias);
    }
    if (drawing->profile_fd >= 0) {
        *next++ = "--permit-file-read=/proc/self/fd/4";
        *next++ = "-sOutputICCProfile=/proc/self/fd/4";
        *next++ = "-sDefaultCMYKProfile=/proc/self/fd/4";
    }
    next = add_size(drawing, size, next);
    *next = "/proc/self/fd/3";
    return arguments;
}

static bool pixels_start(struct page_drawing *drawing, struct pixels_size size, struct error *error)
{
    const struct pdf_pixels_order *order = drawing->order;
    int ends[2];
    drawing->seconds = reader_seconds(drawing->machine, order->cpu_seconds);
    drawing->words_fd = memfd_create("words", MFD_CLOEXEC);
    if (drawing->words_fd < 0 || pipe2(ends, O_CLOEXEC))
        return error_set(error, FAILURE_MACHINE, "no-pipe-left-why",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    drawing->pixels_fd = ends[0];
    fcntl(ends[0], F_SETPIPE_SZ, PIPE_BYTES); /* fewer turns between the two; without it all works too */
    const int fds[] = {-1, ends[1], drawing->words_fd, drawing->file_fd, drawing->profile_fd};
    struct child_order child = {.arguments = arguments_of(drawing, size),
                                .fds = fds,
                                .fd_count = drawing->profile_fd >= 0 ? 5 : 4,
                                .memory_limit = order->memory_limit ? order->memory_limit : USUAL_MEMORY,
                                .cpu_seconds = drawing->seconds,
                                .file_limit = TEMPORARIES_MOST,
                                .folder = order->folder};
    bool ok = drawing->machine->start(drawing->machine, &child, &drawing->pid, error);
    close(ends[1]);
    return ok;
}

/* Its first words, for an error. */
static const char *words(const struct page_drawing *drawing)
{
    char *text = arena_take(drawing->arena, WORDS_MOST + 1);
    ssize_t got = pread(drawing->words_fd, text, WORDS_MOST, 0);
    text[got > 0 ? got : 0] = 0;
    for (char *c = text; *c; c++)
        if ((unsigned char)*c < 32) *c = ' ';
    struct str trimmed = str_trim(str_from(text));
    return trimmed.length ? arena_copy(drawing->arena, trimmed.bytes, trimmed.length)
                          : sentence_plain("it-gave-no-reason");
}

static bool not_drawn(const struct page_drawing *drawing, struct error *error)
{
    return error_set(error, FAILURE_INPUT, "page-could-not-be-drawn-by",
                     ARGUMENTS(arg_words("subject", drawing->order->subject),
                               arg_count("page", drawing->order->page), arg_words("words", words(drawing))));
}

/* ---- its pixels ---- */

/* False at its end: it closed its output, and so ends. */
static bool read_fully(struct page_drawing *drawing, void *bytes, size_t length)
{
    int fd = drawing->pixels_fd;
    for (char *at = bytes; length;) {
        ssize_t step = read(fd, at, length);
        if (step < 0 && errno == EINTR) continue;
        drawing->ended = step == 0;
        if (step <= 0) return false;
        at += step;
        length -= (size_t)step;
    }
    return true;
}

/* The value of `key` in a PAM header, -1 when it is not there. */
static double header_value(const char *header, const char *key)
{
    const char *at = strstr(header, key);
    double value;
    return at && str_number(str_trim(str_from(at + strlen(key))), &value) ? value : -1;
}

/* Byte by byte: what follows the header stays in the pipe. */
static bool read_header(struct page_drawing *drawing, struct error *error)
{
    char header[HEADER_MOST + 1] = "";
    for (size_t length = 0; !strstr(header, "ENDHDR\n"); length++)
        if (length == HEADER_MOST || !read_fully(drawing, header + length, 1))
            return not_drawn(drawing, error);
    double width = header_value(header, "\nWIDTH "), height = header_value(header, "\nHEIGHT ");
    if (strncmp(header, "P7\n", 3) || header_value(header, "\nDEPTH ") != 4 ||
        header_value(header, "\nMAXVAL ") != 255)
        return error_set(error, FAILURE_MACHINE, "ghostscript-gave-picture-of-another-kind", NULL);
    if (width == drawing->order->width_px && height == drawing->order->height_px) return true;
    return error_set(error, FAILURE_MACHINE, "ghostscript-drew-pixels-where-were-asked",
                     ARGUMENTS(arg_words("subject", drawing->order->subject), arg_fixed("width", width, 0),
                               arg_fixed("height", height, 0),
                               arg_count("width_px", drawing->order->width_px),
                               arg_count("height_px", drawing->order->height_px)));
}

static bool stream_rows(struct page_drawing *drawing, const struct strip_sink *sink, uint8_t *pixels,
                        struct error *error)
{
    const struct pdf_pixels_order *order = drawing->order;
    size_t stride = (size_t)order->width_px * 4;
    for (int y = 0; y < order->height_px; y += STRIP_ROWS) {
        if (cancel_asked(order->cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        int rows = order->height_px - y < STRIP_ROWS ? order->height_px - y : STRIP_ROWS;
        if (!read_fully(drawing, pixels, stride * (size_t)rows)) return not_drawn(drawing, error);
        struct strip strip = {y, rows, order->width_px, PIXELS_CMYK8, stride, pixels};
        if (!sink->strip(sink->self, &strip, error)) return false;
        progress_say(order->progress, order->subject, y + rows, order->height_px);
    }
    char more;
    return !read_fully(drawing, &more, 1) ||
           error_set(error, FAILURE_MACHINE, "ghostscript-gave-more-pixels-than-were",
                     ARGUMENTS(arg_words("subject", order->subject)));
}

static bool give_rows(struct page_drawing *drawing, const struct strip_sink *sink, struct error *error)
{
    const struct pdf_pixels_order *order = drawing->order;
    struct strip_shape shape = {order->width_px, order->height_px, PIXELS_CMYK8, 0};
    if (!read_header(drawing, error) || !sink->begin(sink->self, &shape, error)) return false;
    uint8_t *pixels = arena_take(drawing->arena, (size_t)order->width_px * 4 * STRIP_ROWS);
    return stream_rows(drawing, sink, pixels, error);
}

static bool pixels_draw(struct page_drawing *drawing, const struct strip_sink *sink, struct error *error)
{
    struct pixels_size size;
    if (!ask_size(drawing->machine, drawing->order, drawing->file_fd, drawing->arena, &size, error))
        return false;
    if (!pixels_start(drawing, size, error)) return false;
    bool given = give_rows(drawing, sink, error);
    if (!given && !drawing->ended) {
        drawing->machine->stop(drawing->machine, drawing->pid);
        return false;
    }
    struct child_end end;
    if (!drawing->machine->wait(drawing->machine, drawing->pid, &end, error)) return false;
    if (!end.exited && end.status == SIGXCPU)
        return reader_too_slow(drawing->order->subject, drawing->seconds, error);
    if (!given) return false;
    if (!end.exited || end.status) return not_drawn(drawing, error);
    return sink->end(sink->self, error);
}

static void close_all(struct page_drawing *drawing)
{
    const int fds[] = {drawing->file_fd, drawing->profile_fd, drawing->pixels_fd, drawing->words_fd};
    for (size_t i = 0; i < sizeof fds / sizeof *fds; i++)
        if (fds[i] >= 0) close(fds[i]);
    arena_free(drawing->arena);
}

bool pdf_pixels(struct machine *machine, const struct pdf_pixels_order *order, const struct strip_sink *sink,
                struct error *error)
{
    if (order->width_px < 1 || order->height_px < 1 || order->width_px > SIDE_MOST ||
        order->height_px > SIDE_MOST)
        return error_set(error, FAILURE_INPUT, "picture-of-pixels-was-asked-for",
                         ARGUMENTS(arg_words("subject", order->subject),
                                   arg_count("width_px", order->width_px),
                                   arg_count("height_px", order->height_px), arg_count("most", SIDE_MOST)));
    struct page_drawing drawing = {.machine = machine,
                                   .order = order,
                                   .arena = arena_new(machine),
                                   .profile_fd = -1,
                                   .pixels_fd = -1,
                                   .words_fd = -1};
    drawing.file_fd = machine->open_file(machine, order->path, error);
    bool ok = drawing.file_fd >= 0;
    if (ok && order->profile_path) {
        drawing.profile_fd = machine->open_file(machine, order->profile_path, error);
        ok = drawing.profile_fd >= 0;
    }
    ok = ok && pixels_draw(&drawing, sink, error);
    close_all(&drawing);
    return ok;
}
