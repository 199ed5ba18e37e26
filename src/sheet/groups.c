/* What is shown once though it is said of several places: findings, and surfaces of one panel. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "pages.h"
#include <string.h>

/* ---- surfaces ---- */

static bool groups_stands_alone(const struct surface_plan *sp)
{
    return sp->panel_count != 1 || sp->seam_count;
}

static void add_group(struct surface_groups *groups, const size_t *surfaces, size_t count, const char *name)
{
    groups->items[groups->count++] = (struct surface_group){surfaces, count, name};
}

struct surface_groups group_surfaces(const struct plan *plan, struct arena *arena)
{
    enum { TOGETHER_LEAST = 2 };
    size_t *order = arena_take_array(arena, plan->surface_count + 1, sizeof *order), singles = 0;
    struct surface_groups groups = {arena_take_array(arena, plan->surface_count + 1, sizeof *groups.items),
                                    0};
    for (size_t i = 0; i < plan->surface_count; i++)
        if (!groups_stands_alone(&plan->surfaces[i])) order[singles++] = i;
    size_t *alone = arena_take_array(arena, plan->surface_count + 1, sizeof *alone);
    for (size_t i = 0; i < plan->surface_count; i++) {
        alone[i] = i;
        if (groups_stands_alone(&plan->surfaces[i]) || singles < TOGETHER_LEAST)
            add_group(&groups, &alone[i], 1, plan->surfaces[i].surface->name);
    }
    if (singles >= TOGETHER_LEAST)
        add_group(&groups, order, singles, sentence_plain("surfaces-of-one-panel"));
    return groups;
}

static bool names_panel_of(const struct step *step, const struct surface_plan *sp)
{
    for (size_t i = 0; i < step->panel_count; i++)
        for (size_t k = 0; k < sp->panel_count; k++)
            if (string_equal(step->panels[i], sp->panels[k].id)) return true;
    return false;
}

bool group_has_step(const struct surface_group *group, const struct plan *plan, const struct step *step)
{
    for (size_t i = 0; i < group->count; i++)
        if (names_panel_of(step, &plan->surfaces[group->surfaces[i]])) return true;
    return false;
}

/* ---- findings ---- */

/* What follows the first sentence, or "". */
static const char *further(const struct finding *f)
{
    const char *end = f->text ? strstr(f->text, ". ") : NULL;
    return end ? end : "";
}

static bool groups_same_row(const struct finding *a, const struct finding *b)
{
    return a->severity == b->severity && string_equal(a->code, b->code) &&
           string_equal(a->remedy, b->remedy) && string_equal(a->source, b->source) &&
           string_equal(further(a), further(b)) && !a->accepted && !b->accepted && !a->lapsed && !b->lapsed;
}

static const char *without(const char *words, const char *name, struct arena *arena)
{
    struct text text = text_new(arena);
    const char *at = words;
    for (const char *found; *name && (found = strstr(at, name)); at = found + strlen(name))
        text_add_bytes(&text, at, (size_t)(found - at));
    text_add(&text, at);
    return text_string(&text);
}

/* A panel by its id, which holds its surface's name; else the surface. */
static const char *place_name(const struct finding *f)
{
    const char *panel = strchr(f->where, '/');
    return panel ? panel + 1 : f->where;
}

/* What the ids of its panels begin with. */
static const char *panel_stem(const char *surface, struct arena *arena)
{
    char *stem = arena_copy(arena, surface, strlen(surface));
    for (char *c = stem; *c; c++)
        if (*c == ' ') *c = '-';
    return stem;
}

/* The text with the names of its own place left out: what is said alike of several. */
static const char *without_place(const struct finding *f, struct arena *arena)
{
    const char *surface = arena_format(arena, "%.*s", (int)strcspn(f->where, "/"), f->where);
    const char *words = without(f->text ? f->text : "", place_name(f), arena);
    return without(without(words, surface, arena), panel_stem(surface, arena), arena);
}

/* The places of those that say what the finding at `of` says, each once. */
static const char *places_of(const struct finding *const *members, size_t count, size_t of, bool all,
                             struct arena *arena)
{
    const char **places = arena_take_array(arena, count, sizeof *places);
    size_t place_count = 0;
    for (size_t i = 0; i < count; i++) {
        bool listed =
            !all && !string_equal(without_place(members[i], arena), without_place(members[of], arena));
        for (size_t k = 0; k < place_count && !listed; k++)
            listed = string_equal(places[k], place_name(members[i]));
        if (!listed) places[place_count++] = place_name(members[i]);
    }
    return list_words(arena, places, place_count);
}

/* What all texts begin or end with, at the bounds of sentences: it is said once. */
struct shared_words {
    size_t before, after; /* bytes */
};

static bool is_bound(const char *text, size_t at)
{
    return at >= 2 && text[at - 1] == ' ' && strchr(":;.", text[at - 2]);
}

