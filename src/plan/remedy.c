/* Finds single changes that would make a blocked surface possible, by planning it again with each. Called
 * through cache.c for the finding's remedy. */
#include "remedy.h"
#include "base/sentence.h"
#include "base/text.h"
#include <math.h>
#include <string.h>

enum { FEATURES_MOST = 60 }; /* so many are tried, those in the blocked stretch first */

/* A surface of its own to change, with all that hangs on it. */
struct trial {
    struct surface_input input;
    struct surface surface;
    struct surface_spec spec;
    struct condition condition;
    struct film film;
    struct printer printer;
    double width_mm;
};

struct remedy_search {
    const struct candidate_search *search;
    const struct surface *surface;
    struct text words;
    size_t said;
};

static void trial_open(const struct remedy_search *h, struct trial *t)
{
    *t = (struct trial){.input = *h->search->input, .surface = *h->surface};
    if (h->surface->spec) t->spec = *h->surface->spec;
    t->condition = *h->surface->condition;
    t->film = *t->condition.film, t->printer = *t->condition.printer;
    t->condition.film = &t->film, t->condition.printer = &t->printer;
    t->surface.condition = &t->condition;
    if (h->surface->spec) t->surface.spec = &t->spec;
    t->input.surface = &t->surface;
}

/* Planned again, in an arena that nobody needs afterwards. */
static bool trial_works(const struct remedy_search *h, const struct trial *t)
{
    struct arena *own = arena_new(arena_machine(h->search->arena));
    struct candidate_search again = {.input = &t->input,
                                     .job = h->search->job,
                                     .goal = GOAL_COST,
                                     .neighbours = h->search->neighbours,
                                     .arena = own};
    struct candidate candidate = candidate_find(&again);
    bool works = candidate.possible && !candidate.too_long && !candidate.uncovered;
    arena_free(own);
    return works;
}

static void remedy_add(struct remedy_search *h, const char *words)
{
    if (h->said++)
        text_add(&h->words, "; ");
    else
        text_say(&h->words, "remedy-any-of", NULL);
    text_add(&h->words, words);
}

static double widest_mm(const struct film *film)
{
    return film->width_count ? film->widths_mm[film->width_count - 1] : 0;
}

/* ---- features ---- */

const char *remedy_feature_words(const struct frame *frame, const struct feature *f, struct arena *arena)
{
    struct rect box = frame_turn(frame, f->box);
    const char *kind = feature_kind_name(f->kind);
    return f->name && strcmp(f->name, kind)
               ? sentence_words(arena, "kind-feature-at-box-x0-to",
                                ARGUMENTS(arg_words("kind", kind), arg_words("feature", f->name),
                                          arg_fixed("box_x0", box.x0, 0), arg_fixed("box_x1", box.x1, 0)))
               : sentence_words(arena, "kind-at-box-x0-to-box",
                                ARGUMENTS(arg_words("kind", kind), arg_fixed("box_x0", box.x0, 0),
                                          arg_fixed("box_x1", box.x1, 0)));
}

static bool may_block(const struct feature *f)
{
    return feature_forbids_seam(f->kind) || feature_types[f->kind].seams == SEAMS_ON_RIBS;
}

/* Whether it lies in the stretch that a direction which was tried cannot cross. */
static bool lies_in_stretch(const struct remedy_search *h, const struct feature *f)
{
    double usable = candidate_planned_mm(h->search, widest_mm(h->surface->condition->film));
    for (int i = 0; i < 2; i++) {
        int from, to;
        if (!h->search->tried[i]) continue;
        struct seam_problem problem = field_problem(&h->search->fields[i], usable);
        struct rect box = frame_turn(&h->search->fields[i].frame, f->box);
        double margin = feature_margin_mm(f), first = h->search->fields[i].frame.first;
        if (seams_blocked(&problem, &from, &to) && box.x1 + margin > first + from &&
            box.x0 - margin < first + to)
            return true;
    }
    return false;
}

static void try_feature(struct remedy_search *h, size_t index)
{
    struct trial t;
    struct arena *arena = h->search->arena;
    trial_open(h, &t);
    t.surface.features = arena_take_array(arena, t.surface.feature_count, sizeof *t.surface.features);
    memcpy(t.surface.features, h->surface->features, t.surface.feature_count * sizeof *t.surface.features);
    t.surface.features[index] = t.surface.features[--t.surface.feature_count];
    if (!trial_works(h, &t)) return;
    struct frame frame = frame_of(h->surface, h->search->tried[0]);
    remedy_add(
        h, sentence_words(arena, "let-seam-through-feature",
                          ARGUMENTS(arg_words("feature", remedy_feature_words(
                                                             &frame, &h->surface->features[index], arena)))));
}

static void try_features(struct remedy_search *h)
{
    size_t tried = 0;
    for (int outside = 0; outside < 2; outside++)
        for (size_t i = 0; i < h->surface->feature_count && tried < FEATURES_MOST; i++) {
            const struct feature *f = &h->surface->features[i];
            if (may_block(f) && lies_in_stretch(h, f) != outside) try_feature(h, i), tried++;
        }
}

