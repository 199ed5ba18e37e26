/* Private to the raster room: the reader's side of photograph.h. */
#ifndef RASTER_PHOTOGRAPH_CHILD_H
#define RASTER_PHOTOGRAPH_CHILD_H

#include "base/reader.h"

#define VERB_PHOTOGRAPH "raster-photograph" /* SUBJECT SIDE; file at 3 -> the bytes of a JPEG */

reader_verb photograph_verb;

#endif
