/* Putting on record what was done, and reading it back. */
#include "server.h"
#include "views.h"
#include "write.h"
#include <string.h>

/* ---- reading ---- */

void view_facts(struct request *request, struct reply *reply)
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

static const char *figures_from_form(const struct form *form, struct fact *fact)
{
    if (!form_number(form, "air_c", -40, 80, &fact->air_c))
        return "The air temperature is a number of degrees Celsius, -40 to 80.";
    if (!form_number(form, "surface_c", -40, 150, &fact->surface_c))
        return "The surface temperature is a number of degrees Celsius, -40 to 150.";
    if (!form_number(form, "humidity_percent", 0, 100, &fact->humidity_percent))
        return "The humidity is 0 to 100 percent.";
    if (!form_number(form, "measured_mm", 1, 200000, &fact->measured_mm))
        return "The measured length is a number of millimetres, 1 to 200 000.";
    if (!form_number(form, "planned_mm", 1, 200000, &fact->planned_mm))
        return "The planned length is a number of millimetres, 1 to 200 000.";
    return form_whole(form, "withdraws", INT64_MAX / 16, &fact->withdraws)
               ? NULL
               : "What is taken back is named by its number.";
}

static const char *fact_from_form(const struct request *request, struct fact *fact)
{
    const struct form *form = &request->form;
    const char *kind = form_get(form, "kind"), *at = form_get(form, "at"), *who = form_get(form, "who");
    *fact = fact_blank(FACT_NOTE);
    fact->key = form_get(form, "key");
    fact->device = form_get(form, "device");
    fact->roll = form_get(form, "roll");
    fact->batch = form_get(form, "batch");
    fact->words = form_get(form, "words");
    fact->override = form_get(form, "override");
    fact->photo = form_get(form, "photo");
    fact->at = request->server->machine->now(request->server->machine);
    fact->who = request->visitor.open ? (who ? who : "not named") : request->visitor.name;
    if (!fact->key) return "The page sent no key with this; load it again.";
    if (!kind || !fact_kind_from(kind, &fact->kind)) return "This is nothing that can be put on record.";
    if (at && !floor_read_time(request->server->floor, at, &fact->at, NULL))
        return "The time is a date and a time of day: 2027-03-04T10:40.";
    const char *trouble = figures_from_form(form, fact);
    if (fact->withdraws < 0) fact->withdraws = 0;
    return trouble;
}

/* ---- putting ---- */

static void gate_json(struct request *request, struct reply *reply, const struct floor_answer *answer)
{
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "error", answer->gate.why);
    json_open_object_inline(&json, "gate");
    json_string(&json, "why", answer->gate.why);
    write_time(&json, "from", floor_zone(request->server->floor), answer->gate.from);
    json_bool(&json, "may_override", answer->gate.may_override);
    json_string(&json, "panel", answer->gate_panel);
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
    reply->status = 409;
}

void put_fact(struct request *request, const char *job, const char *const *panels, size_t panel_count,
              struct put_result *result)
{
    struct server *server = request->server;
    struct fact fact;
    struct error error = {0};
    *result = (struct put_result){.sentence = fact_from_form(request, &fact)};
    fact.job = job;
    if (result->sentence) {
        result->status = 422;
    } else if (!floor_put(server->floor, &fact, panels, panel_count, request->arena, &result->answer,
                          &error)) {
        result->status = error.kind == FAILURE_INPUT ? 422 : 503;
        result->sentence = arena_copy_string(request->arena, error.text);
    } else if (result->answer.count) {
        const char *folder = floor_job_folder(server->floor, job, request->arena);
        server_say_changed(server, job);
        if (folder) works_put(&server->works, WORK_PLAN, job, folder, 2000);
    }
}

void do_facts(struct request *request, struct reply *reply)
{
    struct put_result result;
    size_t count = 0;
    const char *named = form_get(&request->form, "panels");
    const char **panels = named ? form_list(named, request->arena, &count) : NULL;
    put_fact(request, request->parts[0], panels, count, &result);
    if (result.status) {
        reply_refuse(request, reply, result.status, result.sentence);
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

void do_photo(struct request *request, struct reply *reply)
{
    struct server *server = request->server;
    char name[65];
    struct error error = {0};
    if (!floor_add_photo(server->floor, request->body, name, &error)) {
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

void view_photo(struct request *request, struct reply *reply)
{
    const char *kind = NULL;
    struct error error = {0};
    if (!floor_get_photo(request->server->floor, request->parts[0], request->arena, &reply->body, &kind,
                         &error)) {
        reply_refuse(request, reply, 404, "There is no such photograph.");
        return;
    }
    reply->type = string_equal(kind, "image/png") ? "image/png" : "image/jpeg";
    reply->etag = request->parts[0];
    reply->keep = true;
    reply->sealed = true;
}
