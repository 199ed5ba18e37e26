/* When each step happens, on the shop's calendar. */
#ifndef PLAN_SCHEDULE_H
#define PLAN_SCHEDULE_H

#include "model/plan.h"

/* Opening time that people need for one surface, seconds. */
struct workload {
    const struct surface_plan *surface; /* with panels */
    size_t index;
    int64_t setup_s, *printing_s; /* setup_s: with the test print; printing_s: for each panel, by its index */
    int64_t supply_s;             /* bought-in prints: from purchase order to delivery; 0: printed here */
    bool comes_laminated;         /* and dry and rested */
    int64_t laminate_s;           /* 0: no laminate */
    int64_t trim_s, install_s;
    int64_t install_person_s;    /* of all installers together */
    int64_t prepare_s, finish_s; /* of the crew, at the vehicle */
    const char *crew_words;      /* "by a crew of 2" */
    struct reason prepare_why, finish_why;
    int64_t dry_s; /* of the slowest panel; < 0: does not dry */
    int64_t bond_s;
    size_t slowest; /* panel */
};

/* One for each surface with panels, in the job's order. */
struct workloads {
    struct workload *items;
    size_t count;
};

struct workloads workloads_of(const struct plan *plan, struct arena *arena);
/* Indices of workloads as surfaces go on: the job's order, but what wraps round a corner after what lies under
 * it. */
size_t *corners_sequence(const struct job *job, const struct workloads *workloads, struct arena *arena);
int64_t workload_printing_s(const struct workload *workload); /* all panels and setting up */
int workload_crew(const struct job *job);                     /* people who install, 1 or more */
/* Whether it takes two people to apply. */
bool workload_takes_two(const struct job *job, const struct panel *panel);
double workload_laminator_setup_s(void);
/* Fills steps, dates and the critical path; findings on time. */
void schedule_make(struct plan *plan, const struct workloads *workloads, struct arena *arena);

#endif
