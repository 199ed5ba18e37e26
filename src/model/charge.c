/* Kinds of lines of a quote, what they may be charged by, and what film goes on: one row each. */
#include "model/charge.h"

const char *const quote_kind_names[QUOTE_KIND_COUNT + 1] = {
    [QUOTE_DESIGN] = "design",         [QUOTE_MEASURING] = "measuring",
    [QUOTE_REMOVAL] = "removal",       [QUOTE_CLEANING] = "cleaning",
    [QUOTE_PARTS] = "parts",           [QUOTE_FILM] = "film",
    [QUOTE_LAMINATE] = "laminate",     [QUOTE_INK] = "ink",
    [QUOTE_PRINTS] = "prints",         [QUOTE_PRINT] = "print",
    [QUOTE_LAMINATING] = "laminating", [QUOTE_TRIM] = "trim",
    [QUOTE_INSTALL] = "install",       [QUOTE_FINISH] = "finish",
    [QUOTE_TRAVEL] = "travel",         [QUOTE_OTHER] = "other",
    [QUOTE_MINIMUM] = "minimum",
};

const char *const quote_unit_names[QUOTE_UNIT_COUNT + 1] = {
    [UNIT_HOUR] = "h", [UNIT_M2] = "m2",           [UNIT_ML] = "ml",   [UNIT_PART] = "part",
    [UNIT_KM] = "km",  [UNIT_VEHICLE] = "vehicle", [UNIT_JOB] = "job",
};

const char *const surface_sort_names[SURFACE_SORT_COUNT + 1] = {
    [SORT_FLAT] = "flat",
    [SORT_SHAPED] = "shaped",
    [SORT_LYING] = "lying",
    [SORT_GLASS] = "glass",
};

#define BY(unit) (1u << (unit))
static const unsigned units_of[QUOTE_KIND_COUNT] = {
    [QUOTE_DESIGN] = BY(UNIT_HOUR) | BY(UNIT_JOB),
    [QUOTE_MEASURING] = BY(UNIT_HOUR) | BY(UNIT_JOB),
    [QUOTE_REMOVAL] = BY(UNIT_HOUR) | BY(UNIT_M2),
    [QUOTE_CLEANING] = BY(UNIT_HOUR) | BY(UNIT_M2) | BY(UNIT_VEHICLE),
    [QUOTE_PARTS] = BY(UNIT_HOUR) | BY(UNIT_PART),
    [QUOTE_FILM] = BY(UNIT_M2),
    [QUOTE_LAMINATE] = BY(UNIT_M2),
    [QUOTE_INK] = BY(UNIT_M2) | BY(UNIT_ML),
    [QUOTE_PRINTS] = BY(UNIT_M2),
    [QUOTE_PRINT] = BY(UNIT_HOUR) | BY(UNIT_M2),
    [QUOTE_LAMINATING] = BY(UNIT_HOUR) | BY(UNIT_M2),
    [QUOTE_TRIM] = BY(UNIT_HOUR) | BY(UNIT_M2),
    [QUOTE_INSTALL] = BY(UNIT_HOUR) | BY(UNIT_M2),
    [QUOTE_FINISH] = BY(UNIT_HOUR) | BY(UNIT_M2) | BY(UNIT_VEHICLE),
    [QUOTE_TRAVEL] = BY(UNIT_KM) | BY(UNIT_VEHICLE) | BY(UNIT_JOB),
};

unsigned quote_units_of(enum quote_kind kind)
{
    return units_of[kind];
}
