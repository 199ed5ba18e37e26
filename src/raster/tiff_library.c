/* Opens a TIFF with libtiff so that its messages come to us and nothing is printed. Called for reading and
 * for writing. */
#include "tiff_library.h"
#include "base/text.h"
#include <fcntl.h>
#include <stdio.h>
#include <unistd.h>

/* The library formats with printf's full set, so its own vsnprintf it is; the words go into a sentence of
 * ours. */
static int keep_error(TIFF *tiff, void *words, const char *module, const char *format, va_list arguments)
{
    (void)tiff, (void)module;
    struct tiff_words *kept = words;
    vsnprintf(kept->last, sizeof kept->last, format, arguments);
    for (char *c = kept->last; *c; c++) /* it quotes the file, which may hold anything */
        if (*c < ' ' || *c > '~') *c = '?';
    return 1;
}

static int ignore_warning(TIFF *tiff, void *words, const char *module, const char *format, va_list arguments)
{
    (void)tiff, (void)words, (void)module, (void)format, (void)arguments;
    return 1;
}

/* NULL when there is no memory. To be freed. */
static TIFFOpenOptions *options_new(struct tiff_words *words)
{
    TIFFOpenOptions *options = TIFFOpenOptionsAlloc();
    if (!options) return NULL;
    TIFFOpenOptionsSetErrorHandlerExtR(options, keep_error, words);
    TIFFOpenOptionsSetWarningHandlerExtR(options, ignore_warning, words);
    return options;
}

TIFF *tiff_library_open(int fd, const char *mode, struct tiff_words *words)
{
    char full_mode[8];
    format_into(full_mode, sizeof full_mode, "%sm", mode);
    int copy = fcntl(fd, F_DUPFD_CLOEXEC, 0);
    TIFFOpenOptions *options = copy >= 0 ? options_new(words) : NULL;
    if (!options) {
        if (copy >= 0) close(copy);
        return NULL;
    }
    TIFF *tiff = TIFFFdOpenExt(copy, "", full_mode, options);
    TIFFOpenOptionsFree(options);
    if (!tiff) close(copy);
    return tiff;
}
