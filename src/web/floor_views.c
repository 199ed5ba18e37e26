/* The whole floor: what is ready, what comes next, every job; stock; news as they happen. */
#include "app/desk.h"
#include "server.h"
#include "views.h"
#include "write.h"

static void step_json(struct json *json, const struct floor_step *step, const struct zone *zone)
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
    json_string(json, "why", step->why);
    json_close(json);
}

static void job_json(struct json *json, const struct floor_job *job, const struct zone *zone)
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
    json_string(json, "late_words", job->late ? write_span(job->late_s, json->out->arena) : NULL);
    json_whole(json, "stops", (int64_t)job->stops);
    json_whole(json, "warnings", (int64_t)job->warnings);
    json_whole(json, "notes", (int64_t)job->notes);
    json_string(json, "trouble", job->trouble);
    json_close(json);
}

static void steps_json(struct json *json, const char *key, const struct floor_step *steps, size_t count,
                       const struct zone *zone)
{
    json_open_list(json, key);
    for (size_t i = 0; i < count; i++) step_json(json, &steps[i], zone);
    json_close(json);
}

static void visitor_json(struct json *json, const struct visitor *visitor)
{
    json_string(json, "who", visitor->open ? NULL : visitor->name);
    json_string(json, "role", visitor->role == ROLE_SHOP ? "shop" : "viewer");
    json_bool(json, "open", visitor->open);
}

void view_floor(struct request *request, struct reply *reply)
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
    visitor_json(&json, &request->visitor);
    steps_json(&json, "ready", view.ready, view.ready_count, zone);
    steps_json(&json, "next", view.next, view.next_count, zone);
    json_open_list(&json, "jobs");
    for (size_t i = 0; i < view.job_count; i++) job_json(&json, &view.jobs[i], zone);
    json_close(&json);
    json_close(&json);
    reply_json(reply, &out);
}

void view_live(struct request *request, struct reply *reply)
{
    (void)request;
    reply->type = "text/event-stream";
    reply->events = true;
}

/* ---- stock ---- */

static void roll_json(struct json *json, const struct stock_roll *roll, const struct zone *zone)
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
    json_close(json);
}

void view_stock(struct request *request, struct reply *reply)
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
    for (size_t i = 0; i < count; i++) roll_json(&json, &rolls[i], floor_zone(server->floor));
    json_close(&json);
    desk_goods_json(server->machine, server->options->folder, &json);
    json_close(&json);
    reply_json(reply, &out);
}

static bool what_is_known(const char *what)
{
    return what &&
           (string_equal(what, "film") || string_equal(what, "laminate") || string_equal(what, "ink"));
}

static const char *who_of(const struct request *request)
{
    const char *said = form_get(&request->form, "who");
    if (!request->visitor.open) return request->visitor.name;
    return said;
}

static const char *roll_from_form(const struct request *request, struct stock_roll *roll)
{
    const struct form *form = &request->form;
    *roll = (struct stock_roll){
        .what = form_get(form, "what"), .of = form_get(form, "of"), .batch = form_get(form, "batch")};
    if (!what_is_known(roll->what)) return "Say what it is: film, laminate or ink.";
    if (!roll->of) return "Say which one it is, as the shop file calls it.";
    if (!form_number(form, "width_mm", 0, 10000, &roll->width_mm))
        return "The width is a number of millimetres, up to 10 000.";
    if (!form_number(form, "length_mm", 0, 10e6, &roll->length_mm))
        return "The length is a number of millimetres, up to 10 000 000.";
    if (!(roll->width_mm >= 0)) roll->width_mm = 0;
    if (!(roll->length_mm >= 0)) roll->length_mm = 0;
    return NULL;
}

void do_stock(struct request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *key = form_get(&request->form, "key"), *out_of_stock = form_get(&request->form, "roll"),
               *name = NULL;
    struct error error = {0};
    struct stock_roll roll;
    bool ok;
    if (!key) {
        reply_refuse(request, reply, 422, "The page sent no key with this; load it again.");
        return;
    }
    if (out_of_stock) {
        ok = floor_roll_out(server->floor, name = out_of_stock, who_of(request), key, &error);
    } else {
        const char *trouble = roll_from_form(request, &roll);
        if (trouble) {
            reply_refuse(request, reply, 422, trouble);
            return;
        }
        ok = floor_roll_in(server->floor, &roll, who_of(request), key, request->arena, &name, &error);
    }
    if (!ok) {
        reply_error(request, reply, &error);
        return;
    }
    server_say_changed(server, NULL);
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "roll", name);
    json_close(&json);
    reply_json(reply, &out);
}
