/* The customer's artwork: read, placed on a surface, judged. */
#ifndef ART_ART_H
#define ART_ART_H

#include "base/error.h"
#include "base/machine.h"
#include "base/report.h"
#include "base/str.h"
#include "model/artwork.h"
#include "model/finding.h"

/* Facts of each artwork of the surface, each placed. A file that
 * cannot be used (damaged, locked, no such page) gives its stop and is left out of `art`. A file that is not
 * there goes to the report with its place in the job file. Only the surface's name, size, bleed and spec are
 * looked at: what it covers may hang on its artwork. */
bool art_read(struct machine *machine, const struct surface *surface, const struct notes *notes,
              struct surface_art *art, struct error *error);

/* The same of a file that is on no surface yet, its first page: facts, and the findings that need no placing.
 * They stand at `subject`, what a person calls the file. */
bool art_read_file(struct machine *machine, const char *path, const char *subject, struct arena *arena,
                   struct artwork_facts *facts, struct findings *findings, struct error *error);
void art_judge_file(const struct artwork_facts *facts, const char *subject, struct findings *findings);

/* Where an artwork lands, from its facts and what the job says: `at` with `scale`, `width` or `resolution`,
 * or `fit`; with none of these it is centred. Pure. */
struct placed_art art_place(const struct surface *surface, const struct artwork_spec *spec,
                            const struct artwork_facts *facts);

/* The findings on placed artwork, when it is known what the surface covers. Pure.
 *
 * `condition_profile` are the bytes of the surface's condition's profile (length 0: none), to tell whether an
 * artwork was made for another printing condition. `spots_kept`: output keeps spot colours (PDF). */
void art_judge(const struct surface *surface, const struct surface_art *art, struct str condition_profile,
               bool spots_kept, struct findings *findings);

#endif
