/* The shell of the page and what it is made of. */
#include "assets.h"
#include "base/sentence.h"
#include "base/hash.h"
#include "page_views.h"
#include "template.h"
#include <string.h>

/* The same bytes for everyone, which a browser may keep until they change. */
static void send_kept(struct web_request *request, struct reply *reply, const char *type, struct str bytes)
{
    reply->type = type;
    reply->body = bytes;
    reply->keep = true;
    reply->etag = arena_format(request->arena, "%llx",
                               (unsigned long long)hash_bytes(HASH_START, bytes.bytes, bytes.length));
}

static void send_asset(struct web_request *request, struct reply *reply, const char *name)
{
    struct asset asset;
    if (!asset_find(name, &asset)) {
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-page-here"));
        return;
    }
    send_kept(request, reply, asset.type, asset.bytes);
}

/* Those with that link, or all of them. */
static void set_views(struct arena *arena, struct template_values *values, const char *name,
                      bool (*wanted)(const struct page_view *view))
{
    struct template_values *entries = arena_take_array(arena, page_view_count, sizeof *entries);
    size_t count = 0;
    for (size_t i = 0; i < page_view_count; i++) {
        const struct page_view *view = &page_views[i];
        if (!wanted(view)) continue;
        struct template_values *entry = &entries[count++];
        template_set(arena, entry, "path", view->path);
        template_set(arena, entry, "module", view->module);
        template_set(arena, entry, "title", view->title);
        template_set(arena, entry, "changes", view->access == ACCESS_SHOP ? "yes" : NULL);
    }
    template_set_list(arena, values, name, entries, count);
}

static bool is_any(const struct page_view *view)
{
    return view;
}

static bool is_in_bar(const struct page_view *view)
{
    return view->link == LINK_BAR;
}

static bool is_in_more(const struct page_view *view)
{
    return view->link == LINK_MORE;
}

void view_shell(struct web_request *request, struct reply *reply)
{
    struct template_values values = {0};
    struct asset shell;
    struct text out = text_new(request->arena);
    set_views(request->arena, &values, "views", is_any);
    set_views(request->arena, &values, "bar", is_in_bar);
    set_views(request->arena, &values, "more", is_in_more);
    if (asset_find("index.html", &shell)) template_fill(shell.bytes, &values, &out);
    send_kept(request, reply, shell.type, (struct str){text_string(&out), out.length});
}

void view_asset(struct web_request *request, struct reply *reply)
{
    /* Pages with holes are for the server alone. */
    bool whole = !str_ends(str_from(request->parts[0]), ".html");
    send_asset(request, reply, whole ? request->parts[0] : "");
}
