/* Between shop.c and stock.c; private to the room. */
#ifndef JOB_STOCK_H
#define JOB_STOCK_H

#include "read.h"

key_reader read_printers, read_films, read_laminates, read_inks, read_conditions, read_reference;

#endif
