#include "model/job.h"
#include "base/arena.h"
#include "model/plan.h"

const char *front_name(enum front front)
{
    static const char *const names[] = {"left", "right", "up", "down", "away", "towards"};
    return names[front];
}

const char *panels_run_name(enum panels_run run)
{
    static const char *const names[] = {"upright", "lying", "auto"};
    return names[run];
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
    static const char *const names[] = {"print", "dry", "laminate", "bond", "trim", "install"};
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
