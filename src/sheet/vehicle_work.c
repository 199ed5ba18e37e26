/* The work at the vehicle: which surface after which, who wraps which corner, what comes off and goes back,
 * tools and consumables with their cautions. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "pages.h"

/* ---- install sequence ---- */

static const char *panel_sequence_words(const struct sheet *sheet, const struct surface_plan *sp)
{
    const char **names = arena_take_array(sheet->arena, sp->panel_count, sizeof *names);
    size_t count = 0;
    for (size_t turn = 1; turn <= sp->panel_count; turn++)
        for (size_t i = 0; i < sp->panel_count; i++)
            if (sp->panels[i].install_sequence == (int)turn) names[count++] = sp->panels[i].id;
    return list_words(sheet->arena, names, count);
}

/* "wraps 20 mm over rear; ends at the corner, under roof" */
static const char *corner_words(const struct sheet *sheet, const char *surface)
{
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < sheet->job->corner_count; i++) {
        const struct corner *c = &sheet->job->corners[i];
        bool one = string_equal(c->one, surface), other = string_equal(c->other, surface);
        const char *neighbour = one ? c->other : c->one;
        if (!one && !other) continue;
        if (text.length) text_add(&text, "; ");
        if (string_equal(c->over, surface))
            text_say(&text, "wraps-round-corner-over-2",
                     ARGUMENTS(arg_words("length", usual_length_words(sheet, &c->wrap_mm)),
                               arg_words("neighbour", neighbour)));
        else
            text_say(&text, "ends-at-corner-under-2", ARGUMENTS(arg_words("neighbour", neighbour)));
    }
    return text.length ? text_string(&text) : sentence_plain("no-corner-to-another-surface");
}

/* When the surface is installed; INT64_MAX: never. */
static int64_t install_start(const struct plan *plan, size_t surface)
{
    const struct surface_group alone = {&surface, 1, NULL};
    int64_t start = INT64_MAX;
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == STEP_INSTALL && plan->steps[i].start < start &&
            group_has_step(&alone, plan, &plan->steps[i]))
            start = plan->steps[i].start;
    return start;
}

/* Surfaces with panels by when they are installed; of equal times as in the job. */
static size_t sort_surfaces(const struct sheet *sheet, size_t *sequence)
{
    const struct plan *plan = sheet->plan;
    size_t count = 0;
    for (size_t i = 0; i < plan->surface_count; i++) {
        size_t at = count;
        if (!plan->surfaces[i].panel_count) continue;
        for (; at && install_start(plan, sequence[at - 1]) > install_start(plan, i); at--)
            sequence[at] = sequence[at - 1];
        sequence[at] = i;
        count++;
    }
    return count;
}

/* How many surfaces from this one on have one panel and the same corners: one row for them. */
static size_t work_alike(const struct sheet *sheet, const size_t *sequence, size_t count)
{
    const struct plan *plan = sheet->plan;
    const char *corners = corner_words(sheet, plan->surfaces[sequence[0]].surface->name);
    size_t length = 1;
    for (; plan->surfaces[sequence[0]].panel_count == 1 && length < count; length++) {
        const struct surface_plan *sp = &plan->surfaces[sequence[length]];
        if (sp->panel_count != 1 || !string_equal(corner_words(sheet, sp->surface->name), corners)) break;
    }
    return length;
}

static void put_sequence_row(struct sheet *sheet, struct sheet_table *table, const size_t *sequence,
                             size_t number, size_t count)
{
    const struct plan *plan = sheet->plan;
    const char **names = arena_take_array(sheet->arena, count, sizeof *names);
    for (size_t i = 0; i < count; i++) names[i] = plan->surfaces[sequence[i]].surface->name;
    int64_t start = install_start(plan, sequence[0]);
    const char *number_words = count > 1
                                   ? arena_format(sheet->arena, "*%zu to %zu", number, number + count - 1)
                                   : arena_format(sheet->arena, "*%zu", number);
    const char *cells[] = {
        number_words, arena_format(sheet->arena, "*%s", list_words(sheet->arena, names, count)),
        start == INT64_MAX ? "no date" : zone_words(plan->input->zone, start, sheet->arena),
        count > 1 ? sentence_plain("one-after-the-other")
                  : panel_sequence_words(sheet, &plan->surfaces[sequence[0]]),
        corner_words(sheet, names[0])};
    table_row(table, cells);
}

