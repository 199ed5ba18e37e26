/* A few patches of published characterisations, to tell a general profile by what it prints. */
#include "profile_generic.h"
#include "colour/measurement.h"
#include "model/practice.h"

enum { PATCHES = 17 };

static const double inks[PATCHES][4] = {
    {0, 0, 0, 0},     {100, 0, 0, 0},   {0, 100, 0, 0}, {0, 0, 100, 0}, {0, 0, 0, 100},     {100, 100, 0, 0},
    {100, 0, 100, 0}, {0, 100, 100, 0}, {40, 0, 0, 0},  {0, 40, 0, 0},  {0, 0, 40, 0},      {0, 0, 0, 40},
    {70, 0, 0, 0},    {0, 70, 0, 0},    {0, 0, 70, 0},  {0, 0, 0, 70},  {100, 100, 100, 0},
};

/* CIELAB, D50, 2 degrees, white backing, rounded to 0.1. */
static const struct published {
    const char *name;
    double lab[PATCHES][3];
} published[] = {
    /* FOGRA39L.ti3, December 2006: coated offset, ISO 12647-2:2004/Amd1; stored with licence CC0 */
    {"FOGRA39L",
     {{95, 0, -2},
      {55, -37, -50},
      {48, 74, -3},
      {89, -5, 93},
      {16, 0, 0},
      {24, 22, -46},
      {50, -65, 27},
      {47, 68, 48},
      {79.7, -12.5, -21.8},
      {76.4, 25.8, -6.9},
      {92.2, -3.5, 31.1},
      {69.3, 0, -1.4},
      {66.9, -24.7, -37.1},
      {60.8, 50.6, -6.7},
      {90.3, -4.7, 62.6},
      {45.5, 0, -0.8},
      {23, 0, 0}}},
    /* FOGRA29L.ti3, September 2003: uncoated offset; as packaged under the zlib licence */
    {"FOGRA29L",
     {{95.7, 0.6, -2.3},
      {59, -26.7, -42.8},
      {55, 59.5, -4},
      {88.8, -1.6, 79.2},
      {31.9, 2, 2.1},
      {38.5, 8, -32.2},
      {52.2, -42.8, 18.5},
      {52.5, 55.4, 30.1},
      {79.8, -12.8, -21.2},
      {76.5, 26.5, -6.7},
      {92.8, -2.9, 33.6},
      {68.2, 0.6, -1},
      {68.4, -20.9, -33.6},
      {63.9, 45.1, -6.5},
      {90.6, -3.1, 59.4},
      {48.5, 1.2, 0.5},
      {35, -3.2, -0.5}}},
    /* TR005.ti3: proofing on grade 5 coated paper, copyright 2007 NPES, may be distributed with its name */
    {"ANSI CGATS/SWOP TR 005-2007",
     {{90.1, -0, 4.1},
      {56.6, -38, -40.9},
      {47.6, 70, -3.5},
      {85.4, -5.8, 84.6},
      {19, 1, 1.2},
      {26.5, 18.6, -42},
      {52.3, -61.5, 26.8},
      {47.4, 64.4, 42.7},
      {74.7, -15, -16.2},
      {71.3, 26.6, -0.9},
      {87.6, -3.6, 34.9},
      {63.6, -0.4, 1.7},
      {64.7, -26.7, -29.7},
      {58.1, 49.1, -3},
      {86.3, -5.2, 60.3},
      {42.7, -0, 1},
      {24.7, 0.2, -0.1}}},
    /* ISO15339-CRPC3.txt, 2012: premium uncoated */
    {"ISO/PAS 15339-2 CRPC3",
     {{95, 1, -4},
      {60, -26, -44},
      {56, 61, -2},
      {89, -3, 76},
      {32, 1, 1},
      {38, 10, -31},
      {54, -43, 15},
      {54, 56, 28},
      {79.4, -12.6, -21.9},
      {76.1, 28.5, -5.6},
      {92.3, -3.5, 31.4},
      {67.6, 0.7, -1.2},
      {68.5, -20.8, -34.3},
      {64.2, 47.3, -4.5},
      {90.5, -4.3, 56.4},
      {48.6, 0.8, 0.1},
      {34, 0, 0}}},
    /* ISO15339-CRPC6.txt, 2012: premium coated */
    {"ISO/PAS 15339-2 CRPC6",
     {{95, 1, -4},
      {56, -37, -50},
      {48, 75, -4},
      {89, -4, 93},
      {16, 0, 0},
      {25, 20, -46},
      {50, -66, 26},
      {47, 68, 48},
      {79.2, -12.8, -23.2},
      {75.1, 28.3, -7.2},
      {92.1, -2.2, 31.6},
      {67.4, 0.6, -2.9},
      {66.8, -25.2, -37.6},
      {60, 52.8, -6.8},
      {90.3, -3.5, 62.4},
      {44.7, 0.3, -1.8},
      {23, 0, 0}}},
};

/* Close on average and nowhere far off: the same condition. Another film, ink or mode is further away. */
static bool prints_as(struct machine *machine, struct str profile, const struct published *condition,
                      struct arena *arena)
{
    struct measured_patch patches[PATCHES] = {0};
    for (int i = 0; i < PATCHES; i++) {
        const double *lab = condition->lab[i];
        for (int k = 0; k < 4; k++) patches[i].cmyk[k] = inks[i][k];
        patches[i].lab = (struct lab){lab[0], lab[1], lab[2]};
    }
    struct measurement measurement = {
        .patches = patches, .count = PATCHES, .has_cmyk = true, .has_lab = true};
    struct measurement_difference difference;
    struct error ignored = {0};
    struct measured_profile pair = {profile, &measurement, "the profile", condition->name};
    return measurement_compare(machine, &pair, arena, &difference, &ignored) &&
           difference.mean <= practice_value("published-near").value &&
           difference.largest <= practice_value("published-near-most").value;
}

const char *profile_published(struct machine *machine, struct str profile, struct arena *arena)
{
    for (size_t i = 0; i < sizeof published / sizeof *published; i++)
        if (prints_as(machine, profile, &published[i], arena)) return published[i].name;
    return NULL;
}
