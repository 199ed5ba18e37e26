/* job.yaml, and how the shop's and the vehicle's files join it. */
#include "read.h"
#include "base/sentence.h"
#include "supply.h"
#include "surfaces.h"
#include "texts.h"
#include "base/arena.h"
#include "base/latin.h"
#include "base/path.h"
#include "base/text.h"
#include "model/plan.h"
#include "job/settle.h"
#include <string.h>
#include <strings.h>

/* ---- the other files ---- */

/* A file's tree and the reading that goes with it; NULL when it cannot be used, which is reported at `asked`.
 */
static struct node *open_other(struct reading *reading, const char *name, struct place asked,
                               struct reading *other)
{
    struct error error = {0};
    struct str bytes;
    const char *path = path_join(reading->arena, reading->folder, name);
    *other = *reading;
    if (!reading_may_reach(reading, name, asked)) return NULL;
    other->file = name;
    other->folder = path_folder(reading->arena, path);
    if (!machine_read(reading->machine, path, JOB_BYTES_MOST, reading->arena, &bytes, &error)) {
        report_add(reading->report, asked, "as-said", ARGUMENTS(arg_words("words", error.text)));
        return NULL;
    }
    struct tree tree = {reading->arena, reading->report, name, 0};
    return tree_from_bytes(&tree, path, bytes);
}

static bool is_file_name(struct arena *arena, const char *name)
{
    const char *ending = path_ending(arena, name);
    return !strcmp(ending, "yaml") || !strcmp(ending, "yml") || !strcmp(ending, "json");
}

/* "shop" beside the job: shop.yaml or shop.json, NULL when neither is there. */
static const char *job_beside(struct reading *reading, const char *name)
{
    static const char *const endings[] = {"yaml", "yml", "json"};
    for (size_t i = 0; i < 3; i++) {
        const char *file = arena_format(reading->arena, "%s.%s", name, endings[i]);
        const char *path = path_join(reading->arena, reading->folder, file);
        if (reading->machine->status(reading->machine, path).exists) return file;
    }
    return NULL;
}

/* Through the page only pictures, drawings and profiles come in: none of them is a shop. */
static bool is_shop_file(struct reading *reading, const char *name, struct place asked)
{
    if (!reading->machine->within || is_file_name(reading->arena, name)) return true;
    report_add(reading->report, asked, "is-not-shop-file-its-name", ARGUMENTS(arg_words("name", name)));
    return false;
}

static void load_shop(struct reading *reading, const struct node *root)
{
    const struct node *node = node_find(root, "shop");
    struct reading other;
    const char *name = "shop.yaml";
    if (node && !read_path(reading, node, &name)) return;
    if (!node && !(name = job_beside(reading, "shop"))) {
        report_add(reading->report, place_of(reading, root), "there-is-no-shop-yaml-beside-this", NULL);
        return;
    }
    if (!is_shop_file(reading, name, place_of(reading, node ? node : root))) return;
    const struct node *tree = open_other(reading, name, place_of(reading, node ? node : root), &other);
    if (!tree) return;
    other.in_shop = true;
    reading->shop = reading->job->shop = shop_read(&other, tree);
}

bool job_load_shop(struct machine *machine, const char *folder, struct arena *arena, struct report *report,
                   struct shop **shop)
{
    struct reading reading = {.machine = machine,
                              .arena = arena,
                              .report = report,
                              .folder = folder,
                              .file = ".",
                              .groups = job_groups};
    struct reading other;
    const char *name = job_beside(&reading, "shop");
    *shop = NULL;
    if (!name) return false;
    const struct node *tree = open_other(&reading, name, (struct place){.file = name}, &other);
    other.in_shop = true;
    if (tree) *shop = shop_read(&other, tree);
    return true;
}

/* "long-van" of ../vehicles/long-van.yaml; a plain vehicle.yaml has no name. */
static const char *vehicle_name(struct arena *arena, const char *file)
{
    const char *name = path_name(file), *dot = strrchr(name, '.');
    const char *stem = arena_copy(arena, name, dot ? (size_t)(dot - name) : strlen(name));
    return strcmp(stem, "vehicle") ? stem : NULL;
}

static void load_vehicle(struct reading *reading, const struct node *root)
{
    const struct node *node = node_find(root, "vehicle");
    struct job *job = reading->job;
    struct reading other;
    const char *name = NULL;
    if (node && !read_path(reading, node, &name)) return;
    if (!node && !(name = job_beside(reading, "vehicle"))) return;
    job->vehicle = name;
    if (!is_file_name(reading->arena, name)) return;
    const struct node *tree = open_other(reading, name, place_of(reading, node ? node : root), &other);
    if (!tree) return;
    job->vehicle = vehicle_name(reading->arena, name);
    read_group(&other, &vehicle_group, tree, job);
}

/* ---- the whole ---- */

