/* Putting on record: gates first. */
#include "run/printed.h"
#include "base/path.h"
#include "base/units.h"
#include "inner.h"
#include "plan/gate.h"
#include "base/text.h"
#include <math.h>
#include <string.h>
#include <strings.h>

struct putting {
    struct floor *floor;
    struct arena *arena;
    struct fact fact; /* what is said of every panel */
    struct job_terms terms;
    struct panel_state *states;
    bool planned;
    int64_t now;
    double roll_width_mm; /* of the roll named; 0: none, or not said */
    bool refused;         /* what it says cannot be recorded, unless it was before: see refusal */
    struct error refusal;
};

/* ---- what the fact leaves out ---- */

static bool has_words(const char *words)
{
    return words && words[strspn(words, " \t\r\n")];
}

/* The batch stands on the roll: who names the roll need not write it again. */
static bool take_batch(struct putting *p, struct error *error)
{
    struct stock_roll *rolls;
    size_t count;
    if (!p->fact.roll || p->fact.kind == FACT_ROLL_IN) return true;
    if (!record_stock(p->floor->record, p->arena, &rolls, &count, error)) return false;
    for (size_t i = 0; i < count; i++) {
        if (strcasecmp(rolls[i].name, p->fact.roll)) continue;
        if (!stock_check_use(&p->fact, &rolls[i], error)) return false;
        p->fact.roll = rolls[i].name, p->roll_width_mm = rolls[i].width_mm;
        if (!p->fact.batch) p->fact.batch = rolls[i].batch;
    }
    return true;
}

static bool take_job(struct putting *p, struct error *error)
{
    return !p->fact.job || (p->fact.job = floor_number(p->floor, p->fact.job, p->arena, error)) != NULL;
}

/* The job's plan and how far its panels have come. */
static bool floor_put_read_job(struct putting *p, struct error *error)
{
    struct record *record = p->floor->record;
    if (!p->fact.job) return true;
    return record_terms(record, p->fact.job, p->arena, &p->terms, &p->planned, error) &&
           (!p->planned || record_states(record, &p->terms, p->arena, &p->states, error));
}

/* ---- one panel ---- */

static const char *panel_list(const struct putting *p)
{
    struct text list = text_new(p->arena);
    for (size_t i = 0; i < p->terms.panel_count && i < 12; i++)
        text_addf(&list, "%s%s", i ? ", " : "", p->terms.panels[i].panel);
    if (p->terms.panel_count > 12) text_add(&list, " ...");
    return text_string(&list);
}

/* Two facts of one piece would both be judged by what was so before either. */
static bool no_panel_twice(const char *const *panels, size_t count, struct error *error)
{
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < i; k++)
            if (!strcasecmp(panels[i], panels[k]))
                return error_set(error, FAILURE_INPUT, "panel-is-named-twice-once-is",
                                 ARGUMENTS(arg_words("panels", panels[i])));
    return true;
}

static bool floor_put_find_panel(const struct putting *p, const char *name, size_t *place,
                                 struct error *error)
{
    if (!p->planned)
        return error_set(error, FAILURE_INPUT, "job-has-no-plan-on-record",
                         ARGUMENTS(arg_words("job", p->fact.job)));
    for (*place = 0; *place < p->terms.panel_count; ++*place)
        if (!strcasecmp(p->terms.panels[*place].panel, name)) return true;
    return error_set(error, FAILURE_INPUT, "job-has-no-panel-it-has",
                     ARGUMENTS(arg_words("job", p->fact.job), arg_words("name", name),
                               arg_words("panel_list", panel_list(p))));
}

/* A laminate covers the print. */
static bool check_laminate_width(const struct putting *p, const struct fact *fact, struct error *error)
{
    double print_mm;
    bool inches = floor_inches(p->floor, fact->job);
    if (fact->kind != FACT_LAMINATED || !fact->panel || p->roll_width_mm <= 0) return true;
    if (!record_print_width(p->floor->record, fact->job, fact->panel, &print_mm, error)) return false;
    return !(print_mm > p->roll_width_mm) ||
           error_set(
               error, FAILURE_INPUT, "is-wide-and-print-of-name",
               ARGUMENTS(arg_words("roll", fact->roll),
                         arg_words("units_length", units_length_words(p->roll_width_mm, inches, p->arena)),
                         arg_words("panel", fact->panel),
                         arg_words("units_length_2", units_length_words(print_mm, inches, p->arena))));
}