static void work_put_order(struct sheet *sheet)
{
    const struct column columns[] = {{"No.", 16, ALIGN_CENTRE},
                                     {"Surface", 34, ALIGN_LEFT},
                                     {"From", 36, ALIGN_LEFT},
                                     {sentence_plain("panels-in-sequence"), 90, ALIGN_LEFT},
                                     {"Corners", 60, ALIGN_LEFT}};
    size_t *sequence = arena_take_array(sheet->arena, sheet->plan->surface_count + 1, sizeof *sequence);
    size_t count = sort_surfaces(sheet, sequence);
    book_title(&sheet->book, sentence_plain("install-sequence-and-corners"));
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0, streak; i < count; i += streak) {
        streak = work_alike(sheet, sequence + i, count - i);
        put_sequence_row(sheet, &table, sequence + i, i + 1, streak);
    }
    table_end(&table);
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("what-ends-at-corner-goes-on"));
}

/* ---- strip-down ---- */

static bool same_task(const struct task *a, const struct task *b)
{
    return a->kind == b->kind && a->minutes.value == b->minutes.value &&
           a->difficulty_percent == b->difficulty_percent;
}

static const char *minutes_words(const struct sheet *sheet, const struct task *task)
{
    const char *mark = measure_is_written(task->minutes) ? "" : " usual";
    const char *harder = task->difficulty_percent == 100
                             ? ""
                             : arena_format(sheet->arena, ", %g %%", task->difficulty_percent);
    return arena_format(sheet->arena, "%g min%s%s", task->minutes.value, mark, harder);
}

/* Where the task is done: surfaces by name, those with parts on lines of their own. */
static const char *task_places(const struct sheet *sheet, const struct task *task)
{
    const struct plan *plan = sheet->plan;
    const char **names = arena_take_array(sheet->arena, plan->task_count, sizeof *names);
    struct text parts = text_new(sheet->arena);
    size_t count = 0;
    for (size_t i = 0; i < plan->task_count; i++) {
        const struct task *t = &plan->tasks[i];
        const char *name = t->surface ? t->surface->name : "vehicle";
        if (!same_task(task, t)) continue;
        if (t->parts)
            text_addf(&parts, "%s%s: %s", parts.length ? "\n" : "", name, t->parts);
        else
            names[count++] = name;
    }
    const char *plain = list_words(sheet->arena, names, count);
    return parts.length ? arena_format(sheet->arena, "%s%s%s", plain, count ? "\n" : "", text_string(&parts))
                        : plain;
}

/* One line for all surfaces. */
static void put_task(struct sheet *sheet, struct sheet_table *table, const struct task *task)
{
    const struct plan *plan = sheet->plan;
    double quantity = 0, hours = 0;
    for (size_t i = 0; i < plan->task_count; i++)
        if (same_task(task, &plan->tasks[i]))
            quantity += plan->tasks[i].quantity, hours += (double)plan->tasks[i].seconds / 3600;
    const char *cells[] = {
        "[ ]",
        arena_format(sheet->arena, "*%s", task_kind_words(task->kind)),
        said(sheet, task_places(sheet, task)),
        said(sheet, arena_format(sheet->arena, "%.4g %s", quantity, task_kind_unit(task->kind))),
        minutes_words(sheet, task),
        arena_format(sheet->arena, "%.2f", hours),
    };
    table_row(table, cells);
}

static const struct step *check_of(const struct plan *plan)
{
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == STEP_CHECK) return &plan->steps[i];
    return NULL;
}

static bool is_planned(const struct plan *plan, enum task_kind kind)
{
    for (size_t i = 0; i < plan->task_count; i++)
        if (plan->tasks[i].kind == kind) return true;
    return false;
}

/* What a shop may expect here and the job does not ask for. */
static void put_not_planned(struct sheet *sheet)
{
    static const struct {
        enum task_kind kind;
        const char *key;
    } asked[] = {
        {TASK_REMOVE_FILM, "old-film"}, {TASK_EDGE_SEAL, "edge-seal"}, {TASK_TEST_PRINT, "test-print"}};
    struct text words = text_new(sheet->arena);
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++)
        if (!is_planned(sheet->plan, asked[i].kind))
            text_addf(&words, "%s%s (`%s: true`)", words.length ? ", " : "", task_kind_words(asked[i].kind),
                      asked[i].key);
    if (words.length)
        book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
                   sentence_words(sheet->arena, "not-planned-since-job-does-not",
                                  ARGUMENTS(arg_words("words", text_string(&words)))));
}

