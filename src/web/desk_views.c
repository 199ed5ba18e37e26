/* The desk: trying seams, changing the job file, planning and making in the background. */
#include "base/quantity.h"
#include "model/quote.h"
#include "run/desk.h"
#include "answer/answer.h"
#include "server.h"
#include "views.h"
#include "write.h"
#include "base/sentence.h"
#include <string.h>

/* ---- trying seams ---- */

enum { SEAMS_MOST = 400 };

static const char *seams_from_form(const struct web_request *request, struct live_trial *trial)
{
    const struct form *form = &request->form;
    double choose;
    *trial = (struct live_trial){.surface = form_get(form, "surface")};
    for (size_t i = 0; i < form->count; i++) trial->seams_given |= !strcmp(form->pairs[i].name, "seams");
    size_t count;
    const char *written = form_get(form, "seams"),
               **items = form_list(written ? written : "", request->arena, &count);
    if (count > SEAMS_MOST) return sentence_plain("these-are-more-seams-than-surface");
    double *seams = arena_take_array(request->arena, count + 1, sizeof *seams);
    for (size_t i = 0; i < count; i++)
        if (str_number(str_from(items[i]), &seams[i]) != strlen(items[i]))
            return sentence_plain("seams-are-numbers-of-millimetres-parted");
    trial->seams_mm = seams;
    trial->seam_count = count;
    if (!form_number(form, "choose", 0, 9, &choose)) return sentence_plain("answer-chosen-is-number-from-0");
    trial->choose = choose > 0 ? (int)choose : 0;
    return NULL;
}

/* A surface without panels, or with a panel that no printer prints, costs nothing that could be compared. */
static bool is_possible(const struct plan *plan)
{
    for (size_t i = 0; i < plan->surface_count; i++)
        if (!plan->surfaces[i].panel_count && !plan->surfaces[i].no_artwork) return false;
    for (size_t i = 0; i < plan->findings.count; i++)
        if (string_equal(plan->findings.items[i].code, "no-seam-possible") ||
            string_equal(plan->findings.items[i].code, "panel-too-long"))
            return false;
    return true;
}

static const char *difference_words(const struct plan *plan, const struct plan *written, struct arena *arena)
{
    money_minor difference = plan->asked - written->asked;
    return arena_format(arena, "%s%s", difference > 0 ? "+" : "",
                        quantity_money(difference, plan->input->job->shop->currency, arena));
}

static void trial_json(struct text *out, const struct plan *plan, const struct plan *written,
                       const struct findings *findings, const char *surface, int64_t ms)
{
    struct json json = json_new(out);
    const char *currency = plan->input->job->shop->currency;
    size_t panels = 0;
    json_open_object(&json, NULL);
    if (!surface) json_open_list(&json, "surfaces");
    for (size_t i = 0; i < plan->surface_count; i++) {
        panels += plan->surfaces[i].panel_count;
        bool this_one = surface && string_equal(plan->surfaces[i].surface->name, surface);
        if (this_one || !surface)
            answer_surface(&json, surface ? "surface" : NULL, &plan->surfaces[i],
                           plan->input->surfaces[i].preview);
    }
    if (!surface) json_close(&json);
    bool possible = is_possible(plan);
    json_string(&json, "price", possible ? quantity_money(plan->asked, currency, out->arena) : NULL);
    json_string(&json, "price_difference",
                possible && is_possible(written) ? difference_words(plan, written, out->arena) : NULL);
    json_whole(&json, "panels", (int64_t)panels);
    answer_findings(&json, findings);
    answer_alternatives(&json, plan);
    json_whole(&json, "ms", ms);
    json_close(&json);
}

void do_try(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    struct live_trial trial;
    struct error error = {0};
    const char *trouble = seams_from_form(request, &trial);
    if (trouble) {
        reply_refuse(request, reply, 422, trouble);
        return;
    }
    int64_t before = server->machine->ticks_ms(server->machine);
    struct live_slot *slot = lives_take(&server->lives, server->floor, request->parts[0], false, &error);
    if (!slot) {
        reply_error(request, reply, &error);
        return;
    }
    struct live *live = slot->live;
    const struct findings *findings = NULL;
    const struct plan *plan =
        live_report(live)->errors ? NULL : live_try(live, &trial, request->arena, &findings);
    struct text out = text_new(request->arena);
    if (plan)
        trial_json(&out, plan, live_run(live)->plan, findings, trial.surface,
                   server->machine->ticks_ms(server->machine) - before);
    lives_give_back(&server->lives, slot);
    if (plan)
        reply_json(reply, &out);
    else
        reply_refuse(request, reply, 422, sentence_plain("job-file-has-mistakes-or-this"));
}

/* ---- changing the job file ---- */

static const char *folder_or_refuse(struct web_request *request, struct reply *reply)
{
    const char *folder = floor_job_folder(request->server->floor, request->parts[0], request->arena);
    if (!folder) reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-job-here"));
    return folder;
}

