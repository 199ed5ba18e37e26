/* The demo shop's printer on its film, as a sum: Neugebauer's with Yule and Nielsen's n = 2 over the sixteen
 * overprints of four inks, whose colours are invented for the demo. */
#ifndef DEMO_FILM_MODEL_H
#define DEMO_FILM_MODEL_H

#include <stddef.h>

struct film_model {
    double roots[16]
                [3]; /* square roots of XYZ of each overprint, relative to the bare film at D50; bit 0 cyan */
    double white[3]; /* XYZ of the bare film, D50 */
};

struct film_model film_model_new(void);
/* CIELAB relative to the film (ICC's media-relative) of ink 0..1 each of C, M, Y, K. */
void film_model_lab(const struct film_model *model, const double ink[4], double lab[3]);
/* The ink that comes nearest to `lab` with at most `limit` (sum of the four, 2.8 is 280 %). `ink` holds a
 * first guess. Black takes the place of grey made of three inks, more the darker and greyer the colour. */
void film_model_ink(const struct film_model *model, const double lab[3], double limit, double ink[4]);

#endif
