/* The job folders of the floor. Each is read once and again when its files change, so that hundreds cost a
 * look at their dates. */
#include "base/path.h"
#include "inner.h"
#include "job/job.h"
#include "run/zone_file.h"
#include <strings.h>

/* What makes a job unreadable may lie in any file that it names: such a one is looked at anew, so often. */
enum { BROKEN_AGAIN_MS = 2000 };

static uint64_t floor_jobs_mark_of(struct machine *machine, const char *path)
{
    struct file_status status = path ? machine->status(machine, path) : (struct file_status){0};
    return status.exists && !status.is_folder ? (uint64_t)status.modified_ns * 31 + status.size + 1 : 0;
}

/* The job's file in a folder, NULL when it is no job folder. */
static const char *job_file_in(struct machine *machine, const char *folder, struct arena *arena)
{
    static const char *const names[] = {"job.yaml", "job.json"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const char *path = path_join(arena, folder, names[i]);
        if (floor_jobs_mark_of(machine, path)) return path;
    }
    return NULL;
}

/* Room to read a job in, of which only a few words are kept. */
static void floor_jobs_read_entry(struct machine *machine, struct job_entry *entry)
{
    struct arena *arena = arena_new(machine);
    struct report report = report_new(arena);
    struct error error = {0};
    struct job *job = NULL;
    entry->number = entry->folder_name;
    if (!job_load(machine, entry->folder, arena, &report, &job, &error))
        entry->trouble = arena_copy_string(entry->arena, error.text);
    for (size_t i = 0; i < report.count && !entry->trouble; i++)
        if (!report.mistakes[i].remark)
            entry->trouble = arena_format(entry->arena, "%s:%d: %s", report.mistakes[i].place.file,
                                          report.mistakes[i].place.line, report.mistakes[i].text);
    if (job && job->number) entry->number = arena_copy_string(entry->arena, job->number);
    if (job && job->title) entry->title = arena_copy_string(entry->arena, job->title);
    if (job && job->vehicle) entry->vehicle = arena_copy_string(entry->arena, job->vehicle);
    if (job) entry->due = job->due, entry->has_due = job->due.given, entry->start = job->start;
    if (job) entry->inches = job->inches, entry->shop_inches = job->shop && job->shop->units == UNITS_INCHES;
    if (job && job->shop && job->shop->file)
        entry->shop_file = path_join(entry->arena, entry->folder, job->shop->file);
    if (job && job->shop && job->shop->zone) entry->zone = arena_copy_string(entry->arena, job->shop->zone);
    entry->shop_mark = floor_jobs_mark_of(machine, entry->shop_file);
    arena_free(arena);
}

static struct job_entry new_entry(struct floor *floor, const char *name, const char *folder, uint64_t mark)
{
    struct arena *arena = arena_new(floor->machine);
    struct job_entry entry = {.arena = arena,
                              .folder_name = arena_copy_string(arena, name),
                              .folder = arena_copy_string(arena, folder),
                              .job_mark = mark,
                              .read_ms = floor->machine->ticks_ms(floor->machine)};
    floor_jobs_read_entry(floor->machine, &entry);
    return entry;
}

static struct job_entry *entry_of_folder(struct job_list *list, const char *name)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->entries[i].arena && string_equal(list->entries[i].folder_name, name))
            return &list->entries[i];
    return NULL;
}

/* Its words stay where they are: twins point to them. */
static void move_entry(struct job_entry *to, struct job_entry *from)
{
    *to = *from;
    from->arena = NULL;
}

/* The entry for a folder: the old one when nothing changed, else read afresh. */
static void take_folder(struct floor *floor, struct job_list *next, size_t *capacity, const char *name,
                        bool *changed)
{
    struct machine *m = floor->machine;
    const char *folder = path_join(next->arena, floor->folder, name);
    const char *file = job_file_in(m, folder, next->arena);
    if (!file) return;
    uint64_t mark = floor_jobs_mark_of(m, file);
    struct job_entry *old = entry_of_folder(&floor->list, name);
    struct job_entry *place =
        arena_append(next->arena, &next->entries, &next->count, capacity, sizeof *place);
    bool same = old && old->job_mark == mark && old->shop_mark == floor_jobs_mark_of(m, old->shop_file);
    if (same && !(old->trouble && m->ticks_ms(m) - old->read_ms >= BROKEN_AGAIN_MS)) {
        move_entry(place, old);
        return;
    }
    struct job_entry fresh = new_entry(floor, name, folder, mark);
    if (same && string_equal(fresh.trouble, old->trouble) && string_equal(fresh.zone, old->zone)) {
        old->read_ms = fresh.read_ms;
        move_entry(place, old);
        arena_free(fresh.arena);
        return;
    }
    *place = fresh;
    *changed = true;
}

/* A number may lead to one folder only: the first by name. */
static void find_twins(struct job_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        struct job_entry *one = &list->entries[i];
        one->twin = NULL;
        for (size_t k = 0; k < i && !one->twin; k++)
            if (!strcasecmp(one->number, list->entries[k].number)) one->twin = list->entries[k].folder_name;
    }
}

/* The zone of the shop, as the first job that says one has it. Its name outlives the list, whose entries are
 * read again when their files change; one that was lent stays as it is. */
static bool renew_zone(struct floor *floor, struct error *error)
{
    const char *name = NULL, *file = NULL;
    for (size_t i = 0; i < floor->list.count && !name; i++)
        name = floor->list.entries[i].zone, file = floor->list.entries[i].shop_file;
    struct zone *next = floor->zone;
    if (next && string_equal(next->name, name ? name : "local time")) return true;
    if (name) name = arena_copy_string(floor->arena, name);
    if (!zone_load(floor->machine, name, file, floor->arena, &next, error)) return false;
    floor->zone = next;
    return true;
}

static void free_entries(struct job_list *list)
{
    for (size_t i = 0; i < list->count; i++) arena_free(list->entries[i].arena);
    arena_free(list->arena);
}

bool jobs_renew(struct floor *floor, struct error *error)
{
    struct job_list next = {.arena = arena_new(floor->machine), .changes = floor->list.changes};
    const char **names;
    size_t capacity = 0;
    bool changed = false;
    if (!floor->machine->list_folder(floor->machine, floor->folder, next.arena, &names, error)) {
        arena_free(next.arena);
        return false;
    }
    for (; *names; names++)
        if ((*names)[0] != '.') take_folder(floor, &next, &capacity, *names, &changed);
    changed = changed || next.count != floor->list.count;
    if (changed) next.changes++, find_twins(&next);
    free_entries(&floor->list);
    floor->list = next;
    if (!floor->zone && !renew_zone(floor, error)) return false;
    if (changed) renew_zone(floor, NULL); /* one that is not known leaves the clock as it was */
    floor->zone->now = floor->machine->now(floor->machine);
    return true;
}

struct job_entry *jobs_find(struct floor *floor, const char *number)
{
    for (size_t i = 0; i < floor->list.count; i++)
        if (!strcasecmp(floor->list.entries[i].number, number)) return &floor->list.entries[i];
    return NULL;
}

struct print_hold job_hold(const struct floor *floor, const struct job_entry *entry,
                           const struct job_terms *terms)
{
    bool starts = entry && entry->start.given;
    return (struct print_hold){terms->stops, starts ? zone_utc(floor->zone, &entry->start) : 0};
}

void jobs_free(struct floor *floor)
{
    free_entries(&floor->list);
}
