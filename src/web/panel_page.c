/* The page of one panel, where its label leads: reads and works without script. */
#include "base/quantity.h"
#include "assets.h"
#include "base/sentence.h"
#include "base/units.h"
#include "model/entry.h"
#include "panel_picture.h"
#include "server.h"
#include "template.h"
#include "views.h"
#include "write.h"
#include <math.h>
#include <sodium.h>
#include <string.h>
#include <strings.h>

struct panel_page {
    struct web_request *request;
    struct arena *arena;
    const struct zone *zone;
    struct planned_job job;
    const struct floor_panel *panel;
    int64_t now;
    bool inches; /* lengths of this job */
    struct template_values values;
};

static void panel_page_set(struct panel_page *page, const char *name, const char *text)
{
    template_set(page->arena, &page->values, name, text);
}

static void set_if(struct panel_page *page, const char *name, bool on)
{
    panel_page_set(page, name, on ? "yes" : NULL);
}

/* ---- which panel ---- */

/* Labels are in capitals: case does not matter. */
static bool panel_page_find_panel(struct panel_page *page, struct reply *reply)
{
    struct web_request *r = page->request;
    struct error error = {0};
    page->inches = floor_inches(r->server->floor, r->parts[0]);
    if (!floor_number(r->server->floor, r->parts[0], page->arena, NULL)) {
        reply_refuse(r, reply, 404,
                     sentence_words(page->arena, "job-is-not-in-shops-folder",
                                    ARGUMENTS(arg_words("parts", r->parts[0]))));
        return false;
    }
    if (!floor_job(r->server->floor, r->parts[0], page->now, page->arena, &page->job, &error)) {
        reply_error(r, reply, &error);
        return false;
    }
    for (size_t i = 0; page->job.planned && i < page->job.terms.panel_count; i++)
        if (!strcasecmp(page->job.panels[i].terms.panel, r->parts[1])) page->panel = &page->job.panels[i];
    if (!page->panel) reply_refuse(r, reply, 404, sentence_plain("there-is-no-such-panel-in-latest"));
    return page->panel;
}

/* ---- where it goes ---- */

static const char *front_words(enum front front)
{
    static const char *const words[] = {"front-left", "front-right",   "front-up",
                                        "front-down", "front-is-rear", "front-is-here"};
    return sentence_plain(words[front]);
}

static const char *spaced(const struct panel_page *page, double mm)
{
    return quantity_length_figure(mm, 0, page->inches, page->arena);
}

static const char *unit(const struct panel_page *page)
{
    return page->inches ? "in" : "mm";
}

static void panel_page_describe(struct panel_page *page)
{
    const struct panel_terms *t = &page->panel->terms;
    size_t on_surface = 0;
    for (size_t i = 0; i < page->job.terms.panel_count; i++)
        on_surface += page->job.panels[i].terms.surface_index == t->surface_index;
    panel_page_set(page, "job", page->job.terms.job);
    panel_page_set(page, "title", page->job.terms.title);
    panel_page_set(page, "vehicle", page->job.terms.vehicle);
    panel_page_set(page, "panel", t->panel);
    panel_page_set(page, "surface", t->surface);
    panel_page_set(page, "order", arena_format(page->arena, "%d", t->install_sequence));
    panel_page_set(page, "panels", arena_format(page->arena, "%zu", on_surface));
    panel_page_set(page, "size",
                   arena_format(page->arena, "%s x %s", spaced(page, rect_width(t->visible)),
                                quantity_length(rect_height(t->visible), 0, page->inches, page->arena)));
    panel_page_set(page, "unit", page->inches ? "in" : NULL);
    panel_page_set(page, "front_words", front_words(t->front));
    panel_page_set(page, "version", arena_format(page->arena, "%lld", (long long)page->job.terms.version));
    panel_page_set(
        page, "revision",
        arena_format(page->arena, "%lld", (long long)floor_revision(page->request->server->floor)));
    panel_page_set(page, "person", page->request->visitor.open ? NULL : page->request->visitor.name);
    panel_page_set(page, "now_s", arena_format(page->arena, "%lld", (long long)page->now));
    panel_page_set(page, "picture",
                   panel_picture(page->job.panels, page->job.terms.panel_count, page->panel, page->arena));
}