static void put_strip_down(struct sheet *sheet)
{
    static const struct column columns[] = {{"Done", 12, ALIGN_CENTRE},   {"What", 40, ALIGN_LEFT},
                                            {"Where", 116, ALIGN_LEFT},   {"Amount", 24, ALIGN_RIGHT},
                                            {"For one", 28, ALIGN_RIGHT}, {"Hours", 15, ALIGN_RIGHT}};
    const struct plan *plan = sheet->plan;
    const struct step *check = check_of(plan);
    if (!plan->task_count) return;
    book_title(&sheet->book, sentence_plain("strip-down-and-finishing"));
    struct sheet_table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
    for (size_t i = 0; i < plan->task_count; i++) {
        bool first = true;
        for (size_t k = 0; k < i; k++) first = first && !same_task(&plan->tasks[k], &plan->tasks[i]);
        if (first) put_task(sheet, &table, &plan->tasks[i]);
    }
    table_end(&table);
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_plain("hours-of-one-person-usual-marks"));
    put_not_planned(sheet);
    if (check)
        book_words(&sheet->book, words_bold(TYPE_MM, ALIGN_LEFT),
                   sentence_words(sheet->arena, "next-days-check-date",
                                  ARGUMENTS(arg_words("date", date_words(sheet, check->start)))));
}

/* ---- tools and consumables ---- */

enum tool_when { TOOL_ALWAYS, TOOL_STRETCH, TOOL_LAP, TOOL_TASK, TOOL_PANE };

/* Common practice, no source; the cautions are general ones, local codes and the makers' sheets go before. */
static const struct tool {
    enum tool_when when;
    enum task_kind task;         /* TOOL_TASK */
    const char *words, *caution; /* ids of sentences */
} tools[] = {
    {TOOL_ALWAYS, 0, "tools-hanging", NULL},
    {TOOL_ALWAYS, 0, "tools-measuring", NULL},
    {TOOL_ALWAYS, 0, "tools-knife", "tools-knife-caution"},
    {TOOL_LAP, 0, "tools-cutting-tape", NULL},
    {TOOL_ALWAYS, 0, "tools-degreaser", "tools-degreaser-caution"},
    {TOOL_STRETCH, 0, "tools-hot-air", "tools-hot-air-caution"},
    {TOOL_TASK, TASK_REMOVE_FILM, "tools-old-film", "tools-old-film-caution"},
    {TOOL_TASK, TASK_TAKE_OFF, "tools-levers", "tools-levers-caution"},
    {TOOL_TASK, TASK_EDGE_SEAL, "tools-edge-sealer", "tools-edge-sealer-caution"},
    {TOOL_PANE, 0, "tools-panes", "tools-panes-caution"},
    {TOOL_ALWAYS, 0, "tools-platform", "tools-platform-caution"},
    {TOOL_ALWAYS, 0, "tools-spare-film", NULL},
};

static bool is_needed(const struct sheet *sheet, const struct tool *tool)
{
    const struct plan *plan = sheet->plan;
    bool stretches = false, laps = false, panes = false;
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface *s = plan->surfaces[i].surface;
        stretches |= s->stretch_count > 0, panes |= s->glass;
        for (size_t k = 0; k < plan->surfaces[i].seam_count; k++) laps |= plan->surfaces[i].seams[k].laps;
        for (size_t k = 0; k < s->feature_count; k++) panes |= feature_types[s->features[k].kind].is_pane;
    }
    switch (tool->when) {
    case TOOL_STRETCH:
        return stretches || is_planned(plan, TASK_POST_HEAT);
    case TOOL_LAP:
        return laps;
    case TOOL_TASK:
        return is_planned(plan, tool->task);
    case TOOL_PANE:
        return panes;
    default:
        return true;
    }
}

static void put_tools(struct sheet *sheet)
{
    static const struct column columns[] = {
        {"Have", 12, ALIGN_CENTRE}, {"Tools and consumables", 110, ALIGN_LEFT}, {"Caution", 110, ALIGN_LEFT}};
    book_title(&sheet->book, "Tools and consumables");
    struct sheet_table table = table_begin(&sheet->book, columns, 3, TYPE_MM);
    for (size_t i = 0; i < sizeof tools / sizeof *tools; i++) {
        const char *caution = tools[i].caution ? sentence_plain(tools[i].caution) : NULL;
        const char *cells[] = {"[ ]", sentence_plain(tools[i].words), caution};
        if (is_needed(sheet, &tools[i])) table_row(&table, cells);
    }
    table_end(&table);
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_plain("list-is-common-practice-no-source"));
}

void part_vehicle_work(struct sheet *sheet)
{
    book_part(&sheet->book, "At the vehicle", 30);
    work_put_order(sheet);
    put_strip_down(sheet);
    put_tools(sheet);
}
