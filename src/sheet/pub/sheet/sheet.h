/* The job sheet: one PDF, A4 upright, from which a shop prints, dries, laminates and installs a job. */
#ifndef SHEET_SHEET_H
#define SHEET_SHEET_H

#include "base/error.h"
#include "model/plan.h"

struct machine;

struct sheet_options {
    const char *stamp; /* across the top of every page, "NOT TO BE PRINTED: 2 stops"; NULL: none */
    int64_t date;      /* UTC seconds: when the sheet was made */
    bool inches;       /* lengths in inches */
    const char *version;
    const struct ink_heat *const
        *heats; /* for each surface its ink, or NULL where no limit is passed; may be NULL */
};

/* `all` are the findings of every room, in any order; `previews` has one entry for each surface of the plan,
 * any may be NULL, and may be NULL itself. Nothing is left at `path` when it fails. */
bool sheet_write(const struct plan *plan, const struct finding *all, size_t finding_count,
                 const struct picture *const *previews, const struct sheet_options *options,
                 struct machine *machine, const char *path, struct arena *arena, struct error *error);

/* Stickers for the liner on plain A4: two for each panel, in install sequence, cut apart along the dashes. */
bool labels_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                  const char *path, struct arena *arena, struct error *error);

#endif
