/* Finding the floor from a path, and care of its record. */
#include "base/path.h"
#include "inner.h"
#include "job/job.h"

struct where {
    const char *folder, *job_folder; /* of the jobs; the name of one of them or NULL */
};

static bool is_job_folder(struct machine *m, struct arena *arena, const char *path)
{
    return m->status(m, path_join(arena, path, "job.yaml")).exists ||
           m->status(m, path_join(arena, path, "job.json")).exists;
}

static bool find_where(struct machine *m, const char *path, struct arena *arena, struct where *where,
                       struct error *error)
{
    struct file_status status = m->status(m, path);
    if (!status.exists)
        return error_set(error, FAILURE_INPUT, "is-not-there-name-job-folder",
                         ARGUMENTS(arg_words("path", path)));
    const char *full = path_full(arena, path);
    if (!status.is_folder) full = path_folder(arena, full);
    bool job = is_job_folder(m, arena, full);
    *where = (struct where){job ? path_folder(arena, full) : full, job ? path_name(full) : NULL};
    return true;
}

/* What is said of its number would be said of the other folder's job. */
static bool refuse_twin(struct floor **floor, const struct job_entry *entry, struct error *error)
{
    error_set(error, FAILURE_INPUT, "has-number-which-folder-has-too",
              ARGUMENTS(arg_words("folder_name", entry->folder_name), arg_words("number", entry->number),
                        arg_words("twin", entry->twin)));
    floor_close(*floor);
    *floor = NULL;
    return false;
}

bool floor_open_at(struct machine *machine, const char *path, bool writes, struct arena *arena,
                   struct floor **floor, const char **number, struct error *error)
{
    struct where where;
    *number = NULL;
    if (!find_where(machine, path, arena, &where, error) ||
        !floor_open(machine, where.folder, writes, floor, error))
        return false;
    const struct job_list *list = &(*floor)->list;
    for (size_t i = 0; where.job_folder && i < list->count; i++) {
        const struct job_entry *entry = &list->entries[i];
        if (!string_equal(entry->folder_name, where.job_folder)) continue;
        if (entry->twin) return refuse_twin(floor, entry, error);
        *number = arena_copy_string(arena, entry->number);
    }
    return true;
}

bool floor_read_time(const struct floor *floor, const char *text, int64_t *at, struct error *error)
{
    struct civil_time time;
    if (!job_read_time(text, &time))
        return error_set(error, FAILURE_INPUT, "is-not-time-write-time-such",
                         ARGUMENTS(arg_words("text", text)));
    *at = zone_utc(floor->zone, &time);
    return true;
}

bool floor_verify(struct machine *machine, const char *path, struct report *report, size_t *facts,
                  struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct where where = {path, NULL};
    bool copy = str_ends(str_from(path), ".sqlite");
    bool ok = copy || find_where(machine, path, arena, &where, error);
    struct record *record = ok ? record_open(machine, where.folder, RECORD_READ, error) : NULL;
    ok = record && record_verify(record, report, facts, error);
    record_close(record);
    arena_free(arena);
    return ok;
}

bool floor_rebuild(struct floor *floor, struct error *error)
{
    struct record *record = floor_record(floor, error);
    return record && record_rebuild(record, error);
}

bool floor_backup(struct floor *floor, const char *path, struct error *error)
{
    struct record *record = floor_record(floor, error);
    return record && record_backup(record, path, error);
}
