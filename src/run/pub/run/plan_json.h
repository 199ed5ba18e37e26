/* The plan as JSON: doc/plan.md and doc/plan.schema.json say what stands in it, and the rule for its version:
 * within lapstrake-plan/1 keys are only added; a changed meaning makes it /2. */
#ifndef RUN_PLAN_JSON_H
#define RUN_PLAN_JSON_H

#include "base/text.h"
#include "model/plan.h"

/* What "format" says in plan.json. */
#define PLAN_FORMAT "lapstrake-plan/1"

/* Writes the whole plan with `findings` (all rooms' together). */
void plan_json_write(const struct plan *plan, const struct findings *findings, struct text *out);
struct json;
/* Parts of it, for answers of the page: a surface under `key` (NULL in a list) with the rectangle of its
 * preview (NULL: it has none), and the members "chosen", "alternatives" and "price_note". */
void plan_surface_json(struct json *json, const char *key, const struct surface_plan *surface,
                       const struct picture *preview);
void plan_alternatives_json(struct json *json, const struct plan *plan);
/* One finding as an object in a list, for this and for `check --json`. */
void finding_json(struct json *json, const struct finding *finding);

#endif
