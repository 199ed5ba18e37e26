/* A panel printed again, from the question to the entry: made as it was (run/reprint.h), laid on the shortest roll
 * in stock that takes it, and put on record. */
#ifndef FLOOR_REPRINT_H
#define FLOOR_REPRINT_H

#include "model/record.h"
#include "run/reprint.h"

struct reprint_order {
    struct run_options run; /* job, out, only: SURFACE/PANEL, anyway, ... */
    const char *reason;     /* "torn": the words of the entry */
    const char *who, *key;  /* of the entry; who NULL: not said */
    bool patches;           /* repair pieces too */
    bool off_record;        /* nothing is put on record */
};

/* Opens `run`, which is to be closed whatever this returns; with run->report.errors nothing else was done. Adds
 * to the findings of run/reprint.h:
 *
 *     reprint-batch   stop: the record says on what batch it was printed, and no roll of it in stock fits
 *
 * The entry is a `reprint` of the panel, when it is on record as printed and not yet as to be printed again; with
 * the reason and the roll. */
bool floor_reprint(struct machine *machine, const struct reprint_order *order, struct run *run,
                   struct reprint *reprint, struct error *error);

#endif
