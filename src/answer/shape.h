/* Private to answer: keys of a surface that covers a region only, or is a piece. */
#ifndef ANSWER_SHAPE_H
#define ANSWER_SHAPE_H

#include "base/json.h"
#include "model/surface.h"

/* Nothing when all of it is covered. */
void shape_json(struct json *json, const struct surface *surface);

#endif
