/* Private to art: spot colours that are not ink. */
#ifndef ART_TECHNICAL_H
#define ART_TECHNICAL_H

#include <stdbool.h>

struct arena;

/* Whether the name says, in plain words of a few languages and in nothing else, that it is for cutting,
 * creasing, perforating, varnish, white or annotation: "Kiss cut", "Stanzlinie 2", "vernis", not "Snow
 * White". */
bool spot_is_technical(const char *name, struct arena *arena);

#endif
