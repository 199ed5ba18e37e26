/* What the reader child can be asked (pdf/reader.h). */
#ifndef PDF_VERBS_H
#define PDF_VERBS_H

#include "base/reader.h"

reader_verb verb_pdf_facts;  /* fd 3: the file; argument: page */
reader_verb verb_pdf_size;   /* fd 3: the file; argument: page */
reader_verb verb_pdf_paths;  /* fd 3: the file; arguments: page, which, tolerance, name, spots off */
reader_verb verb_pdf_panels; /* fd 3: the order; 4: the file to write; 5...: the layers' files */
reader_verb
    verb_pdf_layback; /* fd 3: the order; 4: the file to check; 5...: the layers' files; argument: ppi */

#endif
