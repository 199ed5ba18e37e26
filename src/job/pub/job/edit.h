/* Changing a person's job.yaml without rewriting it: the value of one key is cut out and the new one put in
 * its place; every other byte, comments and order stay. A new key goes behind the last one of its group, in
 * the group's own indentation. Only YAML block and flow style as job_load reads them; a job.json is refused
 * with a sentence.
 *
 * A path names keys from the top, with list entries by number from 0 or, for surfaces, by name:
 *     title                 print.overlap            surfaces.left.seams
 *     surfaces.left.features.2.box                   surfaces.left.features.+   (a new entry at the end)
 * Keys and groups on the way that are not there are made, and so is a surface named that the file does not
 * have yet (one of the vehicle's). A surface's name goes before its number.
 *
 * A value is YAML text of one line: `12 mm`, `[1310, 2690]`, `{kind: handle, box: [1, 2, 3, 4]}`; words that
 * YAML would read otherwise are quoted by job_quote. NULL takes the key or the entry out, with a comment on
 * its last line; comments on lines of their own stay. The last entry of a block leaves [] or {}. */
#ifndef JOB_EDIT_H
#define JOB_EDIT_H

#include "base/error.h"
#include "base/report.h"
#include "base/str.h"
#include "base/text.h"
#include "model/job.h"

struct arena;
struct machine;

enum { JOB_CHANGES_MOST = 200 };

/* Applies the changes, in order, to `text` (a job.yaml's bytes) into `out`. FAILURE_INPUT when a path leads
 * nowhere, the text is not YAML, or is written in a way that cannot be changed without reading otherwise
 * elsewhere; nothing of the schema is checked here. */
bool job_edit(struct str text, const struct job_change *changes, size_t count, struct arena *arena,
              struct text *out, struct error *error);

/* The same on a file: reads it, refuses when its fingerprint is not the edit's (FAILURE_INPUT with a conflict),
 * applies, checks the result as job_load would, and only when it has no mistake that was not there before
 * replaces the file, durably. New mistakes go to the report, and false is returned with the first of them.
 * One call at a time for a file. */
bool job_edit_file(struct machine *machine, const char *path, const struct job_edit *edit,
                   struct arena *arena, struct report *report, struct job_edited *edited,
                   struct error *error);
/* Keeps a fleet's table (doc/pieces.md), `bytes` as a spreadsheet writes them, as the CSV file that the job names beside
 * itself, else as a new one, which it then names. Otherwise as job_edit_file; a mistake in the table has its place there.
 * With a mistake neither file is touched. */
bool job_keep_fleet(struct machine *machine, const char *path, const char *fingerprint, struct str bytes,
                    struct arena *arena, struct report *report, struct job_edited *edited,
                    struct error *error);
bool job_file_fingerprint(struct machine *machine, const char *path, struct arena *arena,
                          char fingerprint[17], struct error *error);

/* `words`, which are UTF-8, as a YAML scalar of one line that reads back as those words, in brackets too. */
const char *job_quote(const char *words, struct arena *arena);

/* A new job folder `folder` (which must not exist) with the least job.yaml: number, title, and `shop:` as
 * given (a path relative to the folder, as people write it); both may be NULL. */
bool job_new(struct machine *machine, const char *folder, const char *number, const char *title,
             const char *shop, struct arena *arena, struct error *error);

/* A job.yaml as it is written, as one JSON value: groups are objects, lists lists, everything else the words
 * that stand there, null where nothing does. FAILURE_INPUT when it is no YAML. */
struct json;
bool job_written_json(struct str text, struct arena *arena, struct json *json, const char *key,
                      struct error *error);

#endif
