/* The shop's cutters: between shop.c and cutters.c; private to the room. */
#ifndef JOB_CUTTERS_H
#define JOB_CUTTERS_H

#include "read.h"

key_reader read_cutters;

#endif
