/* Private: the look of pictures and pages, in one place. Greys, black text, one blue. */
#ifndef SHEET_STYLE_H
#define SHEET_STYLE_H

#include "draw/draw.h"
#include "model/plan.h"

/* The smallest type: 8.5 pt, to be read standing. */
#define TYPE_MM 3.0

struct paint ink_black(void);
struct paint ink_grey(void);  /* secondary words */
struct paint ink_pale(void);  /* rules, closed hours */
struct paint ink_faint(void); /* backgrounds */
struct paint ink_white(void);
struct paint ink_accent(void);
struct paint ink_accent_pale(void);

struct letters words_of(double size_mm, enum align align);
struct letters words_bold(double size_mm, enum align align);
struct letters words_grey(double size_mm, enum align align);

struct look line_of(struct paint paint, double width_mm);
struct look filled(struct paint paint);

/* A length as people read it: "1432" or, to a hundredth of an inch, "56.38"; with the unit when asked. */
const char *length_words(struct arena *arena, double mm, bool inches, bool with_unit);
/* "Mon 1 Mar 2027, 08:00" */
const char *moment_words(struct arena *arena, const struct zone *zone, int64_t at);
/* Severity as a shape: an octagon, a triangle, a ring; `size` high, centred. */
void draw_severity(struct drawing *drawing, struct point centre, double size_mm, enum severity severity);
/* An arrow from tail to tip, filled. */
void draw_arrow(struct drawing *drawing, struct point tail, struct point tip, double width_mm,
                struct paint paint);

#endif
