/* Where a panel goes: its surface small, the panel itself filled. */
#ifndef WEB_PANEL_PICTURE_H
#define WEB_PANEL_PICTURE_H

#include "floor/floor.h"

/* SVG with the classes `panel` and `this`, for the page's style sheet; y runs down in it. */
const char *panel_picture(const struct floor_panel *panels, size_t count, const struct floor_panel *panel,
                          struct arena *arena);

#endif
