/* The job sheet: one PDF, A4, from which a shop prints, dries, laminates and installs a job. It lies on its long
 * side when a surface is wide. */
#ifndef SHEET_SHEET_H
#define SHEET_SHEET_H

#include "base/error.h"
#include "model/plan.h"

struct machine;

/* An artwork's file as it was when the plan was made. */
struct sheet_file {
    const char *path;   /* as artwork_spec has it */
    const char *sha256; /* 64 hex digits */
    int64_t changed;    /* UTC seconds */
};

struct sheet_options {
    const char *stamp; /* across the top of every page, "NOT TO BE PRINTED: 2 stops"; NULL: none */
    int64_t date;      /* UTC seconds: when the sheet was made */
    bool inches;       /* lengths in inches */
    bool no_cost;      /* without the page of costs */
    const char *version;
    const struct finding *findings; /* of every room, in any order */
    size_t finding_count;
    const struct picture *const
        *previews;                  /* one for each surface of the plan, any may be NULL; may be NULL */
    const struct sheet_file *files; /* of the artworks; those that are not among them have no digest */
    size_t file_count;
    const struct ink_heat *const
        *heats; /* for each surface its ink, or NULL where no limit is passed; may be NULL */
};

/* Nothing is left at `path` when it fails. */
bool sheet_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                 const char *path, struct arena *arena, struct error *error);

/* Stickers for the liner on plain A4: two for each panel, in install sequence, cut apart along the dashes. */
bool labels_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                  const char *path, struct arena *arena, struct error *error);

#endif
