/* Strip-down list: what is done at the vehicle before and after installing, part by part, and on the next day. */
#include "pages.h"
#include "base/arena.h"
#include "base/text.h"

static const char *minutes_words(const struct sheet *sheet, const struct task *task)
{
    const char *mark = measure_is_written(task->minutes) ? "" : " usual";
    const char *harder = task->difficulty_percent == 100
                             ? ""
                             : arena_format(sheet->arena, ", %g %%", task->difficulty_percent);
    return arena_format(sheet->arena, "%g min%s%s", task->minutes.value, mark, harder);
}

static void put_task(const struct sheet *sheet, struct table *table, const struct task *task)
{
    const char *cells[] = {
        "[ ]",
        arena_format(sheet->arena, "*%s", task_kind_words(task->kind)),
        task->surface ? task->surface->name : "vehicle",
        arena_format(sheet->arena, "%.4g %s", task->quantity, task_kind_unit(task->kind)),
        minutes_words(sheet, task),
        arena_format(sheet->arena, "%.2f", (double)task->seconds / 3600),
        task->parts,
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
    } asked[] = {{TASK_REMOVE_FILM, "old-film"}, {TASK_EDGE_SEAL, "edge-seal"}, {TASK_TEST_PRINT, "test-print"}};
    struct text words = text_new(sheet->arena);
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++)
        if (!is_planned(sheet->plan, asked[i].kind))
            text_addf(&words, "%s%s (`%s: true`)", words.length ? ", " : "", task_kind_words(asked[i].kind),
                      asked[i].key);
    if (words.length)
        book_words(&sheet->book, words_grey(2.5, ALIGN_LEFT),
                   arena_format(sheet->arena, "Not planned, since the job does not ask for it: %s.",
                                text_string(&words)));
}

void part_strip_down(struct sheet *sheet)
{
    static const struct column columns[] = {{"Done", 11, ALIGN_LEFT},    {"What", 38, ALIGN_LEFT},
                                            {"Surface", 24, ALIGN_LEFT}, {"Amount", 22, ALIGN_RIGHT},
                                            {"For one", 24, ALIGN_RIGHT}, {"Hours", 13, ALIGN_RIGHT},
                                            {"Parts and places", 48, ALIGN_LEFT}};
    const struct plan *plan = sheet->plan;
    const struct step *check = check_of(plan);
    if (!plan->task_count) return;
    book_new_page(&sheet->book, "Strip-down and finishing");
    struct table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, 2.35);
    for (size_t i = 0; i < plan->task_count; i++) put_task(sheet, &table, &plan->tasks[i]);
    table_end(&table);
    book_words(&sheet->book, words_grey(2.5, ALIGN_LEFT),
               "Hours of one person. \"usual\" marks our own judgement; write the shop's figures under `tasks` in "
               "the shop file. Lamps, mirrors and what is wired: work for licensed trades where the law asks for "
               "it.");
    put_not_planned(sheet);
    if (check)
        book_words(&sheet->book, words_bold(2.8, ALIGN_LEFT),
                   arena_format(sheet->arena, "Next day's check: %s", date_words(sheet, check->start)));
}
