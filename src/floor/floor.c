/* Opens the shop folder's record and answers plain questions about it: numbers, folders, facts,
 * photographs, stock, people. The other floor files build on it; storing is the record room's work. */
#include "floor/floor.h"
#include "inner.h"
#include "raster/photograph.h"

static bool open_record(struct floor *floor, bool writes, struct error *error)
{
    if (!writes && !record_exists(floor->machine, floor->folder)) return true;
    floor->record = record_open(floor->machine, floor->folder, writes ? RECORD_CREATE : RECORD_READ, error);
    return floor->record != NULL;
}

bool floor_open(struct machine *machine, const char *folder, bool writes, struct floor **floor,
                struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct floor *f = arena_take(arena, sizeof *f);
    *f = (struct floor){.machine = machine, .arena = arena, .folder = arena_copy_string(arena, folder)};
    f->list.arena = arena_new(machine), f->snapshot.arena = arena_new(machine);
    pthread_mutex_init(&f->mutex, NULL);
    *floor = f;
    if (jobs_renew(f, error) && open_record(f, writes, error)) return true;
    floor_close(f);
    *floor = NULL;
    return false;
}

void floor_close(struct floor *floor)
{
    if (!floor) return;
    record_close(floor->record);
    jobs_free(floor), snapshot_free(floor);
    pthread_mutex_destroy(&floor->mutex);
    arena_free(floor->arena);
}

const struct zone *floor_zone(const struct floor *floor)
{
    return floor->zone;
}

bool floor_inches(struct floor *floor, const char *number)
{
    pthread_mutex_lock(&floor->mutex);
    const struct job_entry *entry = number ? jobs_find(floor, number) : NULL;
    bool inches = entry && entry->inches;
    for (size_t i = 0; !number && !inches && i < floor->list.count; i++)
        inches = floor->list.entries[i].shop_inches;
    pthread_mutex_unlock(&floor->mutex);
    return inches;
}

int64_t floor_revision(struct floor *floor)
{
    pthread_mutex_lock(&floor->mutex);
    jobs_renew(floor, NULL);
    int64_t changes = floor->list.changes;
    pthread_mutex_unlock(&floor->mutex);
    return changes + (floor->record ? record_revision(floor->record) : 0);
}

const char *floor_job_folder(struct floor *floor, const char *number, struct arena *arena)
{
    pthread_mutex_lock(&floor->mutex);
    jobs_renew(floor, NULL);
    const struct job_entry *entry = jobs_find(floor, number);
    const char *folder = entry ? arena_copy_string(arena, entry->folder) : NULL;
    pthread_mutex_unlock(&floor->mutex);
    return folder;
}

const char *floor_number(struct floor *floor, const char *number, struct arena *arena, struct error *error)
{
    pthread_mutex_lock(&floor->mutex);
    jobs_renew(floor, NULL);
    const struct job_entry *entry = jobs_find(floor, number);
    const char *own = entry ? arena_copy_string(arena, entry->number) : NULL;
    pthread_mutex_unlock(&floor->mutex);
    if (!own)
        error_set(error, FAILURE_INPUT, "there-is-no-job-in",
                  ARGUMENTS(arg_words("number", number), arg_words("folder", floor->folder)));
    return own;
}

bool floor_number_is_free(struct floor *floor, const char *number, struct error *error)
{
    int64_t last = 0;
    struct arena *arena = arena_new(floor->machine);
    bool there = floor_number(floor, number, arena, NULL) != NULL;
    arena_free(arena);
    if (there)
        return error_set(error, FAILURE_INPUT, "there-is-job-already-choose-another",
                         ARGUMENTS(arg_words("number", number)));
    if (floor->record && !record_last_fact(floor->record, number, &last, error)) return false;
    return !last || error_set(error, FAILURE_INPUT, "job-is-on-record-whose-folder",
                              ARGUMENTS(arg_words("number", number)));
}

