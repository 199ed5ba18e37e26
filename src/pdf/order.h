/* A panels order on its way to the reader child: the order itself as a wire message, the layers' files as
 * descriptors, each file once. */
#ifndef PDF_ORDER_H
#define PDF_ORDER_H

#include "pdf/panels.h"
#include "base/reader.h"

enum { ORDER_FD = 3, ORDER_FILE_FD = 4, ORDER_LAYERS_FD = 5 };

struct order_files {
    int fds[2 + PDF_LAYERS_MOST]; /* the order, the file to write or check, the layers' files */
    size_t count;
};

/* Parent: opens the layers' files and puts the order into memory to be shared. Close with
 * order_files_close in every case. `file_fd` stays the caller's. */
bool order_files_open(struct machine *machine, const struct pdf_panels_order *order, int file_fd,
                      struct arena *arena, struct order_files *files, struct error *error);
void order_files_close(struct order_files *files);

/* Child: the order again, and for each layer the descriptor of its file. */
struct order_read {
    struct pdf_panels_order order;
    int layer_fds[PDF_LAYERS_MOST];
};
bool order_read(struct arena *arena, struct order_read *read, struct error *error);

#endif
