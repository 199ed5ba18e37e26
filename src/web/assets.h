/* What the page is made of: the files of src/web/page, inside the binary. */
#ifndef WEB_ASSETS_H
#define WEB_ASSETS_H

#include "base/str.h"
#include <stdbool.h>

struct asset {
    const char *name; /* "style.css" */
    const char *type; /* Content-Type */
    struct str bytes;
};
/* false when there is none of that name. */
bool asset_find(const char *name, struct asset *asset);

#endif