/* ---- bleed ---- */

static bool bleed_works(const struct remedy_search *h, double bleed_mm)
{
    struct trial t;
    trial_open(h, &t);
    for (int edge = 0; edge < EDGE_COUNT; edge++)
        t.surface.bleed_mm[edge] = fmin(t.surface.bleed_mm[edge], bleed_mm);
    return trial_works(h, &t);
}

/* The widest that works: a narrower one never does harm. */
static void try_bleed(struct remedy_search *h)
{
    double most = 0;
    for (int edge = 0; edge < EDGE_COUNT; edge++) most = fmax(most, h->surface->bleed_mm[edge]);
    int works = 0, fails = (int)ceil(most);
    if (fails < 1 || !bleed_works(h, 0)) return;
    while (fails - works > 1) {
        int middle = (works + fails) / 2;
        bleed_works(h, middle) ? (works = middle) : (fails = middle);
    }
    remedy_add(h, sentence_words(h->search->arena, "bleed-of-at-most-now",
                                 ARGUMENTS(arg_count("works", works), arg_number("most", most))));
}

/* ---- rolls ---- */

static bool width_works(const struct remedy_search *h, double width_mm, bool any_printer)
{
    struct trial t;
    trial_open(h, &t);
    t.width_mm = width_mm;
    t.film.widths_mm = &t.width_mm, t.film.width_count = 1;
    if (any_printer) t.printer.media_width_mm = width_mm;
    t.condition.laminate = NULL; /* as wide as it takes */
    return trial_works(h, &t);
}

/* The next wider roll that the shop has of any film like this one. */
static bool try_rolls_of_shop(struct remedy_search *h)
{
    const struct shop *shop = h->search->job->shop;
    const struct film *film = h->surface->condition->film, *found = NULL;
    double widest = widest_mm(film), best = INFINITY;
    for (size_t i = 0; i < shop->film_count; i++)
        for (size_t k = 0; k < shop->films[i].width_count && shop->films[i].kind == film->kind; k++) {
            double width = shop->films[i].widths_mm[k];
            if (width > widest && width < best && width_works(h, width, false))
                best = width, found = &shop->films[i];
        }
    if (found)
        remedy_add(h, sentence_words(h->search->arena, "roll-of",
                                     ARGUMENTS(arg_number("best", best), arg_words("found", found->name))));
    return found;
}

/* One panel over all of it is the widest that can be asked for. */
static void try_any_width(struct remedy_search *h)
{
    const struct surface *s = h->surface;
    const struct printer *printer = s->condition->printer;
    double most = fmax(s->width_mm, s->height_mm) + fabs(s->lengthened_mm) + 2 * printer->edge_mm + 10;
    for (int edge = 0; edge < EDGE_COUNT; edge++) most += s->bleed_mm[edge];
    int fails = (int)floor(widest_mm(s->condition->film)), works = (int)ceil(most);
    if (fails >= works || !width_works(h, works, true)) return;
    while (works - fails > 1) {
        int middle = (works + fails) / 2;
        width_works(h, middle, true) ? (works = middle) : (fails = middle);
    }
    const char *reach = works > printer->media_width_mm
                            ? sentence_words(h->search->arena, "on-another-printer-takes",
                                             ARGUMENTS(arg_words("printer", printer->name),
                                                       arg_number("media_width_mm", printer->media_width_mm)))
                            : "";
    remedy_add(h, sentence_words(h->search->arena, "roll-of-or-wider",
                                 ARGUMENTS(arg_count("works", works), arg_words("reach", reach))));
}

/* ---- what the job asks ---- */

static void remedy_try_direction(struct remedy_search *h)
{
    struct trial t;
    trial_open(h, &t);
    if (!h->surface->spec || t.spec.panels == RUN_AUTO || t.spec.seams_fixed) return;
    t.spec.panels = t.spec.panels == RUN_LYING ? RUN_UPRIGHT : RUN_LYING;
    if (trial_works(h, &t))
        remedy_add(h, arena_format(h->search->arena, "`panels: %s`", panels_run_name(t.spec.panels)));
}

static void try_wishes(struct remedy_search *h)
{
    struct trial t;
    trial_open(h, &t);
    bool fixed = t.spec.seams_fixed, even = t.spec.even;
    t.spec.seams_fixed = t.spec.even = false;
    if ((fixed || even) && trial_works(h, &t))
        remedy_add(h, fixed ? sentence_plain("leave-out-seams-so-that-planner") : "leave out `even`");
}

const char *remedy_words(const struct candidate_search *search)
{
    struct remedy_search h = {search, search->input->surface, text_new(search->arena), 0};
    try_wishes(&h);
    try_features(&h);
    try_bleed(&h);
    remedy_try_direction(&h);
    if (!try_rolls_of_shop(&h)) try_any_width(&h);
    if (h.said) text_add(&h.words, ".");
    return h.said ? text_string(&h.words) : NULL;
}