static struct shared_words shared_words(const char *const *texts, size_t count)
{
    size_t length = strlen(texts[0]);
    struct shared_words shared = {length, length};
    for (size_t i = 1; i < count; i++) {
        size_t other = strlen(texts[i]), same = 0;
        while (same < shared.before && texts[0][same] == texts[i][same]) same++;
        shared.before = same;
        for (same = 0; same < shared.after && same < other &&
                       texts[0][length - same - 1] == texts[i][other - same - 1];)
            same++;
        shared.after = same;
    }
    while (shared.before && !is_bound(texts[0], shared.before)) shared.before--;
    while (shared.after && !is_bound(texts[0], length - shared.after)) shared.after--;
    return shared;
}

/* What is said alike of all: of a text that begins with its own panel's name, for all of these. */
static const char *common_text(const struct finding *const *members, size_t of, size_t count,
                               struct arena *arena)
{
    const char *text = members[of]->text ? members[of]->text : "", *name = place_name(members[of]);
    size_t length = strlen(name);
    if (count < 2 || strncmp(text, name, length)) return text;
    return arena_format(arena, "each%s", text + length);
}

enum { TEXTS_MOST = 4 }; /* of one row */

/* Each sentence once; where there are several, what differs has its own places before it, and what they share
 * stands before and after all of them. */
static const char *group_words(const struct finding *const *members, const size_t *distinct, size_t count,
                               size_t member_count, struct arena *arena)
{
    const char **texts = arena_take_array(arena, count, sizeof *texts);
    struct text text = text_new(arena);
    for (size_t i = 0; i < count; i++)
        texts[i] = members[distinct[i]]->text ? members[distinct[i]]->text : "";
    if (count == 1) return common_text(members, distinct[0], member_count, arena);
    struct shared_words shared = shared_words(texts, count);
    text_add_bytes(&text, texts[0], shared.before);
    size_t shown = count > TEXTS_MOST + 1 ? TEXTS_MOST : count;
    for (size_t i = 0; i < shown; i++) {
        size_t length = strlen(texts[i]) - shared.before - shared.after;
        const char *places = places_of(members, member_count, distinct[i], false, arena),
                   *words = texts[i] + shared.before;
        const char *name = place_name(members[distinct[i]]), *stem = panel_stem(name, arena);
        bool named = !strncmp(words, places, strlen(places)); /* "left-1 carries ..." says it itself */
        bool each = !string_equal(places, name) && !strncmp(words, stem, strlen(stem));
        size_t skip = each ? strcspn(words, " ") : 0; /* of several places the one panel is no news */
        text_addf(&text, "%s%s%s%s%.*s", text.length ? "\n" : "", named ? "" : places, named ? "" : ": ",
                  each ? "each" : "", (int)(length - skip), words + skip);
    }
    if (shown < count) {
        text_add(&text, "\n");
        text_say(&text, "and-more-alike", ARGUMENTS(arg_count("count", (int64_t)(count - shown))));
    }
    if (shared.after) {
        const char *end = texts[0] + strlen(texts[0]) - shared.after;
        text_add(&text, "\n");
        text_say(&text, "for-all-of-them", ARGUMENTS(arg_words("words", end)));
    }
    return text_string(&text);
}

static void fill_group(struct finding_group *group, const struct finding *const *members, size_t count,
                       struct arena *arena)
{
    size_t *distinct = arena_take_array(arena, count, sizeof *distinct), found = 0;
    for (size_t i = 0; i < count; i++) {
        bool known = false;
        for (size_t k = 0; k < found && !known; k++)
            known =
                string_equal(without_place(members[distinct[k]], arena), without_place(members[i], arena));
        if (!known) distinct[found++] = i;
    }
    *group = (struct finding_group){members[0], places_of(members, count, 0, true, arena),
                                    group_words(members, distinct, found, count, arena), false};
}

/* The groups of one severity, each where its first finding stands. */
static void add_groups(struct sheet *sheet, struct finding_group *groups, const struct finding *all,
                       size_t count, enum severity severity)
{
    const struct finding **members = arena_take_array(sheet->arena, count + 1, sizeof(struct finding *));
    bool *taken = arena_take_array(sheet->arena, count + 1, sizeof *taken);
    for (size_t i = 0; i < count; i++) {
        enum { TOGETHER_MOST = 30 }; /* a row is no longer than a page */
        size_t found = 0;
        if (all[i].severity != severity) continue;
        sheet->severities[severity]++;
        if (taken[i]) continue;
        for (size_t k = i; k < count && found < TOGETHER_MOST; k++)
            if (k == i || (!taken[k] && groups_same_row(&all[i], &all[k]))) {
                taken[k] = true;
                members[found++] = &all[k];
            }
        fill_group(&groups[sheet->finding_count++], members, found, sheet->arena);
    }
}

void group_findings(struct sheet *sheet, const struct finding *all, size_t count)
{
    struct finding_group *groups = arena_take_array(sheet->arena, count + 1, sizeof *groups);
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--)
        add_groups(sheet, groups, all, count, (enum severity)severity);
    sheet->findings = groups;
}
