/* One job: its plan as written and how far each panel has come. */
#include "answer/answer.h"
#include "floor/used.h"
#include "base/quantity.h"
#include "run/desk.h"
#include "job_files.h"
#include "server.h"
#include "views.h"
#include "write.h"
#include "base/sentence.h"
#include <string.h>
#include <strings.h>

/* ---- parts of the answer ---- */

static void work_json(struct json *json, const char *key, bool is, const struct background_work *work)
{
    if (!is) {
        json_null(json, key);
        return;
    }
    json_open_object_inline(json, key);
    json_string(json, "words", work->words);
    json_number(json, "fraction", work->fraction, 3);
    json_close(json);
}

static void job_views_panel_json(struct json *json, const struct floor_panel *panel, const struct zone *zone)
{
    json_open_object(json, NULL);
    json_string(json, "panel", panel->terms.panel);
    json_string(json, "surface", panel->terms.surface);
    json_whole(json, "order", panel->terms.install_sequence);
    write_state(json, &panel->state, zone);
    write_next(json, &panel->next, zone);
    json_open_object_inline(json, "length");
    write_figure(json, "planned_mm", panel->terms.print_mm, 1);
    write_figure(json, "measured_mm", panel->state.measured_mm, 1);
    if (panel->state.measured_mm > 0) {
        json_number(json, "miss_mm", panel->length.miss_mm, 1);
        json_bool(json, "within", panel->length.within);
        json_number(json, "feed_percent", panel->length.feed_percent, 3);
    }
    json_close(json);
    json_close(json);
}

static void job_views_steps_json(struct json *json, const struct plan *plan)
{
    const struct zone *zone = plan->input->zone;
    json_open_list(json, "steps");
    for (size_t i = 0; i < plan->step_count; i++) {
        const struct step *s = &plan->steps[i];
        json_open_object_inline(json, NULL);
        json_string(json, "step", step_kind_name(s->kind));
        write_strings(json, "panels", s->panels, s->panel_count);
        write_time(json, "start", zone, s->start);
        write_time(json, "end", zone, s->end);
        json_bool(json, "decides", s->decides);
        write_reason(json, &s->why);
        json_close(json);
    }
    json_close(json);
    size_t count;
    struct open_span *hours = desk_hours(plan, json->out->arena, &count);
    json_open_list(json, "hours");
    for (size_t i = 0; i < count; i++) {
        json_open_object_inline(json, NULL);
        write_time(json, "open", zone, hours[i].open);
        write_time(json, "close", zone, hours[i].close);
        json_close(json);
    }
    json_close(json);
}

struct job_answer {
    struct web_request *request;
    struct planned_job plan;
    struct floor_job listed; /* as in the floor's list, planned or not */
    bool working;
    struct background_work work;
    char failed[WORK_WORDS]; /* how planning ended before */
    const char *folder, *trouble;
};

/* Dates of the plan as the files say it now; whether it is late as the floor says it, so that both agree. */
static void expected_json(struct json *json, const struct job_answer *a, const struct plan *plan)
{
    const struct zone *zone = plan->input->zone;
    bool late = a->plan.planned ? a->listed.late : plan->promise.late;
    int64_t late_s = a->plan.planned ? a->listed.late_s : plan->promise.late_s;
    json_open_object(json, "expected");
    write_time(json, "earliest_install", zone, plan->has_install ? plan->earliest_install : 0);
    write_time(json, "finished", zone, plan->promise.expected);
    write_time(json, "due", zone, plan->promise.due);
    write_time(json, "first_promised", zone, a->plan.terms.first_promised);
    json_bool(json, "late", late);
    json_string(json, "late_words", late ? quantity_span(late_s, json->out->arena) : NULL);
    json_string(json, "decides", plan->decides.words);
    answer_decided(json, plan);
    json_close(json);
}

/* ---- the job ---- */

