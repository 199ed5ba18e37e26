/* Words for browsers: the server's folders are nobody's business. */
#ifndef WEB_PLAIN_H
#define WEB_PLAIN_H

#include "base/arena.h"
#include "base/str.h"

/* `words` without the path of `folder`: FOLDER/T-1/job.yaml becomes T-1/job.yaml, FOLDER alone "the shop's
 * folder". In the arena, or the same when the path is not in them. A folder that is not given from the root
 * is no secret. */
struct str plain_words(struct str words, const char *folder, struct arena *arena);

#endif
