/* The library van's three artworks: stories stream out of an open book and run along the van to its front. */
#include "artworks.h"
#include "landscape.h"
#include "motifs.h"
#include <stddef.h>

/* The van's side, and what is drawn beyond it. */
static const double side_width = 5600, side_height = 2000, bleed = 50;

static const char county[] = "Marrowdale County Libraries";
static const char telephone[] = "Call 555 0142";
static const char *const hours[] = {"Mon to Fri  9:00 - 18:00", "Saturday  10:00 - 13:00"};
static const char *const stops[][2] = {
    {"Mon", "Quillbridge Market"}, {"Tue", "Thistlemere School"}, {"Wed", "Otterwick Green"},
    {"Thu", "Emberfold Mill"},     {"Fri", "Saltmarrow Quay"},
};
enum { HOURS = sizeof hours / sizeof *hours, STOPS = sizeof stops / sizeof *stops };

/* ---- what both sides share; drawn for a van whose front is at the left ---- */

/* A band of colour that starts at the book (right) and runs to the nose (left). Heights at the nose and at
 * the rear edge; it dips in between. */
struct ribbon {
    double nose, nose_width, dip, dip_width, rear, rear_width;
    const struct tint *first, *last;
};

static void draw_ribbon(struct canvas *canvas, const struct ribbon *r)
{
    double left = -150, right = side_width + 150, a = 1500, b = 3300;
    struct path path = path_new(canvas->arena);
    path_move(&path, left, r->nose);
    path_curve(&path, a, r->nose + 260, a + 300, r->dip - 120, b, r->dip);
    path_curve(&path, b + 900, r->dip + 70, right - 900, r->rear - 160, right, r->rear);
    path_line(&path, right, r->rear + r->rear_width);
    path_curve(&path, right - 900, r->rear + r->rear_width - 160, b + 900, r->dip + r->dip_width + 70, b,
               r->dip + r->dip_width);
    path_curve(&path, a + 300, r->dip + r->dip_width - 120, a, r->nose + r->nose_width + 260, left,
               r->nose + r->nose_width);
    path_close(&path);
    canvas->shade(canvas->self, &path, (struct point){0, 0}, (struct point){side_width, 0}, r->first,
                  r->last);
}

static void draw_ground(struct canvas *canvas)
{
    struct path all = path_new(canvas->arena);
    path_rect(&all, -200, -200, side_width + 400, side_height + 400);
    canvas->shade(canvas->self, &all, (struct point){200, 1900}, (struct point){5400, 300}, &night, &deep);
    motif_glow(canvas, 3500, 800, 1500, &teal, 0.16);
    motif_glow(canvas, 3500, 800, 1150, &teal, 0.18);
    motif_glow(canvas, 3500, 800, 820, &mint, 0.16);
    motif_glow(canvas, 400, 1900, 700, &teal, 0.12);
    static const double sparks[][3] = {{2060, 1905, 16}, {3160, 1900, 12}, {4130, 1910, 18}, {5290, 1890, 14},
                                       {4430, 1400, 12}, {5470, 1330, 12}, {1770, 1180, 12}, {4520, 1100, 9},
                                       {1250, 1800, 14}, {1800, 1760, 9},  {2760, 1120, 8},  {740, 900, 10}};
    for (size_t i = 0; i < sizeof sparks / sizeof *sparks; i++)
        motif_glow(canvas, sparks[i][0], sparks[i][1], sparks[i][2], &sun, 0.85);
}

static void draw_ribbons(struct canvas *canvas)
{
    static const struct ribbon ribbons[] = {
        {60, 300, -170, 190, -90, 260, &teal, &mint},   {330, 130, -20, 120, 110, 150, &plum, &coral},
        {450, 150, 80, 130, 230, 130, &coral, &orange}, {590, 100, 190, 90, 350, 80, &orange, &sun},
        {684, 40, 272, 34, 424, 30, &cream, &paper},
    };
    for (size_t i = 0; i < sizeof ribbons / sizeof *ribbons; i++) draw_ribbon(canvas, &ribbons[i]);
}

static void draw_flight(struct canvas *canvas, double x, double y, double step)
{
    static const struct tint *const covers[] = {&coral, &sun, &mint, &orange};
    static const double lifts[] = {0.9, 0.1, 0.7, -0.3};
    for (int i = 0; i < 4; i++)
        motif_flying_book(canvas, x + step * i, y + (i & 1 ? 90 : 0) + 36 * i, 210 - 26 * i, lifts[i],
                          covers[i]);
}

/* A table of when and where, its first line's baseline at y. */
static void letter_stops(struct canvas *canvas, double x, double y, double size)
{
    for (size_t i = 0; i < STOPS; i++) {
        double line = y - size * 1.5 * (double)i;
        letter(canvas, stops[i][0], x, line, size, &sun);
        letter(canvas, stops[i][1], x + size * 3.1, line, size, &cream);
    }
}

