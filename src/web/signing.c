/* Signing in and out, and who may. */
#include "assets.h"
#include "server.h"
#include "template.h"
#include "views.h"
#include "write.h"
#include "base/sentence.h"
#include <string.h>

/* ---- signing in ---- */

/* A page of ours to go on to, never another server's. */
static const char *where_to(const char *to)
{
    bool ours = to && to[0] == '/' && to[1] != '/' && to[1] != '\\' && strlen(to) < 300;
    for (const char *at = to; ours && *at; at++) ours = *at > ' ' && *at <= '~' && *at != '\\';
    return ours ? to : "/";
}

static void sign_in_page(struct web_request *request, struct reply *reply, const char *trouble,
                         const char *name, const char *to)
{
    struct template_values values = {0};
    struct asset page;
    struct text out = text_new(request->arena);
    template_set(request->arena, &values, "refused", trouble);
    template_set(request->arena, &values, "name", name);
    template_set(request->arena, &values, "back", where_to(to));
    if (asset_find("sign-in.html", &page)) template_fill(page.bytes, &values, &out);
    reply_html(reply, &out);
}

void view_sign_in(struct web_request *request, struct reply *reply)
{
    sign_in_page(request, reply, NULL, NULL, form_get(&request->query, "back"));
}

static const char *cookie(const struct web_request *request, const char *token, int64_t lasts_s)
{
    return arena_format(request->arena, "lapstrake=%s; Path=/; HttpOnly; SameSite=Strict; Max-Age=%lld%s",
                        token, (long long)lasts_s, request->server->guard.tls ? "; Secure" : "");
}

void do_sign_in(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *name = form_get(&request->form, "name"), *password = form_get(&request->form, "password");
    const char *to = form_get(&request->form, "back");
    struct person *people = NULL;
    size_t count = 0;
    char *token = arena_take(request->arena, SESSION_TOKEN);
    unsigned wait_s = 0;
    struct error error = {0};
    if (!floor_people(server->floor, request->arena, &people, &count, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    if (name && password && strlen(name) <= FACT_NAME_MOST && strlen(password) <= PASSWORD_MOST &&
        session_sign_in(&server->sessions, people, count,
                        &(struct sign_in){name, password, request->address, request_token(request),
                                          server_seconds(server)},
                        token, &wait_s)) {
        server_keep_sessions(server);
        reply_go_to(reply, where_to(to));
        reply->cookie = cookie(request, token, SESSION_LASTS_S + SESSION_KNOWN_S);
        return;
    }
    sign_in_page(request, reply,
                 wait_s ? sentence_words(request->arena, "too-many-wrong-tries-wait-s",
                                         ARGUMENTS(arg_count("wait_s", (int64_t)wait_s)))
                        : sentence_plain("name-or-password-is-wrong"),
                 name, to);
    reply->status = wait_s ? 429 : 401;
    reply->retry_s = wait_s;
}

void do_sign_out(struct web_request *request, struct reply *reply)
{
    const char *token = request_token(request);
    if (token) session_sign_out(&request->server->sessions, token);
    server_keep_sessions(request->server);
    /* The token stays with the browser: it lets nobody in any more, but shows that the device is known. */
    reply_go_to(reply, "/sign-in");
}

/* ---- people ---- */

void view_people(struct web_request *request, struct reply *reply)
{
    struct person *people;
    size_t count;
    struct error error = {0};
    if (!floor_people(request->server->floor, request->arena, &people, &count, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "you", request->visitor.open ? NULL : request->visitor.name);
    json_open_list(&json, "people");
    for (size_t i = 0; i < count; i++) {
        json_open_object_inline(&json, NULL);
        json_string(&json, "name", people[i].name);
        json_string(&json, "role", people[i].role == ROLE_SHOP ? "shop" : "viewer");
        json_close(&json);
    }
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
}

static bool change_people(struct web_request *request, struct error *error)
{
    struct server *server = request->server;
    const struct form *form = &request->form;
    const char *name = form_get(form, "name"), *role = form_get(form, "role"),
               *password = form_get(form, "password");
    if (!name) return error_set(error, FAILURE_INPUT, "person-needs-name-2", NULL);
    pthread_mutex_lock(&server->changing); /* two who take each other out would leave nobody */
    bool ok = form_get(form, "remove")
                  ? web_remove_person(server->machine, server->options->folder, name, error)
                  : web_set_person(server->machine, server->options->folder, name, role ? role : "",
                                   password ? password : "", error);
    pthread_mutex_unlock(&server->changing);
    return ok;
}

void do_people(struct web_request *request, struct reply *reply)
{
    struct error error = {0};
    if (!change_people(request, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    server_say_changed(request->server, NULL);
    reply->type = "application/json; charset=utf-8";
    reply->body = str_from("{}\n");
}
