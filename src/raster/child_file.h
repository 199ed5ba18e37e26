/* Private to the raster room: the file that the reader child was given. */
#ifndef RASTER_CHILD_FILE_H
#define RASTER_CHILD_FILE_H

#include "decoder.h"

/* The file at descriptor 3. */
bool foreign_of(struct foreign *file, struct machine *machine, struct arena *arena, const char *subject,
                struct error *error);
/* Opened so that the decoder itself reduces by a factor of `shrink` where it can (decoder->scale). */
bool open_for(struct decoder *decoder, struct foreign *file, int shrink, struct error *error);

#endif