static void neighbours(struct panel_page *page)
{
    static const char *const words[LIES_COUNT] = {
        [LIES_OVER] = "Lies over", [LIES_UNDER] = "Lies under", [LIES_GAP] = "Door gap to"};
    const struct panel_terms *t = &page->panel->terms;
    struct template_values *entries = arena_take_array(page->arena, t->neighbour_count, sizeof *entries);
    for (size_t i = 0; i < t->neighbour_count; i++) {
        template_set(page->arena, &entries[i], "words", words[t->neighbours[i].lies]);
        template_set(page->arena, &entries[i], "neighbour", t->neighbours[i].panel);
    }
    template_set_list(page->arena, &page->values, "neighbours", entries, t->neighbour_count);
}

/* ---- who and when ---- */

/* The fields of one form; `form` ends their ids. */
static const char *signed_fields(const struct panel_page *page, const char *form)
{
    const struct visitor *visitor = &page->request->visitor;
    struct template_values values = {0};
    struct asset asset;
    struct text out = text_new(page->arena);
    template_set(page->arena, &values, "form", form);
    template_set(page->arena, &values, "who", visitor->open ? NULL : visitor->name);
    if (asset_find("signed.html", &asset)) template_fill(asset.bytes, &values, &out);
    return text_string(&out);
}

/* ---- what is next ---- */

static void next_step(struct panel_page *page)
{
    const struct next_step *next = &page->panel->next;
    bool waits = !next->open && next->from > page->now;
    set_if(page, "damaged", page->panel->state.damaged);
    if (next->kind == FACT_KIND_COUNT) return;
    panel_page_set(page, "signed", signed_fields(page, "n"));
    panel_page_set(page, "step", write_step_name(next->kind));
    panel_page_set(page, "kind", fact_kind_name(next->kind));
    set_if(page, "open", next->open);
    panel_page_set(page, "why", next->why.words);
    if (page->panel->late)
        panel_page_set(page, "late",
                       sentence_words(page->arena, "it-should-have-begun-by",
                                      ARGUMENTS(arg_words(
                                          "needed", zone_words(page->zone, next->needed, page->arena)))));
    if (!waits) return;
    panel_page_set(page, "from_words", zone_words(page->zone, next->from, page->arena));
    panel_page_set(page, "from_s", arena_format(page->arena, "%lld", (long long)next->from));
    panel_page_set(page, "wait_words", quantity_span(next->from - page->now, page->arena));
}

/* Rolls that the step may use: in stock, and of the kind that the plan names. */
static void rolls(struct panel_page *page, const char *what, const char *of)
{
    struct stock_roll *rolls;
    size_t count, kept = 0;
    struct error error = {0};
    if (!floor_stock(page->request->server->floor, page->arena, &rolls, &count, &error)) return;
    struct template_values *entries = arena_take_array(page->arena, count + 1, sizeof *entries);
    for (size_t i = 0; i < count; i++) {
        if (rolls[i].out || !string_equal(rolls[i].what, what) || !string_equal(rolls[i].of, of)) continue;
        const char *batch = rolls[i].batch ? arena_format(page->arena, ", batch %s", rolls[i].batch) : "";
        const char *left = isnan(rolls[i].left_mm)
                               ? ""
                               : arena_format(page->arena, ", %s left",
                                              quantity_run(rolls[i].left_mm, page->inches, page->arena));
        template_set(page->arena, &entries[kept], "roll", rolls[i].name);
        template_set(page->arena, &entries[kept++], "roll_words",
                     arena_format(page->arena, "%s, %s%s%s", rolls[i].name,
                                  quantity_length(rolls[i].width_mm, 0, page->inches, page->arena), batch,
                                  left));
    }
    template_set_list(page->arena, &page->values, "rolls", entries, kept);
}

/* "Roller, °C" */
static const char *ask_label(const struct panel_page *page, const struct fact_field *field,
                             const struct fact_ask *ask)
{
    const char *of = field->form == FACT_FORM_LENGTH ? unit(page) : fact_form_unit(field->form);
    return *of ? arena_format(page->arena, "%s, %s", ask->label, of) : ask->label;
}

static void fields(struct panel_page *page)
{
    enum fact_kind kind = page->panel->next.kind;
    size_t count = 0;
    struct template_values *entries = arena_take_array(page->arena, fact_field_count, sizeof *entries);
    for (size_t i = 0; kind != FACT_KIND_COUNT && i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        const struct fact_ask *ask = fact_field_ask(field, kind);
        if (!ask) continue;
        struct template_values *entry = &entries[count++];
        template_set(page->arena, entry, "field", field->name);
        template_set(page->arena, entry, "label", ask_label(page, field, ask));
        template_set(page->arena, entry, "figure", fact_form_is_figure(field->form) ? "yes" : NULL);
        template_set(page->arena, entry, "of_roll", string_equal(field->name, "roll") ? "yes" : NULL);
    }
    template_set_list(page->arena, &page->values, "asked", entries, count);
    if (kind == FACT_LAMINATED) rolls(page, "laminate", page->job.terms.laminate);
    if (kind == FACT_PRINTED) rolls(page, "film", page->job.terms.film);
}

