/* The message in which a reader's child tells its parent the facts of a PDF. The child reads hostile files: what
 * comes back is checked like any other input. */
#ifndef PDF_FACTS_WIRE_H
#define PDF_FACTS_WIRE_H

#include "model/artwork.h"
#include <stdbool.h>

struct arena;
struct text;
struct wire_in;

void facts_put(struct text *out, const struct artwork_facts *facts);
/* false: the message is not one of facts_put's, or says what cannot be. What it points to lives in the arena. */
bool facts_get(struct wire_in *in, struct arena *arena, struct artwork_facts *facts);

#endif