/* Where view_preview has each surface's picture; the address is another one when the picture changes. */
static const char *const *preview_addresses(const struct run *run, struct arena *arena)
{
    const char **list = arena_take_array(arena, run->surface_count, sizeof *list);
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct run_surface *s = &run->surfaces[i];
        list[i] = s->preview ? arena_format(arena, "/api/jobs/%s/preview/%zu.png?%llx", run->job->number, i,
                                            (unsigned long long)s->fingerprint)
                             : NULL;
    }
    return list;
}

/* The job as its files say it now. */
static void live_json(struct json *json, const struct job_answer *a, const struct live *live)
{
    const struct report *report = live ? live_report(live) : NULL;
    const struct run *run = live && !report->errors ? live_run(live) : NULL;
    write_mistakes(json, report);
    json_string(json, "fingerprint", live ? live_fingerprint(live) : NULL);
    json_bool(json, "panels_old", live && run_panels_are_old(live_run(live)));
    if (!run || !run->plan) {
        json_null(json, "plan");
        return;
    }
    json_string(json, "currency", run->job->shop->currency);
    json_string(json, "price", quantity_money(run->plan->asked, run->job->shop->currency, json->out->arena));
    answer_surfaces(json, run, preview_addresses(run, json->out->arena));
    struct text plan = text_new(json->out->arena);
    answer_run(run, &plan);
    json_raw(json, "plan", text_string(&plan));
    job_views_steps_json(json, run->plan);
    expected_json(json, a, run->plan);
}

static void job_views_job_json(struct json *json, const struct job_answer *a, const struct live *live)
{
    struct server *server = a->request->server;
    const struct zone *zone = floor_zone(server->floor);
    int64_t now = server->machine->now(server->machine);
    json_open_object(json, NULL);
    json_whole(json, "revision", floor_revision(server->floor));
    write_time(json, "now", zone, now);
    write_visitor(json, &a->request->visitor);
    json_string(json, "job", a->request->parts[0]);
    json_string(json, "title", a->listed.title);
    json_string(json, "vehicle", a->listed.vehicle);
    json_string(json, "stage", stage_words(a->listed.stage));
    json_whole(json, "version", a->plan.planned ? a->plan.terms.version : 0);
    json_bool(json, "planned", a->plan.planned);
    json_bool(json, "inches", floor_inches(server->floor, a->request->parts[0]));
    json_string(json, "trouble", a->trouble);
    work_json(json, "planning", a->working && a->work.kind == WORK_PLAN, &a->work);
    work_json(json, "making", a->working && !strcmp(work_name(a->work.kind), "making"), &a->work);
    work_json(json, "quoting", a->working && a->work.kind == WORK_QUOTE, &a->work);
    live_json(json, a, live);
    json_open_list(json, "panels");
    for (size_t i = 0; a->plan.planned && i < a->plan.terms.panel_count; i++)
        job_views_panel_json(json, &a->plan.panels[i], zone);
    json_close(json);
    job_files_json(json, a->request, a->folder);
    json_close(json);
}

static bool job_views_find_listed(struct job_answer *a, int64_t now, struct error *error)
{
    struct web_request *r = a->request;
    struct floor_view view;
    if (!floor_view(r->server->floor, now, r->arena, &view, error)) return false;
    for (size_t i = 0; i < view.job_count; i++)
        if (!strcasecmp(view.jobs[i].number, r->parts[0])) a->listed = view.jobs[i];
    return true;
}

static bool gather(struct job_answer *a, struct error *error)
{
    struct web_request *r = a->request;
    struct server *server = r->server;
    int64_t now = server->machine->now(server->machine);
    if (!floor_job(server->floor, r->parts[0], now, r->arena, &a->plan, error)) return false;
    a->working = works_look(&server->works, r->parts[0], &a->work);
    return job_views_find_listed(a, now, error);
}

/* A job that was never planned is planned in the background first: rendering may take a while, and the page
 * shows how far it is; once, unless somebody asks again. One with mistakes is opened at once: they are what
 * the page shows. */
