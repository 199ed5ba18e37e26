#include "table.h"
#include "base/arena.h"
#include <math.h>

struct drawing *book_page(const struct book *book)
{
    return book->pages[book->count - 1];
}

void book_new_page(struct book *book, const char *heading)
{
    book->heading = heading;
    struct drawing **page =
        arena_append(book->arena, &book->pages, &book->count, &book->capacity, sizeof(struct drawing *));
    *page = drawing_new(book->arena, PAGE_WIDTH, PAGE_HEIGHT, heading);
    struct letters letters = words_bold(6, ALIGN_LEFT);
    letters.most_mm = PAGE_INNER;
    book->y = PAGE_TOP;
    draw_text(*page, (struct point){PAGE_MARGIN, book->y + 5}, letters, heading);
    book->y += 10;
}

bool book_need(struct book *book, double height)
{
    if (book->y + height <= PAGE_BOTTOM) return false;
    book_new_page(book, book->heading);
    return true;
}

void book_gap(struct book *book, double height)
{
    book->y += height;
}

void book_title(struct book *book, const char *words)
{
    book_gap(book, 4);
    book_need(book, 30); /* a title, a table's head and its first row stay together */
    struct letters letters = words_bold(3.7, ALIGN_LEFT);
    letters.most_mm = PAGE_INNER;
    letters.paint = ink_accent();
    draw_text(book_page(book), (struct point){PAGE_MARGIN, book->y + 4}, letters, words);
    book->y += 6.5;
}

void book_words(struct book *book, struct letters letters, const char *words)
{
    letters.most_mm = PAGE_INNER;
    double height = draw_paragraph_height(letters, 0, words);
    book_need(book, height);
    book->y += draw_paragraph(book_page(book), (struct point){PAGE_MARGIN, book->y}, letters, 0, words);
}

void book_drawing(struct book *book, const struct drawing *drawing)
{
    book_need(book, drawing_height(drawing));
    draw_drawing(book_page(book), drawing, affine_shift(PAGE_MARGIN, book->y));
    book->y += drawing_height(drawing);
}

/* ---- what stands on every page ---- */

static void put_stamp(struct drawing *page, const char *stamp)
{
    struct letters letters = words_bold(4.2, ALIGN_CENTRE);
    letters.most_mm = PAGE_INNER - 6;
    letters.paint = ink_white();
    draw_rect(page, rect_of(PAGE_MARGIN, 15.5, PAGE_INNER, 8), filled(paint_rgb(0xa3201d)));
    draw_text(page, (struct point){PAGE_WIDTH / 2.0, 21}, letters, stamp);
}

static void put_frame(const struct book *book, const struct binding *b, struct drawing *page, size_t number)
{
    struct letters job = words_bold(2.8, ALIGN_LEFT), small = words_grey(2.4, ALIGN_LEFT);
    double width = draw_text(page, (struct point){PAGE_MARGIN, 12}, job, b->number);
    small.most_mm = PAGE_INNER - width - 40;
    draw_text(page, (struct point){PAGE_MARGIN + width + 3, 12}, small, b->title ? b->title : "");
    small.most_mm = 0;
    small.align = ALIGN_RIGHT;
    double right = PAGE_WIDTH - PAGE_MARGIN;
    draw_text(page, (struct point){right, 12}, small,
              arena_format(book->arena, "page %zu of %zu", number, book->count));
    draw_line(page, (struct point){PAGE_MARGIN, 14}, (struct point){right, 14}, line_of(ink_black(), 0.3));
    draw_line(page, (struct point){PAGE_MARGIN, 283}, (struct point){right, 283}, line_of(ink_pale(), 0.2));
    draw_text(page, (struct point){right, 287}, small, b->made);
    small.align = ALIGN_LEFT;
    draw_text(page, (struct point){PAGE_MARGIN, 287}, small, b->foot);
    if (b->stamp) put_stamp(page, b->stamp);
}

bool book_finish(const struct book *book, const struct binding *binding, const char *name, int64_t date,
                 struct machine *machine, const char *path, struct error *error)
{
    for (size_t i = 0; i < book->count; i++) put_frame(book, binding, book->pages[i], i + 1);
    return drawings_pdf((const struct drawing *const *)book->pages, book->count, name, date, machine, path,
                        error);
}

/* ---- tables ---- */

#define PAD_MM 1.1

static struct letters cell_letters(const struct table *table, size_t column, const char **words)
{
    struct letters letters = words_of(table->size_mm, table->columns[column].align);
    letters.most_mm = table->columns[column].width_mm - 2 * PAD_MM;
    if (*words && **words == '*') {
        letters.bold = true;
        ++*words;
    }
    return letters;
}

static double row_height(const struct table *table, const char *const *cells, size_t most_lines)
{
    double height = letters_leading(words_of(table->size_mm, ALIGN_LEFT));
    for (size_t i = 0; i < table->count; i++) {
        const char *words = cells[i];
        struct letters letters = cell_letters(table, i, &words);
        if (words) height = fmax(height, draw_paragraph_height(letters, most_lines, words));
    }
    return height + 2 * PAD_MM;
}

static void put_cells(const struct table *table, const char *const *cells, size_t most_lines)
{
    double x = PAGE_MARGIN;
    for (size_t i = 0; i < table->count; i++) {
        const char *words = cells[i];
        struct letters letters = cell_letters(table, i, &words);
        if (words && *words)
            draw_paragraph(book_page(table->book), (struct point){x + PAD_MM, table->book->y + PAD_MM},
                           letters, most_lines, words);
        x += table->columns[i].width_mm;
    }
}

static double table_width(const struct table *table)
{
    double width = 0;
    for (size_t i = 0; i < table->count; i++) width += table->columns[i].width_mm;
    return width;
}

enum { COLUMNS_MOST = 16, HEAD_LINES = 2 };

static void put_head(const struct table *table)
{
    const char *heads[COLUMNS_MOST];
    for (size_t i = 0; i < table->count; i++)
        heads[i] = arena_format(table->book->arena, "*%s", table->columns[i].head);
    double height = row_height(table, heads, HEAD_LINES), width = table_width(table);
    struct drawing *page = book_page(table->book);
    draw_rect(page, rect_of(PAGE_MARGIN, table->book->y, width, height), filled(paint_grey(0.91)));
    put_cells(table, heads, HEAD_LINES);
    table->book->y += height;
}

struct table table_begin(struct book *book, const struct column *columns, size_t count, double size_mm)
{
    struct table table = {book, columns, count < COLUMNS_MOST ? count : COLUMNS_MOST, size_mm, 0, 0};
    book_need(book, 20);
    put_head(&table);
    return table;
}

double table_row(struct table *table, const char *const *cells)
{
    double height = fmax(row_height(table, cells, table->most_lines), table->least_row_mm);
    if (book_need(table->book, height)) put_head(table);
    double top = table->book->y;
    put_cells(table, cells, table->most_lines);
    table->book->y += height;
    draw_line(book_page(table->book), (struct point){PAGE_MARGIN, table->book->y},
              (struct point){PAGE_MARGIN + table_width(table), table->book->y}, line_of(ink_pale(), 0.15));
    return top;
}

void table_end(struct table *table)
{
    table->book->y += 2;
}
