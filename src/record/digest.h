/* Private to record: digests that chain facts. SHA-256 over the digest before and every column of the fact,
 * each with its length, so that no two facts give the same bytes. */
#ifndef RECORD_DIGEST_H
#define RECORD_DIGEST_H

#include "model/record.h"
#include "base/str.h"

void digest_fact(const char *before, const struct fact *fact, char hex[65]);
/* Of a plan version: its terms and the whole plan.json. */
void digest_plan(const struct job_terms *terms, struct str plan_json, char hex[65]);
void digest_bytes(struct str bytes, char hex[65]);

#endif