/* ---- what else may be put on record ---- */

struct other_form {
    enum fact_kind kind;
    const char *form, *summary, *label, *field, *button;
};

static const struct other_form other_forms[] = {
    {FACT_DAMAGED, "d", "It is damaged", "What happened", "words", "Record the damage"},
    {FACT_REPRINT, "r", "Print it again", "Why", "words", "Start it again"},
    {FACT_MEASURED, "m", "Measure its length", NULL, "measured_mm", "Record the length"},
    {FACT_NOTE, "t", "Write a note", "Note", "words", "Record the note"},
};
enum { OTHER_FORMS = sizeof other_forms / sizeof *other_forms };

static bool measurable(const struct floor_panel *panel)
{
    return panel->state.printed && panel->terms.print_mm > 0;
}

static const char *measured_label(const struct panel_page *page)
{
    double planned_mm = page->panel->terms.print_mm;
    return sentence_words(
        page->arena, "between-length-marks-planned",
        ARGUMENTS(arg_words("unit", unit(page)),
                  arg_words("inches", page->inches ? spaced(page, planned_mm)
                                                   : arena_format(page->arena, "%.1f", planned_mm))));
}

static void others(struct panel_page *page)
{
    struct template_values *entries = arena_take_array(page->arena, OTHER_FORMS, sizeof *entries);
    size_t count = 0;
    for (size_t i = 0; i < OTHER_FORMS; i++) {
        const struct other_form *o = &other_forms[i];
        bool figure = o->kind == FACT_MEASURED;
        if (figure && !measurable(page->panel)) continue;
        struct template_values *entry = &entries[count++];
        template_set(page->arena, entry, "form", o->form);
        template_set(page->arena, entry, "other_kind", fact_kind_name(o->kind));
        template_set(page->arena, entry, "summary", o->summary);
        template_set(page->arena, entry, "label", figure ? measured_label(page) : o->label);
        template_set(page->arena, entry, "field", o->field);
        template_set(page->arena, entry, "figure", figure ? "yes" : NULL);
        template_set(page->arena, entry, "button", o->button);
        template_set(page->arena, entry, "signed", signed_fields(page, o->form));
    }
    template_set_list(page->arena, &page->values, "others", entries, count);
}

/* ---- what is on record ---- */

static void panel_page_add_part(struct text *out, const char *words)
{
    if (out->length) text_add(out, "; ");
    text_add(out, words);
}

static const char *detail(const struct fact *fact, bool inches, struct arena *arena)
{
    struct text out = text_new(arena);
    if (fact->words) panel_page_add_part(&out, fact->words);
    const char *details = fact_details(fact, inches, arena);
    if (details) panel_page_add_part(&out, details);
    if (fact->override)
        panel_page_add_part(&out, sentence_words(arena, "went-on-anyway-override",
                                                 ARGUMENTS(arg_words("override", fact->override))));
    return out.length ? text_string(&out) : NULL;
}

enum { FACTS_SHOWN = 10 };

static void facts(struct panel_page *page)
{
    const struct floor_panel *p = page->panel;
    size_t count = p->fact_count < FACTS_SHOWN ? p->fact_count : FACTS_SHOWN;
    struct template_values *entries = arena_take_array(page->arena, count + 1, sizeof *entries);
    for (size_t i = 0; i < count; i++) {
        const struct fact *f = &p->facts[i];
        struct arena *a = page->arena;
        template_set(a, &entries[i], "number", arena_format(a, "%lld", (long long)f->number));
        template_set(a, &entries[i], "fact_words", fact_kind_words(f->kind));
        template_set(a, &entries[i], "at_words", zone_words(page->zone, f->at, a));
        template_set(a, &entries[i], "who_words", f->who);
        template_set(a, &entries[i], "detail", detail(f, page->inches, a));
        template_set(a, &entries[i], "photo", f->photo ? arena_format(a, "/api/photos/%s", f->photo) : NULL);
        template_set(a, &entries[i], "withdrawn", f->withdrawn ? "yes" : NULL);
        template_set(a, &entries[i], "open_withdraw",
                     f->withdrawn || f->kind == FACT_WITHDRAWN || page->request->visitor.role != ROLE_SHOP
                         ? NULL
                         : "yes");
        template_set(a, &entries[i], "signed",
                     signed_fields(page, arena_format(a, "w%lld", (long long)f->number)));
    }
    template_set_list(page->arena, &page->values, "facts", entries, count);
}

