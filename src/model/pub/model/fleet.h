/* Words with fields in them: "Unit {unit}" for a vehicle whose cell in the column `unit` is 204 reads "Unit 204".
 * "{{" stands for {, "}}" for }, and a } alone for itself. */
#ifndef MODEL_FLEET_H
#define MODEL_FLEET_H

#include "base/str.h"
#include "model/shape.h"

struct arena;

/* Takes the next field off the words that begin at *words and leaves *words behind it: "unit" of "{unit}", blanks
 * around it left out. False: there is none any more; then *words is at the end, or at a { that nothing closes. */
bool fleet_next_field(const char **words, struct str *field);
/* Of the column with that name, SIZE_MAX when there is none. */
size_t fleet_column(const struct fleet *fleet, struct str name);
/* The words as they are for one vehicle. A field without a column, and every field without a row, stays as it is
 * written: the job room has refused it. In the arena. */
const char *fleet_words(const struct fleet *fleet, const struct fleet_row *row, const char *words,
                        struct arena *arena);
/* Whether the words can be others on another vehicle. */
bool fleet_words_differ(const char *words);

#endif
