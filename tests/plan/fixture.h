/* A small shop and surfaces made by hand, for the tests of the plan room. */
#ifndef FIXTURE_H
#define FIXTURE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include "base/arena.h"
#include "base/machine.h"
#include "plan/plan.h"

/* A shop with one condition: film and laminate 1370 and 1520 mm wide, printer 1625 mm with edges of 8 mm, so
 * usable 1354 and 1504 mm; open Monday to Friday 08:00 to 17:00, UTC. */
struct fixture {
    struct machine machine;
    struct arena *arena;
    struct zone zone;
    struct printer printer;
    double widths[2];
    struct film film, laminate;
    struct ink ink;
    struct condition condition;
    struct shop shop;
    struct job job;
    struct surface_spec specs[4];
    struct surface surfaces[4];
    struct surface_input inputs[4];
    struct plan_input input;
};

void fixture_open(struct fixture *f);
void fixture_close(struct fixture *f);
/* Adds a plain rectangle: overlap 12, trim 3, turn-in 25, bleed 50 on every edge. */
struct surface *fixture_surface(struct fixture *f, const char *name, double width, double height,
                                enum front front, enum panels_run run);
/* Gives the surface an outline of its own and the spans that go with it. */
void fixture_outline(struct fixture *f, struct surface *surface, const struct point *points, size_t count);
/* Adds a feature and returns it. */
struct feature *fixture_feature(struct fixture *f, struct surface *surface, enum feature_kind kind,
                                struct rect box);
struct plan *fixture_plan(struct fixture *f);
const struct finding *fixture_finding(const struct plan *plan, const char *code); /* NULL: none */
struct civil_time at_time(int year, int month, int day, int hour, int minute);

#endif