/* What the panel files are made from that it was printed from. */
static void take_artwork(const struct putting *p, struct fact *fact, size_t place)
{
    const char *folder = floor_job_folder(p->floor, fact->job, p->arena);
    if (folder)
        fact->artwork = printed_state(p->floor->machine, path_join(p->arena, folder, "out"),
                                      p->terms.panels[place].surface, p->arena);
}

/* What it was printed with; of what was measured, the feed that would have made it as long as planned. A length that
 * no feed mends was measured between other marks. */
static bool take_feed(const struct putting *p, struct fact *fact, size_t place, struct error *error)
{
    double plan_feed, feed = NAN;
    const char *panel = p->terms.panels[place].panel;
    if (!record_print_feed(p->floor->record, fact->job, panel, p->arena, &fact->printed_with, &plan_feed,
                           error))
        return false;
    if (fact->kind == FACT_PRINTED) feed = plan_feed;
    if (fact->kind == FACT_MEASURED) {
        struct fact *facts;
        size_t count;
        struct fact_query query = {.job = fact->job, .panel = panel};
        if (!record_facts(p->floor->record, &query, p->arena, &facts, &count, error)) return false;
        feed = gate_length(fact->planned_mm, fact->measured_mm, facts_feed(facts, count, plan_feed))
                   .feed_percent;
    }
    if (!(feed >= FEED_LEAST && feed <= FEED_MOST)) fact->printed_with = NULL, feed = NAN;
    fact->feed_percent = feed;
    return true;
}

/* Who was signed in did it, unless somebody else is named. The length marks should measure the whole print,
 * unless somebody says otherwise. */
static bool floor_put_settle(const struct putting *p, struct fact *fact, size_t place, struct error *error)
{
    if (!fact->who) fact->who = fact->entered_by;
    if (string_equal(fact->who, fact->entered_by)) fact->entered_by = NULL;
    if (fact->kind == FACT_MEASURED && fact->panel && isnan(fact->planned_mm))
        fact->planned_mm = p->terms.panels[place].print_mm;
    if (fact->kind == FACT_PRINTED && fact->panel) take_artwork(p, fact, place);
    bool has_feed = (fact->kind == FACT_PRINTED || fact->kind == FACT_MEASURED) && fact->panel;
    return !has_feed || take_feed(p, fact, place, error);
}

/* False: the gate is shut and nobody gave a reason that opens it. */
static bool pass_gate(const struct putting *p, struct fact *fact, const struct panel_terms *terms,
                      const struct panel_state *state, struct floor_answer *answer)
{
    const char *reason = has_words(fact->override) ? fact->override : NULL;
    fact->override = fact->gate = NULL;
    struct fact dated = *fact;
    if (!dated.at) dated.at = p->now;
    struct print_hold hold = {.stops = p->planned ? p->terms.stops : 0};
    struct gate gate = gate_check(&hold, terms, state, &dated, p->now, p->floor->zone, p->arena);
    if (gate.open) return true;
    answer->gate = gate, answer->gate_panel = fact->panel;
    if (!reason || !gate.may_override) return false;
    fact->override = reason, fact->gate = gate.why;
    return true;
}

/* ---- all of them ---- */

/* Each panel's fact has a key of its own, and that of all of them with it. */
static void floor_put_take_key(const struct putting *p, struct fact *fact, size_t i, size_t count)
{
    if (count < 2 || !fact->key) return;
    fact->sent_as = p->fact.key;
    fact->key = arena_format(p->arena, "%s-%zu", p->fact.key, i + 1);
}

/* The facts as they were sent, one for each panel. */
static bool make_facts(const struct putting *p, const char *const *panels, size_t count, struct fact *facts,
                       struct error *error)
{
    for (size_t i = 0; i < count; i++) {
        size_t place;
        facts[i] = p->fact;
        floor_put_take_key(p, &facts[i], i, count);
        if (panels && !floor_put_find_panel(p, panels[i], &place, error)) return false;
        if (panels) facts[i].panel = p->terms.panels[place].panel;
    }
    return true;
}

/* What they leave out, and their gates. *shut: a gate said no. */
static bool judge_facts(const struct putting *p, struct fact *facts, size_t count,
                        struct floor_answer *answer, bool *shut, struct error *error)
{
    *shut = false;
    for (size_t i = 0; i < count && !*shut; i++) {
        size_t place = 0;
        bool on_panel = facts[i].panel != NULL;
        if (on_panel && !floor_put_find_panel(p, facts[i].panel, &place, error)) return false;
        if (!check_laminate_width(p, &facts[i], error)) return false;
        if (!floor_put_settle(p, &facts[i], place, error)) return false;
        *shut = !pass_gate(p, &facts[i], on_panel ? &p->terms.panels[place] : NULL,
                           on_panel ? &p->states[place] : NULL, answer);
    }
    return true;
}

