/* Applies one edit to a job.yaml on the disk: checks the fingerprint, edits, reads the result again, and
 * saves it only if it is no worse. Called by run; the edit itself is edit.c. */
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "edit_check.h"
#include "job/edit.h"
#include "read.h"
#include <string.h>

void edit_fingerprint(struct str bytes, char fingerprint[17])
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
    edit_fingerprint(bytes, fingerprint);
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

/* The changed text must be at least as sound as the old one. */
bool edit_is_sound(struct machine *machine, const struct edit_check *check, struct arena *arena,
                   struct report *report, struct error *error)
{
    struct report old = report_new(arena), new = report_new(arena);
    job_of_bytes(machine, check->file, check->before, arena, &old);
    job_of_table(machine, check->file, check->after, check->table, arena, &new);
    const struct mistake *first = NULL;
    for (size_t i = 0; i < new.count; i++) {
        const struct mistake *mistake = &new.mistakes[i];
        bool in_table = check->table && !strcmp(mistake->place.file, check->table->name);
        if (mistake->remark || (!in_table && times_said(&new, mistake) <= times_said(&old, mistake)))
            continue;
        report_add(report, mistake->place, "as-said", ARGUMENTS(arg_words("words", mistake->text)));
        if (!first) first = mistake;
    }
    if (!first) return true;
    return error_set(error, FAILURE_INPUT, "change-was-not-made-job-would",
                     ARGUMENTS(arg_words("mistake", first->text)));
}

bool edit_begin(struct machine *machine, const char *file, const char *fingerprint, struct arena *arena,
                struct job_edited *edited, struct error *error)
{
    char found[17];
    *edited = (struct job_edited){0};
    if (!read_job_file(machine, file, arena, &edited->before, error)) return false;
    edit_fingerprint(edited->before, found);
    edited->conflict = strcmp(found, fingerprint) != 0;
    return !edited->conflict || error_set(error, FAILURE_INPUT, "was-changed-meanwhile-by-someone-else-look",
                                          ARGUMENTS(arg_words("file", file)));
}

bool job_edit_file(struct machine *machine, const char *path, const struct job_edit *edit,
                   struct arena *arena, struct report *report, struct job_edited *edited, struct error *error)
{
    struct text out;
    const char *file = job_file_of(machine, path, arena);
    if (!edit_begin(machine, file, edit->fingerprint, arena, edited, error) ||
        !job_edit(edited->before, edit->changes, edit->count, arena, &out, error))
        return false;
    struct str after = {text_string(&out), out.length};
    edit_fingerprint(after, edited->fingerprint);
    struct edit_check check = {.file = file, .before = edited->before, .after = after};
    return edit_is_sound(machine, &check, arena, report, error) &&
           machine_write(machine, file, after, true, error);
}
