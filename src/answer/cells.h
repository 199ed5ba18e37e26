/* Private to answer: a cell of CSV (RFC 4180); `first` of its row; NULL: an empty one. */
#ifndef ANSWER_CELLS_H
#define ANSWER_CELLS_H

#include "base/text.h"

void answer_add_cell(struct text *out, bool first, const char *words);

#endif
