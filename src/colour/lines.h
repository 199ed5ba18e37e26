/* Private to colour: the lines and words of a measurement file. */
#ifndef COLOUR_LINES_H
#define COLOUR_LINES_H

#include "base/arena.h"
#include "base/str.h"
#include <stdbool.h>

struct lines {
    struct str rest; /* to come */
    int line;        /* the current one, from 1 */
};

/* A line ends with LF, CR LF or CR. False at the end. */
bool lines_next(struct lines *lines, struct str *line);

/* Plain words end at a blank; quoted ones stand between " and hold "" for one of them; # begins a remark that
 * goes to the end of the line. Broken: a quoted word without an end. */
enum word_kind { WORD_NONE, WORD_PLAIN, WORD_QUOTED, WORD_BROKEN };
/* Takes the next word off the line; a quoted one comes without its quotes. */
enum word_kind lines_word(struct str *line, struct str *word);

/* What people may read of a word: UTF-8 on one line, at most 200 bytes; what is not UTF-8 shows as '?'. */
const char *lines_kept(struct str word, struct arena *arena);

#endif
