/* The views of the page, each described once: addresses, the links in the bar, what the browser loads and what it asks
 * the server come from these rows. A new view is a row in page_views.c, its module in page/, and, where it shows or
 * changes something of its own, its handlers with their declaration in views.h. */
#ifndef WEB_PAGE_VIEWS_H
#define WEB_PAGE_VIEWS_H

#include "route.h"

enum view_link { LINK_NONE, LINK_BAR, LINK_MORE }; /* always in the bar; behind "More" on a narrow screen */

struct page_view {
    const char *path;   /* a star stands for one part: a job's number */
    const char *module; /* in page/ */
    const char *title;  /* of its link; NULL without one */
    enum view_link link;
    enum access access; /* for the view, and for what it shows; ACCESS_SHOP: viewers see no link either */
    handler *shows;     /* GET /api + path; NULL: asks by other addresses */
    handler *changes;   /* POST /api + path, a form, for the shop; NULL: nothing */
};

extern const struct page_view page_views[];
extern const size_t page_view_count;

#endif
