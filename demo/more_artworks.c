/* Artwork of the smaller jobs: one page each, quick to make, with lettering in places that matter to seams.
 */
#include "artworks.h"
#include "motifs.h"
#include <math.h>

/* The whole trim and a little more, as one rectangle. */
static struct path whole(struct canvas *canvas, struct rect trim)
{
    struct path path = path_new(canvas->arena);
    struct rect r = rect_grow(trim, 60);
    path_rect(&path, r.x0, r.y0, rect_width(r), rect_height(r));
    return path;
}

/* A hill line across the trim: `waves` of them, from `low` up to `low` + `rise`. */
static void hills(struct canvas *canvas, struct rect trim, double low, double rise, int waves, double shift,
                  const struct tint *tint)
{
    struct path path = path_new(canvas->arena);
    double step = rect_width(trim) / waves, x = trim.x0 - step * (1 + shift);
    path_move(&path, x, trim.y0 - 60);
    path_line(&path, x, low);
    for (int i = 0; i < waves + 3; i++, x += step)
        path_curve(&path, x + step * 0.3, low + rise, x + step * 0.6, low + rise * 0.8, x + step, low);
    path_line(&path, x, trim.y0 - 60);
    path_close(&path);
    canvas->fill(canvas->self, &path, tint, 1);
}

static void flower(struct canvas *canvas, double x, double y, double radius)
{
    for (int i = 0; i < 14; i++) {
        double angle = i * 2 * 3.14159265358979 / 14;
        double dx = cos(angle), dy = sin(angle), wide = radius * 0.2;
        struct path petal = path_new(canvas->arena);
        path_move(&petal, x, y);
        path_curve(&petal, x + dx * radius * 0.5 - dy * wide * 1.6, y + dy * radius * 0.5 + dx * wide * 1.6,
                   x + dx * radius * 0.9 - dy * wide, y + dy * radius * 0.9 + dx * wide, x + dx * radius,
                   y + dy * radius);
        path_curve(&petal, x + dx * radius * 0.9 + dy * wide, y + dy * radius * 0.9 - dx * wide,
                   x + dx * radius * 0.5 + dy * wide * 1.6, y + dy * radius * 0.5 - dx * wide * 1.6, x, y);
        canvas->fill(canvas->self, &petal, i % 2 ? &sun : &orange, 1);
    }
    motif_glow(canvas, x, y, radius * 0.34, &brown, 1);
    motif_glow(canvas, x, y, radius * 0.22, &ink_black, 0.4);
}

static void draw_box_truck(struct canvas *canvas, struct rect trim)
{
    struct path all = whole(canvas, trim);
    canvas->shade(canvas->self, &all, (struct point){0, 2400}, (struct point){0, 500}, &deep, &mint);
    hills(canvas, trim, 560, 420, 5, 0.3, &teal);
    hills(canvas, trim, 300, 360, 4, 0.7, &deep);
    hills(canvas, trim, 90, 260, 7, 0.1, &night);
    static const double flowers[][3] = {
        {520, 640, 330}, {1050, 460, 250}, {5550, 620, 360}, {5050, 420, 220}};
    for (size_t i = 0; i < sizeof flowers / sizeof *flowers; i++)
        flower(canvas, flowers[i][0], flowers[i][1], flowers[i][2]);
    letter_centred(canvas, "The Garden Library", 3100, 1650, 430, &paper);
    letter_centred(canvas, "borrow a spade, bring back a marrow", 3100, 1370, 170, &sun);
    letter_centred(canvas, "555 0117", 3100, 620, 230, &paper);
}

static void draw_bus(struct canvas *canvas, struct rect trim)
{
    struct path all = whole(canvas, trim);
    canvas->shade(canvas->self, &all, (struct point){0, 0}, (struct point){12000, 0}, &coral, &sun);
    static const struct tint *const bands[] = {&plum, &night, &deep, &teal};
    for (int i = 0; i < 4; i++) hills(canvas, trim, 700 - 190 * i, 900 - 130 * i, 2 + i, 0.23 * i, bands[i]);
    motif_glow(canvas, 9300, 2300, 620, &paper, 0.35);
    motif_glow(canvas, 9300, 2300, 430, &paper, 0.5);
    letter(canvas, "Every stop tells a story", 900, 2560, 300, &paper);
    letter(canvas, "Fare free on reading day", 3600, 770, 220, &paper);
    letter(canvas, "555 0163", 9300, 640, 230, &paper);
    for (int i = 0; i < 5; i++)
        motif_flying_book(canvas, 7300 + 700 * i, 900 + 60 * (i % 2), 420, 0.5, &coral);
}

static void draw_bonnet(struct canvas *canvas, struct rect trim)
{
    struct path all = whole(canvas, trim);
    canvas->shade(canvas->self, &all, (struct point){0, 1100}, (struct point){0, 0}, &deep, &night);
    for (int i = 0; i < 13; i++) {
        double a = 3.14159265358979 * (i + 0.2) / 13, b = 3.14159265358979 * (i + 0.7) / 13;
        struct path ray = path_new(canvas->arena);
        path_move(&ray, 780, 150);
        path_line(&ray, 780 + 1600 * cos(a), 150 + 1600 * sin(a));
        path_line(&ray, 780 + 1600 * cos(b), 150 + 1600 * sin(b));
        path_close(&ray);
        canvas->fill(canvas->self, &ray, i % 2 ? &orange : &sun, 0.75);
    }
    motif_glow(canvas, 780, 520, 410, &deep, 0.9);
    motif_glow(canvas, 780, 520, 370, &mint, 0.35);
    motif_owl(canvas, 780, 200, 640);
}

