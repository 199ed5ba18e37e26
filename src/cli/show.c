/* Prints findings, plan, files and progress as words on a terminal. Called by main.c and record.c; computes
 * nothing. */
#include "show.h"
#include "answer/answer.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/units.h"
#include <string.h>
#include <unistd.h>

void show_text(int fd, const struct text *text)
{
    machine_write_fd(fd, text_string(text), text->length, "output", NULL);
}

void show_line(int fd, const char *start, const char *rest)
{
    char line[1024];
    size_t length = format_into(line, sizeof line, "%s%s\n", start, rest);
    machine_write_fd(fd, line, length, "output", NULL);
}

void show_report(const struct report *report, int fd)
{
    struct text out = text_new(report->arena);
    report_write(report, &out);
    show_text(fd, &out);
}

static void show_acceptance(const char *what, const struct acceptance *a, struct text *out)
{
    text_addf(out, "      %s%s%s: %s\n", what, a->who ? " by " : "", a->who ? a->who : "", a->words);
}

static void show_finding(const struct finding *f, struct text *out)
{
    static const char *const words[] = {"note", "WARN", "STOP"};
    text_addf(out, "%s  %s  %s: %s\n", words[f->severity], f->code, f->where, f->text);
    text_addf(out, "      do: %s\n", f->remedy);
    if (f->source) text_addf(out, "      limit: %s\n", f->source);
    if (f->accepted) show_acceptance("accepted", f->accepted, out);
    if (f->lapsed) show_acceptance(sentence_plain("was-accepted-elsewhere-or-when-it"), f->lapsed, out);
}

void show_findings(const struct findings *findings, struct text *out)
{
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--)
        for (size_t i = 0; i < findings->count; i++)
            if (findings->items[i].severity == (enum severity)severity)
                show_finding(&findings->items[i], out);
}

static const char *widths_of(const struct surface_plan *s, struct arena *arena)
{
    bool mixed = false;
    for (size_t i = 1; i < s->panel_count; i++)
        mixed |= s->panels[i].roll_width_mm != s->panels[0].roll_width_mm;
    return sentence_words(arena, mixed ? "film-widths-mixed" : "film-width",
                          ARGUMENTS(arg_number("width_mm", s->roll_width_mm)));
}

/* What there is to choose from; a plan with one answer has nothing to say. */
static void show_answers(const struct run *run, struct text *out)
{
    const struct plan *plan = run->plan;
    for (size_t i = 0; plan->alternative_count > 1 && i < plan->alternative_count; i++) {
        const struct alternative *a = &plan->alternatives[i];
        text_addf(out, "%s%zu ", i ? "                    " : "Answers (--choose): ", i);
        for (size_t k = 0; k < a->name_count; k++) text_addf(out, "%s%s", k ? ", " : "", a->names[k]);
        text_say(
            out, "answer-line",
            ARGUMENTS(arg_fixed("price", (double)a->price / 100, 2),
                      arg_words("currency", run->job->shop->currency),
                      arg_count("panels", (int64_t)a->panel_count), arg_fixed("film_m", a->film_mm / 1000, 1),
                      arg_fixed("shown", (double)a->shown / 100, 2), arg_flag("taken", i == plan->chosen)));
    }
    if (plan->price_note.words) text_addf(out, "                    %s\n", plan->price_note.words);
}

/* Why a surface has no panels. */
static const char *surface_without_panels(const struct surface_plan *s)
{
    if (!s->no_artwork) return sentence_plain("surface-unplanned");
    return sentence_plain(s->pieces_alone ? "surface-pieces-alone" : "surface-no-artwork");
}

static void show_surface(const struct surface_plan *s, struct text *out)
{
    if (!s->panel_count)
        text_addf(out, "%s: %s\n", s->surface->name, surface_without_panels(s));
    else
        text_addf(out, "%s: %zu panel%s, %s, on %s\n", s->surface->name, s->panel_count,
                  s->panel_count == 1 ? "" : "s", panels_run_name(s->direction), widths_of(s, out->arena));
}

/* What a sum that looks whole leaves out. */
static void show_unpriced(const struct run *run, struct text *out)
{
    const struct plan *plan = run->plan;
    if (!plan->unpriced_count) return;
    text_addf(out, "Price: %.2f %s without ", (double)plan->asked / 100, run->job->shop->currency);
    for (size_t i = 0; i < plan->unpriced_count; i++)
        text_addf(out, "%s%s", i ? ", " : "", plan->unpriced[i]);
    text_add(out, ".\n");
}

static void show_plan(const struct run *run, struct text *out)
{
    const struct plan *plan = run->plan;
    text_add_char(out, '\n');
    for (size_t i = 0; i < plan->surface_count; i++) show_surface(&plan->surfaces[i], out);
    show_answers(run, out);
    show_unpriced(run, out);
    if (plan->has_install)
        text_addf(out, "Earliest install: %s. %s\n",
                  zone_words(run->zone, plan->earliest_install, run->arena),
                  plan->decides.words ? plan->decides.words : "");
    else
        text_add(out, sentence_plain("no-date-can-be-given-for"));
}

static void show_plan_in_units(const struct run *run, struct text *out)
{
    struct text plan = text_new(out->arena);
    show_plan(run, &plan);
    const char *words = text_string(&plan);
    text_add(out, run->job->inches ? units_in_inches(words, out->arena) : words);
}

/* TIFF panels need the condition's profile whatever a person wants. */
static bool anyway_helps(const struct run *run)
{
    bool helps = true;
    for (size_t i = 0; panel_form_of_job(run->job)->pixels && i < run->condition_count; i++)
        helps = helps && run->conditions[i].profile_ok;
    return helps;
}

static void show_files(const struct run *run, bool panels, struct text *out)
{
    text_add_char(out, '\n');
    if (panels && !run_may_print(run) && !run->options.anyway)
        text_say(out, "panels-not-written", ARGUMENTS(arg_flag("anyway", anyway_helps(run))));
    for (size_t i = 0; i < run->written_count; i++) text_addf(out, "written: %s\n", run->written[i]);
}

void show_result(const struct run *run, bool json, bool quiet, bool panels)
{
    struct text out = text_new(run->arena);
    if (json) {
        answer_run(run, &out);
    } else {
        show_findings(&run->findings, &out);
        if (run->plan) show_plan_in_units(run, &out);
        if (!quiet) show_files(run, panels, &out);
    }
    show_text(STDOUT_FILENO, &out);
}

void show_progress(void *self, const char *what, double done, double total)
{
    struct show_progress *p = self;
    char line[256];
    double share = total > 0 ? done / total * 100 : 0;
    size_t length = share > 0 ? format_into(line, sizeof line, "\r\033[K%s  %.0f %%", what, share)
                              : format_into(line, sizeof line, "\r\033[K%s", what);
    machine_write_fd(p->fd, line, length, "progress", NULL);
    p->shown = true;
}

void show_progress_end(struct show_progress *p)
{
    if (p->shown) machine_write_fd(p->fd, "\r\033[K", 4, "progress", NULL);
    p->shown = false;
}

void show_progress_line(void *self, const char *what, double done, double total)
{
    char line[256];
    (void)self;
    size_t length = format_into(line, sizeof line, "@%.3f %s\n", total > 0 ? done / total : 0.0, what);
    machine_write_fd(STDOUT_FILENO, line, length, "output", NULL);
}
