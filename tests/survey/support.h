/* A surface from a drawing or a size in memory, for the tests of the survey room. */
#ifndef TESTS_SURVEY_SUPPORT_H
#define TESTS_SURVEY_SUPPORT_H

#include "../test.h"
#include "base/arena.h"
#include "survey/cover.h"
#include "survey/stretch.h"
#include "survey/survey.h"

struct made {
    struct arena *arena;
    struct job job;
    struct surface_spec spec;
    struct report report;
    struct findings findings;
    struct surface *surface;
};

/* A spec and a job that say nothing but a name. made_free it. */
struct made made_new(void);
void made_free(struct made *made);
/* Runs the survey on the spec as it stands; true when it returned true. */
bool made_run(struct made *made);
/* The same on a drawing of these bytes at 1:scale. */
bool made_draw(struct made *made, const char *bytes, size_t length, double scale);
/* What it covers, after made_run or made_draw: true when survey_cover returned true. */
bool made_cover(struct made *made, const struct region *silhouette);
/* What its files hold from now on. */
void made_file(const char *svg);
bool made_svg(struct made *made, const char *svg, double scale);

/* True when a mistake (or remark) on that line has the words. */
bool made_says(const struct made *made, int line, const char *words, bool remark);
const struct finding *made_finding(const struct made *made, const char *code); /* the first, or NULL */
/* A whole file below LAPSTRAKE_SHARED; skips the test with a word when it is not there. */
struct str shared_file(struct arena *arena, const char *name);
void assert_near(double value, double wanted, double tolerance);

#endif
