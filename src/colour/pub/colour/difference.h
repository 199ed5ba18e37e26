/* How different two colours look, in CIELAB: 1 is just seen by a trained eye side by side, 3 by anyone (common
 * practice, no source). Which profile's white they are under is the caller's to know. */
#ifndef COLOUR_DIFFERENCE_H
#define COLOUR_DIFFERENCE_H

struct lab {
    double L, a, b; /* 0..100, about -128..127 */
};

/* CIEDE2000, kL = kC = kH = 1: Sharma, Wu, Dalal, Color Research and Application 30 (2005), 21-30. */
double difference_2000(struct lab one, struct lab other);

#endif