static struct live_slot *open_or_plan(struct job_answer *a, struct error *error)
{
    struct server *server = a->request->server;
    bool waits = a->working && a->work.kind == WORK_PLAN, looks_only = a->request->visitor.role != ROLE_SHOP;
    if (!a->plan.planned && !a->working && a->listed.stage != STAGE_BROKEN) {
        struct live_slot *slot = lives_take(&server->lives, server->floor, a->request->parts[0], true, error);
        if (slot && !live_report(slot->live)->errors) return slot;
        if (slot) { /* its mistakes were mended outside */
            lives_give_back(&server->lives, slot);
            lives_close(&server->lives, a->request->parts[0]);
        }
        if (works_failed(&server->works, a->request->parts[0], a->failed)) {
            a->trouble = a->failed;
            return NULL;
        }
        if (looks_only) {
            a->trouble = sentence_plain("this-job-is-not-planned-yet");
            return NULL;
        }
        a->working = works_put(&server->works, WORK_PLAN, a->request->parts[0], a->folder, 0) &&
                     works_look(&server->works, a->request->parts[0], &a->work);
        return NULL;
    }
    return lives_take(&server->lives, server->floor, a->request->parts[0], waits, error);
}

void view_job(struct web_request *request, struct reply *reply)
{
    struct job_answer a = {.request = request};
    struct error error = {0};
    a.folder = floor_job_folder(request->server->floor, request->parts[0], request->arena);
    if (!a.folder) {
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-job-here"));
        return;
    }
    if (!gather(&a, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    struct live_slot *slot = open_or_plan(&a, &error);
    if (!slot && error.kind) a.trouble = error.text;
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    job_views_job_json(&json, &a, slot ? slot->live : NULL);
    if (slot) lives_give_back(&request->server->lives, slot);
    reply_json(reply, &out);
}

/* "0.png": the first surface's name; NULL when there is no such. */
static const char *numbered_surface(const struct live *live, const char *part)
{
    size_t digits = strspn(part, "0123456789"), number = 0;
    const struct run *run = live_report(live)->errors ? NULL : live_run(live);
    if (!run || !digits || digits > 4 || strcmp(part + digits, ".png")) return NULL;
    for (size_t i = 0; i < digits; i++) number = 10 * number + (size_t)(part[i] - '0');
    return number < run->surface_count ? run->surfaces[number].surface->name : NULL;
}

void view_preview(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    struct error error = {0};
    struct live_slot *slot = lives_take(&server->lives, server->floor, request->parts[0], false, &error);
    if (!slot) {
        reply_error(request, reply, &error);
        return;
    }
    const char *surface = numbered_surface(slot->live, request->parts[1]);
    bool ok = surface && live_preview(slot->live, surface, request->arena, &reply->body, &error);
    lives_give_back(&server->lives, slot);
    if (ok)
        reply->type = "image/png";
    else
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-picture-surface-has"));
}

/* ---- what a form may ask for ---- */

void view_written(struct web_request *request, struct reply *reply)
{
    struct text out = text_new(request->arena);
    struct error error = {0};
    struct str yaml;
    char fingerprint[17];
    const char *folder = floor_job_folder(request->server->floor, request->parts[0], request->arena);
    if (!folder)
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-job-here"));
    else if (desk_written(request->server->machine, folder, request->arena, fingerprint, &yaml, &error) &&
             answer_written(yaml, fingerprint, &out, &error))
        reply_json(reply, &out);
    else
        reply_error(request, reply, &error);
}

void view_keys(struct web_request *request, struct reply *reply)
{
    struct text out = text_new(request->arena);
    answer_keys(&out);
    reply_json(reply, &out);
}

void view_conditions(struct web_request *request, struct reply *reply)
{
    struct text out = text_new(request->arena);
    struct error error = {0};
    struct shop_conditions conditions;
    if (!desk_conditions(request->server->machine, request->server->options->folder, request->arena,
                         &conditions, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    answer_conditions(&conditions, &out);
    reply_json(reply, &out);
}

void view_used(struct web_request *request, struct reply *reply)
{
    struct used_report report;
    struct error error = {0};
    struct text out = text_new(request->arena);
    if (!floor_used(request->server->floor, request->parts[0], 0, request->arena, &report, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    answer_used(&report, &out);
    reply_json(reply, &out);
}
