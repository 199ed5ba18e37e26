/* Private: pages that fill from the top, and tables that go on over them. */
#ifndef SHEET_TABLE_H
#define SHEET_TABLE_H

#include "style.h"

/* A4. The margins stay with the paper, the rest depends on which way the book lies. */
enum { PAGE_SHORT = 210, PAGE_LONG = 297, PAGE_MARGIN = 14, PAGE_TOP = 18, STAMP_HIGH = 9, PAGE_FOOT = 14 };

struct book {
    struct arena *arena;
    struct drawing **pages;
    double *ends; /* of each page, where its last thing ended */
    size_t count, capacity, end_capacity;
    bool wide;           /* lies on its long side */
    bool stamped;        /* leaves room for the stamp */
    double x, width;     /* the column that is filled; width 0: the whole page between the margins */
    double y;            /* where the next thing goes on the last page */
    const char *heading; /* what new pages are headed with */
};

double book_inner(const struct book *book);  /* width of the column that is filled */
double book_left(const struct book *book);   /* its left edge */
double book_bottom(const struct book *book); /* of what a page holds */
double book_room(const struct book *book);   /* height of that */
double book_filled(const struct book *book); /* share of it on the current page */
/* What is put from here on goes into this column, from `y` down; width 0: the whole page again. */
void book_column(struct book *book, double x, double width, double y);
struct drawing *book_page(const struct book *book);         /* the current one */
void book_new_page(struct book *book, const char *heading); /* begins with its heading */
/* A part of its own: goes on on this page when `need` mm are left, else on a new one. */
void book_part(struct book *book, const char *heading, double need);
/* A page break when less than `height` mm are left. True when there was one. */
bool book_need(struct book *book, double height);
void book_title(struct book *book, const char *words); /* of a part, kept with what follows */
void book_words(struct book *book, struct letters letters, const char *words); /* a paragraph */
void book_gap(struct book *book, double height);
/* A drawing at the left of the column; on a new page when it does not fit. */
void book_drawing(struct book *book, const struct drawing *drawing);
/* Puts something into the book's column. */
typedef void book_put(void *context);
/* How high it is in a column of that width, drawn on a page that is thrown away; INFINITY: higher than a page. */
double book_height_of(struct book *book, double width, book_put *put, void *context);
/* Width of each of two columns side by side. */
double book_half(const struct book *book);
/* Both side by side on this page, for which there is room; goes on below the higher one. */
void book_side_by_side(struct book *book, book_put *left, book_put *right, void *context);
/* The share of its height that the emptiest page is filled. */
double book_emptiest(const struct book *book);

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
struct sheet_table {
    struct book *book;
    const struct column *columns;
    size_t count;
    double size_mm;      /* of its letters */
    double scale;        /* from the columns' widths to the paper */
    bool headed;         /* its head comes again on the next page */
    size_t most_lines;   /* of a cell; 0: as many as needed */
    double least_row_mm; /* rows to write in by hand are higher */
};
/* Draws the head. The columns' widths are shares: together they are as wide as the book's column. */
struct sheet_table table_begin(struct book *book, const struct column *columns, size_t count, double size_mm);
/* The same without a head. */
struct sheet_table table_bare(struct book *book, const struct column *columns, size_t count, double size_mm);
/* A page break, with the head again, when less than `height` mm are left for the next rows. */
void table_keep(struct sheet_table *table, double height);
/* A row of `count` cells; NULL is an empty one. A cell beginning with '*' is bold.
 * Returns the top of the row. */
double table_row(struct sheet_table *table, const char *const *cells);
void table_end(struct sheet_table *table);

#endif