/* What may stand in `print` or at the top stands in one of them. */
static void refuse_both_places(struct reading *reading, const struct node *root)
{
    static const char *const names[] = {"condition", "overlap", "bleed", "output", "mixed-widths", NULL};
    const struct node *print = node_find(root, "print");
    for (size_t i = 0; names[i]; i++) {
        const struct node *top = node_find(root, names[i]);
        if (top && node_find(print, names[i]))
            report_add(reading->report, (struct place){reading->file, top->key_line, top->key_column},
                       "stands-here-and-under-print-keep", ARGUMENTS(arg_words("names", names[i])));
    }
    if (node_find(root, "inches") && node_find(root, "units"))
        report_add(reading->report, place_of(reading, node_find(root, "units")),
                   "units-and-inches-say-same-thing", NULL);
}

/* A folder's name in a number's letters; *whole is false where it has none for some of its letters. */
static const char *number_from_name(struct arena *arena, const char *name, bool *whole)
{
    struct text number = text_new(arena);
    *whole = latin_name(name, JOB_NUMBER_MOST, &number);
    return number.length ? text_string(&number) : "job";
}

/* Whether the job file at `path` writes a number; one that cannot be read writes none. */
static bool writes_number(struct machine *machine, const char *path, struct arena *arena)
{
    struct str text;
    if (!machine_read(machine, path, JOB_BYTES_MOST, arena, &text, NULL)) return false;
    const char *words = arena_copy(arena, text.bytes, text.length);
    return !strncmp(words, "job:", 4) || strstr(words, "\njob:");
}

/* The folder beside this one whose name makes the same number and that has a job without one; NULL: none. */
static const char *find_namesake(struct machine *machine, const char *path, const char *number,
                                 struct arena *arena)
{
    const char *parent = path_folder(arena, path), **names;
    bool whole;
    if (!machine->list_folder(machine, parent, arena, &names, NULL)) return NULL;
    for (; *names; names++) {
        const char *file = path_join(arena, path_join(arena, parent, *names), "job.yaml");
        if (string_equal(*names, path_name(path)) || **names == '.' ||
            strcasecmp(number_from_name(arena, *names, &whole), number) || !whole)
            continue;
        if (machine->status(machine, file).exists && !writes_number(machine, file, arena)) return *names;
    }
    return NULL;
}

/* What the record and labels know a job by must not be that of two: where a name makes no number, or the same
 * as another's ("Müller" and "Mueller"), it is asked for. */
static const char *number_of_folder(struct reading *reading, const struct node *root, const char *folder)
{
    bool whole;
    const char *path = path_full(reading->arena, folder), *name = path_name(path);
    const char *number = number_from_name(reading->arena, name, &whole);
    struct arena *scratch = arena_new(reading->machine);
    const char *other = whole ? find_namesake(reading->machine, path, number, scratch) : NULL;
    if (!whole)
        report_add(reading->report, place_of(reading, root), "folders-name-makes-no-job-number",
                   ARGUMENTS(arg_words("name", name)));
    else if (other)
        report_add(
            reading->report, place_of(reading, root), "folders-and-both-make-job-number",
            ARGUMENTS(arg_words("name", name), arg_words("other", other), arg_words("number", number)));
    arena_free(scratch);
    return number;
}

static void choose_condition(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    bool written = node_find(root, "condition") || node_find(node_find(root, "print"), "condition");
    if (!job->shop || !job->shop->condition_count || written) return;
    if (job->shop->condition_count == 1) {
        job->condition = job->shop->conditions;
        return;
    }
    struct text names = text_new(reading->arena);
    for (size_t i = 0; i < job->shop->condition_count && i < 20; i++)
        text_addf(&names, "%s%s", i ? ", " : "", job->shop->conditions[i].name);
    report_add(reading->report, place_of(reading, root), "condition-is-missing-and-shop-has",
               ARGUMENTS(arg_words("names", text_string(&names))));
}

/* Whether `one` is later than `other`; only where both count in the same offset. */
static bool job_later(const struct civil_time *one, const struct civil_time *other)
{
    const int a[] = {one->year, one->month, one->day, one->hour, one->minute, one->second};
    const int b[] = {other->year, other->month, other->day, other->hour, other->minute, other->second};
    if (one->has_offset != other->has_offset || one->offset_minutes != other->offset_minutes) return false;
    for (size_t i = 0; i < 6; i++)
        if (a[i] != b[i]) return a[i] > b[i];
    return true; /* the same moment leaves no time */
}

static void settle_closing(struct reading *reading, const struct node *node, struct civil_time *time)
{
    struct civil_time written = *time;
    if (!node || hours_settle_closing(reading->job->shop, time)) return;
    report_remark(
        reading->report, place_of(reading, node), "shop-is-closed-on-is-taken",
        ARGUMENTS(
            arg_words("civil_day", civil_day_words(written.year, written.month, written.day, reading->arena)),
            arg_words("key", node->key), arg_words("civil_time", civil_time_words(time, reading->arena))));
}