/* Pairs of path and value, in the order of the form; an empty value takes the key out. */
static const struct job_change *changes_from_form(const struct web_request *request, size_t *count)
{
    const struct form *form = &request->form;
    struct job_change *changes = arena_take_array(request->arena, form->count + 1, sizeof *changes);
    *count = 0;
    for (size_t i = 0; i + 1 < form->count; i++) {
        const struct form_pair *path = &form->pairs[i], *value = &form->pairs[i + 1];
        if (strcmp(path->name, "path") || strcmp(value->name, "value")) continue;
        changes[(*count)++] = (struct job_change){path->value, *value->value ? value->value : NULL};
        i++;
    }
    return changes;
}

/* Labels, files and everything on record go by the number. */
static bool takes_number_away(struct web_request *request, const struct job_change *changes, size_t count)
{
    struct fact *facts;
    size_t fact_count;
    bool number = false;
    for (size_t i = 0; i < count; i++) number |= !strcmp(changes[i].path, "job");
    if (!number || !floor_facts(request->server->floor, request->parts[0], NULL, request->arena, &facts,
                                &fact_count, NULL))
        return false;
    for (size_t i = 0; i < fact_count; i++)
        if (facts[i].kind != FACT_PLANNED) return true;
    return false;
}

static void refuse_mistakes(struct web_request *request, struct reply *reply, const struct report *report)
{
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "error", report->mistakes[0].text);
    write_mistakes(&json, report);
    json_close(&json);
    reply_json(reply, &out);
    reply->status = 422;
}

static void changed(struct web_request *request, struct reply *reply, const char *folder,
                    const char *fingerprint)
{
    struct server *server = request->server;
    works_put(&server->works, WORK_PLAN, request->parts[0], folder, 500);
    server_say_changed(server, request->parts[0]);
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "fingerprint", fingerprint);
    json_close(&json);
    reply_json(reply, &out);
}

static void refuse_conflict(struct web_request *request, struct reply *reply)
{
    reply_refuse(request, reply, 409, sentence_plain("someone-else-changed-this-job-meanwhile"));
}

/* A change that was not made. */
static void refuse_change(struct web_request *request, struct reply *reply, const struct job_edited *edited,
                          const struct report *report, const struct error *error)
{
    if (edited->conflict)
        refuse_conflict(request, reply);
    else if (report->errors)
        refuse_mistakes(request, reply, report);
    else
        reply_error(request, reply, error);
}

void do_edit(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *folder = folder_or_refuse(request, reply),
               *fingerprint = form_get(&request->form, "fingerprint");
    if (!folder) return;
    size_t count;
    const struct job_change *changes = changes_from_form(request, &count);
    if (!fingerprint || !count) {
        reply_refuse(request, reply, 422, sentence_plain("nothing-to-change-was-named-or"));
        return;
    }
    if (takes_number_away(request, changes, count)) {
        reply_refuse(request, reply, 422, sentence_plain("number-stays-labels-go-by-it"));
        return;
    }
    struct report report = report_new(request->arena);
    struct error error = {0};
    struct job_edit edit = {fingerprint, changes, count};
    struct job_edited edited;
    pthread_mutex_lock(&server->changing);
    bool ok = desk_edit(server->machine, folder, &edit, request->arena, &report, &edited, &error);
    if (ok) undo_keep(&server->undos, folder, edited.before, edited.fingerprint);
    pthread_mutex_unlock(&server->changing);
    if (ok)
        changed(request, reply, folder, edited.fingerprint);
    else
        refuse_change(request, reply, &edited, &report, &error);
}

/* A fleet's table as it was pasted. Where the job file named it already, that file stays and there is nothing to undo. */
void do_fleet(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *folder = folder_or_refuse(request, reply),
               *fingerprint = form_get(&request->form, "fingerprint"),
               *words = form_get(&request->form, "words");
    if (!folder) return;
    if (!fingerprint) fingerprint = "";
    struct report report = report_new(request->arena);
    struct error error = {0};
    struct job_edited edited;
    pthread_mutex_lock(&server->changing);
    bool ok = desk_keep_fleet(server->machine, folder, fingerprint, str_from(words ? words : ""),
                              request->arena, &report, &edited, &error);
    if (ok && strcmp(edited.fingerprint, fingerprint))
        undo_keep(&server->undos, folder, edited.before, edited.fingerprint);
    pthread_mutex_unlock(&server->changing);
    if (ok)
        changed(request, reply, folder, edited.fingerprint);
    else
        refuse_change(request, reply, &edited, &report, &error);
}

/* Under the lock. *any: there was something to go back to. */
static bool put_back(struct web_request *request, const char *folder, const char *fingerprint, bool *any,
                     struct job_edited *edited, struct error *error)
{
    struct server *server = request->server;
    struct str text;
    *edited = (struct job_edited){0};
    *any = undo_take(&server->undos, folder, fingerprint, request->arena, &text);
    if (!*any) return false;
    bool ok = desk_put_back(server->machine, folder, fingerprint, text, request->arena, edited, error);
    if (!ok) undo_keep(&server->undos, folder, text, fingerprint);
    return ok;
}

