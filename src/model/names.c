/* The words for the model's enumerations, as plan.json and people read them. Called at the edges: JSON,
 * terminal, sheet, labels. */
#include "model/job.h"
#include "base/arena.h"
#include "model/plan.h"

const char *front_name(enum front front)
{
    static const char *const names[] = {"left", "right", "up", "down", "away", "towards"};
    return names[front];
}

const char *panels_run_name(enum panels_run direction)
{
    static const char *const names[] = {"upright", "lying", "auto"};
    return names[direction];
}

const char *film_kind_name(enum film_kind kind)
{
    static const char *const names[] = {"cast", "calendered", "perforated"};
    return names[kind];
}

const char *ink_technology_name(enum ink_technology technology)
{
    static const char *const names[] = {"solvent", "eco-solvent", "latex", "uv"};
    return names[technology];
}

const char *drying_name(enum drying drying)
{
    static const char *const names[] = {"cabinet",    "hung",     "loose-upright", "flat",
                                        "tight-roll", "outdoors", "not said"};
    return names[drying];
}

const char *intent_name(enum intent intent)
{
    static const char *const names[] = {"perceptual", "relative", "saturation", "absolute"};
    return names[intent];
}

const char *step_kind_name(enum step_kind kind)
{
    static const char *const names[] = {"supply", "print",   "dry",     "laminate", "bond",
                                        "trim",   "prepare", "install", "finish",   "check"};
    return names[kind];
}

const char *panel_code(const struct job *job, const struct panel *panel, struct arena *arena)
{
    if (!job->shop->page) return arena_format(arena, "%s/%s", job->number, panel->id);
    char *content = arena_format(arena, "%s/p/%s/%s", job->shop->page, job->number, panel->id);
    for (char *c = content; *c; c++)
        if (*c >= 'a' && *c <= 'z') *c = (char)(*c - 'a' + 'A');
    return content;
}

const char *decider_name(enum decider decider)
{
    static const char *const names[] = {NULL,   "print",   "dry",    "laminate", "bond",
                                        "trim", "install", "closed", "arrival",  "resource"};
    return names[decider];
}

static const struct {
    const char *words, *unit;
} tasks[TASK_COUNT] = {
    [TASK_REMOVE_FILM] = {"removing old film", "m2"}, [TASK_WASH] = {"washing and degreasing", "m2"},
    [TASK_TAKE_OFF] = {"taking off parts", "part"},   [TASK_POST_HEAT] = {"post-heating", "place"},
    [TASK_EDGE_SEAL] = {"sealing edges", "m"},        [TASK_REFIT] = {"refitting parts", "part"},
    [TASK_CHECK] = {"next-day check", "vehicle"},     [TASK_TEST_PRINT] = {"test print", "print"},
};

const char *task_kind_words(enum task_kind kind)
{
    return tasks[kind].words;
}

const char *task_kind_unit(enum task_kind kind)
{
    return tasks[kind].unit;
}
