/* Which profiles the panels in OUT were made with. A panel made again with another profile would not match
 * the others on the vehicle, so the fingerprints stand beside the files until all are made anew. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "steps.h"
#include <string.h>

enum { ID_DIGITS = 32, BYTES_MOST = 1 << 16 };

static const char *kept_path(const struct run *run)
{
    return path_join(run->arena, run->out, "panels/profiles.txt");
}

/* A line is a fingerprint, a blank and a condition's name. The fingerprint kept for `name`, length 0: none.
 */
static struct str find_kept(struct str text, const char *name)
{
    while (text.length) {
        const char *end = memchr(text.bytes, '\n', text.length);
        size_t length = end ? (size_t)(end - text.bytes) : text.length;
        struct str line = str_slice(text, 0, length);
        bool whole = length > ID_DIGITS + 1 && line.bytes[ID_DIGITS] == ' ';
        if (whole && str_equal(str_slice(line, ID_DIGITS + 1, length), name))
            return str_slice(line, 0, ID_DIGITS);
        text = str_slice(text, end ? length + 1 : length, text.length);
    }
    return (struct str){"", 0};
}

void profiles_compare(struct run *run)
{
    struct str text;
    const char *path = kept_path(run);
    if (!run->machine->status(run->machine, path).exists ||
        !machine_read(run->machine, path, BYTES_MOST, run->arena, &text, NULL))
        return;
    for (size_t i = 0; i < run->condition_count; i++) {
        const struct condition_facts *facts = &run->conditions[i];
        struct str kept = find_kept(text, facts->condition->name);
        if (!kept.length || !facts->profile_fingerprint || str_equal(kept, facts->profile_fingerprint))
            continue;
        finding_add(&run->findings, "profile-changed", "shop",
                    "profile-changed-condition-has-fingerprint-panels",
                    ARGUMENTS(arg_words("condition", facts->condition->name),
                              arg_words("profile", facts->condition->profile),
                              arg_words("profile_fingerprint", facts->profile_fingerprint),
                              arg_words("path", path_join(run->arena, run->out, "panels")),
                              arg_part("bytes", kept.bytes, kept.length)))
            ->remedy = sentence_plain("put-earlier-profile-back-or-make");
    }
}

bool profiles_keep(struct run *run, struct error *error)
{
    if (run->options.only) return true; /* the other panels are still those of before */
    struct text text = text_new(run->arena);
    for (size_t i = 0; i < run->condition_count; i++)
        if (run->conditions[i].profile_ok && run->conditions[i].profile_fingerprint)
            text_addf(&text, "%s %s\n", run->conditions[i].profile_fingerprint,
                      run->conditions[i].condition->name);
    return machine_write(run->machine, kept_path(run), (struct str){text_string(&text), text.length}, false,
                         error);
}
