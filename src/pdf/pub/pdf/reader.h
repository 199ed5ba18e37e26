/* The verbs that this room needs served by the reader child (base/reader.h):
 * `lapstrake reader VERB` runs them; reader_main takes this table. */
#ifndef PDF_READER_H
#define PDF_READER_H

#include "base/reader.h"

/* Ends with a row of NULL. run hands it to reader_main; nobody else calls the verbs. */
extern const struct reader_entry pdf_reader_verbs[];

#endif
