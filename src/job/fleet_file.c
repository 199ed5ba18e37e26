/* Keeps a fleet's table that came from a page as the CSV file beside the job: read as the file would be, with the job as
 * it would then be, and written only when nothing is wrong. Called by run. */
#include "base/arena.h"
#include "base/path.h"
#include "edit_check.h"
#include "job/edit.h"
#include "read.h"
#include <string.h>

/* The file that the job names, if it lies beside it; else the first name that is free. */
static const char *fleet_file_name(struct machine *machine, const char *file, struct str yaml,
                                   struct arena *arena, bool *named)
{
    struct report ignored = report_new(arena);
    struct tree tree = {arena, &ignored, path_name(file), 0};
    const struct node *vehicles = node_find(tree_from_bytes(&tree, file, yaml), "vehicles");
    *named = vehicles && vehicles->kind == NODE_TEXT && !strcmp(path_ending(arena, vehicles->text), "csv") &&
             !strpbrk(vehicles->text, "/\\");
    if (*named) return arena_copy_string(arena, vehicles->text);
    const char *folder = path_folder(arena, file), *name = "fleet.csv";
    for (int n = 2; machine->status(machine, path_join(arena, folder, name)).exists; n++)
        name = arena_format(arena, "fleet-%d.csv", n);
    return name;
}

/* The table first: a job that names it finds it. Without the job's word for it, it goes again. */
static bool fleet_files_write(struct machine *machine, const char *file, const struct job_table *table,
                              struct str after, bool named, struct arena *arena, struct error *error)
{
    const char *path = path_join(arena, path_folder(arena, file), table->name);
    if (!machine_write(machine, path, table->bytes, true, error)) return false;
    if (named || machine_write(machine, file, after, true, error)) return true;
    machine->remove_file(machine, path, NULL);
    return false;
}

bool job_keep_fleet(struct machine *machine, const char *path, const char *fingerprint, struct str bytes,
                    struct arena *arena, struct report *report, struct job_edited *edited,
                    struct error *error)
{
    const char *file = job_file_of(machine, path, arena);
    if (!edit_begin(machine, file, fingerprint, arena, edited, error)) return false;
    bool named;
    struct job_table table = {fleet_file_name(machine, file, edited->before, arena, &named), bytes};
    struct job_change change = {"vehicles", table.name};
    struct text out = text_new(arena);
    if (!named && !job_edit(edited->before, &change, 1, arena, &out, error)) return false;
    struct str after = named ? edited->before : (struct str){text_string(&out), out.length};
    edit_fingerprint(after, edited->fingerprint);
    struct edit_check check = {file, edited->before, after, &table};
    return edit_is_sound(machine, &check, arena, report, error) &&
           fleet_files_write(machine, file, &table, after, named, arena, error);
}
