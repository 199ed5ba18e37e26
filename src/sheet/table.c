/* Pages of the job sheet: columns, headings, words, tables that break over pages, the frame on each. Called
 * by every part of the sheet; parts know what they say, this file where it fits. */
#include "table.h"
#include "base/arena.h"
#include <math.h>

static double page_width(const struct book *book)
{
    return book->wide ? PAGE_LONG : PAGE_SHORT;
}

static double page_height(const struct book *book)
{
    return book->wide ? PAGE_SHORT : PAGE_LONG;
}

double book_inner(const struct book *book)
{
    return book->width > 0 ? book->width : page_width(book) - 2 * PAGE_MARGIN;
}

double book_left(const struct book *book)
{
    return book->width > 0 ? book->x : PAGE_MARGIN;
}

static double book_top(const struct book *book)
{
    return PAGE_TOP + (book->stamped ? STAMP_HIGH : 0);
}

double book_room(const struct book *book)
{
    return book_bottom(book) - book_top(book);
}

double book_filled(const struct book *book)
{
    return (book->y - book_top(book)) / book_room(book);
}

double book_bottom(const struct book *book)
{
    return page_height(book) - PAGE_FOOT;
}

void book_column(struct book *book, double x, double width, double y)
{
    book->x = x, book->width = width, book->y = y;
}

struct drawing *book_page(const struct book *book)
{
    return book->pages[book->count - 1];
}

static void put_heading(struct book *book, const char *heading)
{
    struct letters letters = words_bold(5.4, ALIGN_LEFT);
    letters.most_mm = book_inner(book);
    draw_text(book_page(book), (struct point){book_left(book), book->y + 4.6}, letters, heading);
    book->y += 8.5;
}

void book_new_page(struct book *book, const char *heading)
{
    book->heading = heading;
    if (book->count) book->ends[book->count - 1] = book->y;
    struct drawing **page =
        arena_append(book->arena, &book->pages, &book->count, &book->capacity, sizeof(struct drawing *));
    size_t count = book->count - 1;
    arena_append(book->arena, &book->ends, &count, &book->end_capacity, sizeof(double));
    *page = drawing_new(book->arena, page_width(book), page_height(book), heading);
    book->y = book_top(book);
    put_heading(book, heading);
}

void book_part(struct book *book, const char *heading, double need)
{
    static const double above_mm = 5, heading_mm = 8.5;
    if (!book->count || book->y + above_mm + heading_mm + need > book_bottom(book)) {
        book_new_page(book, heading);
        return;
    }
    book->heading = heading;
    book->y += above_mm;
    put_heading(book, heading);
}

bool book_need(struct book *book, double height)
{
    if (book->y + height <= book_bottom(book)) return false;
    book_new_page(book, book->heading);
    return true;
}

void book_gap(struct book *book, double height)
{
    book->y += height;
}

void book_title(struct book *book, const char *words)
{
    book_gap(book, 3);
    book_need(book, 24); /* a title, a table's head and its first row stay together */
    struct letters letters = words_bold(3.7, ALIGN_LEFT);
    letters.most_mm = book_inner(book);
    letters.paint = ink_accent();
    draw_text(book_page(book), (struct point){book_left(book), book->y + 4}, letters, words);
    book->y += 5.8;
}

void book_words(struct book *book, struct letters letters, const char *words)
{
    letters.most_mm = book_inner(book);
    double height = draw_paragraph_height(letters, 0, words);
    book_need(book, height);
    book->y += draw_paragraph(book_page(book), (struct point){book_left(book), book->y}, letters, 0, words);
}

void book_drawing(struct book *book, const struct drawing *drawing)
{
    book_need(book, drawing_height(drawing));
    draw_drawing(book_page(book), drawing, affine_shift(book_left(book), book->y));
    book->y += drawing_height(drawing);
}

double book_height_of(struct book *book, double width, book_put *put, void *context)
{
    struct book kept = *book;
    *book = (struct book){.arena = kept.arena, .wide = kept.wide, .stamped = kept.stamped};
    book_new_page(book, kept.heading);
    double top = book->y;
    book_column(book, PAGE_MARGIN, width, top);
    put(context);
    double height = book->count > 1 ? INFINITY : book->y - top;
    *book = kept;
    return height;
}

static const double GUTTER_MM = 8;

double book_half(const struct book *book)
{
    return (book_inner(book) - GUTTER_MM) / 2;
}

void book_side_by_side(struct book *book, book_put *left, book_put *right, void *context)
{
    double x = book_left(book), y = book->y, width = book_half(book);
    book_column(book, x, width, y);
    left(context);
    double end = book->y;
    book_column(book, x + width + GUTTER_MM, width, y);
    right(context);
    book_column(book, 0, 0, fmax(end, book->y));
}

double book_emptiest(const struct book *book)
{
    double least = 1, height = book_room(book);
    for (size_t i = 0; i < book->count; i++) {
        double end = i + 1 == book->count ? book->y : book->ends[i];
        least = fmin(least, (end - book_top(book)) / height);
    }
    return least;
}

/* ---- what stands on every page ---- */

static void put_stamp(struct drawing *page, double width, const char *stamp)
{
    struct letters letters = words_bold(4.2, ALIGN_CENTRE);
    letters.most_mm = width - 2 * PAGE_MARGIN - 6;
    letters.paint = ink_white();
    draw_rect(page, rect_of(PAGE_MARGIN, 15.5, width - 2 * PAGE_MARGIN, 8), filled(paint_rgb(0xa3201d)));
    draw_text(page, (struct point){width / 2, 21}, letters, stamp);
}