static bool floor_put_pass_on(const struct error *refusal, struct error *error)
{
    if (error) *error = *refusal;
    return false;
}

/* Gates and fact are one: when another program recorded something of the job in between, *again asks to judge
 * again. What is on record under its key already passes no gate a second time. */
static bool floor_put_put(struct putting *p, const char *const *panels, size_t count,
                          struct floor_answer *answer, bool *again, struct error *error)
{
    struct record *record = p->floor->record;
    struct fact *facts = arena_take_array(p->arena, count, sizeof *facts);
    struct fact_guard guard = {.job = p->fact.job};
    bool shut = false, known = false;
    *again = false;
    *answer = (struct floor_answer){.gate = {.open = true}};
    if (!record_last_fact(record, guard.job, &guard.last, error) || !floor_put_read_job(p, error) ||
        !make_facts(p, panels, count, facts, error) ||
        (p->fact.key && !record_find_sent(record, p->fact.key, facts, count, &known, error)))
        return false;
    if (!known && p->refused) return floor_put_pass_on(&p->refusal, error);
    if (!known && !judge_facts(p, facts, count, answer, &shut, error)) return false;
    if (shut) return true;
    if (!known && !record_add(record, facts, count, guard.job ? &guard : NULL, again, error)) return false;
    if (!*again) answer->first = facts->number, answer->count = (int64_t)count;
    return true;
}

/* The name that a fact's roll has on record. */
static bool roll_of_fact(struct record *record, int64_t number, struct arena *arena, const char **name,
                         struct error *error)
{
    struct fact *facts;
    size_t count;
    struct fact_query query = {.after = number - 1, .most = 1};
    if (!record_facts(record, &query, arena, &facts, &count, error)) return false;
    *name = count ? facts->roll : NULL;
    return true;
}

bool floor_put(struct floor *floor, const struct fact *fact, const char *const *panels, size_t panel_count,
               struct arena *arena, struct floor_answer *answer, struct error *error)
{
    enum { PANELS_MOST = 500, TRIES_MOST = 50 };
    *answer = (struct floor_answer){.gate = {.open = true}};
    if (!floor_record(floor, error)) return false;
    if (panel_count > PANELS_MOST)
        return error_set(
            error, FAILURE_INPUT, "panels-at-most-are-recorded-at",
            ARGUMENTS(arg_count("panels", (int64_t)panel_count), arg_count("most", PANELS_MOST)));
    if (!panel_count && fact_kind_on_panel(fact->kind))
        return error_set(error, FAILURE_INPUT, "say-which-panels-were",
                         ARGUMENTS(arg_words("entry", fact_kind_words(fact->kind))));
    if (fact->kind == FACT_WITHDRAWN) panel_count = 0; /* it has the panel of what it withdraws */
    if (panels && !no_panel_twice(panels, panel_count, error)) return false;
    struct putting p = {floor, arena, *fact, .now = floor->machine->now(floor->machine)};
    bool again = true, ok = take_batch(&p, error) && take_job(&p, error);
    if (ok && fact->kind == FACT_ROLL_IN)
        p.refused = fact->cut_from ? !stock_take_cut(floor, &p.fact, arena, &p.refusal)
                                   : !stock_check(floor, &p.fact, arena, &p.refusal);
    if (ok && fact->kind == FACT_ACCEPTED && fact->job)
        p.refused = !accept_finding(floor, &p.fact, arena, &p.refusal);
    if (ok && fact->kind == FACT_APPROVED && fact->job)
        p.refused = !approve_proof(floor, &p.fact, arena, &p.refusal);
    for (int tries = 0; ok && again && tries < TRIES_MOST; tries++)
        ok = floor_put_put(&p, panel_count ? panels : NULL, panel_count ? panel_count : 1, answer, &again,
                           error);
    if (ok && answer->count && fact->kind == FACT_ROLL_IN)
        ok = roll_of_fact(floor->record, answer->first, arena, &answer->roll, error);
    if (ok && again) ok = error_set(error, FAILURE_MACHINE, "others-record-without-pause-nothing-was", NULL);
    return ok;
}
