/* Private to the raster room: opening with libtiff so that its words come to us and nothing is printed. */
#ifndef RASTER_TIFF_LIBRARY_H
#define RASTER_TIFF_LIBRARY_H

#include <stdbool.h>
#include <stddef.h>
#include <tiffio.h>

struct tiff_words {
    char last[160]; /* the latest error in the library's words, "" when there was none */
};

/* Opens a copy of `fd` (the caller keeps his) without mapping the file into memory; NULL when it cannot.
 * `words` must live as long as the handle. Mode as TIFFOpen's; "m" is added. */
TIFF *tiff_library_open(int fd, const char *mode, struct tiff_words *words);

#endif
