/* What a program reads: plans, jobs, the shop and entries as JSON, entries as CSV too. The rooms that know
 * them give structs; here they are only written down, in the order of the struct's meaning, so that the same
 * structs give the same bytes. Used by cli for files in OUT and `--json`, by web for what the page asks.
 *
 * Where something is found on a server is not known here: addresses come in from web.
 *
 * With a `struct json *` a function writes members into a group that is open, or one value under `key`; with
 * a `struct text *` a whole document. Words that are made on the way live in the arena of the text. */
#ifndef ANSWER_ANSWER_H
#define ANSWER_ANSWER_H

#include "base/error.h"
#include "base/str.h"
#include "base/text.h"
#include <stddef.h>

struct fact;
struct finding;
struct findings;
struct json;
struct picture;
struct plan;
struct proof;
struct reprint;
struct run;
struct shop;
struct shop_conditions;
struct surface_plan;
struct upload_facts;
struct used_report;
struct zone;

/* ---- a plan: doc/plan.md and doc/plan.schema.json say what stands in it ---- */

/* What "format" says in plan.json. Within lapstrake-plan/1 keys are only added; a changed meaning makes it
 * /2. */
#define PLAN_FORMAT "lapstrake-plan/1"

/* The whole plan with `findings` (all rooms' together). */
void answer_plan(const struct plan *plan, const struct findings *findings, struct text *out);
/* The plan of a run with its findings; {"job", "findings"} when there is no plan. */
void answer_run(const struct run *run, struct text *out);
/* Parts of it: a surface under `key` (NULL in a list) with the rectangle of its preview (NULL: it has none),
 * the members "chosen", "alternatives", "price_note" and its id, and "decided_by". */
void answer_surface(struct json *json, const char *key, const struct surface_plan *surface,
                    const struct picture *preview);
void answer_alternatives(struct json *json, const struct plan *plan);
void answer_decided(struct json *json, const struct plan *plan);
/* The list "findings": an object for each, as doc/plan.schema.json has it. */
void answer_findings(struct json *json, const struct findings *findings);

/* OUT/plan.json of a planned run, whole or not at all. *json, which may be left out (NULL), is the text: the
 * record keeps it with the version. In the run's arena. */
bool answer_write_plan(struct run *run, struct str *json, struct error *error);
/* OUT/ink.json (doc/plan.md): the ink counted on the TIFF panels that this run made. No file without them. */
bool answer_write_ink(struct run *run, struct error *error);

/* A proof for the customer (run/proof.h), as OUT/proof.json:
 *
 *     {"format": "lapstrake-proof/1", "job", "title", "version": 2,
 *      "letters": "ABCDEFGH", "fingerprint": SHA-256 of "basis",     model/proof.h says how they are made
 *      "basis": "the lines that the letters stand for",
 *      "approved": {"letters", "how", "who", "at"},                  the last on record; null: none
 *      "files": [{"file", "revision", "sha256"}],
 *      "lettering": ["all that is text"],
 *      "surfaces": [{"name", "width_mm", "height_mm", "film", "laminate", "artwork": true,
 *                    "colours_known": true, "colours": [{"cmyk_percent": [C, M, Y, K], "share_percent",
 *                    "at_mm": [x, y], "shown_rgb"}], "spots": ["red"],
 *                    "lettering": [{"words" or null, "drawn_as_shapes", "box_mm"}],
 *                    "not_covered": [{"name", "box_mm", "why"}]}]} */
void answer_proof(const struct proof *proof, struct text *out);
/* OUT/proof.json of run->proof. */
bool answer_write_proof(struct run *run, struct error *error);

/* A panel printed again (run/reprint.h):
 *
 *     {"format": "lapstrake-reprint/1", "job", "surface", "panel",
 *      "compared_with": "record",          or "made": what `make` keeps; null: it was never made
 *      "same": true, "file", "sha256",     file and sha256 null: it was not made
 *      "patches", "patch_count",           the sheet of repair pieces; null, and 0, without
 *      "same_bytes": true,                 as the file that was made then; null: no such file is known
 *      "feed_percent", "material": {"film", "film_mm", "laminate", "ink_ml", "roll": {"name", "batch", ...}},
 *      "entry": 12,                        on record; null: nothing was put there
 *      "findings": [as in plan.json]} */
