/* Text set on a surface, and the fleet whose fields it may hold. Private to the room. */
#ifndef JOB_TEXTS_H
#define JOB_TEXTS_H

#include "read.h"

#define VEHICLES_WORDS "a number from 1 to 500, or a CSV file such as fleet.csv"
key_reader read_surface_texts, read_vehicles;
extern const struct group text_group;
/* When all is read: a field that is no column of the fleet is reported. */
void texts_finish(struct reading *reading);

#endif