static void draw_trailer(struct canvas *canvas, struct rect trim)
{
    struct path all = whole(canvas, trim);
    canvas->shade(canvas->self, &all, (struct point){0, 2600}, (struct point){0, 600}, &night, &coral);
    motif_glow(canvas, 10600, 1000, 640, &sun, 0.9);
    motif_glow(canvas, 10600, 1000, 860, &sun, 0.25);
    hills(canvas, trim, 560, 760, 6, 0.5, &plum);
    hills(canvas, trim, 330, 520, 5, 0.2, &deep);
    hills(canvas, trim, 60, 300, 8, 0.8, &night);
    letter(canvas, "A thousand books further", 700, 1700, 640, &paper);
    letter(canvas, "Travelling book fair", 720, 1340, 220, &sun);
    motif_shelf(canvas, 400, 60, 5200, 560);
}

/* Overlapping scales in rows; a seam shows least where the spacing is kept. */
static void draw_pattern(struct canvas *canvas, struct rect trim)
{
    static const struct tint *const tints[] = {&teal, &mint, &cream, &sun, &orange, &coral};
    struct path all = whole(canvas, trim);
    canvas->fill(canvas->self, &all, &deep, 1);
    const double radius = 200;
    for (int row = 11; row >= -1; row--)
        for (int column = -1; column < 16; column++) {
            double x = column * radius * 2 + (row & 1 ? radius : 0), y = row * radius;
            for (int i = 0; i < 4; i++)
                motif_glow(canvas, x, y, radius * (1 - 0.23 * i),
                           tints[(unsigned)(row + column + 2 * i + 8) % 6], 1);
        }
}

static void draw_hopeless(struct canvas *canvas, struct rect trim)
{
    struct path all = whole(canvas, trim);
    canvas->shade(canvas->self, &all, (struct point){0, 0}, (struct point){4000, 1800}, &plum, &orange);
    motif_shelf(canvas, 200, 200, 3600, 620);
    letter_centred(canvas, "Nowhere to cut", 2000, 1150, 380, &paper);
}

static void draw_half(struct canvas *canvas, struct rect trim)
{
    struct path all = whole(canvas, trim);
    canvas->shade(canvas->self, &all, (struct point){2000, 1700}, (struct point){4800, 0}, &mint, &night);
    hills(canvas, trim, 420, 420, 5, 0.4, &teal);
    hills(canvas, trim, 180, 300, 6, 0.1, &deep);
    for (int i = 0; i < 4; i++) flower(canvas, 3050 + 480 * i, 640 + 90 * (i % 2), 230);
    letter(canvas, "Seeds to share", 2950, 1180, 210, &paper);
}

/* A disc with an owl, nothing around it. */
static void draw_emblem(struct canvas *canvas, struct rect trim)
{
    (void)trim;
    motif_glow(canvas, 300, 300, 280, &deep, 1);
    motif_glow(canvas, 300, 300, 250, &sun, 1);
    motif_owl(canvas, 300, 90, 420);
}

static bool write_page(struct arena *arena, const char *path, double width, double height, double bleed,
                       const char *title, void (*draw)(struct canvas *, struct rect), struct error *error)
{
    struct page_shape shape = {rect_grow(rect_of(0, 0, width, height), bleed), 10, title};
    struct canvas *canvas = canvas_pdf_new(arena, &shape, error);
    if (!canvas) return false;
    draw(canvas, shape.trim);
    return canvas_pdf_write(canvas, path, error);
}

static bool write_box_truck(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 6200, 2400, 50, "Box truck, side, 1:10", draw_box_truck, error);
}

static bool write_bus(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 12000, 3000, 50, "Bus, side, 1:10", draw_bus, error);
}

static bool write_bonnet(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 1560, 1080, 50, "Bonnet, 1:10", draw_bonnet, error);
}

static bool write_trailer(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 13600, 2600, 50, "Trailer, side, 1:10", draw_trailer, error);
}

static bool write_pattern(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 5400, 1900, 50, "Pattern, 1:10", draw_pattern, error);
}

static bool write_hopeless(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 4000, 1800, 50, "Side with no way for a seam, 1:10", draw_hopeless, error);
}

static bool write_half(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 4800, 1700, 50, "Half wrap, 1:10", draw_half, error);
}

static bool write_emblem(struct arena *arena, const char *path, struct error *error)
{
    return write_page(arena, path, 600, 600, 0, "Emblem, 1:10", draw_emblem, error);
}

const struct small_artwork small_artworks[] = {
    {"box-truck", "side.pdf", write_box_truck}, {"bus-with-windows", "side.pdf", write_bus},
    {"bonnet", "bonnet.pdf", write_bonnet},     {"trailer", "side.pdf", write_trailer},
    {"pattern", "side.pdf", write_pattern},     {"hopeless", "side.pdf", write_hopeless},
    {"fleet-vans", "half.pdf", write_half},     {"fleet-vans", "emblem.pdf", write_emblem},
};
const size_t small_artwork_count = sizeof small_artworks / sizeof *small_artworks;