void answer_reprint(const struct run *run, const struct reprint *reprint, struct text *out);

/* Planned against used (model/used.h):
 *
 *     {"format": "lapstrake-used/1",
 *      "jobs": [{"job", "title", "printed": true,      all of it
 *                "lines": [{"what": "film", "of", "unit", "planned", "used", "ratio", "from": "used"}]}],
 *                                            from: the entries `used` or what follows from the "prints"
 *      "rates": [{"what", "of", "jobs", "median", "low", "high", "sure", "key", "now", "suggested",
 *                 "suggested_low", "suggested_high"}]}       of ratios; null what is not known
 *
 * The jobs' lines as a table for a spreadsheet: CSV (RFC 4180). */
void answer_used(const struct used_report *report, struct text *out);
void answer_used_csv(const struct used_report *report, struct text *out);

/* ---- the shop's rolls: doc/rolls.md ---- */

struct roll_layout;
/* A whole document, OUT/rolls.json. */
void answer_rolls(const struct roll_layout *layout, struct text *out);

/* ---- a job folder and the shop, for the page's editor ---- */

/* Every key of the job file and every kind of feature: {"keys": [{"group", "name", "form", ...}], "kinds"}. */
void answer_keys(struct text *out);
/* The bytes of a job.yaml as they are written: {"fingerprint", "tree"}. FAILURE_INPUT when they are no
 * YAML. */
bool answer_written(struct str yaml, const char *fingerprint, struct text *out, struct error *error);
/* The list "surfaces" of an opened job, planned or not: outline, artwork's preview, features with the path
 * that leads to them in job.yaml. `previews`: for each surface of the run the address of its artwork's
 * picture, NULL where there is none. */
void answer_surfaces(struct json *json, const struct run *run, const char *const *previews);
/* "films", "laminates" and "inks" of a shop, by name; empty lists without one (NULL). */
void answer_goods(struct json *json, const struct shop *shop);
/* {"trouble", "conditions"}: printing conditions with what their profiles are. */
void answer_conditions(const struct shop_conditions *shop, struct text *out);

/* What a file that came in says of itself, before it is on a surface:
 *
 *     {"file": "left.pdf", "kind": "PDF", "usable": true, "trouble": null, "pages": 2,
 *      "width_mm": 550, "height_mm": 200,      as it would be placed at scale 1: the trim, as displayed;
 *                                              null for a picture that states no resolution
 *      "trim_mm": [x0, y0, x1, y1], "bleed_mm": [...], "media_mm": [...],      null likewise
 *      "width_px": null, "height_px": null, "x_ppi": null, "y_ppi": null, "bits": null,      pictures only
 *      "colour": "CMYK",                       pictures: GREY, RGB, CMYK, LAB, SPOT, OTHER; a PDF: what its
 *                                              first page uses, such as "CMYK, RGB, spot"
 *      "profile": false,                       pictures: with a colour profile of their own, or calibrated
 *      "output_intent": null, "spots": ["red"],
 *      "findings": [as in plan.json; `where` is the file]}
 *
 * A file that cannot be used has "usable": false, its trouble in one sentence and a finding; the rest is
 * null. */
void answer_upload(const struct upload_facts *upload, struct text *out);

/* ---- entries: doc/record.md ---- */

/* "lapstrake-record/1": a field that an entry does not have is left out; times are written in `zone`. */
void answer_facts(const struct fact *facts, size_t count, const struct zone *zone, struct text *out);
/* The same as a table for a spreadsheet: CSV (RFC 4180), a column for each field. */
void answer_facts_csv(const struct fact *facts, size_t count, const struct zone *zone, struct text *out);

#endif
