/* What a job's out folder holds, and the final report. */
#include "job_files.h"
#include "base/sentence.h"
#include "base/path.h"
#include "server.h"
#include "views.h"
#include <string.h>
#include <unistd.h>

/* Folders of OUT, and what they are called in addresses. */
static const struct {
    const char *shown, *below;
} file_folders[] = {{"", ""}, {"panels", "panels"}, {"pictures", "pictures"}, {"reprint", "reprint/panels"}};

/* Whether nothing on the way from the job's folder to this file, or the file itself, is a link: those may
 * lead anywhere. */
static bool job_files_is_plain(struct web_request *request, const char *folder, const char *below)
{
    struct arena *arena = request->arena;
    return string_equal(path_full(arena, path_join(arena, folder, below)),
                        path_join(arena, path_full(arena, folder), below));
}

/* Calls `take` for each file of the job's out folder that a person may fetch; stops when it says so. */
static void each_file(struct web_request *request, const char *folder,
                      bool (*take)(void *, const char *, const char *), void *context)
{
    struct machine *m = request->server->machine;
    for (size_t i = 0; i < sizeof file_folders / sizeof *file_folders; i++) {
        const char *sub =
            path_join(request->arena, path_join(request->arena, folder, "out"), file_folders[i].below);
        const char **names;
        if (!m->status(m, sub).is_folder || !m->list_folder(m, sub, request->arena, &names, NULL)) continue;
        for (; *names; names++) {
            const char *path = path_join(request->arena, sub, *names);
            const char *of = file_folders[i].shown, *below = file_folders[i].below;
            const char *shown = *of ? arena_format(request->arena, "%s/%s", of, *names) : *names;
            const char *from_out = *below ? arena_format(request->arena, "%s/%s", below, *names) : *names;
            if (**names == '.' || m->status(m, path).is_folder) continue;
            if (!job_files_is_plain(request, folder, arena_format(request->arena, "out/%s", from_out)))
                continue;
            if (!take(context, shown, path)) return;
        }
    }
}

/* ---- the list ---- */

struct listing {
    struct json *json;
    struct web_request *request;
    const char *job;
};

static bool list_file(void *context, const char *shown, const char *path)
{
    struct listing *l = context;
    struct machine *m = l->request->server->machine;
    json_open_object_inline(l->json, NULL);
    json_string(l->json, "name", shown);
    json_whole(l->json, "bytes", (int64_t)m->status(m, path).size);
    json_string(l->json, "address", arena_format(l->request->arena, "/jobs/%s/files/%s", l->job, shown));
    json_close(l->json);
    return true;
}

void job_files_json(struct json *json, struct web_request *request, const char *job_folder)
{
    struct listing listing = {json, request, request->parts[0]};
    json_open_list(json, "files");
    each_file(request, job_folder, list_file, &listing);
    json_close(json);
}

/* ---- one of them ---- */

struct wanted {
    const char *name, *path;
};

static bool is_wanted(void *context, const char *shown, const char *path)
{
    struct wanted *w = context;
    if (strcmp(shown, w->name)) return true;
    w->path = path;
    return false;
}

static const char *type_of(const char *name, struct arena *arena)
{
    static const char *const types[][2] = {{"pdf", "application/pdf"},
                                           {"svg", "image/svg+xml"},
                                           {"png", "image/png"},
                                           {"tif", "image/tiff"},
                                           {"json", "application/json"}};
    const char *ending = path_ending(arena, name);
    for (size_t i = 0; i < sizeof types / sizeof *types; i++)
        if (!strcmp(ending, types[i][0])) return types[i][1];
    return "application/octet-stream";
}

static void send_file(struct web_request *request, struct reply *reply, const char *name, const char *path)
{
    struct machine *m = request->server->machine;
    struct error error = {0};
    reply->fd = m->open_file(m, path, &error);
    if (reply->fd < 0) {
        reply_error(request, reply, &error);
        return;
    }
    /* Of what was opened: another of its name may have come meanwhile. */
    off_t size = lseek(reply->fd, 0, SEEK_END);
    reply->fd_whole = reply->fd_length = size > 0 ? (uint64_t)size : 0;
    reply->type = type_of(name, request->arena);
    reply->download = path_name(name);
    reply->sealed = true;
}

void view_files(struct web_request *request, struct reply *reply)
{
    struct web_request *r = request;
    const char *folder = floor_job_folder(r->server->floor, r->parts[0], r->arena);
    struct wanted wanted = {
        r->parts[2] ? arena_format(r->arena, "%s/%s", r->parts[1], r->parts[2]) : r->parts[1], NULL};
    if (folder) each_file(r, folder, is_wanted, &wanted);
    if (wanted.path)
        send_file(r, reply, wanted.name, wanted.path);
    else
        reply_refuse(r, reply, 404, sentence_plain("there-is-no-such-file-make-job"));
}

void view_report(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *path = NULL;
    struct error error = {0};
    const char *within = server->machine->within,
               *folder = floor_job_folder(server->floor, request->parts[0], request->arena);
    if (folder && within &&
        !path_is_below(request->arena, within, path_join(request->arena, folder, "out"))) {
        reply_refuse(request, reply, 422, sentence_plain("jobs-out-folder-is-link-that"));
        return;
    }
    if (!floor_report(server->floor, request->parts[0], server->machine->now(server->machine), request->arena,
                      &path, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    send_file(request, reply, arena_format(request->arena, "%s report.pdf", request->parts[0]), path);
}