/* "laminated, Thu 4 Mar, 10:40", for the form that was just sent: ?recorded=17. */
static void recorded(struct panel_page *page)
{
    int64_t number;
    if (!form_whole(&page->request->query, "recorded", INT64_MAX / 16, &number) || number <= 0) return;
    for (size_t i = 0; i < page->panel->fact_count; i++) {
        const struct fact *f = &page->panel->facts[i];
        if (f->number == number)
            panel_page_set(page, "recorded",
                           arena_format(page->arena, "%s, %s", fact_kind_words(f->kind),
                                        zone_words(page->zone, f->at, page->arena)));
    }
}

/* ---- the page ---- */

static void panel_page_show(struct panel_page *page, struct reply *reply)
{
    unsigned char random[12];
    char key[2 * sizeof random + 1];
    struct asset asset;
    struct text out = text_new(page->arena);
    randombytes_buf(random, sizeof random);
    sodium_bin2hex(key, sizeof key, random, sizeof random);
    panel_page_set(page, "key", arena_copy_string(page->arena, key));
    set_if(page, "may_record", page->request->visitor.role == ROLE_SHOP);
    panel_page_describe(page);
    neighbours(page);
    next_step(page);
    fields(page);
    others(page);
    facts(page);
    if (asset_find("panel.html", &asset)) template_fill(asset.bytes, &page->values, &out);
    reply_html(reply, &out);
}

static struct panel_page new_page(struct web_request *request)
{
    struct server *server = request->server;
    return (struct panel_page){.request = request,
                               .arena = request->arena,
                               .zone = floor_zone(server->floor),
                               .now = server->machine->now(server->machine)};
}

void view_panel(struct web_request *request, struct reply *reply)
{
    struct panel_page page = new_page(request);
    if (!panel_page_find_panel(&page, reply)) return;
    recorded(&page);
    panel_page_show(&page, reply);
}

/* The form as it was sent, to be sent again with a reason. */
static void again(struct panel_page *page)
{
    const struct form *form = &page->request->form;
    struct template_values *entries = arena_take_array(page->arena, form->count + 1, sizeof *entries);
    size_t count = 0;
    for (size_t i = 0; i < form->count; i++) {
        const char *name = form->pairs[i].name;
        if (!strcmp(name, "key") || !strcmp(name, "override")) continue;
        template_set(page->arena, &entries[count], "name", name);
        template_set(page->arena, &entries[count++], "value", form->pairs[i].value);
    }
    template_set_list(page->arena, &page->values, "again", entries, count);
}

static void show_refusal(struct panel_page *page, const struct put_result *result, struct reply *reply)
{
    const struct gate *gate = &result->answer.gate;
    bool failed = result->error.kind != FAILURE_NONE;
    panel_page_set(page, "refused", failed ? result->error.text : sentence_plain("gate-is-shut"));
    if (!failed) {
        panel_page_set(page, "gate_why", gate->why);
        panel_page_set(page, "gate_from",
                       gate->from ? zone_words(page->zone, gate->from, page->arena) : NULL);
        set_if(page, "may_override", gate->may_override);
        again(page);
    }
    panel_page_show(page, reply);
    reply->status = failed ? reply_status(&result->error) : 409;
}

void do_panel(struct web_request *request, struct reply *reply)
{
    struct panel_page page = new_page(request);
    struct put_result result;
    if (!panel_page_find_panel(&page, reply)) return;
    const char *kind = form_get(&request->form, "kind");
    bool on_fact = kind && !strcmp(kind, fact_kind_name(FACT_WITHDRAWN));
    put_fact(request, page.job.terms.job, &page.panel->terms.panel, on_fact ? 0 : 1, &result);
    if (result.error.kind || !result.answer.count) {
        show_refusal(&page, &result, reply);
        return;
    }
    reply_go_to(reply, arena_format(request->arena, "/P/%s/%s?recorded=%lld", page.job.terms.job,
                                    page.panel->terms.panel, (long long)result.answer.first));
}
