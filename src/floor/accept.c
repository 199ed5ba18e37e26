/* Accepting a finding: it must be one that the job's plan on record has, with a reason; its place and figure
 * are kept with it. */
#include "base/text.h"
#include "inner.h"
#include <string.h>

static bool is_at(const struct planned_finding *finding, const char *place)
{
    return !place || string_equal(finding->where, place) || string_equal(finding->place, place);
}

static const char *floor_accept_place_of(const struct planned_finding *finding)
{
    return finding->place ? finding->place : finding->where;
}

static bool same_finding(const struct planned_finding *one, const struct planned_finding *other)
{
    return string_equal(floor_accept_place_of(one), floor_accept_place_of(other));
}

/* The one finding of that code there; NULL with *words saying what there is. */
static const struct planned_finding *find_one(const struct planned_finding *findings, size_t count,
                                              const char *code, const char *place, struct text *words)
{
    const struct planned_finding *found = NULL;
    bool several = false;
    for (size_t i = 0; i < count; i++) {
        if (!string_equal(findings[i].code, code)) continue;
        text_addf(words, "%s\"%s\"", words->length ? ", " : "", floor_accept_place_of(&findings[i]));
        if (!is_at(&findings[i], place)) continue;
        several = several || (found && !same_finding(found, &findings[i]));
        found = &findings[i];
    }
    return several ? NULL : found;
}

static bool floor_accept_is_known(const char *code, struct arena *arena, struct error *error)
{
    if (!code) return error_set(error, FAILURE_INPUT, "say-which-finding-is-accepted-its", NULL);
    if (finding_kind_find(code)) return true;
    const char **names = arena_take_array(arena, finding_table_count + 1, sizeof *names);
    for (size_t i = 0; i < finding_table_count; i++) names[i] = finding_table[i].code;
    const char *near = str_nearest(code, names);
    return error_set(
        error, FAILURE_INPUT, "is-not-code-of-finding",
        ARGUMENTS(arg_words("code", code), arg_words("near", near ? near : ""), arg_flag("near_2", near)));
}

bool accept_finding(struct floor *floor, struct fact *fact, struct arena *arena, struct error *error)
{
    struct planned_finding *findings;
    size_t count;
    if (!floor_accept_is_known(fact->code, arena, error)) return false;
    if (!fact->words || !fact->words[strspn(fact->words, " \t\r\n")])
        return error_set(error, FAILURE_INPUT, "say-why-is-accepted-words-words",
                         ARGUMENTS(arg_words("entry", fact->code)));
    if (!record_findings(floor->record, fact->job, arena, &findings, &count, error)) return false;
    struct text words = text_new(arena);
    const struct planned_finding *one = find_one(findings, count, fact->code, fact->place, &words);
    if (!words.length)
        return error_set(error, FAILURE_INPUT, "plan-of-on-record-has-no",
                         ARGUMENTS(arg_words("job", fact->job), arg_words("entry", fact->code)));
    if (!one)
        return error_set(error, FAILURE_INPUT, "name-its-place-place-place-one",
                         ARGUMENTS(arg_words("entry", fact->code), arg_words("words", text_string(&words))));
    fact->code = one->code, fact->place = floor_accept_place_of(one), fact->figure = one->figure;
    return true;
}
