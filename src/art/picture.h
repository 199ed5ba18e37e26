/* Private to art: a picture's pixels as its file stores them. */
#ifndef ART_PICTURE_H
#define ART_PICTURE_H

#include "model/artwork.h"
#include "model/pixels.h"

/* As raster gives them on. */
enum pixel_format art_pixel_format(const struct artwork_facts *facts);

#endif