static void settle_times(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    if (!job->shop) return;
    hours_settle_opening(job->shop, &job->start);
    hours_settle_opening(job->shop, &job->arrives);
    settle_closing(reading, node_find(root, "due"), &job->due);
    settle_closing(reading, node_find(root, "leaves"), &job->leaves);
}

static void job_refuse_unknown(struct reading *reading, const struct condition *condition)
{
    if (condition && condition->ink && condition->ink->unknown && condition->place.file)
        report_add(reading->report, condition->place, "condition-has-no-ink-name-one",
                   ARGUMENTS(arg_words("condition", condition->name)));
    if (condition && condition->printer && condition->printer->unknown && condition->place.file)
        report_add(reading->report, condition->place, "condition-has-no-printer-name-one",
                   ARGUMENTS(arg_words("condition", condition->name)));
}

static void settle_units(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    if (job->shop && !node_find(root, "inches") && !node_find(root, "units"))
        job->inches = job->shop->units == UNITS_INCHES;
}

/* On what, and how long prints dry, must be known where they are printed here. */
static void refuse_unknowns(struct reading *reading)
{
    const struct job *job = reading->job;
    if (!job->shop || job_buys_prints(job)) return;
    job_refuse_unknown(reading, job->condition);
    for (size_t i = 0; i < job->surface_count; i++)
        if (job->surfaces[i].condition != job->condition)
            job_refuse_unknown(reading, job->surfaces[i].condition);
}

static void finish_job(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    const struct node *due = node_find(root, "due");
    choose_condition(reading, root);
    if (!job->number) job->number = number_of_folder(reading, root, job->folder);
    settle_units(reading, root);
    settle_times(reading, root);
    if (job->start.given && job->due.given && job_later(&job->start, &job->due))
        report_add(reading->report, place_of(reading, due), "due-is-not-after-start-correct", NULL);
    finish_surfaces(reading, root);
    texts_finish(reading);
    refuse_unknowns(reading);
    if (!reading->report->errors) finish_corners(reading);
    settle_job(job);
}

static void job_read(struct reading *reading, const struct node *root)
{
    struct job *job = reading->job;
    job->bleed = (struct bleed_spec){-1, -1, -1, -1, -1, -1, -1, 0};
    job->drying = DRYING_UNSAID;
    job->design_s = -1;
    charges_start_job(&job->quote);
    supply_start(&job->supply);
    read_usual(reading, &job_group, job);
    load_shop(reading, root);
    load_vehicle(reading, root);
    refuse_both_places(reading, root);
    read_group(reading, &job_group, root, job);
    finish_job(reading, root);
}

const char *job_file_of(struct machine *machine, const char *path, struct arena *arena)
{
    if (!machine->status(machine, path).is_folder) return path;
    const char *yaml = path_join(arena, path, "job.yaml"), *json = path_join(arena, path, "job.json");
    bool only_json = !machine->status(machine, yaml).exists && machine->status(machine, json).exists;
    return only_json ? json : yaml;
}

struct job *job_of_table(struct machine *machine, const char *file, struct str bytes,
                         const struct job_table *table, struct arena *arena, struct report *report)
{
    struct tree tree = {arena, report, path_name(file), 0};
    const struct node *root = tree_from_bytes(&tree, file, bytes);
    if (!root) return NULL;
    struct reading reading = {
        .machine = machine, .arena = arena, .report = report, .file = tree.file, .groups = job_groups};
    reading.folder = path_folder(arena, file);
    reading.table = table;
    reading.job = arena_take(arena, sizeof *reading.job);
    reading.job->file = file;
    reading.job->folder = reading.folder;
    if (root->kind != NODE_GROUP) {
        wrong_shape(&reading, root, sentence_plain("job-file-shape"));
        return NULL;
    }
    job_read(&reading, root);
    return reading.job;
}

struct job *job_of_bytes(struct machine *machine, const char *file, struct str bytes, struct arena *arena,
                         struct report *report)
{
    return job_of_table(machine, file, bytes, NULL, arena, report);
}

bool job_load(struct machine *machine, const char *path, struct arena *arena, struct report *report,
              struct job **job, struct error *error)
{
    struct str bytes;
    *job = NULL;
    const char *file = job_file_of(machine, path, arena);
    if (!is_file_name(arena, file))
        return error_set(error, FAILURE_INPUT, "is-not-job-name-job-folder",
                         ARGUMENTS(arg_words("file", file)));
    if (!machine_read(machine, file, JOB_BYTES_MOST, arena, &bytes, error)) return false;
    *job = job_of_bytes(machine, file, bytes, arena, report);
    return true;
}
