/* The whole floor: what is ready, what comes next, every job; stock; news as they happen. */
#include "answer/answer.h"
#include "base/quantity.h"
#include "run/desk.h"
#include "server.h"
#include "views.h"
#include "write.h"

static void floor_views_step_json(struct json *json, const struct floor_step *step, const struct zone *zone)
{
    json_open_object_inline(json, NULL);
    json_string(json, "job", step->job);
    json_string(json, "title", step->title);
    json_string(json, "surface", step->surface);
    write_strings(json, "panels", step->panels, step->panel_count);
    json_string(json, "kind", fact_kind_name(step->kind));
    json_string(json, "step", write_step_name(step->kind));
    write_time(json, "from", zone, step->from);
    write_time(json, "needed", zone, step->needed);
    json_bool(json, "late", step->late);
    write_reason(json, &step->why);
    json_close(json);
}

static void floor_views_job_json(struct json *json, const struct floor_job *job, const struct zone *zone)
{
    json_open_object_inline(json, NULL);
    json_string(json, "job", job->number);
    json_string(json, "title", job->title);
    json_string(json, "vehicle", job->vehicle);
    json_string(json, "stage", stage_words(job->stage));
    json_whole(json, "panels", (int64_t)job->panels);
    json_whole(json, "installed", (int64_t)job->installed);
    write_time(json, "earliest_install", zone, job->has_install ? job->earliest_install : 0);
    write_time(json, "due", zone, job->has_due ? job->due : 0);
    write_time(json, "expected", zone, job->expected);
    json_bool(json, "late", job->late);
    json_string(json, "late_words", job->late ? quantity_span(job->late_s, json->out->arena) : NULL);
    json_whole(json, "stops", (int64_t)job->stops);
    json_whole(json, "warnings", (int64_t)job->warnings);
    json_whole(json, "notes", (int64_t)job->notes);
    json_string(json, "trouble", job->trouble);
    json_close(json);
}

static void floor_views_steps_json(struct json *json, const char *key, const struct floor_step *steps,
                                   size_t count, const struct zone *zone)
{
    json_open_list(json, key);
    for (size_t i = 0; i < count; i++) floor_views_step_json(json, &steps[i], zone);
    json_close(json);
}

/* Null while there is room; else what is left, so that somebody makes some before the disk is full. */
static void room_json(struct json *json, const char *folder)
{
    const int64_t enough = INT64_C(1) << 30;
    int64_t left, room = machine_room(folder, &left);
    if (room >= enough || left > 20 * enough) {
        json_null(json, "room");
        return;
    }
    double left_mb = (double)left / (1 << 20);
    json_open_object_inline(json, "room");
    json_number(json, "left_mb", left_mb, 0);
    json_bool(json, "full", room == 0);
    json_string(json, "words",
                sentence_words(json->out->arena, room ? "disk-filling" : "disk-full",
                               ARGUMENTS(arg_fixed("left_mb", left_mb, 0))));
    json_close(json);
}

void view_floor(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    struct floor_view view;
    struct error error = {0};
    int64_t now = server->machine->now(server->machine), revision = floor_revision(server->floor);
    if (!floor_view(server->floor, now, request->arena, &view, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    const struct zone *zone = floor_zone(server->floor);
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_whole(&json, "revision", revision);
    write_time(&json, "now", zone, now);
    json_string(&json, "zone", zone->name);
    json_bool(&json, "inches", floor_inches(server->floor, NULL));
    write_visitor(&json, &request->visitor);
    room_json(&json, server->options->folder);
    floor_views_steps_json(&json, "ready", view.ready, view.ready_count, zone);
    floor_views_steps_json(&json, "next", view.next, view.next_count, zone);
    json_open_list(&json, "jobs");
    for (size_t i = 0; i < view.job_count; i++) floor_views_job_json(&json, &view.jobs[i], zone);
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
}

void view_live(struct web_request *request, struct reply *reply)
{
    (void)request;
    reply->type = "text/event-stream";
    reply->events = true;
}

/* ---- stock ---- */

static void floor_views_roll_json(struct json *json, const struct stock_roll *roll, const struct zone *zone)
{
    json_open_object_inline(json, NULL);
    json_string(json, "name", roll->name);
    json_string(json, "what", roll->what);
    json_string(json, "of", roll->of);
    json_string(json, "batch", roll->batch);
    json_number(json, "width_mm", roll->width_mm, 1);
    json_number(json, "length_mm", roll->length_mm, 0);
    write_time(json, "in", zone, roll->in);
    write_time(json, "out", zone, roll->out);
    json_whole(json, "panels", (int64_t)roll->panels);
    write_figure(json, "left_mm", roll->left_mm, 0);
    json_string(json, "cut_from", roll->cut_from);
    json_close(json);
}

void view_stock(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    struct stock_roll *rolls;
    size_t count;
    struct error error = {0};
    if (!floor_stock(server->floor, request->arena, &rolls, &count, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_open_list(&json, "rolls");
    for (size_t i = 0; i < count; i++) floor_views_roll_json(&json, &rolls[i], floor_zone(server->floor));
    json_close(&json);
    answer_goods(&json, desk_shop(server->machine, server->options->folder, request->arena));
    write_visitor(&json, &request->visitor);
    json_close(&json);
    reply_json(reply, &out);
}

/* A roll that is named leaves; anything else comes in. */
void do_stock(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    bool leaves = form_get(&request->form, "roll") && !form_get(&request->form, "what");
    struct fact fact;
    struct floor_answer answer;
    struct error error = {0};
    if (!fact_from_form(request, leaves ? FACT_ROLL_OUT : FACT_ROLL_IN, &fact, &error) ||
        !floor_put(server->floor, &fact, NULL, 0, request->arena, &answer, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    if (!answer.count) {
        reply_refuse(request, reply, 409, answer.gate.why);
        return;
    }
    const char *name = leaves ? fact.roll : answer.roll;
    server_say_changed(server, NULL);
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "roll", name);
    json_close(&json);
    reply_json(reply, &out);
}
