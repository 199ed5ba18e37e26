/* Private: pages that fill from the top, and tables that go on over them. */
#ifndef SHEET_TABLE_H
#define SHEET_TABLE_H

#include "style.h"

enum { PAGE_WIDTH = 210, PAGE_HEIGHT = 297, PAGE_MARGIN = 15, PAGE_TOP = 27, PAGE_BOTTOM = 279 };
#define PAGE_INNER (PAGE_WIDTH - 2 * PAGE_MARGIN)

struct book {
    struct arena *arena;
    struct drawing **pages;
    size_t count, capacity;
    double y;            /* where the next thing goes on the last page */
    const char *heading; /* what new pages are headed with */
};

struct drawing *book_page(const struct book *book);         /* the current one */
void book_new_page(struct book *book, const char *heading); /* begins with its heading */
/* A page break when less than `height` mm are left. True when there was one. */
bool book_need(struct book *book, double height);
void book_title(struct book *book, const char *words); /* of a part, kept with what follows */
void book_words(struct book *book, struct letters letters, const char *words); /* a paragraph */
void book_gap(struct book *book, double height);
/* A drawing at the left margin; on a new page when it does not fit. */
void book_drawing(struct book *book, const struct drawing *drawing);

/* What stands on every page. */
struct binding {
    const char *number, *title; /* of the job; title may be NULL */
    const char *made;           /* "made Mon 1 Mar 2027, 08:00 by lapstrake 0.1.0" */
    const char *foot;           /* one line at the foot */
    const char *stamp;          /* across the top, NULL: none */
};
/* Numbers the pages and writes the file; nothing is left at `path` when it fails. */
bool book_finish(const struct book *book, const struct binding *binding, const char *name, int64_t date,
                 struct machine *machine, const char *path, struct error *error);

struct column {
    const char *head;
    double width_mm;
    enum align align;
};
struct table {
    struct book *book;
    const struct column *columns;
    size_t count;
    double size_mm;      /* of its letters */
    size_t most_lines;   /* of a cell; 0: as many as needed */
    double least_row_mm; /* rows to write in by hand are higher */
};
/* Draws the head. Columns should add up to PAGE_INNER at most. */
struct table table_begin(struct book *book, const struct column *columns, size_t count, double size_mm);
/* A row of `count` cells; NULL is an empty one. A cell beginning with '*' is bold.
 * Returns the top of the row. */
double table_row(struct table *table, const char *const *cells);
void table_end(struct table *table);

#endif
