/* Applies one edit to a job.yaml on the disk: checks the fingerprint, edits, reads the result again, and
 * saves it only if it is no worse. Called by run; the edit itself is edit.c. */
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "job/edit.h"
#include "read.h"
#include <string.h>

static void fingerprint_of(struct str bytes, char fingerprint[17])
{
    uint64_t hash = hash_bytes(HASH_START, bytes.bytes, bytes.length);
    format_into(fingerprint, 17, "%08x%08x", (unsigned)(hash >> 32), (unsigned)hash);
}

static bool read_job_file(struct machine *machine, const char *file, struct arena *arena, struct str *bytes,
                          struct error *error)
{
    if (!strcmp(path_ending(arena, file), "json"))
        return error_set(error, FAILURE_INPUT, "is-json-only-job-yaml-can",
                         ARGUMENTS(arg_words("file", file)));
    return machine_read(machine, file, JOB_BYTES_MOST, arena, bytes, error);
}

bool job_file_fingerprint(struct machine *machine, const char *path, struct arena *arena,
                          char fingerprint[17], struct error *error)
{
    struct str bytes;
    const char *file = job_file_of(machine, path, arena);
    if (!machine_read(machine, file, JOB_BYTES_MOST, arena, &bytes, error)) return false;
    fingerprint_of(bytes, fingerprint);
    return true;
}

/* How many times the same is said; lines move with an edit and do not count. */
static size_t times_said(const struct report *report, const struct mistake *mistake)
{
    size_t times = 0;
    for (size_t i = 0; i < report->count; i++) {
        const struct mistake *other = &report->mistakes[i];
        bool same = !strcmp(other->place.file, mistake->place.file) && !strcmp(other->text, mistake->text);
        times += same && !other->remark && !mistake->remark;
    }
    return times;
}

/* Whether the changed text is at least as sound as the old one; new mistakes go to the report. */
static bool check_changed(struct machine *machine, const char *file, struct str before, struct str after,
                          struct arena *arena, struct report *report, struct error *error)
{
    struct report old = report_new(arena), new = report_new(arena);
    job_of_bytes(machine, file, before, arena, &old);
    job_of_bytes(machine, file, after, arena, &new);
    const struct mistake *first = NULL;
    for (size_t i = 0; i < new.count; i++) {
        const struct mistake *mistake = &new.mistakes[i];
        if (mistake->remark || times_said(&new, mistake) <= times_said(&old, mistake)) continue;
        report_add(report, mistake->place, "as-said", ARGUMENTS(arg_words("words", mistake->text)));
        if (!first) first = mistake;
    }
    if (!first) return true;
    return error_set(error, FAILURE_INPUT, "change-was-not-made-job-would",
                     ARGUMENTS(arg_words("mistake", first->text)));
}

bool job_edit_file(struct machine *machine, const char *path, const struct job_edit *edit,
                   struct arena *arena, struct report *report, struct job_edited *edited, struct error *error)
{
    struct text out;
    char found[17];
    const char *file = job_file_of(machine, path, arena);
    *edited = (struct job_edited){0};
    if (!read_job_file(machine, file, arena, &edited->before, error)) return false;
    fingerprint_of(edited->before, found);
    edited->conflict = strcmp(found, edit->fingerprint) != 0;
    if (edited->conflict)
        return error_set(error, FAILURE_INPUT, "was-changed-meanwhile-by-someone-else-look",
                         ARGUMENTS(arg_words("file", file)));
    if (!job_edit(edited->before, edit->changes, edit->count, arena, &out, error)) return false;
    struct str after = {text_string(&out), out.length};
    fingerprint_of(after, edited->fingerprint);
    return check_changed(machine, file, edited->before, after, arena, report, error) &&
           machine_write(machine, file, after, true, error);
}
