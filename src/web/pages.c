/* The shell of the page and what it is made of. */
#include "assets.h"
#include "base/sentence.h"
#include "base/hash.h"
#include "views.h"
#include <string.h>

static void send_asset(struct web_request *request, struct reply *reply, const char *name)
{
    struct asset asset;
    if (!asset_find(name, &asset)) {
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-page-here"));
        return;
    }
    reply->type = asset.type;
    reply->body = asset.bytes;
    reply->keep = true;
    reply->etag =
        arena_format(request->arena, "%llx",
                     (unsigned long long)hash_bytes(HASH_START, asset.bytes.bytes, asset.bytes.length));
}

void view_shell(struct web_request *request, struct reply *reply)
{
    send_asset(request, reply, "index.html");
}

void view_asset(struct web_request *request, struct reply *reply)
{
    /* Pages with holes are for the server alone. */
    bool whole = !str_ends(str_from(request->parts[0]), ".html");
    send_asset(request, reply, whole ? request->parts[0] : "");
}
