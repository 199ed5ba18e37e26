/* What many answers contain, as JSON. */
#ifndef WEB_WRITE_H
#define WEB_WRITE_H

#include "base/json.h"
#include "base/report.h"
#include "model/record.h"
#include "request.h"

/* {"s": UTC seconds, "words": "Thu 4 Mar, 10:40"}; null for 0. */
void write_time(struct json *json, const char *key, const struct zone *zone, int64_t at);
/* A number or null for NAN. */
void write_figure(struct json *json, const char *key, double value, int decimals);
void write_strings(struct json *json, const char *key, const char **strings, size_t count);
void write_fact(struct json *json, const struct fact *fact, const struct zone *zone);
void write_state(struct json *json, const struct panel_state *state, const struct zone *zone);
/* "why", and which sentence that is, of what: "id", "args". */
void write_reason(struct json *json, const struct reason *reason);
void write_next(struct json *json, const struct next_step *next, const struct zone *zone);
/* "laminate" for FACT_LAMINATED: what a button says. */
const char *write_step_name(enum fact_kind kind);
/* "mistakes": [{"where": "job.yaml:12:3", "text": "..."}]; an empty list for NULL. */
void write_mistakes(struct json *json, const struct report *report);
/* "who", "role", "open", and "may": what this person may do here: "look"; with the role shop also "record"
 * (what was done, stock), "change" (jobs: edit, try, plan, make, files, new ones) and "people". */
void write_visitor(struct json *json, const struct visitor *visitor);

#endif
