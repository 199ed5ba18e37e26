/* Putting on record what was done, and reading it back. */
#include "base/sentence.h"
#include "base/str.h"
#include "model/entry.h"
#include "server.h"
#include "views.h"
#include "write.h"
#include <string.h>

/* ---- reading ---- */

void view_facts(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    struct fact *facts;
    size_t count;
    struct error error = {0};
    if (!floor_facts(server->floor, request->parts[0], NULL, request->arena, &facts, &count, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_open_list(&json, "facts");
    for (size_t i = count; i-- > 0;) write_fact(&json, &facts[i], floor_zone(server->floor));
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
}

/* ---- the form of a fact ---- */

/* `unit=in` of a form: a length that says no unit of its own is in inches. */
static const char *in_form_unit(const struct web_request *request, const struct fact_field *field,
                                const char *written)
{
    const char *unit = form_get(&request->form, "unit");
    bool bare = !written[strspn(written, "0123456789., ")];
    return field->form == FACT_FORM_LENGTH && bare && string_equal(unit, "in")
               ? arena_format(request->arena, "%s in", written)
               : written;
}

static bool field_from_form(const struct web_request *request, const struct fact_field *field,
                            struct fact *fact, struct error *error)
{
    const char *written = form_get(&request->form, field->name);
    if (!written || field->origin == FACT_FROM_RECORD || field->origin == FACT_FROM_GATE) return true;
    if (field->form == FACT_FORM_TIME)
        return floor_read_time(request->server->floor, written, &fact->at, error);
    return fact_field_read(fact, field, in_form_unit(request, field, written), request->arena, error);
}

bool fact_from_form(const struct web_request *request, enum fact_kind kind, struct fact *fact,
                    struct error *error)
{
    *fact = fact_blank(kind);
    fact->key = form_get(&request->form, "key");
    fact->entered_by = request->visitor.open ? NULL : request->visitor.name;
    if (!fact->key) return error_set(error, FAILURE_INPUT, "page-sent-no-key-with-this", NULL);
    for (size_t i = 0; i < fact_field_count; i++)
        if (!field_from_form(request, &fact_fields[i], fact, error)) return false;
    return true;
}

/* ---- putting ---- */

static void gate_json(struct web_request *request, struct reply *reply, const struct floor_answer *answer)
{
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "error", answer->gate.why);
    json_open_object(&json, "gate");
    json_string(&json, "why", answer->gate.why);
    write_time(&json, "from", floor_zone(request->server->floor), answer->gate.from);
    json_bool(&json, "may_override", answer->gate.may_override);
    json_open_list_inline(&json, "asks");
    for (size_t i = 0; i < answer->gate.asks_count; i++) json_string(&json, NULL, answer->gate.asks[i]);
    json_close(&json);
    json_string(&json, "panel", answer->gate_panel);
    json_open_list(&json, "whys");
    for (size_t i = 0; i < answer->gate.reason_count; i++) {
        json_open_object_inline(&json, NULL);
        write_reason(&json, &answer->gate.reasons[i]);
        json_close(&json);
    }
    json_close(&json);
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
    reply->status = 409;
}

static bool kind_from_form(const struct web_request *request, enum fact_kind *kind, struct error *error)
{
    const char *name = form_get(&request->form, "kind");
    return (name && fact_kind_from(name, kind)) || error_set(error, FAILURE_INPUT, "is-not-kind-of-entry",
                                                             ARGUMENTS(arg_words("name", name ? name : "")));
}

void put_fact(struct web_request *request, const char *job, const char *const *panels, size_t panel_count,
              struct put_result *result)
{
    struct server *server = request->server;
    struct fact fact;
    *result = (struct put_result){0};
    struct error *error = &result->error;
    enum fact_kind kind;
    bool ok = kind_from_form(request, &kind, error) && fact_from_form(request, kind, &fact, error);
    fact.job = job;
    ok = ok && floor_put(server->floor, &fact, panels, panel_count, request->arena, &result->answer, error);
    if (ok && result->answer.count) {
        const char *folder = floor_job_folder(server->floor, job, request->arena);
        server_say_changed(server, job);
        if (folder) works_put(&server->works, WORK_PLAN, job, folder, 2000);
    }
}

void do_facts(struct web_request *request, struct reply *reply)
{
    struct put_result result;
    size_t count = 0;
    const char *named = form_get(&request->form, "panels");
    const char **panels = named ? form_list(named, request->arena, &count) : NULL;
    put_fact(request, request->parts[0], panels, count, &result);
    if (result.error.kind) {
        reply_error(request, reply, &result.error);
        return;
    }
    if (!result.answer.count) {
        gate_json(request, reply, &result.answer);
        return;
    }
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_open_list_inline(&json, "facts");
    for (int64_t i = 0; i < result.answer.count; i++) json_whole(&json, NULL, result.answer.first + i);
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
}

/* ---- photographs ---- */

void do_photo(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    char name[65];
    struct error error = {0};
    if (!rates_take(&server->photographs, server_sender(request),
                    server->machine->ticks_ms(server->machine))) {
        reply->retry_s = 10;
        reply_refuse_as(request, reply, 429, "too-many-photographs",
                        sentence_plain("that-is-more-than-hundred-photographs"));
        return;
    }
    pthread_mutex_lock(&server->picture);
    bool ok = floor_add_photo(server->floor, request->body, name, &error);
    pthread_mutex_unlock(&server->picture);
    if (!ok) {
        reply_error(request, reply, &error);
        return;
    }
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "photo", name);
    json_string(&json, "address", arena_format(request->arena, "/api/photos/%s", name));
    json_close(&json);
    reply_json(reply, &out);
}

void view_photo(struct web_request *request, struct reply *reply)
{
    const char *kind = NULL;
    struct error error = {0};
    if (!floor_get_photo(request->server->floor, request->parts[0], request->arena, &reply->body, &kind,
                         &error)) {
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-photograph"));
        return;
    }
    reply->type = string_equal(kind, "image/png") ? "image/png" : "image/jpeg";
    reply->etag = request->parts[0];
    reply->keep = true;
    reply->sealed = true;
}

/* The browser has it already: nothing is worked out again. */
static bool has_it(const struct web_request *request, const char *etag)
{
    const char *have = request->headers.if_none_match;
    return have && strlen(have) == strlen(etag) + 2 && !strncmp(have + 1, etag, strlen(etag));
}

void view_small_photo(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    struct error error = {0};
    reply->type = "image/jpeg";
    reply->etag = arena_format(request->arena, "%s-small", request->parts[0]);
    reply->keep = true;
    reply->sealed = true;
    if (has_it(request, reply->etag)) return;
    pthread_mutex_lock(&server->picture);
    bool ok = floor_get_small_photo(server->floor, request->parts[0], request->arena, &reply->body, &error);
    pthread_mutex_unlock(&server->picture);
    if (ok) return;
    *reply = (struct reply){.status = 200, .fd = -1};
    reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-photograph"));
}