struct record *floor_record(struct floor *floor, struct error *error)
{
    if (!floor->record)
        error_set(error, FAILURE_INPUT, "nothing-is-on-record-in-yet",
                  ARGUMENTS(arg_words("folder", floor->folder)));
    return floor->record;
}

/* ---- what the record has, passed on ---- */

bool floor_facts(struct floor *floor, const char *job, const char *panel, struct arena *arena,
                 struct fact **facts, size_t *count, struct error *error)
{
    struct fact_query query = {.job = job, .panel = panel};
    *facts = NULL, *count = 0;
    if (job && !(query.job = floor_number(floor, job, arena, error))) return false;
    return !floor->record || record_facts(floor->record, &query, arena, facts, count, error);
}

bool floor_last_fact(struct floor *floor, const char *job, int64_t *number, struct error *error)
{
    struct arena *arena = arena_new(floor->machine);
    const char *own = floor_number(floor, job, arena, error);
    *number = 0;
    bool ok = own && (!floor->record || record_last_fact(floor->record, own, number, error));
    arena_free(arena);
    return ok;
}

static bool photos_have_room(struct floor *floor, struct record *record, size_t more, struct error *error)
{
    int64_t there;
    if (!record_photo_bytes(record, &there, error)) return false;
    if (there + (int64_t)more > FLOOR_PHOTO_BYTES)
        return error_set(error, FAILURE_FULL, "photographs-on-record-have-gb-and",
                         ARGUMENTS(arg_fixed("there", (double)there / (1 << 30), 1),
                                   arg_fixed("megabytes", (double)FLOOR_PHOTO_BYTES / (1 << 30), 0)));
    if ((int64_t)more > machine_room(floor->folder, NULL))
        return error_set(error, FAILURE_FULL, "disk-is-full-this-photograph-was", NULL);
    return true;
}

bool floor_add_photo(struct floor *floor, struct str bytes, char name[65], struct error *error)
{
    struct arena *arena = arena_new(floor->machine);
    struct record *record = floor_record(floor, error);
    struct str jpeg;
    bool ok =
        record &&
        raster_photograph(floor->machine, bytes, "the photograph", PHOTOGRAPH_SIDE, arena, &jpeg, error) &&
        photos_have_room(floor, record, jpeg.length, error) &&
        record_add_photo(record, jpeg, "image/jpeg", name, error);
    arena_free(arena);
    return ok;
}

bool floor_get_small_photo(struct floor *floor, const char *name, struct arena *arena, struct str *bytes,
                           struct error *error)
{
    const char *kind;
    struct str whole;
    return floor_get_photo(floor, name, arena, &whole, &kind, error) &&
           raster_photograph(floor->machine, whole, "the photograph", PHOTOGRAPH_SMALL, arena, bytes, error);
}

bool floor_get_photo(struct floor *floor, const char *name, struct arena *arena, struct str *bytes,
                     const char **kind, struct error *error)
{
    struct record *record = floor_record(floor, error);
    return record && record_get_photo(record, name, arena, bytes, kind, error);
}

bool floor_stock(struct floor *floor, struct arena *arena, struct stock_roll **rolls, size_t *count,
                 struct error *error)
{
    *rolls = NULL, *count = 0;
    return !floor->record || record_stock(floor->record, arena, rolls, count, error);
}

bool floor_people(struct floor *floor, struct arena *arena, struct person **people, size_t *count,
                  struct error *error)
{
    *people = NULL, *count = 0;
    return !floor->record || record_people(floor->record, arena, people, count, error);
}

bool floor_set_person(struct floor *floor, const struct person *person, struct error *error)
{
    struct record *record = floor_record(floor, error);
    return record && record_set_person(record, person, error);
}

bool floor_remove_person(struct floor *floor, const char *name, struct error *error)
{
    struct record *record = floor_record(floor, error);
    return record && record_remove_person(record, name, error);
}
