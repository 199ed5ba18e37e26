/* Private to answer: keys of a surface that covers a region only, or is a piece. */
#ifndef ANSWER_SHAPE_H
#define ANSWER_SHAPE_H

#include "base/json.h"
#include "model/plan.h"

/* Nothing when all of it is covered. */
void shape_json(struct json *json, const struct surface *surface);
/* What is cut to its shape in all: lengths along the lines, all copies counted, and how long that takes. Nothing where
 * nothing is. */
void cutting_json(struct json *json, const struct plan *plan);

#endif
