/* QR codes (ISO/IEC 18004), level M, as filled squares with their quiet zone of 4 modules. Content in
 * capitals, digits and $%*+-./: only makes fewer and so coarser modules;
 * other than ASCII content is not read alike by every reader. */
#ifndef DRAW_QR_H
#define DRAW_QR_H

#include "base/error.h"
#include "geom/geom.h"

struct drawing;

enum { QR_QUIET_MODULES = 4, QR_CONTENT_MOST = 500 };

/* Modules a side without the quiet zone, 17 + 4 x version; 0 when `content` is empty or longer than
 * QR_CONTENT_MOST bytes. */
int qr_modules(const char *content);
/* Into a square with its upper left corner at `at` and this side, quiet zone included: white, then black
 * modules. False with `error` when qr_modules gives 0. */
bool draw_qr(struct drawing *drawing, struct point at, double side_mm, const char *content,
             struct error *error);

#endif
