/* The views of the page: one row each. Called by route.c and pages.c. */
#include "page_views.h"

const struct page_view page_views[] = {
    {"/", "floor.js", "Ready", LINK_BAR, ACCESS_SIGNED_IN, NULL, NULL},
    {"/jobs", "jobs.js", "Jobs", LINK_BAR, ACCESS_SIGNED_IN, NULL, NULL},
    {"/jobs/*", "job.js", NULL, LINK_NONE, ACCESS_SIGNED_IN, view_job, NULL},
    {"/new", "new-job.js", "New job", LINK_MORE, ACCESS_SHOP, NULL, do_new},
    {"/stock", "stock.js", "Stock", LINK_MORE, ACCESS_SIGNED_IN, view_stock, do_stock},
    {"/conditions", "conditions.js", "Conditions", LINK_MORE, ACCESS_SIGNED_IN, view_conditions, NULL},
    {"/people", "people.js", "People", LINK_MORE, ACCESS_SHOP, view_people, do_people},
};
const size_t page_view_count = sizeof page_views / sizeof *page_views;
