/* SHA-256 of artwork and panel files, so that papers and record name them byte for byte. Called by the
 * verbs and by the comparison of printed states; hashing itself is base/hash.h. */
#include "digests.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/str.h"
#include <errno.h>
#include <string.h>
#include <unistd.h>

bool digest_of_file(struct machine *machine, const char *path, const struct cancel *cancel, char hex[65],
                    struct error *error)
{
    char piece[1 << 16];
    struct sha256 sha;
    ssize_t got = 0;
    int fd = machine->open_file(machine, path, error);
    if (fd < 0) return false;
    sha256_start(&sha);
    while ((got = read(fd, piece, sizeof piece)) > 0 && !cancel_asked(cancel))
        sha256_add(&sha, piece, (size_t)got);
    const char *trouble = got < 0 ? strerror(errno) : NULL;
    close(fd);
    if (cancel_asked(cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
    if (trouble)
        return error_set(error, FAILURE_MACHINE, "path-cannot-be-read-trouble",
                         ARGUMENTS(arg_words("path", path), arg_words("trouble", trouble)));
    sha256_finish(&sha, hex);
    return true;
}

static bool has_file(const struct sheet_file *files, size_t count, const char *path)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(files[i].path, path)) return true;
    return false;
}

bool digests_take(struct run *run, struct sheet_file **files, size_t *count, struct error *error)
{
    const int64_t second_ns = 1000000000;
    size_t most = 0;
    for (size_t i = 0; i < run->surface_count; i++) most += run->surfaces[i].art.count;
    struct sheet_file *list = *files = arena_take_array(run->arena, most + 1, sizeof *list);
    *count = 0;
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct surface_art *art = &run->surfaces[i].art;
        for (size_t k = 0; k < art->count; k++) {
            const char *path = art->placed[k].spec->path;
            char *hex = arena_take(run->arena, 65);
            if (has_file(list, *count, path)) continue;
            if (!digest_of_file(run->machine, path, run->options.cancel, hex, error)) return false;
            list[(*count)++] = (struct sheet_file){
                path, hex, run->machine->status(run->machine, path).modified_ns / second_ns};
        }
    }
    return true;
}

static bool take_panel_file(struct run *run, const char *name, struct sheet_file *file, struct error *error)
{
    const int64_t second_ns = 1000000000;
    const char *path = path_join(run->arena, run->out, name);
    char *hex = arena_take(run->arena, 65);
    if (!digest_of_file(run->machine, path, run->options.cancel, hex, error)) return false;
    *file = (struct sheet_file){name, hex, run->machine->status(run->machine, path).modified_ns / second_ns};
    return true;
}

/* A panel file, where it is there and not in the list yet. */
static bool add_panel_file(struct run *run, const char *name, struct sheet_file *files, size_t *count,
                           struct error *error)
{
    bool there = name && run->machine->status(run->machine, path_join(run->arena, run->out, name)).exists;
    if (!there || has_file(files, *count, name)) return true;
    if (!take_panel_file(run, name, &files[*count], error)) return false;
    ++*count;
    return true;
}

bool digests_of_panels(struct run *run, struct sheet_file **files, size_t *count, struct error *error)
{
    size_t most = 0;
    for (size_t i = 0; i < run->plan->surface_count; i++)
        most += surface_print_count(&run->plan->surfaces[i]);
    for (size_t v = 0; v < run->plan->vehicle_count; v++) most += run->plan->vehicles[v].print_count;
    *files = arena_take_array(run->arena, most + 1, sizeof **files);
    *count = 0;
    for (size_t i = 0; i < run->plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&run->plan->surfaces[i]); k++)
            if (!add_panel_file(run, run->plan->surfaces[i].panels[k].file_name, *files, count, error))
                return false;
    for (size_t v = 0; v < run->plan->vehicle_count; v++)
        for (size_t i = 0; i < run->plan->vehicles[v].print_count; i++)
            if (!add_panel_file(run, run->plan->vehicles[v].prints[i].file_name, *files, count, error))
                return false;
    return true;
}