static void put_frame(const struct book *book, const struct binding *b, struct drawing *page, size_t number)
{
    struct letters job = words_bold(TYPE_MM, ALIGN_LEFT), small = words_grey(TYPE_MM, ALIGN_LEFT);
    double right = page_width(book) - PAGE_MARGIN, foot = page_height(book) - 11.5;
    double width = draw_text(page, (struct point){PAGE_MARGIN, 12}, job, b->number);
    small.most_mm = right - PAGE_MARGIN - width - 40;
    draw_text(page, (struct point){PAGE_MARGIN + width + 3, 12}, small, b->title ? b->title : "");
    small.most_mm = 0;
    small.align = ALIGN_RIGHT;
    draw_text(page, (struct point){right, 12}, small,
              arena_format(book->arena, "page %zu of %zu", number, book->count));
    draw_line(page, (struct point){PAGE_MARGIN, 14}, (struct point){right, 14}, line_of(ink_black(), 0.3));
    draw_line(page, (struct point){PAGE_MARGIN, foot}, (struct point){right, foot}, line_of(ink_pale(), 0.2));
    double made = draw_text_width(small, b->made);
    draw_text(page, (struct point){right, foot + 4.2}, small, b->made);
    small.align = ALIGN_LEFT;
    small.most_mm = right - PAGE_MARGIN - made - 4;
    draw_text(page, (struct point){PAGE_MARGIN, foot + 4.2}, small, b->foot);
    if (b->stamp) put_stamp(page, page_width(book), b->stamp);
}

bool book_finish(const struct book *book, const struct binding *binding, const char *name, int64_t date,
                 struct machine *machine, const char *path, struct error *error)
{
    for (size_t i = 0; i < book->count; i++) put_frame(book, binding, book->pages[i], i + 1);
    return drawings_pdf((const struct drawing *const *)book->pages, book->count, name, date, machine, path,
                        error);
}

/* ---- tables ---- */

#define PAD_MM  0.9 /* above and below a cell's words */
#define SIDE_MM 1.4 /* beside them */

static struct letters cell_letters(const struct sheet_table *table, size_t column, const char **words)
{
    struct letters letters = words_of(table->size_mm, table->columns[column].align);
    letters.most_mm = table->columns[column].width_mm * table->scale - 2 * SIDE_MM;
    if (*words && **words == '*') {
        letters.bold = true;
        ++*words;
    }
    return letters;
}

static double row_height(const struct sheet_table *table, const char *const *cells, size_t most_lines)
{
    double height = letters_leading(words_of(table->size_mm, ALIGN_LEFT));
    for (size_t i = 0; i < table->count; i++) {
        const char *words = cells[i];
        struct letters letters = cell_letters(table, i, &words);
        if (words) height = fmax(height, draw_paragraph_height(letters, most_lines, words));
    }
    return height + 2 * PAD_MM;
}

static void table_put_cells(const struct sheet_table *table, const char *const *cells, size_t most_lines)
{
    double x = book_left(table->book);
    for (size_t i = 0; i < table->count; i++) {
        const char *words = cells[i];
        struct letters letters = cell_letters(table, i, &words);
        if (words && *words)
            draw_paragraph(book_page(table->book), (struct point){x + SIDE_MM, table->book->y + PAD_MM},
                           letters, most_lines, words);
        x += table->columns[i].width_mm * table->scale;
    }
}

enum { COLUMNS_MOST = 16, HEAD_LINES = 2 };

static void put_head(const struct sheet_table *table)
{
    const char *heads[COLUMNS_MOST];
    for (size_t i = 0; i < table->count; i++)
        heads[i] = arena_format(table->book->arena, "*%s", table->columns[i].head);
    double height = row_height(table, heads, HEAD_LINES), width = book_inner(table->book);
    struct drawing *page = book_page(table->book);
    draw_rect(page, rect_of(book_left(table->book), table->book->y, width, height), filled(paint_grey(0.91)));
    table_put_cells(table, heads, HEAD_LINES);
    table->book->y += height;
}

struct sheet_table table_bare(struct book *book, const struct column *columns, size_t count, double size_mm)
{
    struct sheet_table table = {.book = book,
                                .columns = columns,
                                .count = count < COLUMNS_MOST ? count : COLUMNS_MOST,
                                .size_mm = size_mm};
    double width = 0;
    for (size_t i = 0; i < table.count; i++) width += columns[i].width_mm;
    table.scale = book_inner(book) / width;
    return table;
}

struct sheet_table table_begin(struct book *book, const struct column *columns, size_t count, double size_mm)
{
    struct sheet_table table = table_bare(book, columns, count, size_mm);
    book_need(book, 20);
    table.headed = true;
    put_head(&table);
    return table;
}

/* Of a cell: as many as the table allows, and no more than a page holds. */
static size_t most_lines(const struct sheet_table *table)
{
    const double head_mm = 40; /* the page's heading and the table's */
    double leading = letters_leading(words_of(table->size_mm, ALIGN_LEFT));
    size_t page = (size_t)((book_room(table->book) - head_mm) / leading);
    return table->most_lines && table->most_lines < page ? table->most_lines : page;
}

void table_keep(struct sheet_table *table, double height)
{
    if (book_need(table->book, height) && table->headed) put_head(table);
}

double table_row(struct sheet_table *table, const char *const *cells)
{
    size_t most = most_lines(table);
    double height = fmax(row_height(table, cells, most), table->least_row_mm);
    table_keep(table, height);
    double top = table->book->y;
    table_put_cells(table, cells, most);
    table->book->y += height;
    draw_line(book_page(table->book), (struct point){book_left(table->book), table->book->y},
              (struct point){book_left(table->book) + book_inner(table->book), table->book->y},
              line_of(ink_pale(), 0.15));
    return top;
}

void table_end(struct sheet_table *table)
{
    table->book->y += 2;
}
