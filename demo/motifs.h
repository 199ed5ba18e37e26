/* The county library's palette and figures, drawn from paths; sizes in millimetres on the vehicle. */
#ifndef DEMO_MOTIFS_H
#define DEMO_MOTIFS_H

#include "canvas.h"

extern const struct tint night, deep, teal, mint, cream, paper, sun, orange, coral, plum, brown, ink_black;

/* A reading owl on a pile of books, `height` high from (x, y), the middle of its foot. 0.86 as wide. */
void motif_owl(struct canvas *canvas, double x, double y, double height);
/* An open book seen from the front with the photograph across both pages, or lines of text when `photo` is
 * false. (x, y) is the middle of its spine's foot. */
void motif_open_book(struct canvas *canvas, double x, double y, double width, bool photo);
/* A small book in flight, its pages for wings; `lift` -1..1 is how the wings stand. */
void motif_flying_book(struct canvas *canvas, double x, double y, double span, double lift,
                       const struct tint *tint);
/* A row of standing books, as on a shelf. */
void motif_shelf(struct canvas *canvas, double x, double y, double width, double height);
/* A soft disc of light. */
void motif_glow(struct canvas *canvas, double x, double y, double radius, const struct tint *tint,
                double opacity);

/* Lettering set from the left, or centred on x. */
void letter(struct canvas *canvas, const char *string, double x, double y, double size,
            const struct tint *tint);
void letter_centred(struct canvas *canvas, const char *string, double x, double y, double size,
                    const struct tint *tint);
/* The size at which `string` is `width` wide. */
double letter_size(struct canvas *canvas, const char *string, double width);

#endif
