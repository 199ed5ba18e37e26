/* Finds the view for a method and path in the tables of addresses, and how large a body it takes. Called by
 * exchange.c. */
#include "route.h"
#include "base/arena.h"
#include "page_views.h"
#include "upload.h"
#include <string.h>

/* Beside those of the views (page_views.c). */
static const struct route routes[] = {
    {METHOD_GET, "/page/*", ACCESS_ANYONE, BODY_NONE, view_asset},
    {METHOD_GET, "/sign-in", ACCESS_ANYONE, BODY_NONE, view_sign_in},
    {METHOD_POST, "/sign-in", ACCESS_ANYONE, BODY_FORM, do_sign_in},
    {METHOD_POST, "/sign-out", ACCESS_ANYONE, BODY_FORM, do_sign_out},
    {METHOD_GET, "/P/*/*", ACCESS_SIGNED_IN, BODY_NONE, view_panel},
    {METHOD_POST, "/P/*/*", ACCESS_SHOP, BODY_FORM, do_panel},
    {METHOD_GET, "/jobs/*/report.pdf", ACCESS_SIGNED_IN, BODY_NONE, view_report},
    {METHOD_GET, "/jobs/*/files/*", ACCESS_SIGNED_IN, BODY_NONE, view_files},
    {METHOD_GET, "/jobs/*/files/*/*", ACCESS_SIGNED_IN, BODY_NONE, view_files},

    {METHOD_GET, "/api/floor", ACCESS_SIGNED_IN, BODY_NONE, view_floor},
    {METHOD_GET, "/api/live", ACCESS_SIGNED_IN, BODY_NONE, view_live},
    {METHOD_GET, "/api/keys", ACCESS_SIGNED_IN, BODY_NONE, view_keys},
    {METHOD_GET, "/api/photos/*", ACCESS_SIGNED_IN, BODY_NONE, view_photo},
    {METHOD_GET, "/api/photos/*/small", ACCESS_SIGNED_IN, BODY_NONE, view_small_photo},
    {METHOD_GET, "/api/jobs/*/written", ACCESS_SIGNED_IN, BODY_NONE, view_written},
    {METHOD_GET, "/api/jobs/*/facts", ACCESS_SIGNED_IN, BODY_NONE, view_facts},
    {METHOD_POST, "/api/jobs/*/facts", ACCESS_SHOP, BODY_FORM, do_facts},
    {METHOD_POST, "/api/jobs/*/photo", ACCESS_SHOP, BODY_PICTURE, do_photo},
    {METHOD_GET, "/api/jobs/*/preview/*", ACCESS_SIGNED_IN, BODY_NONE, view_preview},
    {METHOD_POST, "/api/jobs/*/try", ACCESS_SHOP, BODY_FORM, do_try},
    {METHOD_POST, "/api/jobs/*/edit", ACCESS_SHOP, BODY_FORM, do_edit},
    {METHOD_POST, "/api/jobs/*/fleet", ACCESS_SHOP, BODY_FORM, do_fleet},
    {METHOD_POST, "/api/jobs/*/undo", ACCESS_SHOP, BODY_FORM, do_undo},
    {METHOD_POST, "/api/jobs/*/plan", ACCESS_SHOP, BODY_FORM, do_plan},
    {METHOD_POST, "/api/jobs/*/make", ACCESS_SHOP, BODY_FORM, do_make},
    {METHOD_POST, "/api/jobs/*/proof", ACCESS_SHOP, BODY_FORM, do_proof},
    {METHOD_POST, "/api/jobs/*/reprint", ACCESS_SHOP, BODY_FORM, do_reprint},
    {METHOD_GET, "/api/jobs/*/used", ACCESS_SIGNED_IN, BODY_NONE, view_used},
    {METHOD_POST, "/api/jobs/*/quote", ACCESS_SHOP, BODY_FORM, do_quote},
    {METHOD_POST, "/api/jobs/*/stop", ACCESS_SHOP, BODY_FORM, do_stop},
    {METHOD_POST, "/api/jobs/*/upload", ACCESS_SHOP, BODY_FORM, do_upload},
    {METHOD_GET, "/api/uploads/*", ACCESS_SHOP, BODY_NONE, view_upload},
    {METHOD_PUT, "/api/uploads/*", ACCESS_SHOP, BODY_STREAM, do_bytes},
};

/* Part by part; what a star matched goes to `parts`. */
static bool matches(const char *pattern, const char *path, struct arena *arena, const char *parts[PARTS_MOST])
{
    size_t stars = 0;
    while (*pattern && *path) {
        if (*pattern != '*') {
            if (*pattern++ != *path++) return false;
            continue;
        }
        size_t length = strcspn(path, "/");
        const char *part = length ? segment_decode((struct str){path, length}, arena) : NULL;
        if (!part || stars == PARTS_MOST) return false;
        parts[stars++] = part;
        pattern++;
        path += length;
    }
    return !*pattern && !*path;
}

/* Whether the route has the path, *status 405, and the method too, *status 0. */
static bool answers(const struct route *route, enum method method, const char *path, struct arena *arena,
                    const char *parts[PARTS_MOST], unsigned *status)
{
    const char *found[PARTS_MOST] = {0};
    if (!matches(route->path, path, arena, found)) return false;
    *status = 405;
    if (route->method != method) return false;
    memcpy(parts, found, sizeof found);
    *status = 0;
    return true;
}

/* A view's routes: the page itself, and what it shows and changes; their number. */
enum { VIEW_ROUTES_MOST = 3 };
static size_t view_routes(const struct page_view *view, struct arena *arena,
                          struct route of_view[VIEW_ROUTES_MOST])
{
    const char *api = arena_format(arena, "/api%s", view->path);
    size_t count = 0;
    of_view[count++] = (struct route){METHOD_GET, view->path, view->access, BODY_NONE, view_shell};
    if (view->shows) of_view[count++] = (struct route){METHOD_GET, api, view->access, BODY_NONE, view->shows};
    if (view->changes)
        of_view[count++] = (struct route){METHOD_POST, api, ACCESS_SHOP, BODY_FORM, view->changes};
    return count;
}

static const struct route *find_of_view(const struct page_view *view, enum method method, const char *path,
                                        struct arena *arena, const char *parts[PARTS_MOST], unsigned *status)
{
    struct route *of_view = arena_take_array(arena, VIEW_ROUTES_MOST, sizeof *of_view);
    size_t count = view_routes(view, arena, of_view);
    for (size_t i = 0; i < count; i++)
        if (answers(&of_view[i], method, path, arena, parts, status)) return &of_view[i];
    return NULL;
}

const struct route *route_find(enum method method, const char *path, struct arena *arena,
                               const char *parts[PARTS_MOST], unsigned *status)
{
    enum method wanted = method == METHOD_HEAD ? METHOD_GET : method;
    *status = 404;
    for (size_t i = 0; i < sizeof routes / sizeof *routes; i++)
        if (answers(&routes[i], wanted, path, arena, parts, status)) return &routes[i];
    for (size_t i = 0; i < page_view_count; i++) {
        const struct route *found = find_of_view(&page_views[i], wanted, path, arena, parts, status);
        if (found) return found;
    }
    return NULL;
}

int64_t route_body_most(const struct route *route)
{
    switch (route->body) {
    case BODY_FORM:
        return BODY_FORM_MOST;
    case BODY_PICTURE:
        return FACT_PHOTO_BYTES_MOST;
    case BODY_STREAM:
        return UPLOAD_BYTES_MOST;
    default:
        return 0;
    }
}
