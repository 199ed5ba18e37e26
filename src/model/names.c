#include "model/job.h"
#include "model/plan.h"
#include "model/practice.h"

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

const char *feature_kind_name(enum feature_kind kind)
{
    static const char *const names[FEATURE_COUNT] = {
        "handle", "hinge",       "badge", "light", "keep-clear", "opening",    "gap",
        "recess", "corrugation", "curve", "dome",  "glass",      "keep-whole",
    };
    return names[kind];
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

bool feature_forbids_seam(enum feature_kind kind)
{
    switch (kind) {
    case FEATURE_HANDLE:
    case FEATURE_HINGE:
    case FEATURE_BADGE:
    case FEATURE_LIGHT:
    case FEATURE_KEEP_CLEAR:
    case FEATURE_GLASS:
    case FEATURE_KEEP_WHOLE:
        return true;
    default:
        return false;
    }
}

double feature_margin_mm(const struct feature *feature)
{
    if (feature->margin_mm >= 0) return feature->margin_mm;
    switch (feature->kind) {
    case FEATURE_HANDLE:
    case FEATURE_HINGE:
    case FEATURE_BADGE:
    case FEATURE_LIGHT:
        return practice_value("seam-margin-handle").value;
    case FEATURE_KEEP_CLEAR:
        return practice_value("seam-margin-keep-clear").value;
    default:
        return 0;
    }
}
