/* A table in comma-separated values (RFC 4180), as spreadsheets write them: with commas, semicolons or tabs, whichever
 * the first line has most of; UTF-8 with or without its byte order mark, else ISO 8859-1, which a remark says; lines end
 * in CRLF, LF or CR. Empty lines are left out. Private to the room. */
#ifndef JOB_CSV_H
#define JOB_CSV_H

#include "reading.h"
#include "base/str.h"

struct csv_cell {
    const char *words; /* UTF-8, blanks around it left out unless it was quoted */
    int line, column;  /* of its first letter, from 1, counted in letters */
};

struct csv_row {
    struct csv_cell *cells;
    size_t count, capacity;
    int line;
};

struct csv {
    struct csv_row *rows;
    size_t count, capacity;
};

struct csv_limits {
    size_t rows, columns, cell_bytes; /* at most */
};

/* Every mistake goes to the reading's report under its `file`. False: there was one; what is in `csv` is then not to
 * be used. */
bool csv_read(struct reading *reading, struct str bytes, struct csv_limits limits, struct csv *csv);

#endif
