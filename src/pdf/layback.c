/* Both ends of the lay-back check of a PDF panel file: the child runs it, the parent asks and gets the
 * difference in words. Called by make; the comparisons are in layback_*.c. */
#include "layback.h"
#include "verbs.h"
#include "base/arena.h"
#include "base/machine.h"
#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <unistd.h>

static bool run_layback(struct mu *mu, void *self, struct error *error)
{
    struct layback *lay = self;
    if (!sources_open(mu, &lay->read, &lay->sources, error)) return false;
    char trouble[300];
    if (mu_open(mu, ORDER_FILE_FD, &lay->doc, trouble, sizeof trouble) != ARTWORK_FINE)
        layback_differs(lay, "panel-file-cannot-be-read-again", ARGUMENTS(arg_words("trouble", trouble)));
    else
        lay->result.same = layback_structure(mu, lay) && layback_objects(mu, lay) &&
                           (lay->ppi > 0 ? layback_pixels : layback_patches)(mu, lay);
    return true;
}

static void drop_layback(struct mu *mu, void *self)
{
    struct layback *lay = self;
    sources_drop(mu, &lay->sources);
    pdf_drop_document(mu->ctx, lay->doc);
}

bool verb_pdf_layback(int count, char **arguments, struct machine *machine, struct text *answer,
                      struct error *error)
{
    (void)machine;
    struct layback *lay = arena_take(answer->arena, sizeof *lay);
    lay->arena = answer->arena;
    if (count < 1 || !str_number(str_from(arguments[0]), &lay->ppi))
        return error_set(error, FAILURE_MACHINE, "no-resolution-was-given-to-lay", NULL);
    if (!order_read(answer->arena, &lay->read, error) ||
        !mu_run(&(struct mu_work){"the panel file", lay, run_layback, drop_layback}, error))
        return false;
    const struct pdf_layback_result *result = &lay->result;
    wire_put_u32(answer, result->same);
    wire_put_string(answer, lay->trouble[0] ? lay->trouble : NULL);
    wire_put_i64(answer, (int64_t)result->pixels);
    wire_put_i64(answer, (int64_t)result->off);
    wire_put_i64(answer, (int64_t)result->off_at_edges);
    wire_put_u32(answer, (uint32_t)result->worst);
    return true;
}

static void get_result(struct wire_in *in, struct arena *arena, struct pdf_layback_result *result)
{
    result->same = wire_get_u32(in);
    result->trouble = wire_get_string(in, arena);
    result->pixels = (uint64_t)wire_get_i64(in);
    result->off = (uint64_t)wire_get_i64(in);
    result->off_at_edges = (uint64_t)wire_get_i64(in);
    result->worst = (int)wire_get_u32(in);
}

bool pdf_layback(struct machine *machine, const struct pdf_panels_order *order, const char *panels_path,
                 double ppi, struct arena *arena, struct pdf_layback_result *result, struct error *error)
{
    int fd = machine->open_file(machine, panels_path, error);
    if (fd < 0) return false;
    struct order_files files;
    bool ok = order_files_open(machine, order, fd, arena, &files, error);
    struct reader_order reader = {
        .subject = panels_path,
        .arguments = (const char *const[]){"pdf-layback", arena_format(arena, "%f", ppi), NULL},
        .fds = files.fds,
        .fd_count = files.count,
        .cpu_seconds = order->cpu_seconds};
    struct wire_in answer;
    ok = ok && reader_ask(machine, &reader, arena, &answer, error);
    order_files_close(&files);
    close(fd);
    if (!ok) return false;
    get_result(&answer, arena, result);
    return !answer.bad || error_set(error, FAILURE_MACHINE, "its-check-gave-answer-that-makes",
                                    ARGUMENTS(arg_words("panels_path", panels_path)));
}
