/* A zone's clock changes from the system's table. */
#ifndef RUN_ZONE_FILE_H
#define RUN_ZONE_FILE_H

#include "base/error.h"
#include "base/machine.h"
#include "model/plan.h"

/* `name` is an IANA name ("Europe/Lisbon") or NULL for the machine's own zone. Reads the binary table (TZif,
 * RFC 8536), version 2 or later, with its clock changes up to 2037 and those its rule gives for later years
 * are left out. An unknown name is FAILURE_INPUT; `file` is where it was
 * written. */
bool zone_load(struct machine *machine, const char *name, const char *file, struct arena *arena,
               struct zone **zone, struct error *error);

#endif
