/* What the tests of this room share: a folder, hand-made PDFs, other programs as judges. */
#ifndef SUPPORT_H
#define SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "base/arena.h"
#include "base/machine.h"
#include "pdf/panels.h"
#include "pdf/reader.h"

struct bench {
    struct machine machine;
    struct arena *arena;
    char folder[64];
};

int bench_open(void **state); /* for cmocka: *state becomes a struct bench */
int bench_close(void **state);
/* main() of every test here: serves the reader's verbs when asked to, else runs the tests. */
#define TEST_MAIN(tests)                                                                                     \
    int main(int argument_count, char **arguments)                                                           \
    {                                                                                                        \
        if (argument_count > 1 && !strcmp(arguments[1], "reader"))                                           \
            return serve_reader(argument_count - 2, arguments + 2);                                          \
        return cmocka_run_group_tests(tests, bench_open, bench_close);                                       \
    }
int serve_reader(int argument_count, char **arguments);

/* A path in the bench's folder. */
char *bench_path(struct bench *bench, const char *name);
/* The shared inputs' PDF of that name, or NULL when there are none here (then skip()). */
char *shared_pdf(struct bench *bench, const char *name);

/* An ICC profile of the shared inputs as the object of a PDF, in hexadecimal; NULL when there are none here. */
const char *profile_object(struct bench *bench, const char *name, int samples);

/* Writes a PDF of one page: `page` are more entries of the page's dictionary (MediaBox, Resources ...),
 * `objects` (ended by NULL) become objects 5, 6, ...; gives its path. */
char *make_pdf(struct bench *bench, const char *name, const char *page, const char *content,
               const char *const *objects);

/* Runs a command line; its output (both streams) and exit status. */
char *run(struct bench *bench, const char *command, int *status);
bool has_program(const char *name);

/* A PDF as qpdf writes it in plain words, changed by sed, its table put right again by fix-qdf: the new file's path. Fails
 * where the edit changes nothing, unless it is "". */
char *edited(struct bench *bench, const char *path, const char *edit);

struct image {
    int width, height;
    unsigned char *cmyk; /* 4 bytes a pixel, rows from the top */
};
/* Renders one page with Ghostscript, overprint simulated, no anti-aliasing. False when it cannot. */
bool ghostscript(struct bench *bench, const char *path, int page, double ppi, struct image *image);

#endif
