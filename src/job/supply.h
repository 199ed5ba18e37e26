/* Private to the job room: printing that is bought in, in shop and job. */
#ifndef JOB_SUPPLY_H
#define JOB_SUPPLY_H

#include "read.h"

key_reader read_supply, read_printing;
void supply_start(struct supply *supply); /* before it is read: nothing said */
extern const struct group supply_group;

#define PRINTING_WORDS "one of own, bought-in"
#define SUPPLY_WORDS   "a group such as {lead-time: 5 d, price: 38.50 per m2, carriage: 45.00}"

#endif
