/* Answers how far a profile is from a measurement, and what a measurement says of its own. Called by run
 * for the profile's words. */
#include "base/sentence.h"
#include "base/arena.h"
#include "colour/measurement.h"
#include "colour/profile.h"
#include "colour/transform.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- what a measurement says ---- */

bool measurement_colour(const struct measurement *measurement, const double cmyk[4], struct lab *lab)
{
    size_t found = 0;
    *lab = (struct lab){0};
    for (size_t i = 0; measurement->has_cmyk && measurement->has_lab && i < measurement->count; i++) {
        const struct measured_patch *patch = &measurement->patches[i];
        bool same = true;
        for (int k = 0; k < 4; k++) same = same && fabs(patch->cmyk[k] - cmyk[k]) <= 0.01;
        if (!same) continue;
        lab->L += patch->lab.L, lab->a += patch->lab.a, lab->b += patch->lab.b;
        found++;
    }
    if (found) lab->L /= (double)found, lab->a /= (double)found, lab->b /= (double)found;
    return found;
}

double measurement_largest_ink(const struct measurement *measurement)
{
    double most = 0;
    for (size_t i = 0; i < measurement->count; i++) {
        const double *cmyk = measurement->patches[i].cmyk;
        most = fmax(most, cmyk[0] + cmyk[1] + cmyk[2] + cmyk[3]);
    }
    return most;
}

const char *measurement_trouble(const struct measurement *measurement)
{
    if (!measurement->has_cmyk)
        return measurement->has_rgb ? sentence_plain("its-patches-are-rgb-not-cmyk")
                                    : sentence_plain("its-patches-have-no-cmyk-numbers");
    if (!measurement->has_lab) return sentence_plain("it-has-no-measured-colours-neither");
    return NULL;
}

/* ---- against a profile ---- */

static bool compare_open_profile(struct machine *machine, struct str profile, const char *name,
                                 struct arena *arena, struct colour_transform **transform,
                                 struct error *error)
{
    struct profile_facts facts;
    struct error trouble = {0};
    profile_facts_from_bytes(profile, arena, &facts);
    if (facts.state != PROFILE_FINE)
        return error_set(error, FAILURE_INPUT, "path-trouble",
                         ARGUMENTS(arg_words("path", name), arg_words("trouble", facts.trouble)));
    if (strcmp(facts.space, "CMYK") != 0 || facts.class_ == PROFILE_LINK)
        return error_set(error, FAILURE_INPUT, "is-for-measurement-of-cmyk-patches",
                         ARGUMENTS(arg_words("name", name),
                                   arg_words("profile_class", profile_class_words(facts.class_)),
                                   arg_words("space", facts.space)));
    struct colour_order order = {.source = profile,
                                 .in = PIXELS_CMYK16,
                                 .out = PIXELS_LAB16,
                                 .intent = INTENT_ABSOLUTE,
                                 .speed = COLOUR_EXACT};
    *transform = colour_transform_new(machine, &order, &trouble);
    return *transform ||
           error_set(error, trouble.kind, "its-tables-of-what-inks-look", ARGUMENTS(arg_words("name", name)));
}

/* 16 bits: inks 0..65535 for 0..100 %; L likewise, a and b 257 for each unit with 128 for 0 (ICC.1, version
 * 4). */
static struct lab profile_colour(const struct colour_transform *transform, const double cmyk[4])
{
    uint16_t in[4], out[3];
    for (int i = 0; i < 4; i++) in[i] = (uint16_t)lround(cmyk[i] * 655.35);
    colour_transform_rows(transform, in, out, 1);
    return (struct lab){out[0] / 655.35, out[1] / 257.0 - 128, out[2] / 257.0 - 128};
}

static bool same_inks(const struct measured_patch *a, const struct measured_patch *b)
{
    for (size_t i = 0; i < 4; i++)
        if (a->cmyk[i] < b->cmyk[i] || a->cmyk[i] > b->cmyk[i]) return false;
    return true;
}

/* Charts have some patches twice, which may be measured differently: the further off of them is kept, in the
 * other's place; else a new patch, in that of the last where there are enough. */
static void keep_worst(struct measurement_difference *difference, struct patch_difference one)
{
    struct patch_difference *worst = difference->worst;
    size_t count = difference->worst_count, at = 0;
    while (at < count && !same_inks(worst[at].patch, one.patch)) at++;
    if (at == DIFFERENCES_MOST) at--;
    if (at < count && worst[at].ciede2000 >= one.ciede2000) return;
    if (at == count) difference->worst_count++;
    for (; at > 0 && worst[at - 1].ciede2000 < one.ciede2000; at--) worst[at] = worst[at - 1];
    worst[at] = one;
}

static int compare_by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void compare_patches(const struct colour_transform *transform, const struct measurement *measurement,
                            struct arena *arena, struct measurement_difference *difference)
{
    size_t count = measurement->count;
    double *all = arena_take_array(arena, count, sizeof *all), sum = 0;
    *difference = (struct measurement_difference){.count = count};
    for (size_t i = 0; i < count; i++) {
        const struct measured_patch *patch = &measurement->patches[i];
        struct lab profile = profile_colour(transform, patch->cmyk);
        all[i] = difference_2000(patch->lab, profile);
        sum += all[i];
        keep_worst(difference, (struct patch_difference){patch, profile, all[i]});
    }
    qsort(all, count, sizeof *all, compare_by_value);
    difference->mean = sum / (double)count;
    difference->largest = all[count - 1];
    difference->most_of_95 = all[(size_t)ceil(0.95 * (double)count) - 1];
}

bool measurement_compare(struct machine *machine, const struct measured_profile *pair, struct arena *arena,
                         struct measurement_difference *difference, struct error *error)
{
    struct colour_transform *transform;
    const char *trouble = measurement_trouble(pair->measurement);
    if (trouble)
        return error_set(
            error, FAILURE_INPUT, "cannot-stand-beside-cmyk-profile",
            ARGUMENTS(arg_words("measurement_name", pair->measurement_name), arg_words("trouble", trouble)));
    if (!compare_open_profile(machine, pair->profile, pair->profile_name, arena, &transform, error))
        return false;
    compare_patches(transform, pair->measurement, arena, difference);
    colour_transform_free(transform);
    return true;
}