void do_undo(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *folder = folder_or_refuse(request, reply),
               *fingerprint = form_get(&request->form, "fingerprint");
    if (!folder) return;
    struct job_edited edited;
    bool any;
    struct error error = {0};
    pthread_mutex_lock(&server->changing);
    bool ok = put_back(request, folder, fingerprint ? fingerprint : "", &any, &edited, &error);
    pthread_mutex_unlock(&server->changing);
    if (ok)
        changed(request, reply, folder, edited.fingerprint);
    else if (!any)
        reply_refuse(request, reply, 422, sentence_plain("there-is-nothing-to-undo-nothing"));
    else if (edited.conflict)
        refuse_conflict(request, reply);
    else
        reply_error(request, reply, &error);
}

static bool make_job(struct server *server, const char *number, const char *title, struct arena *arena,
                     struct error *error)
{
    pthread_mutex_lock(&server->changing);
    bool ok = floor_number_is_free(server->floor, number, error) &&
              desk_new_job(server->machine, server->options->folder, number, title, arena, error);
    pthread_mutex_unlock(&server->changing);
    return ok;
}

void do_new(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *number = form_get(&request->form, "number"), *title = form_get(&request->form, "title");
    struct error error = {0};
    if (!number) {
        reply_refuse(request, reply, 422, sentence_plain("job-needs-number-letters-digits-and"));
        return;
    }
    if (!make_job(server, number, title ? title : number, request->arena, &error)) {
        reply_error(request, reply, &error);
        return;
    }
    server_say_changed(server, number);
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "job", number);
    json_close(&json);
    reply_json(reply, &out);
}

/* ---- in the background ---- */

/* The job's folder when there is room for work on it; NULL with a refusal. */
static const char *work_folder(struct web_request *request, struct reply *reply)
{
    const char *folder = folder_or_refuse(request, reply);
    if (!folder || machine_room(folder, NULL)) return folder;
    reply_refuse(request, reply, 507, sentence_plain("disk-is-full-plans-and-print"));
    return NULL;
}

static void reply_work(struct web_request *request, struct reply *reply, bool waits)
{
    if (!waits) {
        reply->retry_s = 30;
        reply_refuse_as(request, reply, 503, "busy", sentence_plain("too-many-jobs-are-waiting-to"));
        return;
    }
    reply->status = 202;
    reply->type = "application/json; charset=utf-8";
    reply->body = str_from("{}\n");
}

static void put_work(struct web_request *request, struct reply *reply, enum work_kind kind)
{
    const char *folder = work_folder(request, reply);
    if (folder)
        reply_work(request, reply, works_put(&request->server->works, kind, request->parts[0], folder, 0));
}

void do_plan(struct web_request *request, struct reply *reply)
{
    put_work(request, reply, WORK_PLAN);
}

void do_make(struct web_request *request, struct reply *reply)
{
    put_work(request, reply, form_get(&request->form, "anyway") ? WORK_MAKE_ANYWAY : WORK_MAKE);
}

void do_proof(struct web_request *request, struct reply *reply)
{
    put_work(request, reply, WORK_PROOF);
}

/* One panel printed again: made in the background, which puts it on record; then the plan is made again, since the
 * panel starts again in it. */
void do_reprint(struct web_request *request, struct reply *reply)
{
    const char *panel = form_get(&request->form, "panel"), *reason = form_get(&request->form, "words");
    const char *who = request->visitor.name ? request->visitor.name : form_get(&request->form, "who");
    struct work_again again = {.anyway = form_get(&request->form, "anyway"),
                               .patches = form_get(&request->form, "patches")};
    const char *folder = work_folder(request, reply);
    if (!folder) return;
    if (!panel || !reason || strlen(panel) >= sizeof again.panel || strlen(reason) >= sizeof again.reason ||
        (who && strlen(who) >= sizeof again.who)) {
        reply_refuse(request, reply, 422, sentence_plain("reprint-needs-panel-and-reason"));
        return;
    }
    format_into(again.panel, sizeof again.panel, "%s", panel);
    format_into(again.reason, sizeof again.reason, "%s", reason);
    format_into(again.who, sizeof again.who, "%s", who ? who : "");
    struct works *works = &request->server->works;
    bool waits = works_put_again(works, request->parts[0], folder, &again);
    if (waits) works_put(works, WORK_PLAN, request->parts[0], folder, 2000);
    reply_work(request, reply, waits);
}

void do_quote(struct web_request *request, struct reply *reply)
{
    int64_t vehicles;
    if (!form_whole(&request->form, "vehicles", VEHICLES_MOST, &vehicles) || !vehicles) {
        reply_refuse(request, reply, 422, sentence_plain("vehicles-are-whole-number"));
        return;
    }
    const char *folder = work_folder(request, reply);
    unsigned count = vehicles > 0 ? (unsigned)vehicles : 0;
    if (folder)
        reply_work(request, reply,
                   works_put_quote(&request->server->works, request->parts[0], folder, count));
}

void do_stop(struct web_request *request, struct reply *reply)
{
    works_stop(&request->server->works, request->parts[0]);
    reply->type = "application/json; charset=utf-8";
    reply->body = str_from("{}\n");
}