static void letter_hours(struct canvas *canvas, double x, double y, double size)
{
    for (size_t i = 0; i < HOURS; i++) letter(canvas, hours[i], x, y - size * 1.5 * (double)i, size, &cream);
}

static void draw_left(struct canvas *canvas)
{
    draw_ground(canvas);
    draw_ribbons(canvas);
    draw_flight(canvas, 1010, 690, 150);
    letter(canvas, "Mobile Library", 1890, 1530, letter_size(canvas, "Mobile Library", 3380), &paper);
    letter(canvas, "Reading comes to you", 1900, 1340, letter_size(canvas, "Reading comes to you", 2100),
           &sun);
    motif_owl(canvas, 2260, 410, 860);
    motif_open_book(canvas, 3530, 410, 1340, true);
    letter(canvas, county, 4710, 1250, letter_size(canvas, county, 740), &cream);
    letter(canvas, telephone, 4706, 1115, letter_size(canvas, telephone, 744), &sun);
    letter_hours(canvas, 4710, 1015, 46);
    letter_stops(canvas, 4710, 840, 46);
}

/* Seen with the front at the right: the ground is mirrored, figures and lettering are not. */
static void draw_right(struct canvas *canvas)
{
    canvas->push(canvas->self, -1, 1, side_width, 0);
    draw_ground(canvas);
    draw_ribbons(canvas);
    canvas->pop(canvas->self);
    draw_flight(canvas, 4590, 690, -150);
    draw_flight(canvas, 1390, 760, 130);
    letter(canvas, "Mobile Library", 130, 1540, letter_size(canvas, "Mobile Library", 2520), &paper);
    letter(canvas, "Reading comes to you", 1480, 1345, letter_size(canvas, "Reading comes to you", 1170),
           &sun);
    motif_open_book(canvas, 690, 440, 1080, true);
    motif_owl(canvas, 2285, 410, 860);
    letter(canvas, county, 2850, 985, letter_size(canvas, county, 620), &cream);
    letter(canvas, telephone, 2846, 875, letter_size(canvas, telephone, 744), &sun);
    letter_hours(canvas, 2850, 795, 42);
    letter_stops(canvas, 2850, 665, 42);
}

static void draw_rear(struct canvas *canvas)
{
    struct path all = path_new(canvas->arena);
    path_rect(&all, -bleed - 10, -bleed - 10, 1700 + 2 * bleed + 20, 1800 + 2 * bleed + 20);
    canvas->shade(canvas->self, &all, (struct point){850, 1850}, (struct point){850, 200}, &night, &deep);
    motif_glow(canvas, 1250, 1150, 720, &teal, 0.18);
    motif_glow(canvas, 1250, 1150, 500, &mint, 0.16);
    canvas->push(canvas->self, 0.40, 0.8, -250, 0);
    draw_ribbons(canvas);
    canvas->pop(canvas->self);
    letter_centred(canvas, "Mobile Library", 850, 1590, letter_size(canvas, "Mobile Library", 1500), &paper);
    letter(canvas, "Reading", 103, 1290, letter_size(canvas, "Reading", 660), &sun);
    letter(canvas, "comes to you", 108, 1120, letter_size(canvas, "comes to you", 655), &sun);
    letter(canvas, county, 108, 1000, letter_size(canvas, county, 640), &cream);
    letter(canvas, telephone, 105, 740, letter_size(canvas, telephone, 625), &paper);
    draw_flight(canvas, 1010, 520, 150);
    motif_owl(canvas, 1260, 820, 700);
}

/* ---- files ---- */

static bool write_side(struct arena *arena, const char *path, const char *title, struct str photo,
                       void (*draw)(struct canvas *), struct error *error)
{
    struct page_shape shape = {rect_grow(rect_of(0, 0, side_width, side_height), bleed), 10, title};
    struct canvas *canvas = canvas_pdf_new(arena, &shape, error);
    if (!canvas) return false;
    canvas_pdf_photo(canvas, photo, LIBRARY_PHOTO_WIDTH, LIBRARY_PHOTO_HEIGHT);
    draw(canvas);
    return canvas_pdf_write(canvas, path, error);
}

bool library_van_left(struct arena *arena, const char *path, struct str photo, struct error *error)
{
    return write_side(arena, path, "Mobile library van, left side, 1:10", photo, draw_left, error);
}

bool library_van_right(struct arena *arena, const char *path, struct str photo, struct error *error)
{
    return write_side(arena, path, "Mobile library van, right side, 1:10", photo, draw_right, error);
}

bool library_van_rear(struct arena *arena, const char *path, struct error *error)
{
    struct canvas *canvas =
        canvas_cairo_new(arena, rect_grow(rect_of(0, 0, 1700, 1800), bleed), 72, NULL, error);
    if (!canvas) return false;
    draw_rear(canvas);
    return canvas_cairo_write(canvas, path, error);
}
