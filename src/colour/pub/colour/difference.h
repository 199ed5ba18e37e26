/* How different two colours look, in CIELAB. */
#ifndef COLOUR_DIFFERENCE_H
#define COLOUR_DIFFERENCE_H

struct lab {
    double L, a, b; /* 0..100, about -128..127 */
};

/* The plain distance (CIE 1976). */
double difference_76(struct lab one, struct lab other);
/* CIE 1994 with the weights of graphic arts (kL 1, K1 0.045, K2 0.015); `reference` gives the chroma that the
 * weights come from, so the order matters. */
double difference_94(struct lab reference, struct lab other);
/* CIEDE2000, kL = kC = kH = 1: Sharma, Wu, Dalal, Color Research and Application 30 (2005), 21-30. */
double difference_2000(struct lab one, struct lab other);

#endif
