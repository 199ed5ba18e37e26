/* The table of verbs that the reader child serves for this room. Read by run, which gives it to
 * reader_main. */
#include "verbs.h"
#include "pdf/reader.h"
#include <stddef.h>

const struct reader_entry pdf_reader_verbs[] = {
    {"pdf-facts", verb_pdf_facts},   {"pdf-size", verb_pdf_size},       {"pdf-paths", verb_pdf_paths},
    {"pdf-panels", verb_pdf_panels}, {"pdf-layback", verb_pdf_layback}, {NULL, NULL},
};
