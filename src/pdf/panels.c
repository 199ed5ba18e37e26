/* The parent's end of writing a PDF panel file: opens the artworks and sends the order to the reader child.
 * Called by make and art; the writing is in panels_write.c. */
#include "pdf/panels.h"
#include "order.h"
#include "base/arena.h"
#include "base/machine.h"

bool pdf_panels_write(struct machine *machine, const struct pdf_panels_order *order, const char *path,
                      bool durable, struct arena *arena, struct error *error)
{
    struct out_file file;
    if (!machine->create(machine, path, &file, error)) return false;
    struct order_files files;
    bool ok = order_files_open(machine, order, file.fd, arena, &files, error);
    struct reader_order reader = {.subject = path,
                                  .arguments = (const char *const[]){"pdf-panels", NULL},
                                  .fds = files.fds,
                                  .fd_count = files.count,
                                  .cpu_seconds = order->cpu_seconds};
    struct wire_in answer;
    ok = ok && reader_ask(machine, &reader, arena, &answer, error);
    order_files_close(&files);
    if (ok) return machine->commit(machine, &file, durable, error);
    machine->abandon(machine, &file);
    return false;
}
