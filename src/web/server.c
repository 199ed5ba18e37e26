/* What every part asks of the server: who sends, sessions on the disk, news of changes. Starting and ending it is
 * web.c's, connections are serve.c's. */
#include "server.h"
#include "base/json.h"
#include "base/path.h"
#include "base/text.h"
#include <string.h>

void server_say_changed(struct server *server, const char *job)
{
    struct arena *arena = arena_new(server->machine);
    struct text out = text_new(arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_whole(&json, "revision", floor_revision(server->floor));
    json_string(&json, "job", job);
    json_close(&json);
    hub_say(&server->hub, "change", text_string(&out));
    arena_free(arena);
}

bool server_may_listen(struct server *server, const char *listen, struct error *error)
{
    struct person *people;
    size_t count;
    if (server->loopback) return true;
    if (!floor_people(server->floor, server->arena, &people, &count, error)) return false;
    if (count) return true;
    return error_set(error, FAILURE_INPUT, "listen-opens-page-to-others-on",
                     ARGUMENTS(arg_words("address", listen), arg_words("folder", server->options->folder)));
}

void server_started(struct server *server, const char *listen)
{
    const struct web_options *options = server->options;
    bool any = !strcmp(listen, "0.0.0.0") || !strcmp(listen, "::");
    const char *host = any ? server->guard.machine_name : listen;
    bool bracket = strchr(host, ':');
    if (options->started)
        options->started(options->self,
                         arena_format(server->arena, "%s://%s%s%s:%u/", server->guard.tls ? "https" : "http",
                                      bracket ? "[" : "", host, bracket ? "]" : "", options->port));
}

int64_t server_seconds(const struct server *server)
{
    return server->machine->now(server->machine);
}

const char *server_sender(const struct web_request *request)
{
    return request->visitor.open ? request->address : request->visitor.name;
}

/* ---- sessions on the disk ---- */

static const char *sessions_file(struct server *server, struct arena *arena)
{
    return path_join(arena, server->options->folder, ".sessions");
}

void server_read_sessions(struct server *server)
{
    enum { BYTES_MOST = 1 << 20 };
    struct arena *arena = arena_new(server->machine);
    struct str text;
    if (machine_read(server->machine, sessions_file(server, arena), BYTES_MOST, arena, &text, NULL))
        sessions_read(&server->sessions, text);
    arena_free(arena);
}

void server_keep_sessions(struct server *server)
{
    pthread_mutex_lock(&server->changing);
    uint64_t changes = sessions_changes(&server->sessions);
    if (changes != server->sessions_kept) {
        struct arena *arena = arena_new(server->machine);
        struct text out = text_new(arena);
        sessions_write(&server->sessions, &out);
        machine_write(server->machine, sessions_file(server, arena),
                      (struct str){text_string(&out), out.length}, false, NULL);
        server->sessions_kept = changes;
        arena_free(arena);
    }
    pthread_mutex_unlock(&server->changing);
}

void server_sweep(struct server *server)
{
    struct floor_view view;
    struct arena *arena = arena_new(server->machine);
    const char *folder = server->options->folder;
    if (floor_view(server->floor, server_seconds(server), arena, &view, NULL))
        for (size_t i = 0; i < view.job_count; i++)
            uploads_sweep(server->machine, path_join(arena, folder, view.jobs[i].folder_name), arena);
    arena_free(arena);
}

bool server_find_visitor(struct server *server, const char *token, struct arena *arena,
                         struct visitor *visitor, struct error *error)
{
    struct person *people;
    size_t count;
    *visitor = (struct visitor){0};
    if (!floor_people(server->floor, arena, &people, &count, error)) return false;
    const struct person *person =
        token ? session_find(&server->sessions, people, count, token, server_seconds(server)) : NULL;
    if (!count && server->loopback)
        *visitor = (struct visitor){.signed_in = true, .open = true, .role = ROLE_SHOP};
    else if (person)
        *visitor = (struct visitor){.signed_in = true, .name = person->name, .role = person->role};
    return true;
}
