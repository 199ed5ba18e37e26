/* What a profile or a measurement is, and how near the two come, in words a press operator knows. */
#include "run/run.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "colour/measurement.h"
#include "colour/profile.h"
#include "model/practice.h"

/* ---- a measurement ---- */

static void add_lab(struct text *out, const char *what, struct lab lab)
{
    text_addf(out, "%s L %.1f, a %.1f, b %.1f", what, lab.L, lab.a, lab.b);
}

/* Paper and the four inks in full, those that the chart has. */
static void add_primaries(const struct measurement *m, struct text *out)
{
    static const struct {
        const char *name;
        double cmyk[4];
    } rows[] = {{"Paper", {0}},
                {"Cyan", {100, 0, 0, 0}},
                {"Magenta", {0, 100, 0, 0}},
                {"Yellow", {0, 0, 100, 0}},
                {"Black", {0, 0, 0, 100}}};
    struct lab lab;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (!measurement_colour(m, rows[i].cmyk, &lab)) continue;
        add_lab(out, arena_format(out->arena, "  %s:", rows[i].name), lab);
        text_add_char(out, '\n');
    }
}

static void add_measurement(const struct measurement *m, struct text *out)
{
    const char *inks = m->has_cmyk ? "CMYK " : m->has_rgb ? "RGB " : "";
    text_addf(out, "a %s of %zu %spatch%s%s", m->has_lab ? "measurement" : "list", m->count, inks,
              m->count == 1 ? "" : "es",
              !m->has_lab   ? " without measured colours"
              : m->from_xyz ? " as XYZ"
                            : " as Lab");
    if (m->description[0]) text_addf(out, ", \"%s\"", m->description);
    if (m->created[0]) text_addf(out, ", of %s", m->created);
    text_add_char(out, '\n');
    if (m->conditions[0]) text_addf(out, "Printed as: %s\n", m->conditions);
    if (m->tables > 1)
        text_say(out, "measurement-tables", ARGUMENTS(arg_count("tables", (int64_t)m->tables)));
    if (m->ten_degrees) text_add(out, sentence_plain("measured-for-observer-of-10-degrees"));
}

static void measurement_words(const struct measurement *m, const char *path, struct text *out)
{
    const char *trouble = measurement_trouble(m);
    add_measurement(m, out);
    if (m->has_cmyk) text_addf(out, "Largest total ink: %.0f %%\n", measurement_largest_ink(m));
    add_primaries(m, out);
    if (trouble)
        text_say(out, "measurement-not-cmyk", ARGUMENTS(arg_words("trouble", trouble)));
    else
        text_say(out, "measurement-cmyk", ARGUMENTS(arg_words("path", path)));
}

/* ---- the two together ---- */

static void add_worst(const struct measurement_difference *d, struct text *out)
{
    text_add(out, "The furthest off:\n");
    for (size_t i = 0; i < d->worst_count; i++) {
        const struct patch_difference *one = &d->worst[i];
        const double *ink = one->patch->cmyk;
        text_addf(out, "  %.1f: C %g M %g Y %g K %g", one->ciede2000, ink[0], ink[1], ink[2], ink[3]);
        if (one->patch->name[0]) text_addf(out, " (patch %s)", one->patch->name);
        add_lab(out, ", measured", one->patch->lab);
        add_lab(out, "; profile", one->profile);
        text_add_char(out, '\n');
    }
}

static void add_meaning(const struct measurement_difference *d, struct text *out)
{
    struct measure mean = practice_value("profile-fit"), most = practice_value("profile-fit-most");
    if (d->mean <= mean.value && d->most_of_95 <= most.value)
        text_add(out, sentence_plain("profile-fits-this-print-colours-come"));
    else if (d->mean <= mean.value)
        text_add(out, sentence_plain("profile-fits-this-print-on-whole"));
    else
        text_add(out, sentence_plain("profile-does-not-fit-this-print"));
    text_say(out, "profile-fit-limits",
             ARGUMENTS(arg_number("mean", mean.value), arg_number("most", most.value),
                       arg_words("source", mean.source)));
}

static bool add_comparison(struct machine *machine, struct str profile, const char *path, const char *against,
                           struct text *out, struct error *error)
{
    struct measurement m;
    struct measurement_difference d;
    if (!measurement_read(machine, against, out->arena, &m, error) ||
        !measurement_compare(machine, &(struct measured_profile){profile, &m, path, against}, out->arena, &d,
                             error))
        return false;
    text_add(out, "Against ");
    add_measurement(&m, out);
    text_say(out, "profile-differs",
             ARGUMENTS(arg_fixed("mean", d.mean, 2), arg_fixed("most", d.most_of_95, 2),
                       arg_fixed("largest", d.largest, 2)));
    add_worst(&d, out);
    add_meaning(&d, out);
    return true;
}

/* ---- the verb ---- */

static bool measurement_alone(struct machine *machine, const char *path, const char *against,
                              struct text *out, struct error *error)
{
    struct measurement m;
    if (!measurement_read(machine, path, out->arena, &m, error)) return false;
    if (against)
        return error_set(error, FAILURE_INPUT, "is-measurement-profile-comes-first-lapstrake",
                         ARGUMENTS(arg_words("path", path)));
    measurement_words(&m, path, out);
    return true;
}

bool run_profile_words(struct machine *machine, const char *path, const char *against, struct text *out,
                       struct error *error)
{
    struct profile_facts facts;
    struct str bytes;
    if (!profile_read(machine, path, out->arena, &facts, &bytes, error)) return false;
    enum measurement_likeness like =
        facts.state == PROFILE_DAMAGED ? measurement_likeness(bytes) : LIKENESS_NONE;
    if (like == LIKENESS_MEASUREMENT) return measurement_alone(machine, path, against, out, error);
    if (like == LIKENESS_TEXT)
        return error_set(error, FAILURE_INPUT, "is-neither-icc-profile-nor-measurement",
                         ARGUMENTS(arg_words("path", path)));
    if (facts.state != PROFILE_FINE)
        return error_set(error, FAILURE_INPUT, "path-trouble",
                         ARGUMENTS(arg_words("path", path), arg_words("trouble", facts.trouble)));
    text_addf(out, "%s\n", profile_words(&facts, out->arena));
    return !against || add_comparison(machine, bytes, path, against, out, error);
}
